//! Bytes as text and back.

/// Lower-case hex.
pub(crate) fn encode(bytes: &[u8]) -> String {
    const DIGITS: [char; 16] =
        ['0', '1', '2', '3', '4', '5', '6', '7', '8', '9', 'a', 'b', 'c', 'd', 'e', 'f'];
    let mut text = String::with_capacity(bytes.len() * 2);
    for byte in bytes {
        text.extend([DIGITS[usize::from(byte >> 4)], DIGITS[usize::from(byte & 15)]]);
    }
    text
}

/// The bytes of hex digits of either case; `None` for anything else.
pub(crate) fn decode(text: &[u8]) -> Option<Vec<u8>> {
    let (pairs, rest) = text.as_chunks::<2>();
    let digit = |byte: u8| char::from(byte).to_digit(16).map(|digit| digit as u8);
    let bytes = pairs.iter().map(|[high, low]| Some(digit(*high)? << 4 | digit(*low)?)).collect();
    if rest.is_empty() { bytes } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn hex_comes_back() {
        assert_eq!(encode(&[0, 0x9a, 0xff]), "009aff");
        assert_eq!(decode(b"009aFF").unwrap(), [0, 0x9a, 0xff]);
        assert_eq!((decode(b"0"), decode(b"0g"), decode(b"+1")), (None, None, None));
    }
}
