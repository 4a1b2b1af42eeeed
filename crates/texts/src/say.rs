//! Saying it.

use std::borrow::Cow;

use headproof_head::{Phrase, PhraseValue};

use crate::catalogue::Catalogue;
use crate::{Arg, Language};

/// Says things in one language.
#[derive(Clone, Copy)]
pub struct Say(&'static Catalogue);

impl Say {
    /// In a language.
    #[must_use]
    pub fn of(language: Language) -> Self {
        Self(Catalogue::of(language))
    }

    /// Which language it speaks.
    #[must_use]
    pub fn language(self) -> Language {
        self.0.language
    }

    /// A message without values.
    ///
    /// A text is never dropped: what is not in the catalogue is said in English, and what is there neither by its id.
    /// The tests look for both.
    ///
    /// ```
    /// use headproof_texts::{Language, Say};
    /// assert_eq!(Say::of(Language::English).text("verdict-conforms"), "conforms");
    /// assert_eq!(Say::of(Language::German).text("verdict-conforms"), "konform");
    /// ```
    #[must_use]
    pub fn text(self, id: &'static str) -> &'static str {
        self.fixed(id)
    }

    fn fixed(self, id: &str) -> &str {
        self.0.fixed(id).or_else(|| Catalogue::of(Language::English).fixed(id)).unwrap_or(id)
    }

    /// A message with its values.
    ///
    /// ```
    /// use headproof_texts::{Language, Say};
    /// let say = Say::of(Language::German);
    /// assert_eq!(say.with("page-of-pages", &[("page", 2_usize.into()), ("pages", 9_usize.into())]), "Seite 2 von 9");
    /// ```
    #[must_use]
    pub fn with(self, id: &str, values: &[(&str, Arg<'_>)]) -> String {
        self.0
            .format(id, values)
            .or_else(|| Catalogue::of(Language::English).format(id, values))
            .unwrap_or_else(|| id.to_owned())
    }

    /// A sentence that was decided on before its language was known.
    #[must_use]
    pub fn phrase(self, phrase: &Phrase) -> String {
        if phrase.values.is_empty() {
            return self.fixed(&phrase.id).to_owned();
        }
        let values: Vec<(&str, Arg<'_>)> =
            phrase.values.iter().map(|(name, value)| (name.as_ref(), self.value(value))).collect();
        self.with(&phrase.id, &values)
    }

    /// The same, if this edition has every message of the sentence, and they want no other values: a document of
    /// another edition may say what this one cannot.
    #[must_use]
    pub fn known_phrase(self, phrase: &Phrase) -> Option<String> {
        if !phrase.values.iter().all(|(_, value)| self.knows(value)) {
            return None;
        }
        let values: Vec<(&str, Arg<'_>)> =
            phrase.values.iter().map(|(name, value)| (name.as_ref(), self.value(value))).collect();
        self.0.format(&phrase.id, &values)
    }

    fn knows(self, value: &PhraseValue) -> bool {
        match value {
            PhraseValue::Phrase(phrase) => self.known_phrase(phrase).is_some(),
            PhraseValue::List(values) | PhraseValue::All(values) => {
                values.iter().all(|value| self.knows(value))
            }
            _ => true,
        }
    }

    /// A number or an amount, written with a decimal point, with the decimal sign of the language.
    ///
    /// ```
    /// use headproof_texts::{Language, Say};
    /// assert_eq!(Say::of(Language::German).number("1.31 mm (±0.06)"), "1,31 mm (±0,06)");
    /// ```
    #[must_use]
    pub fn number(self, text: &str) -> Cow<'_, str> {
        match self.language().decimal_sign() {
            '.' => Cow::Borrowed(text),
            sign => Cow::Owned(text.chars().map(|c| if c == '.' { sign } else { c }).collect()),
        }
    }

    /// A day, written as ISO 8601 has it, as the language writes one: English the same way, German as DIN 5008 has it
    /// (from memory). What is no day stays as it is.
    ///
    /// ```
    /// use headproof_texts::{Language, Say};
    /// assert_eq!(Say::of(Language::German).day("2026-09-30"), "30.09.2026");
    /// assert_eq!(Say::of(Language::English).day("2026-09-30"), "2026-09-30");
    /// ```
    #[must_use]
    pub fn day(self, iso: &str) -> Cow<'_, str> {
        let is_number = |part: &str, digits: usize| {
            part.len() == digits && part.bytes().all(|byte| byte.is_ascii_digit())
        };
        match (self.language(), iso.splitn(3, '-').collect::<Vec<_>>().as_slice()) {
            (Language::German, [year, month, day])
                if is_number(year, 4) && is_number(month, 2) && is_number(day, 2) =>
            {
                Cow::Owned(format!("{day}.{month}.{year}"))
            }
            _ => Cow::Borrowed(iso),
        }
    }

    /// The title of a characteristic; of an id that is none, the id as words.
    #[must_use]
    pub fn title(self, id: &str) -> Cow<'static, str> {
        match self.0.title(id).or_else(|| Catalogue::of(Language::English).title(id)) {
            Some(title) => Cow::Borrowed(title),
            None => Cow::Owned(with_first(&id.replace('-', " "), |first| first.to_uppercase().collect())),
        }
    }

    /// The title of a characteristic as it stands inside a sentence.
    #[must_use]
    pub fn named(self, id: &str) -> Cow<'static, str> {
        let title = self.title(id);
        match self.language() {
            Language::English => Cow::Owned(with_first(&title, |first| first.to_lowercase().collect())),
            // Nouns keep their capitals.
            Language::German => title,
        }
    }

    /// Several values, listed.
    #[must_use]
    pub fn values(self, values: &[PhraseValue]) -> String {
        self.joined(values, ", ")
    }

    fn value(self, value: &PhraseValue) -> Arg<'_> {
        match value {
            PhraseValue::Count(count) => Arg::Count(*count),
            value => Arg::Text(self.shown(value)),
        }
    }

    fn shown(self, value: &PhraseValue) -> Cow<'_, str> {
        match value {
            PhraseValue::Text(text) => Cow::Borrowed(text),
            PhraseValue::Amount(text) => self.number(text),
            PhraseValue::Day(day) => self.day(day),
            PhraseValue::Count(count) => Cow::Owned(count.to_string()),
            PhraseValue::Title(id) => self.title(id),
            PhraseValue::Named(id) => self.named(id),
            PhraseValue::Phrase(phrase) => Cow::Owned(self.phrase(phrase)),
            PhraseValue::List(values) => Cow::Owned(self.values(values)),
            PhraseValue::All(values) => Cow::Owned(self.joined(values, self.text("list-and"))),
        }
    }

    fn joined(self, values: &[PhraseValue], by: &str) -> String {
        let shown: Vec<Cow<'_, str>> = values.iter().map(|value| self.shown(value)).collect();
        shown.join(by)
    }
}

impl std::fmt::Debug for Say {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_tuple("Say").field(&self.language()).finish()
    }
}

fn with_first(text: &str, change: impl Fn(char) -> String) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| change(first) + letters.as_str()).unwrap_or_default()
}
