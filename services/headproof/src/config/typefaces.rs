//! Fonts beside the built-in ones.

use std::error::Error;
use std::fmt;
use std::path::PathBuf;
use std::str::FromStr;

use headproof_sheet::{Typeface, use_typefaces};
use serde::Deserialize;

use super::{ConfigError, SheetConfig};

/// A font file and, in a collection, which face of it.
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
pub(crate) struct TypefaceFile {
    path: PathBuf,
    face: u32,
}

impl FromStr for TypefaceFile {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Self, &'static str> {
        let is_number = |face: &str| !face.is_empty() && face.bytes().all(|byte| byte.is_ascii_digit());
        let (path, face) = match text.rsplit_once('#').filter(|(_, face)| is_number(face)) {
            Some((path, face)) => (path, face.parse().map_err(|_| "no collection has so many faces")?),
            None => (text, 0),
        };
        if path.is_empty() { Err("names no file") } else { Ok(Self { path: path.into(), face }) }
    }
}

impl TryFrom<String> for TypefaceFile {
    type Error = &'static str;

    fn try_from(text: String) -> Result<Self, &'static str> {
        text.parse()
    }
}

impl fmt::Display for TypefaceFile {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.path.display())?;
        if self.face > 0 { write!(f, "#{}", self.face) } else { Ok(()) }
    }
}

impl SheetConfig {
    /// The same with other fonts, where some are named.
    pub(crate) fn or_named(self, typefaces: Vec<TypefaceFile>) -> Self {
        if typefaces.is_empty() { self } else { Self { typefaces } }
    }

    /// Reads the fonts, for all pages of this process; to be called once, before anything is drawn.
    ///
    /// # Errors
    /// [`ConfigError::Typeface`] for the first that cannot be used.
    pub(crate) fn install(&self) -> Result<(), Box<dyn Error>> {
        let typefaces = self.typefaces.iter().map(TypefaceFile::read).collect::<Result<_, _>>()?;
        Ok(use_typefaces(typefaces)?)
    }
}

impl TypefaceFile {
    fn read(&self) -> Result<Typeface, ConfigError> {
        let unusable = |message: String| ConfigError::Typeface { file: self.clone(), message };
        let bytes = std::fs::read(&self.path).map_err(|error| unusable(error.to_string()))?;
        Typeface::new(bytes, self.face).map_err(|error| unusable(error.to_string()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[track_caller]
    fn check(text: &str, path: &str, face: u32) {
        let expected = TypefaceFile { path: path.into(), face };
        assert_eq!(text.parse(), Ok(expected.clone()));
        assert_eq!(expected.to_string().parse(), Ok(expected));
    }

    #[test]
    fn a_number_after_the_file_names_a_face_of_a_collection() {
        check("/a/b.ttc#2", "/a/b.ttc", 2);
        check("/a/b.ttf", "/a/b.ttf", 0);
        check("/a/b#c.ttf", "/a/b#c.ttf", 0);
        check("/a/b.ttc#", "/a/b.ttc#", 0);
        for text in ["", "#1", "/a.ttc#4294967296"] {
            assert!(text.parse::<TypefaceFile>().is_err(), "{text:?}");
        }
    }
}
