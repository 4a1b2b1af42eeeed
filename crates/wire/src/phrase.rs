//! A sentence that can be said in any language.

use std::borrow::Cow;
use std::collections::BTreeMap;

use headproof_head as head;
use serde::{Deserialize, Serialize};
use utoipa::openapi::schema::{ArrayBuilder, ObjectBuilder, Schema, Type};
use utoipa::openapi::{Ref, RefOr};
use utoipa::{PartialSchema, ToSchema};

/// What a sentence says, for whoever wants it in another language than the English beside it: the name of a
/// message and the values that go into it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize, ToSchema)]
pub struct Phrase {
    /// Name of the message.
    #[schema(value_type = String)]
    pub id: Cow<'static, str>,
    /// Its values by their names.
    #[serde(default, skip_serializing_if = "BTreeMap::is_empty")]
    #[schema(value_type = std::collections::BTreeMap<String, PhraseValue>)]
    pub values: BTreeMap<Cow<'static, str>, PhraseValue>,
}

/// A value in a sentence.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum PhraseValue {
    /// A name, the same in every language.
    Text(String),
    /// A number or an amount, with a decimal point.
    Amount(String),
    /// A day as ISO 8601 has it.
    Day(String),
    /// How many of something.
    Count(u64),
    /// A characteristic by its id: its title.
    Title(Cow<'static, str>),
    /// A characteristic by its id: its title inside a sentence.
    Named(Cow<'static, str>),
    /// Another sentence or part of one.
    Phrase(Phrase),
    /// Several of these.
    List(Vec<PhraseValue>),
    /// Several of these, joined by a word: this and that.
    All(Vec<PhraseValue>),
}

/// One object with one of some members. As a choice between nine objects, one for each member, it would say the same,
/// but generators of clients get lost where choices lead back to themselves.
impl PartialSchema for PhraseValue {
    fn schema() -> RefOr<Schema> {
        let text =
            |words: &str| ObjectBuilder::new().schema_type(Type::String).description(Some(words)).build();
        let several = |words: &str| {
            let item = Ref::from_schema_name("PhraseValue");
            ArrayBuilder::new().items(item).description(Some(words)).build()
        };
        let count = ObjectBuilder::new().schema_type(Type::Integer).minimum(Some(0.0));
        ObjectBuilder::new()
            .property("text", text("A name, the same in every language."))
            .property("amount", text("A number or an amount, with a decimal point."))
            .property("day", text("A day as ISO 8601 has it."))
            .property("count", count.description(Some("How many of something.")).build())
            .property("title", text("A characteristic by its id: its title."))
            .property("named", text("A characteristic by its id: its title inside a sentence."))
            .property("phrase", Ref::from_schema_name("Phrase"))
            .property("list", several("Several of these."))
            .property("all", several("Several of these, joined by a word: this and that."))
            .min_properties(Some(1))
            .max_properties(Some(1))
            .description(Some("A value in a sentence."))
            .into()
    }
}

impl ToSchema for PhraseValue {}

impl From<head::Phrase> for Phrase {
    fn from(phrase: head::Phrase) -> Self {
        let values = phrase.values.into_iter().map(|(name, value)| (name, value.into()));
        Self { id: phrase.id, values: values.collect() }
    }
}

impl From<head::PhraseValue> for PhraseValue {
    fn from(value: head::PhraseValue) -> Self {
        match value {
            head::PhraseValue::Text(text) => Self::Text(text),
            head::PhraseValue::Amount(text) => Self::Amount(text),
            head::PhraseValue::Day(day) => Self::Day(day),
            head::PhraseValue::Count(count) => Self::Count(count),
            head::PhraseValue::Title(id) => Self::Title(id),
            head::PhraseValue::Named(id) => Self::Named(id),
            head::PhraseValue::Phrase(phrase) => Self::Phrase(phrase.into()),
            head::PhraseValue::List(values) => Self::List(values.into_iter().map(Into::into).collect()),
            head::PhraseValue::All(values) => Self::All(values.into_iter().map(Into::into).collect()),
        }
    }
}

impl From<&Phrase> for head::Phrase {
    fn from(phrase: &Phrase) -> Self {
        let values = phrase.values.iter().map(|(name, value)| (name.clone(), value.into()));
        Self { id: phrase.id.clone(), values: values.collect() }
    }
}

impl From<&PhraseValue> for head::PhraseValue {
    fn from(value: &PhraseValue) -> Self {
        match value {
            PhraseValue::Text(text) => Self::Text(text.clone()),
            PhraseValue::Amount(text) => Self::Amount(text.clone()),
            PhraseValue::Day(day) => Self::Day(day.clone()),
            PhraseValue::Count(count) => Self::Count(*count),
            PhraseValue::Title(id) => Self::Title(id.clone()),
            PhraseValue::Named(id) => Self::Named(id.clone()),
            PhraseValue::Phrase(phrase) => Self::Phrase(phrase.into()),
            PhraseValue::List(values) => Self::List(values.iter().map(Into::into).collect()),
            PhraseValue::All(values) => Self::All(values.iter().map(Into::into).collect()),
        }
    }
}
