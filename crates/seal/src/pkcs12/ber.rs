//! Files in the looser encoding that some browsers write: BER (ITU-T X.690, 8) as DER.

use der::{Decode, DecodeOwned};

/// Elements within each other at most.
const DEEPEST: usize = 24;
const CONSTRUCTED: u8 = 0x20;
const OCTET_STRING: u8 = 0x04;

/// Reads a structure in DER, or else in BER.
pub(super) fn read<T: DecodeOwned>(bytes: &[u8]) -> Option<T> {
    T::from_der(bytes).ok().or_else(|| T::from_der(&to_der(bytes)?).ok())
}

/// One whole element as DER: lengths are told in full, and strings in pieces are put together.
fn to_der(bytes: &[u8]) -> Option<Vec<u8>> {
    let (der, rest) = element(bytes, DEEPEST)?;
    rest.is_empty().then_some(der)
}

/// The first element as DER, and what stands behind it.
fn element(bytes: &[u8], depth: usize) -> Option<(Vec<u8>, &[u8])> {
    let (&tag, rest) = bytes.split_first()?;
    // Greater numbers of tags do not occur in these files.
    if depth == 0 || tag & 0x1F == 0x1F {
        return None;
    }
    let (length, rest) = length(rest)?;
    if tag & CONSTRUCTED == 0 {
        let (content, rest) = rest.split_at_checked(length?)?;
        return Some((with_header(tag, content), rest));
    }
    let (parts, rest) = match length {
        Some(length) => {
            let (content, rest) = rest.split_at_checked(length)?;
            (parts(content, depth, false)?.0, rest)
        }
        None => parts(rest, depth, true)?,
    };
    if tag == OCTET_STRING | CONSTRUCTED {
        return Some((with_header(OCTET_STRING, &joined(&parts)?), rest));
    }
    Some((with_header(tag, &parts.concat()), rest))
}

/// The elements of a content, up to its end or to the mark of the end.
fn parts(mut content: &[u8], depth: usize, is_marked: bool) -> Option<(Vec<Vec<u8>>, &[u8])> {
    let mut parts = Vec::new();
    loop {
        if is_marked && let Some(rest) = content.strip_prefix(&[0, 0]) {
            return Some((parts, rest));
        }
        if content.is_empty() {
            return (!is_marked).then_some((parts, content));
        }
        let (part, rest) = element(content, depth - 1)?;
        parts.push(part);
        content = rest;
    }
}

/// The pieces of a string as one.
pub(super) fn joined(pieces: &[Vec<u8>]) -> Option<Vec<u8>> {
    let content =
        |piece: &Vec<u8>| der::asn1::OctetString::from_der(piece).ok().map(|piece| piece.into_bytes());
    Some(pieces.iter().map(content).collect::<Option<Vec<_>>>()?.concat())
}

/// A length, `None` for one that is not told, and what stands behind it.
fn length(bytes: &[u8]) -> Option<(Option<usize>, &[u8])> {
    let (&first, rest) = bytes.split_first()?;
    match first {
        0..0x80 => Some((Some(first.into()), rest)),
        0x80 => Some((None, rest)),
        _ => {
            let (digits, rest) =
                rest.split_at_checked(usize::from(first & 0x7F)).filter(|(d, _)| d.len() <= 4)?;
            Some((Some(digits.iter().fold(0, |length, digit| length << 8 | usize::from(*digit))), rest))
        }
    }
}

fn with_header(tag: u8, content: &[u8]) -> Vec<u8> {
    let length = content.len().to_be_bytes();
    let zeros = length.iter().take_while(|byte| **byte == 0).count();
    let digits = length.get(zeros..).unwrap_or_default();
    let mut der = vec![tag];
    match digits {
        [] => der.push(0),
        [short @ 0..0x80] => der.push(*short),
        _ => {
            der.push(0x80 | digits.len() as u8);
            der.extend_from_slice(digits);
        }
    }
    der.extend_from_slice(content);
    der
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn strings_in_pieces_and_lengths_that_are_not_told_become_der() {
        let ber = [0x30, 0x80, 0x24, 0x80, 4, 1, 0xAA, 4, 0x81, 1, 0xBB, 0, 0, 2, 1, 7, 0, 0];
        assert_eq!(to_der(&ber).unwrap(), [0x30, 7, 4, 2, 0xAA, 0xBB, 2, 1, 7]);
        let long = [&[4, 0x82, 1, 0][..], &[9; 256]].concat();
        assert_eq!(to_der(&long).unwrap(), long);
    }

    #[test]
    fn what_does_not_end_or_goes_too_deep_is_refused() {
        assert_eq!(to_der(&[0x30, 0x80, 2, 1, 7]), None);
        assert_eq!(to_der(&[4, 0x80, 0, 0]), None);
        assert_eq!(to_der(&[4, 0x85, 1, 0, 0, 0, 0]), None);
        assert_eq!(to_der(&[0x30, 0x80].repeat(100_000)), None);
    }
}
