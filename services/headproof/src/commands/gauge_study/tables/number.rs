//! Numbers in tables.

/// A number to six significant digits, without zeros that say nothing.
pub(super) fn significant(number: f64) -> String {
    // What rounds up to the next power of ten has the exponent of that.
    let scientific = format!("{number:.5e}");
    let Some((mantissa, exponent)) = scientific.split_once('e') else { return scientific };
    let exponent: i32 = exponent.parse().unwrap_or(0);
    match exponent {
        -4..6 => {
            let decimals = usize::try_from(5 - exponent).unwrap_or(0);
            trimmed(&format!("{number:.decimals$}")).to_owned()
        }
        _ => format!("{}e{exponent}", trimmed(mantissa)),
    }
}

/// Per cent, to one decimal.
pub(super) fn percent(number: Option<f64>) -> String {
    match number {
        None => "-".to_owned(),
        Some(number) if number < 1e6 => format!("{number:.1}"),
        Some(number) => significant(number),
    }
}

fn trimmed(number: &str) -> &str {
    if number.contains('.') { number.trim_end_matches('0').trim_end_matches('.') } else { number }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_keep_six_digits() {
        for (number, shown) in [
            (0.0, "0"),
            (1.0, "1"),
            (-0.302_371_522_3, "-0.302372"),
            (88.361_934_444, "88.3619"),
            (123_456.7, "123457"),
            (999_999.7, "1e6"),
            (1.163_063_99e-19, "1.16306e-19"),
            (0.000_123_456_78, "0.000123457"),
            (100.0, "100"),
            (1e15, "1e15"),
        ] {
            assert_eq!(significant(number), shown);
        }
        assert_eq!((percent(None), percent(Some(27.86))), ("-".to_owned(), "27.9".to_owned()));
    }
}
