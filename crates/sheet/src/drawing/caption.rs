//! The words under a drawing.

use headproof_texts::Say;
use headproof_wire::{Row, Units};

use super::{CAPTION, Spot};
use crate::canvas::{Canvas, Ink, Pen};
use crate::format::{Figures, figures};
use crate::marks::mark;
use crate::text::wrap;
use crate::words::Verdict;

/// What stands before a line of words.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum Sign {
    /// Nothing.
    None,
    /// The mark of a verdict, and the verdict in words.
    Verdict(Verdict, &'static str),
    /// The stroke that the words explain, with or without a dot on it.
    Stroke(Pen, bool),
    /// A patch like the one that the words explain.
    Patch(Ink),
}

impl Sign {
    const fn room(self) -> f32 {
        match self {
            Self::None => 0.0,
            Self::Verdict(..) => 3.6,
            Self::Stroke(..) => 8.0,
            Self::Patch(_) => 5.0,
        }
    }
}

/// Lines of words, each after its sign.
#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Caption(Vec<(Sign, String)>);

impl Caption {
    /// Adds a line.
    pub(super) fn add(&mut self, sign: Sign, words: impl Into<String>) {
        self.0.push((sign, words.into()));
    }

    /// Adds what was measured of a characteristic and its limits, under its verdict, in the unit of the title.
    pub(super) fn add_row(&mut self, name: &str, row: Option<&Row>, units: &Units, say: Say) {
        let Some(row) = row else { return };
        let figures = figures(row, units, say);
        let Some(measured) = figures.measured.as_ref() else { return };
        let degrees = if figures.unit == "°" { "°" } else { "" };
        let measured = format!("{name} {measured}{degrees}");
        let words = match limits(&figures, say) {
            Some(limits) => format!("{measured} ({limits})"),
            None => measured,
        };
        let verdict = Verdict::from_code(&row.verdict);
        let sign =
            if verdict == Verdict::NoLimit { Sign::None } else { Sign::Verdict(verdict, verdict.words(say)) };
        self.add(sign, words);
    }

    /// Height it takes at a width.
    pub(super) fn height(&self, width: f32) -> f32 {
        let lines = |(sign, words): &(Sign, String)| wrap(CAPTION, width - sign.room(), words).len();
        self.0.iter().map(lines).sum::<usize>() as f32 * CAPTION.leading()
    }

    /// Draws it with its upper left corner at a spot.
    pub(super) fn draw(&self, canvas: &mut Canvas, (x, mut y): Spot, width: f32) {
        for (sign, words) in &self.0 {
            let base = y + CAPTION.ascent();
            let middle = base - CAPTION.cap_height() / 2.0;
            match *sign {
                Sign::Verdict(_, said) => canvas.structure.describe(&format!("{said}: {words}")),
                _ => canvas.structure.describe(words),
            }
            match *sign {
                Sign::None => {}
                Sign::Verdict(verdict, _) => mark(canvas, verdict, (x + 1.3, middle), 1.2),
                Sign::Stroke(pen, dotted) => {
                    canvas.line(pen, &[(x, middle), (x + 6.8, middle)]);
                    if dotted {
                        canvas.circle(Some(pen.ink), None, (x + 3.4, middle), 0.5);
                    }
                }
                Sign::Patch(ink) => {
                    let edge = Pen::new(Ink::Black, 0.35);
                    canvas.rectangle(Some(ink), Some(edge), (x, middle - 0.9), (4.0, 1.8));
                }
            }
            let is_paragraph = canvas.structure.open_paragraph();
            for line in wrap(CAPTION, width - sign.room(), words) {
                let at = (x + sign.room(), y + CAPTION.ascent());
                canvas.text(CAPTION.face, CAPTION.size, CAPTION.ink, at, line);
                y += CAPTION.leading();
            }
            if is_paragraph {
                canvas.structure.close();
            }
        }
    }
}

/// The limits of a row in words.
fn limits(figures: &Figures, say: Say) -> Option<String> {
    match (&figures.lower, &figures.upper) {
        (Some(lower), Some(upper)) => {
            Some(say.with("limits-from-to", &[("lower", lower.into()), ("upper", upper.into())]))
        }
        (Some(lower), None) => Some(format!("≥\u{A0}{lower}")),
        (None, Some(upper)) => Some(format!("≤\u{A0}{upper}")),
        (None, None) => None,
    }
}
