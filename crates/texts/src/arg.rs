//! Values that go into a message.

use std::borrow::Cow;

use fluent_bundle::FluentValue;

/// A value of a message.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Arg<'a> {
    /// A text, put in as it is.
    Text(Cow<'a, str>),
    /// How many of something: the message may choose its words by it.
    Count(u64),
}

impl<'a> From<&'a str> for Arg<'a> {
    fn from(text: &'a str) -> Self {
        Self::Text(Cow::Borrowed(text))
    }
}

impl<'a> From<&'a String> for Arg<'a> {
    fn from(text: &'a String) -> Self {
        Self::Text(Cow::Borrowed(text))
    }
}

impl From<String> for Arg<'_> {
    fn from(text: String) -> Self {
        Self::Text(Cow::Owned(text))
    }
}

impl From<usize> for Arg<'_> {
    fn from(count: usize) -> Self {
        Self::Count(count as u64)
    }
}

impl From<u64> for Arg<'_> {
    fn from(count: u64) -> Self {
        Self::Count(count)
    }
}

impl From<u32> for Arg<'_> {
    fn from(count: u32) -> Self {
        Self::Count(count.into())
    }
}

impl From<u16> for Arg<'_> {
    fn from(count: u16) -> Self {
        Self::Count(count.into())
    }
}

impl From<u8> for Arg<'_> {
    fn from(count: u8) -> Self {
        Self::Count(count.into())
    }
}

impl<'a> From<Arg<'a>> for FluentValue<'a> {
    fn from(arg: Arg<'a>) -> Self {
        match arg {
            Arg::Text(text) => FluentValue::String(text),
            // Counts are far below what a double holds exactly.
            Arg::Count(count) => FluentValue::from(count as f64),
        }
    }
}
