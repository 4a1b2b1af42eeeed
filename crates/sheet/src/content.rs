//! Operators of a page, written as ISO 32000-1, Annex A, lists them.

/// What is drawn on a page, as bytes.
///
/// Lengths are points with two decimals: a hundredth of a point is 3.5 µm on paper.
#[derive(Debug, Default)]
pub(crate) struct Content {
    bytes: Vec<u8>,
}

impl Content {
    /// Nothing yet, with room for so many bytes.
    pub(crate) fn with_capacity(bytes: usize) -> Self {
        Self { bytes: Vec::with_capacity(bytes) }
    }

    /// The bytes so far.
    pub(crate) fn into_bytes(self) -> Vec<u8> {
        self.bytes
    }

    /// How many bytes there are so far.
    pub(crate) const fn len(&self) -> usize {
        self.bytes.len()
    }

    /// An operator, after its operands.
    #[inline]
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
        self.count::<2>(hundredths(number));
    }

    /// A number of thousandths as an operand.
    pub(crate) fn thousandths(&mut self, count: i32) {
        self.count::<3>(count);
    }

    /// A point as two operands, in hundredths.
    pub(crate) fn point(&mut self, (x, y): (i32, i32)) {
        self.count::<2>(x);
        self.count::<2>(y);
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
    fn count<const DECIMALS: u32>(&mut self, count: i32) {
        // Written from its end, then copied with as many bytes as the longest has: that takes no loop.
        const LONGEST: usize = 16;
        let mut text = [b' '; 2 * LONGEST];
        let mut at = LONGEST - 1;
        let mut before = |byte: u8| {
            at -= 1;
            text[at] = byte;
        };
        let scale = 10_u32.pow(DECIMALS);
        let (mut whole, mut part) = (count.unsigned_abs() / scale, count.unsigned_abs() % scale);
        if part > 0 {
            let mut places = DECIMALS;
            while part % 10 == 0 {
                part /= 10;
                places -= 1;
            }
            for _ in 0..places {
                before(b'0' + (part % 10) as u8);
                part /= 10;
            }
            before(b'.');
        }
        before(b'0' + (whole % 10) as u8);
        while whole > 9 {
            whole /= 10;
            before(b'0' + (whole % 10) as u8);
        }
        if count < 0 {
            before(b'-');
        }
        let end = self.bytes.len() + LONGEST - at;
        self.bytes.extend_from_slice(&text[at..at + LONGEST]);
        self.bytes.truncate(end);
    }

    /// Opens a string.
    pub(crate) fn begin_string(&mut self) {
        self.bytes.push(b'(');
    }

    /// A code of two bytes within a string.
    #[inline]
    pub(crate) fn code(&mut self, code: u16) {
        let bytes = code.to_be_bytes();
        if bytes.map(escape) == [None, None] {
            self.bytes.extend_from_slice(&bytes);
        } else {
            let (bytes, length) = escaped(code);
            self.bytes.extend_from_slice(&bytes[..length]);
        }
    }

    /// Closes a string and shows it.
    pub(crate) fn end_string(&mut self) {
        self.bytes.extend_from_slice(b") Tj\n");
    }
}

/// Hundredths of a point, halves away from zero.
#[inline]
pub(crate) fn hundredths(points: f32) -> i32 {
    let scaled = points * 100.0;
    #[expect(clippy::cast_possible_truncation, reason = "no page is 200 km wide; the cast saturates")]
    let whole = scaled as i32;
    // What `round` gives, which is a call into a library on processors that have to do without newer instructions.
    let rest = scaled - whole as f32;
    whole.saturating_add(i32::from(rest >= 0.5) - i32::from(rest <= -0.5))
}

/// What stands after a backslash for a byte that means something in a string.
const fn escape(byte: u8) -> Option<u8> {
    match byte {
        b'(' | b')' | b'\\' => Some(byte),
        b'\r' => Some(b'r'),
        _ => None,
    }
}

/// The bytes of a code within a string, and how many they are: ISO 32000-1, 7.3.4.2.
fn escaped(code: u16) -> ([u8; 4], usize) {
    let mut bytes = [0; 4];
    let mut length = 0;
    for byte in code.to_be_bytes() {
        let escape = escape(byte);
        if escape.is_some() {
            bytes[length] = b'\\';
            length += 1;
        }
        bytes[length] = escape.unwrap_or(byte);
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
        check(-20_000_000.0, "-20000000");
        check(f32::MAX, "21474836.47");
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
