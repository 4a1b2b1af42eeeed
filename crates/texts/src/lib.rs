//! What pages and documents say, in every language there is a catalogue for.
//!
//! A text is a message of a catalogue (Project Fluent, `locales/`), named by an id; a sentence that is decided on
//! before its language is known is a [`headproof_head::Phrase`]. Titles of characteristics stand in the judge's
//! table in English, and in the catalogues of all other languages.

mod arg;
mod catalogue;
mod language;
mod say;
#[cfg(test)]
mod tests;

pub use arg::Arg;
pub use headproof_head::{Phrase, PhraseValue};
pub use language::Language;
pub use say::Say;
