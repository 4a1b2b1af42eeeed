//! The signature of a file that nobody vouches for.

use std::ops::Range;

use memchr::memmem;

use crate::hex;

const RANGES: &[u8] = b"/ByteRange";
const CONTENTS: &[u8] = b"/Contents";
const END_OF_OBJECT: &[u8] = b"endobj";
/// Bytes of a signature at most.
const MOST_BYTES: usize = 1 << 18;
/// Places that are looked at, from the last one on.
const MOST_PLACES: usize = 64;

/// Where a signature stands, and what it says to be for.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Located {
    /// The contents, with their angle brackets.
    pub(super) contents: Range<usize>,
    /// The signature in DER.
    pub(super) der: Vec<u8>,
}

/// The last signature that covers the whole file; the error says why the last one does not. `None` for a file
/// without any.
pub(super) fn locate(file: &[u8]) -> Option<Result<Located, &'static str>> {
    let mut places = memmem::rfind_iter(file, RANGES).take(MOST_PLACES);
    let last = at(file, places.next()?);
    if last.is_ok() {
        return Some(last);
    }
    Some(places.find_map(|start| at(file, start).ok()).map_or(last, Ok))
}

fn at(file: &[u8], start: usize) -> Result<Located, &'static str> {
    let rest = file.get(start + RANGES.len()..).unwrap_or_default();
    let [zero, before, behind, length] = ranges(rest).ok_or("the signed ranges cannot be read")?;
    if zero != 0 || before > behind || behind.checked_add(length) != Some(file.len()) {
        return Err("the signature does not cover the whole file");
    }
    let gap = before..behind;
    let string = file.get(gap.clone()).unwrap_or_default();
    let digits = string.strip_prefix(b"<").and_then(|digits| digits.strip_suffix(b">"));
    let digits = digits.ok_or("the signed ranges leave out more than the signature")?;
    let is_contents = file.get(..before).is_some_and(|before| before.trim_ascii_end().ends_with(CONTENTS));
    let between = file.get(start.min(behind)..start.max(before)).unwrap_or_default();
    if !is_contents || memmem::find(between, END_OF_OBJECT).is_some() {
        return Err("the signed ranges leave out something else than the signature");
    }
    if digits.len() > MOST_BYTES * 2 {
        return Err("the signature is too large");
    }
    Ok(Located { contents: gap, der: der(digits)? })
}

/// The four numbers of an array.
fn ranges(text: &[u8]) -> Option<[usize; 4]> {
    let text = text.trim_ascii_start().strip_prefix(b"[")?;
    // No array of four numbers is longer than this.
    let text = text.get(..text.len().min(128))?;
    let end = text.iter().position(|byte| *byte == b']')?;
    let text = str::from_utf8(text.get(..end)?).ok()?;
    let number = |word: &str| if word.bytes().all(|b| b.is_ascii_digit()) { word.parse().ok() } else { None };
    let numbers: Option<Vec<usize>> = text.split_ascii_whitespace().map(number).collect();
    numbers?.try_into().ok()
}

/// The DER in the digits, behind which only zeros stand.
fn der(digits: &[u8]) -> Result<Vec<u8>, &'static str> {
    // With both cases a digit could be changed without changing the signature.
    let has = |is: fn(&u8) -> bool| digits.iter().any(is);
    if has(u8::is_ascii_lowercase) && has(u8::is_ascii_uppercase) {
        return Err("the signature is written in two ways");
    }
    let mut bytes = hex::decode(digits).ok_or("the signature is not hexadecimal")?;
    let length = whole_length(&bytes).ok_or("the signature cannot be read")?;
    if bytes.iter().skip(length).any(|byte| *byte != 0) {
        return Err("something stands behind the signature");
    }
    bytes.truncate(length);
    Ok(bytes)
}

/// The length of the element that bytes begin with, if they hold all of it.
fn whole_length(bytes: &[u8]) -> Option<usize> {
    let mut reader = der::SliceReader::new(bytes).ok()?;
    der::Reader::tlv_bytes(&mut reader).ok().map(<[u8]>::len)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_four_whole_numbers_are_ranges() {
        assert_eq!(ranges(b" [0 10\r\n20  30  ]/X"), Some([0, 10, 20, 30]));
        for wrong in
            ["[0 1 2]", "[0 1 2 3 4]", "[0 1 2 -3]", "[0 1 2 +3]", "[0 1 2 3", "0 1 2 3]", "[0 1 2 3.0]"]
        {
            assert_eq!(ranges(wrong.as_bytes()), None, "{wrong}");
        }
        assert_eq!(ranges(b"[0 1 2 99999999999999999999999]"), None);
    }

    #[test]
    fn a_signature_is_followed_by_zeros_and_spelled_in_one_way() {
        assert_eq!(der(b"3003020100ab"), Err("something stands behind the signature"));
        assert_eq!(der(b"30030201aa0000").unwrap(), [0x30, 3, 2, 1, 0xaa]);
        assert_eq!(der(b"30030201AA0000").unwrap(), [0x30, 3, 2, 1, 0xaa]);
        assert_eq!(der(b"30030201aA0000"), Err("the signature is written in two ways"));
        assert_eq!(der(b"30830201aa"), Err("the signature cannot be read"));
        assert_eq!(der(b""), Err("the signature cannot be read"));
    }
}
