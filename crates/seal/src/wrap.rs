//! Small secrets at rest, such as those of webhooks: encrypted with what only the installation knows.

use ring::aead::{AES_256_GCM, Aad, LessSafeKey, MAX_TAG_LEN, NONCE_LEN, Nonce, UnboundKey};
use ring::hkdf::{HKDF_SHA256, Salt};
use zeroize::Zeroizing;

use crate::{Error, Result, Secret};

/// The first byte says how the rest is made, so that another way can come one day.
const VERSION: u8 = 1;
/// Keeps the keys apart from any other that might be derived from the same secret.
const SALT: &[u8] = b"headproof wrapped secret 1";

impl Secret {
    /// Encrypts something small for one purpose, the only one for which it can be had back. A purpose may name what it
    /// belongs to, too: then it cannot be put in the place of another.
    ///
    /// Source: AES-256-GCM (NIST SP 800-38D) with a random nonce of 96 bits and the purpose as associated data. The key is that of
    /// the purpose, by HKDF-SHA256 (RFC 5869). The result is a version byte, the nonce, the ciphertext and its tag: 29
    /// bytes more than went in. One purpose is good for 2³² of them.
    ///
    /// # Errors
    /// [`Error::Random`] when the system gives no random bytes.
    pub fn wrap(&self, purpose: &str, plain: &[u8]) -> Result<Vec<u8>> {
        let mut nonce = [0; NONCE_LEN];
        getrandom::fill(&mut nonce).map_err(|_| Error::Random)?;
        let mut wrapped = Vec::with_capacity(1 + NONCE_LEN + plain.len() + MAX_TAG_LEN);
        wrapped.push(VERSION);
        wrapped.extend_from_slice(&nonce);
        wrapped.extend_from_slice(plain);
        let tag = self
            .key_for(purpose)
            .seal_in_place_separate_tag(
                Nonce::assume_unique_for_key(nonce),
                Aad::from(purpose),
                &mut wrapped[1 + NONCE_LEN..],
            )
            .map_err(|_| Error::Encoding("too long to be wrapped".to_owned()))?;
        wrapped.extend_from_slice(tag.as_ref());
        Ok(wrapped)
    }

    /// What was wrapped for a purpose.
    ///
    /// # Errors
    /// [`Error::Secret`] when it was wrapped with another secret or for another purpose, or was changed.
    pub fn unwrap(&self, purpose: &str, wrapped: &[u8]) -> Result<Zeroizing<Vec<u8>>> {
        let (version, rest) = wrapped.split_first().ok_or(Error::Secret)?;
        let (nonce, sealed) = rest.split_first_chunk::<NONCE_LEN>().ok_or(Error::Secret)?;
        if *version != VERSION {
            return Err(Error::Secret);
        }
        let mut plain = Zeroizing::new(sealed.to_vec());
        let nonce = Nonce::assume_unique_for_key(*nonce);
        let length = self
            .key_for(purpose)
            .open_in_place(nonce, Aad::from(purpose), &mut plain)
            .map_err(|_| Error::Secret)?
            .len();
        plain.truncate(length);
        Ok(plain)
    }

    fn key_for(&self, purpose: &str) -> LessSafeKey {
        let info = [purpose.as_bytes()];
        let key = Salt::new(HKDF_SHA256, SALT).extract(self.bytes());
        let key = key.expand(&info, &AES_256_GCM).map(UnboundKey::from);
        LessSafeKey::new(key.unwrap_or_else(|_| unreachable!("HKDF gives up to 8160 bytes")))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PURPOSE: &str = "webhook 7";

    #[test]
    fn what_was_wrapped_comes_back() {
        let secret = Secret::random().unwrap();
        for plain in [b"".as_slice(), b"x", &[0xa5; 1000]] {
            let wrapped = secret.wrap(PURPOSE, plain).unwrap();
            assert_eq!(wrapped.len(), plain.len() + 29);
            assert_eq!(secret.unwrap(PURPOSE, &wrapped).unwrap().as_slice(), plain);
            // No two are the same, and it does not stand in there.
            assert_ne!(secret.wrap(PURPOSE, plain).unwrap(), wrapped);
            assert!(plain.len() < 2 || !wrapped.windows(plain.len()).any(|window| window == plain));
        }
    }

    #[test]
    fn one_changed_bit_anywhere_is_refused() {
        let secret = Secret::random().unwrap();
        let wrapped = secret.wrap(PURPOSE, b"whsec_0123456789").unwrap();
        for place in 0..wrapped.len() * 8 {
            let mut changed = wrapped.clone();
            changed[place / 8] ^= 1 << (place % 8);
            assert_eq!(secret.unwrap(PURPOSE, &changed).unwrap_err(), Error::Secret, "bit {place}");
        }
        for length in 0..wrapped.len() {
            assert_eq!(secret.unwrap(PURPOSE, &wrapped[..length]).unwrap_err(), Error::Secret, "{length}");
        }
    }

    #[test]
    fn another_purpose_and_another_secret_do_not_open_it() {
        let secret = Secret::random().unwrap();
        let wrapped = secret.wrap(PURPOSE, b"small").unwrap();
        for purpose in ["", "webhook 8", "webhook 70", "Webhook 7"] {
            assert_eq!(secret.unwrap(purpose, &wrapped).unwrap_err(), Error::Secret);
        }
        assert_eq!(Secret::random().unwrap().unwrap(PURPOSE, &wrapped).unwrap_err(), Error::Secret);
        let again = Secret::from_text(&secret.to_text()).unwrap();
        assert_eq!(again.unwrap(PURPOSE, &wrapped).unwrap().as_slice(), b"small");
    }
}
