//! One cell as a value of JSON, unless it is none.

use crate::column::Kind;

/// A value of JSON without members.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Leaf {
    /// A number, as it was written.
    Number(String),
    Text(String),
    Truth(bool),
    EmptyList,
}

/// What the cell says, and what is wrong with it. A wrong one becomes a text, so that whoever reads the document
/// finds no number there either.
pub(crate) fn leaf(kind: Kind, cell: &str) -> (Leaf, Option<&'static str>) {
    let text = || Leaf::Text(cell.to_owned());
    match kind {
        Kind::Text | Kind::Word | Kind::Date | Kind::DateTime => (text(), None),
        Kind::Reading | Kind::Number if is_number(cell) => (Leaf::Number(cell.to_owned()), None),
        Kind::Reading | Kind::Number => (text(), Some(no_number(cell))),
        Kind::Integer if is_whole(cell) => (Leaf::Number(cell.to_owned()), None),
        Kind::Integer => (text(), Some("must be a whole number")),
        Kind::YesNo => match cell {
            "yes" => (Leaf::Truth(true), None),
            "no" => (Leaf::Truth(false), None),
            _ => (text(), Some("must be yes or no")),
        },
        Kind::NoneOfThem if cell == "none" => (Leaf::EmptyList, None),
        Kind::NoneOfThem => (text(), Some("must be none, or empty")),
    }
}

fn no_number(cell: &str) -> &'static str {
    if is_number(&cell.replacen(',', ".", 1)) {
        "must be a number with a decimal point, not a comma"
    } else if is_number(cell.trim()) {
        "must be a number without spaces around it"
    } else {
        "must be a number as JSON writes it"
    }
}

/// The grammar of numbers in RFC 8259, clause 6.
fn is_number(text: &str) -> bool {
    let unsigned = text.strip_prefix('-').unwrap_or(text);
    let (mantissa, exponent) = match unsigned.split_once(['e', 'E']) {
        Some((mantissa, exponent)) => (mantissa, Some(exponent)),
        None => (unsigned, None),
    };
    let (whole, fraction) = match mantissa.split_once('.') {
        Some((whole, fraction)) => (whole, Some(fraction)),
        None => (mantissa, None),
    };
    is_whole(whole)
        && !whole.starts_with('-')
        && fraction.is_none_or(are_digits)
        && exponent.is_none_or(|exponent| are_digits(exponent.strip_prefix(['+', '-']).unwrap_or(exponent)))
}

fn is_whole(text: &str) -> bool {
    let digits = text.strip_prefix('-').unwrap_or(text);
    are_digits(digits) && (digits == "0" || !digits.starts_with('0'))
}

fn are_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    proptest! {
        /// What counts as a number is what an independent reader of JSON takes for one.
        #[test]
        fn numbers_are_those_of_json(text in "-?[0-9+.eE,-]{0,8}") {
            let is_json = serde_json::from_str::<&serde_json::value::RawValue>(&text).is_ok();
            prop_assert_eq!(is_number(&text), is_json);
        }
    }

    #[test]
    fn what_is_no_number_is_told_as_what_it_is() {
        for fine in ["0", "-0.5", "1.50", "1e-3", "2E+4", "-12"] {
            assert_eq!(leaf(Kind::Number, fine), (Leaf::Number(fine.into()), None));
        }
        let told = |cell: &str| leaf(Kind::Reading, cell).1.expect(cell);
        assert!(told("1,5").contains("decimal point"));
        assert!(told(" 1.5").contains("spaces"));
        for wrong in ["NaN", "inf", "1.5 mm", "+1", ".5", "5.", "007", "1.5.2", "0x10", "1 000", "−1", "--1"]
        {
            assert_eq!(told(wrong), "must be a number as JSON writes it", "{wrong}");
        }
        for (kind, cell) in [(Kind::Integer, "4.0"), (Kind::YesNo, "TRUE"), (Kind::NoneOfThem, "0")] {
            assert!(leaf(kind, cell).1.is_some(), "{cell}");
        }
    }
}
