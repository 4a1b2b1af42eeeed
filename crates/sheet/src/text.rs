//! Type sizes, and breaking text into lines.

use unicode_linebreak::linebreaks;

use crate::canvas::Ink;
use crate::face::{Face, POINTS};

/// A face, a size in points and an ink.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Style {
    /// Its face.
    pub(crate) face: Face,
    /// Its size in points.
    pub(crate) size: f32,
    /// Its ink.
    pub(crate) ink: Ink,
}

impl Style {
    /// Running text.
    pub(crate) const BODY: Self = Self::new(Face::Narrow, 8.5);
    /// Running text that matters more.
    pub(crate) const STRONG: Self = Self::new(Face::NarrowBold, 8.5);
    /// Tables.
    pub(crate) const TABLE: Self = Self::new(Face::Narrow, 7.8);
    /// Rows of tables that matter more.
    pub(crate) const TABLE_STRONG: Self = Self::new(Face::NarrowBold, 7.8);
    /// Remarks under rows, and running foot.
    pub(crate) const SMALL: Self = Self::new(Face::Narrow, 7.2);
    /// Labels over values, and heads of columns.
    pub(crate) const LABEL: Self = Self::new(Face::Narrow, 6.6).ink(Ink::Grey);
    /// Headings of sections.
    pub(crate) const HEADING: Self = Self::new(Face::Bold, 10.5);

    /// A style in black.
    pub(crate) const fn new(face: Face, size: f32) -> Self {
        Self { face, size, ink: Ink::Black }
    }

    /// The same in another ink.
    pub(crate) const fn ink(self, ink: Ink) -> Self {
        Self { ink, ..self }
    }

    /// The same at another size.
    pub(crate) const fn sized(self, size: f32) -> Self {
        Self { size, ..self }
    }

    /// From baseline to baseline, in millimetres.
    pub(crate) fn leading(self) -> f32 {
        self.size * 1.26 / POINTS
    }

    /// From the top of a line to its baseline, in millimetres.
    pub(crate) fn ascent(self) -> f32 {
        self.size * 0.96 / POINTS
    }

    /// Height of capitals and figures, in millimetres.
    pub(crate) fn cap_height(self) -> f32 {
        self.size * 0.729 / POINTS
    }

    /// Width of a text in millimetres.
    pub(crate) fn width(self, text: &str) -> f32 {
        self.face.width(self.size, text)
    }

    /// The style made so small that a text fits a width, but not below a size.
    pub(crate) fn fitted(self, text: &str, width: f32, smallest: f32) -> Self {
        let natural = self.width(text);
        if natural <= width {
            return self;
        }
        self.sized((self.size * width / natural * 0.995).max(smallest).min(self.size))
    }
}

/// Breaks a text into lines of at most a width: after spaces and between characters of scripts that write none, else
/// after hyphens, strokes and the like, else inside a word. A mark that sits on the character before it is never
/// parted from it. A line keeps the spaces it ends in, beyond that width: they part words for whoever reads the text
/// without seeing it (ISO 32000-1, 14.8.2.5).
pub(crate) fn wrap(style: Style, width: f32, text: &str) -> Vec<&str> {
    lines(style, width, text).collect()
}

/// The same one line after the other, for texts of which not all may be wanted. At least one line.
pub(crate) fn lines(style: Style, width: f32, text: &str) -> impl Iterator<Item = &str> {
    let mut rest = Some(text.trim());
    std::iter::from_fn(move || {
        let (line, tail) = rest.map(|text| text.split_at(line_end(style, width, text)))?;
        rest = Some(tail.trim_start()).filter(|tail| !tail.is_empty());
        Some(line)
    })
}

/// How many bytes of a text go on one line; at least one character.
fn line_end(style: Style, width: f32, text: &str) -> usize {
    let room = width * POINTS / style.size;
    let mut used = 0.0;
    let mut at_space = None;
    let mut at_sign = None;
    let mut at_character = 0;
    let mut before = ' ';
    for (n, c) in text.char_indices() {
        let advance = style.face.advance(c);
        if advance > 0.0 && n > 0 {
            at_character = n;
            if before == ' ' || may_part(before, c) {
                at_space = Some(n);
            } else if matches!(before, '-' | '/' | '–' | '—' | ',' | ';' | '_' | '·' | '.')
                && !c.is_ascii_digit()
            {
                at_sign = Some(n);
            }
        }
        used += advance;
        if used > room + 1e-3 && c != ' ' {
            let end = at_space.or(at_sign).unwrap_or(at_character);
            return if end > 0 { end } else { text.len().min(n + c.len_utf8()) };
        }
        before = c;
    }
    text.len()
}

/// Where the punctuation, kana, ideographs and syllables of East Asia begin.
const EAST_ASIAN: char = '\u{2E80}';

/// May a line end between two characters of which one at least is East Asian? Not before a closing mark or a small
/// kana, nor after an opening mark: the rules of UAX #14 for the two.
fn may_part(before: char, after: char) -> bool {
    if before.max(after) < EAST_ASIAN {
        return false;
    }
    linebreaks(&String::from_iter([before, after])).any(|(at, _)| at == before.len_utf8())
}

/// A text cut so that it fits a width, with an ellipsis; only for text that stands in full elsewhere.
pub(crate) fn clipped(style: Style, width: f32, text: &str) -> String {
    if style.width(text) <= width {
        return text.to_owned();
    }
    let end = line_end_inside(style, width - style.width("…"), text);
    format!("{}…", text.get(..end).unwrap_or_default().trim_end())
}

/// A text on so many lines at the most, the last with an ellipsis where there would be more; only for text that stands
/// in full elsewhere.
pub(crate) fn held(style: Style, width: f32, most: usize, text: &str) -> Vec<String> {
    let lines = wrap(style, width, text);
    let mut shown: Vec<String> = lines.iter().take(most).map(|line| (*line).to_owned()).collect();
    if lines.len() > most {
        shown.pop();
        shown.push(clipped(style, width, &lines[most - 1..].concat()));
    }
    shown
}

fn line_end_inside(style: Style, width: f32, text: &str) -> usize {
    let mut used = 0.0;
    let mut end = 0;
    for (n, c) in text.char_indices() {
        let advance = style.face.advance(c);
        if advance > 0.0 {
            end = n;
        }
        used += advance;
        if used > width * POINTS / style.size {
            return end;
        }
    }
    text.len()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(width: f32, text: &str, expected: &[&str]) {
        assert_eq!(wrap(Style::BODY, width, text), expected);
    }

    #[test]
    fn lines_break_at_spaces_then_at_signs_then_anywhere() {
        check(12.0, "seat width too wide", &["seat ", "width ", "too wide"]);
        check(18.0, "/ports/3/seat/widths", &["/ports/3/", "seat/widths"]);
        check(7.0, "0123456789", &["0123", "4567", "89"]);
        check(14.0, "", &[""]);
    }

    #[test]
    fn no_line_is_wider_than_asked_and_nothing_is_lost() {
        let text = "Σωλήνας-βαλβίδας №7, a-very-long-serial-with-no-space-0123456789012345678901234567890 \u{5D0}\u{5D1}\u{5D2}";
        for tenths in 60..900 {
            let width = tenths as f32 / 10.0;
            let lines = wrap(Style::BODY, width, text);
            assert!(
                lines
                    .iter()
                    .all(|line| Style::BODY.width(line.trim_end()) <= width + 0.01
                        || line.chars().count() == 1)
            );
            let without_spaces = |text: &str| text.replace(' ', "");
            assert_eq!(without_spaces(&lines.concat()), without_spaces(text));
        }
    }

    #[test]
    fn an_accent_stays_with_its_letter() {
        for tenths in 20..100 {
            let lines = wrap(Style::BODY, tenths as f32 / 10.0, "e\u{301}e\u{301}e\u{301}e\u{301}e\u{301}");
            assert!(lines.iter().all(|line| line.starts_with('e')), "{lines:?}");
        }
    }

    #[test]
    fn a_line_may_end_between_ideographs_but_not_before_what_closes() {
        for (pair, expected) in [
            ("検査", true),
            ("한국", true),
            ("A検", true),
            ("検A", true),
            ("-検", true),
            ("。検", true),
            ("検。", false),
            ("査、", false),
            ("検）", false),
            ("室」", false),
            ("（検", false),
            ("「室", false),
            ("“検", false),
            ("キャ", false),
            ("カー", false),
            ("人々", false),
            ("検-", false),
            ("5％", false),
            ("ab", false),
            ("a/", false),
        ] {
            let characters: Vec<char> = pair.chars().collect();
            assert_eq!(may_part(characters[0], characters[1]), expected, "{pair}");
        }
    }

    #[test]
    fn a_text_without_spaces_is_broken_before_no_closing_mark() {
        let text = "検査、試験。（検査）";
        for tenths in 300..1500 {
            let lines = wrap(Style::BODY, tenths as f32 / 10.0, text);
            assert_eq!(lines.concat(), text);
            assert!(lines.iter().all(|line| !line.starts_with(['、', '。', '）'])), "{lines:?}");
        }
    }

    #[test]
    fn a_clipped_text_fits() {
        let cut = clipped(Style::BODY, 20.0, "a serial number that is far too long");
        assert!(cut.ends_with('…') && Style::BODY.width(&cut) <= 20.0, "{cut}");
        assert_eq!(clipped(Style::BODY, 20.0, "short"), "short");
    }
}
