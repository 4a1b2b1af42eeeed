//! Operators of a page, written as ISO 32000-1, Annex A, lists them.

/// What is drawn on a page, as bytes.
///
/// Lengths are points with two decimals: a hundredth of a point is 3.5 µm on paper.
#[derive(Debug, Default)]
pub(crate) struct Content {
    bytes: Vec<u8>,
}

impl Content {
    /// The bytes so far.
    pub(crate) fn into_bytes(self) -> Vec<u8> {
        self.bytes
    }

    /// How many bytes there are so far.
    pub(crate) const fn len(&self) -> usize {
        self.bytes.len()
    }

    /// An operator, after its operands.
    pub(crate) fn operator(&mut self, operator: &str) {
        self.bytes.extend_from_slice(operator.as_bytes());
        self.bytes.push(b'\n');
    }

    /// A name as an operand.
    pub(crate) fn name(&mut self, name: &str) {
        self.bytes.push(b'/');
        self.bytes.extend_from_slice(name.as_bytes());
        self.bytes.push(b' ');
    }

    /// Begins a marked-content sequence of an element of the structure (ISO 32000-1, 14.7.4.2).
    pub(crate) fn begin_marked(&mut self, tag: &str, sequence: usize) {
        self.bytes.push(b'/');
        self.bytes.extend_from_slice(tag.as_bytes());
        self.bytes.extend_from_slice(b"<</MCID ");
        self.bytes.extend_from_slice(sequence.to_string().as_bytes());
        self.operator(">>BDC");
    }

    /// Begins an artifact (ISO 32000-1, 14.8.2.2.2).
    pub(crate) fn begin_artifact(&mut self) {
        self.operator("/Artifact BMC");
    }

    /// Ends what was begun last of the two.
    pub(crate) fn end_marked(&mut self) {
        self.operator("EMC");
    }

    /// A number as an operand, to two decimals.
    pub(crate) fn number(&mut self, number: f32) {
        self.count(hundredths(number), 2);
    }

    /// A number of thousandths as an operand.
    pub(crate) fn thousandths(&mut self, count: i32) {
        self.count(count, 3);
    }

    /// A point as two operands, in hundredths.
    pub(crate) fn point(&mut self, (x, y): (i32, i32)) {
        self.count(x, 2);
        self.count(y, 2);
    }

    /// Sets dash and gap in points, or none.
    pub(crate) fn dash(&mut self, dash: Option<(f32, f32)>) {
        self.bytes.push(b'[');
        if let Some((dash, gap)) = dash {
            self.number(dash);
            self.number(gap);
        }
        self.operator("] 0 d");
    }

    /// A decimal number without needless zeros, and never minus zero.
    fn count(&mut self, count: i32, decimals: usize) {
        let mut digits = [0_u8; 12];
        let mut at = digits.len();
        let mut rest = count.unsigned_abs();
        let mut places = 0;
        let mut begun = false;
        while rest > 0 || places <= decimals {
            if places == decimals && begun {
                at -= 1;
                digits[at] = b'.';
            }
            let digit = (rest % 10) as u8;
            rest /= 10;
            if begun || digit > 0 || places >= decimals {
                at -= 1;
                digits[at] = b'0' + digit;
                begun = true;
            }
            places += 1;
        }
        if count < 0 {
            self.bytes.push(b'-');
        }
        self.bytes.extend_from_slice(&digits[at..]);
        self.bytes.push(b' ');
    }

    /// Opens a string.
    pub(crate) fn begin_string(&mut self) {
        self.bytes.push(b'(');
    }

    /// A code of two bytes within a string.
    pub(crate) fn code(&mut self, code: u16) {
        let (bytes, length) = escaped(code);
        self.bytes.extend_from_slice(&bytes[..length]);
    }

    /// Closes a string and shows it.
    pub(crate) fn end_string(&mut self) {
        self.bytes.extend_from_slice(b") Tj\n");
    }
}

/// Hundredths of a point.
pub(crate) fn hundredths(points: f32) -> i32 {
    #[expect(clippy::cast_possible_truncation, reason = "no page is 200 km wide; the cast saturates")]
    let count = (points * 100.0).round() as i32;
    count
}

/// The bytes of a code within a string, and how many they are: ISO 32000-1, 7.3.4.2.
fn escaped(code: u16) -> ([u8; 4], usize) {
    let mut bytes = [0; 4];
    let mut length = 0;
    for byte in code.to_be_bytes() {
        let (escape, byte) = match byte {
            b'(' | b')' | b'\\' => (true, byte),
            b'\r' => (true, b'r'),
            _ => (false, byte),
        };
        if escape {
            bytes[length] = b'\\';
            length += 1;
        }
        bytes[length] = byte;
        length += 1;
    }
    (bytes, length)
}

/// Puts codes in the place of the two zero bytes that were written for them, from the last to the first.
pub(crate) fn put_codes(bytes: &mut Vec<u8>, places: impl DoubleEndedIterator<Item = (usize, u16)>) {
    for (at, code) in places.rev() {
        let (code, length) = escaped(code);
        bytes.splice(at..at + 2, code[..length].iter().copied());
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(number: f32, expected: &str) {
        let mut content = Content::default();
        content.number(number);
        assert_eq!(String::from_utf8(content.into_bytes()).unwrap(), format!("{expected} "));
    }

    #[test]
    fn numbers_are_short_and_never_minus_zero() {
        check(0.0, "0");
        check(-0.0, "0");
        check(-0.004, "0");
        check(-0.006, "-0.01");
        check(0.5, "0.5");
        check(12.05, "12.05");
        check(841.89, "841.89");
        check(100.0, "100");
        check(-7.1, "-7.1");
        check(123_456.0, "123456");
    }

    #[test]
    fn codes_that_mean_something_in_a_string_are_escaped() {
        let mut content = Content::default();
        content.begin_string();
        for code in [0x0041, 0x0028, 0x295C, 0x0D0A] {
            content.code(code);
        }
        content.end_string();
        assert_eq!(content.into_bytes(), b"(\0A\0\\(\\)\\\\\\r\n) Tj\n");
    }

    #[test]
    fn codes_come_late_to_their_places() {
        let mut bytes = b"(\0\0\0A\0\0)".to_vec();
        put_codes(&mut bytes, [(1, 0x0128), (5, 0x0102)].into_iter());
        assert_eq!(bytes, b"(\x01\\(\0A\x01\x02)");
    }
}
