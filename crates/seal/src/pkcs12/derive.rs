//! Keys from passwords as PKCS#12 derives them: RFC 7292, appendix B.

use sha2::Digest;
use zeroize::Zeroizing;

use super::encryption::MOST_ITERATIONS;
use crate::{Error, Result};

/// What a key is for: the byte that sets it apart (RFC 7292, B.3).
#[derive(Clone, Copy)]
pub(super) enum Purpose {
    Encryption = 1,
    InitialVector = 2,
    Check = 3,
}

/// A password as a BMPString with its end (RFC 7292, B.1).
pub(super) fn password_bytes(password: &str) -> Zeroizing<Vec<u8>> {
    let units = password.encode_utf16().chain(std::iter::once(0));
    Zeroizing::new(units.flat_map(u16::to_be_bytes).collect())
}

/// Some bytes of key from a password; `block` is the length of a block of the digest algorithm.
///
/// Source: RFC 7292, B.2.
///
/// # Errors
/// [`Error::Key`] for more iterations than are accepted.
pub(super) fn derive<D: Digest>(
    password: &[u8],
    salt: &[u8],
    iterations: u32,
    purpose: Purpose,
    block: usize,
    length: usize,
) -> Result<Zeroizing<Vec<u8>>> {
    if iterations > MOST_ITERATIONS {
        return Err(Error::Key(format!("more than {MOST_ITERATIONS} iterations")));
    }
    let fill = |bytes: &[u8]| -> Vec<u8> {
        bytes.iter().copied().cycle().take(bytes.len().div_ceil(block) * block).collect()
    };
    let diversifier = vec![purpose as u8; block];
    let mut input = Zeroizing::new([fill(salt), fill(password)].concat());
    let mut key = Zeroizing::new(Vec::with_capacity(length + 64));
    while key.len() < length {
        let mut digest = D::new_with_prefix(&diversifier).chain_update(input.as_slice()).finalize();
        for _ in 1..iterations {
            digest = D::digest(&digest);
        }
        key.extend_from_slice(&digest);
        let step: Vec<u8> = digest.iter().copied().cycle().take(block).collect();
        for part in input.chunks_exact_mut(block) {
            add_with_one(part, &step);
        }
    }
    key.truncate(length);
    Ok(key)
}

/// Adds a number and 1 to a number of the same length, both with the greatest byte first; what carries over the
/// end is dropped.
fn add_with_one(number: &mut [u8], other: &[u8]) {
    let mut carry = 1;
    for (digit, other) in number.iter_mut().zip(other).rev() {
        let sum = u16::from(*digit) + u16::from(*other) + carry;
        [_, *digit] = sum.to_be_bytes();
        carry = sum >> 8;
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_added_with_their_carry() {
        let mut number = [0xFF, 0xFF, 0xFE];
        add_with_one(&mut number, &[0, 0, 1]);
        assert_eq!(number, [0, 0, 0]);
        add_with_one(&mut number, &[1, 2, 0xFF]);
        assert_eq!(number, [1, 3, 0]);
    }
}
