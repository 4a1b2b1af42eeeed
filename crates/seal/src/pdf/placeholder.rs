//! The place that the writer of a file left for a signature.

use std::ops::Range;

use memchr::memmem;

use crate::{Error, Result};

/// What stands where the signed ranges of bytes will be told: ISO 32000-2, 12.8.1, table 255.
const RANGES: &[u8] = b"/ByteRange[0 0000000000 0000000000 0000000000]";
/// What stands before the signature.
const CONTENTS: &[u8] = b"/Contents<";
const END_OF_OBJECT: &[u8] = b"endobj";

/// Where the parts of a placeholder stand in a file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Placeholder {
    /// The array of ranges, with its brackets.
    pub(super) ranges: Range<usize>,
    /// The signature as a hexadecimal string, with its angle brackets.
    pub(super) contents: Range<usize>,
}

impl Placeholder {
    /// The last one of a file.
    ///
    /// # Errors
    /// [`Error::Placeholder`] when there is none that is whole.
    pub(super) fn find(file: &[u8]) -> Result<Self> {
        let mut why = "none in the file";
        for start in memmem::rfind_iter(file, RANGES) {
            match Self::at(file, start) {
                Ok(found) => return Ok(found),
                Err(reason) => why = reason,
            }
        }
        Err(Error::Placeholder(why))
    }

    fn at(file: &[u8], start: usize) -> Result<Self, &'static str> {
        let end = start + RANGES.len();
        let rest = file.get(end..).unwrap_or_default();
        let object = memmem::find(rest, END_OF_OBJECT).ok_or("the object does not end")?;
        let object = rest.get(..object).unwrap_or_default();
        let contents = memmem::find(object, CONTENTS).ok_or("no contents in the object")?;
        let digits = contents + CONTENTS.len();
        let zeros = object.iter().skip(digits).take_while(|byte| **byte == b'0').count();
        if object.get(digits + zeros) != Some(&b'>') {
            return Err("the contents are not zeros alone");
        }
        if zeros == 0 || !zeros.is_multiple_of(2) {
            return Err("the contents are not whole bytes");
        }
        let bracket = end + digits - 1;
        let ranges = end - (RANGES.len() - b"/ByteRange".len())..end;
        Ok(Self { ranges, contents: bracket..bracket + zeros + 2 })
    }

    /// Bytes of a signature that there is room for.
    pub(super) fn room(&self) -> usize {
        (self.contents.len() - 2) / 2
    }

    /// Tells which bytes are signed: all but the contents. What is left of the room is filled with spaces.
    ///
    /// # Errors
    /// [`Error::Placeholder`] for a file too large for the room.
    pub(super) fn fill_ranges(&self, file: &mut [u8]) -> Result<()> {
        let Range { start, end } = self.contents;
        let ranges = format!("[0 {start} {end} {}", file.len() - end);
        let room = file.get_mut(self.ranges.clone()).unwrap_or_default();
        if ranges.len() >= room.len() {
            return Err(Error::Placeholder("the file is too large"));
        }
        room.fill(b' ');
        for (place, byte) in room.iter_mut().zip(ranges.bytes()) {
            *place = byte;
        }
        if let Some(last) = room.last_mut() {
            *last = b']';
        }
        Ok(())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn file(contents: &str) -> Vec<u8> {
        format!("%PDF\n7 0 obj\n<<{}/X 1{contents}>>\nendobj\n", str::from_utf8(RANGES).unwrap()).into_bytes()
    }

    #[test]
    fn ranges_are_told_without_moving_a_byte() {
        let mut bytes = file("/Contents<0000>");
        let length = bytes.len();
        let place = Placeholder::find(&bytes).unwrap();
        assert_eq!((place.room(), &bytes[place.contents.clone()]), (2, &b"<0000>"[..]));
        place.fill_ranges(&mut bytes).unwrap();
        let start = place.contents.start;
        let told = format!("/ByteRange[0 {start} {} {}", start + 6, length - start - 6);
        let text = String::from_utf8(bytes).unwrap();
        assert_eq!(text.len(), length);
        assert!(text.contains(&told) && text.contains("  ]/X 1/Contents<0000>"), "{text}");
    }

    #[test]
    fn a_broken_place_is_told_apart_from_none() {
        for (contents, why) in [
            ("", "no contents in the object"),
            ("/Contents<>", "the contents are not whole bytes"),
            ("/Contents<000>", "the contents are not whole bytes"),
            ("/Contents<00a0>", "the contents are not zeros alone"),
            (">>endobj/Contents<00>", "no contents in the object"),
        ] {
            assert_eq!(Placeholder::find(&file(contents)), Err(Error::Placeholder(why)), "{contents}");
        }
        assert_eq!(Placeholder::find(b"%PDF"), Err(Error::Placeholder("none in the file")));
    }

    #[test]
    fn a_place_that_is_only_spoken_of_behind_the_real_one_does_not_count() {
        let whole = file("/Contents<0000>");
        let place = Placeholder::find(&whole).unwrap();
        assert_eq!(Placeholder::find(&[whole, file("")].concat()).unwrap(), place);
    }
}
