//! Texts that a person wrote.

use headproof_head::Instruments;

use super::block::Conversion;
use crate::pointer::At;
use crate::{Fault, Units};

/// Longest name, code or note.
pub(crate) const LONGEST: usize = 200;

/// Marks that turn the direction of a line, break it, or take no room: a name that holds them can be made
/// to read as another. Joiners stay: some scripts need them.
const fn is_turning(character: char) -> bool {
    matches!(
        character,
        '\u{61c}' | '\u{200b}' | '\u{200e}' | '\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}' | '\u{2066}'..='\u{2069}' | '\u{feff}'
    )
}

/// Every fault of texts of at most so many characters that have to say something, by the member they stand in.
pub(crate) fn texts_in(texts: &[(&'static str, &String, usize)]) -> Vec<Fault> {
    let none = Instruments::default();
    let mut conversion = Conversion { faults: Vec::new(), units: Units::BASE, instruments: &none };
    for (member, text, longest) in texts {
        conversion.filled(&At::Root.member(member), text, *longest);
    }
    conversion.faults
}

impl Conversion<'_> {
    /// A text that must say something.
    pub(super) fn text(&mut self, at: &At<'_>, text: &str) -> String {
        self.filled(at, text, LONGEST)
    }

    /// A text of at most so many characters that must say something.
    pub(super) fn filled(&mut self, at: &At<'_>, text: &str, longest: usize) -> String {
        if text.trim().is_empty() {
            self.fault(at, "must not be empty", Some(text.into()));
        }
        self.text_up_to(at, text, longest)
    }

    /// A text of at most so many characters, without control characters.
    pub(super) fn text_up_to(&mut self, at: &At<'_>, text: &str, longest: usize) -> String {
        if text.chars().count() > longest {
            self.fault(at, format!("must not be longer than {longest} characters"), None);
        }
        if let Some(bad) = text.chars().find(|c| c.is_control() || is_turning(*c)) {
            self.fault(at, format!("must not hold the control character U+{:04X}", u32::from(bad)), None);
        }
        text.to_owned()
    }

    /// A text that may be left out.
    pub(super) fn optional_text(&mut self, at: &At<'_>, text: &Option<String>) -> Option<String> {
        text.as_ref().map(|text| self.text(at, text))
    }

    /// The format line of a document.
    pub(super) fn format(&mut self, at: &At<'_>, found: &str, expected: &str) {
        if found != expected {
            self.fault(at, format!("must be {expected}"), Some(found.into()));
        }
    }
}
