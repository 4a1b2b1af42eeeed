//! A sentence before it is said in a language.

use std::borrow::Cow;

/// What is to be said: the name of a message in the catalogues of texts, and the values that go into it.
///
/// Where a sentence is decided on, nobody knows yet in which language it will be read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Phrase {
    /// Name of the message.
    pub id: Cow<'static, str>,
    /// Its values, by their names in the message.
    pub values: Vec<(Cow<'static, str>, PhraseValue)>,
}

/// A value in a sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum PhraseValue {
    /// A name or a text that is the same in every language.
    Text(String),
    /// A number or an amount with its unit, with a decimal point: each language has its own decimal sign.
    Amount(String),
    /// A day as ISO 8601 has it: each language has its own way to write one.
    Day(String),
    /// How many of something, on which the form of a word may depend.
    Count(u64),
    /// The title of a characteristic, by its id, as it begins a sentence.
    Title(Cow<'static, str>),
    /// The same as it stands inside a sentence.
    Named(Cow<'static, str>),
    /// Another message.
    Phrase(Phrase),
    /// Several of them, to be listed.
    List(Vec<PhraseValue>),
    /// Several of them, joined by a word: this and that.
    All(Vec<PhraseValue>),
}

impl Phrase {
    /// A message without values.
    #[must_use]
    pub const fn plain(id: &'static str) -> Self {
        Self { id: Cow::Borrowed(id), values: Vec::new() }
    }

    /// A message with one value; [`Phrase::and`] adds more.
    #[must_use]
    pub fn with(id: &'static str, name: &'static str, value: impl Into<PhraseValue>) -> Self {
        Self::plain(id).and(name, value)
    }

    /// The same with one more value.
    #[must_use]
    pub fn and(mut self, name: &'static str, value: impl Into<PhraseValue>) -> Self {
        self.values.push((Cow::Borrowed(name), value.into()));
        self
    }
}

impl PhraseValue {
    /// A text that is the same in every language.
    #[must_use]
    pub fn text(text: impl Into<String>) -> Self {
        Self::Text(text.into())
    }

    /// A day, as ISO 8601 has it.
    #[must_use]
    pub fn day(day: impl std::fmt::Display) -> Self {
        Self::Day(day.to_string())
    }

    /// A number or an amount, with a decimal point.
    #[must_use]
    pub fn amount(text: impl Into<String>) -> Self {
        Self::Amount(text.into())
    }
}

impl From<Phrase> for PhraseValue {
    fn from(phrase: Phrase) -> Self {
        Self::Phrase(phrase)
    }
}

impl From<u64> for PhraseValue {
    fn from(count: u64) -> Self {
        Self::Count(count)
    }
}

impl From<usize> for PhraseValue {
    fn from(count: usize) -> Self {
        Self::Count(count as u64)
    }
}

impl From<u32> for PhraseValue {
    fn from(count: u32) -> Self {
        Self::Count(count.into())
    }
}

impl From<u8> for PhraseValue {
    fn from(count: u8) -> Self {
        Self::Count(count.into())
    }
}
