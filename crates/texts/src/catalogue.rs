//! The messages of one language, read once.

use std::collections::HashMap;
use std::sync::LazyLock;

use fluent_bundle::concurrent::FluentBundle;
use fluent_bundle::{FluentArgs, FluentResource};
use fluent_syntax::ast::Entry;

use crate::{Arg, Language};

/// The files of a language, each with the part of the program that speaks by it.
macro_rules! files {
    ($code:literal: $($name:literal),* $(,)?) => {
        &[$(include_str!(concat!("../locales/", $code, "/", $name, ".ftl"))),*]
    };
}

const ENGLISH: &[&str] =
    files!("en": "changes", "drawings", "judgement", "line", "pages", "plan", "signing", "worksheet");
const GERMAN: &[&str] = files!("de": "changes", "characteristics", "drawings", "judgement", "line", "pages", "plan", "signing", "worksheet");

static CATALOGUES: [LazyLock<Catalogue>; 2] = [
    LazyLock::new(|| Catalogue::read(Language::English)),
    LazyLock::new(|| Catalogue::read(Language::German)),
];

/// Prefix of the messages that are titles of characteristics.
pub(crate) const TITLE: &str = "characteristic-";

/// The messages of one language.
pub(crate) struct Catalogue {
    /// Which.
    pub(crate) language: Language,
    bundle: FluentBundle<FluentResource>,
    /// Messages without values, as they are said.
    fixed: HashMap<String, String>,
    /// Titles of characteristics, by their ids.
    titles: HashMap<String, String>,
}

impl Catalogue {
    /// The catalogue of a language.
    pub(crate) fn of(language: Language) -> &'static Self {
        &CATALOGUES[language as usize]
    }

    fn read(language: Language) -> Self {
        let code = language.code().parse().expect("a code of BCP 47");
        let mut bundle = FluentBundle::new_concurrent(vec![code]);
        // The marks that keep directions apart would be signs on paper; no language here needs them.
        bundle.set_use_isolating(false);
        let mut ids = Vec::new();
        for source in sources(language) {
            let resource = FluentResource::try_new(source).expect("the file is part of this program");
            ids.extend(resource.entries().filter_map(|entry| match entry {
                Entry::Message(message) => Some(message.id.name.to_owned()),
                _ => None,
            }));
            bundle.add_resource(resource).expect("every id once");
        }
        let (fixed, titles) = (HashMap::with_capacity(ids.len()), HashMap::new());
        let mut catalogue = Self { language, bundle, fixed, titles };
        for id in ids {
            let Some(text) = catalogue.format(&id, &[]) else { continue };
            match id.strip_prefix(TITLE) {
                Some(characteristic) => catalogue.titles.insert(characteristic.to_owned(), text),
                None => catalogue.fixed.insert(id, text),
            };
        }
        catalogue
    }

    /// A message without values; `None` where there is none of that name or it needs some.
    pub(crate) fn fixed(&self, id: &str) -> Option<&str> {
        self.fixed.get(id).map(String::as_str)
    }

    /// The title of a characteristic; `None` where there is none of that id.
    pub(crate) fn title(&self, id: &str) -> Option<&str> {
        self.titles.get(id).map(String::as_str)
    }

    /// A message with its values; `None` where there is none of that name or a value is missing.
    pub(crate) fn format(&self, id: &str, values: &[(&str, Arg<'_>)]) -> Option<String> {
        let pattern = self.bundle.get_message(id)?.value()?;
        let mut args = FluentArgs::with_capacity(values.len());
        for (name, value) in values {
            args.set(*name, value.clone());
        }
        let mut errors = Vec::new();
        let text = self.bundle.format_pattern(pattern, Some(&args), &mut errors).into_owned();
        errors.is_empty().then_some(text)
    }
}

/// What a language is read from.
pub(crate) fn sources(language: Language) -> Vec<String> {
    let files = match language {
        Language::English => ENGLISH,
        Language::German => GERMAN,
    };
    let mut sources: Vec<String> = files.iter().map(|file| (*file).to_owned()).collect();
    if language == Language::English {
        let titles = headproof_judge::table();
        sources.push(titles.map(|row| format!("{TITLE}{} = {}\n", row.id, row.title)).collect());
    }
    sources
}
