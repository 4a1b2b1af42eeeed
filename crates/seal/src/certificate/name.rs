//! Names in certificates: RFC 5280, 4.1.2.4.

use der::asn1::{Any, ObjectIdentifier};
use der::{Decode, Encode, Tag, Tagged};
use x509_cert::attr::AttributeTypeAndValue;
use x509_cert::name::{Name, RdnSequence, RelativeDistinguishedName};

use crate::{Error, Result};

/// Characters of a common name, an organisation and a title at most (RFC 5280, appendix A.1).
const MOST_CHARACTERS: usize = 64;

/// Checks that a text can stand in a name.
///
/// # Errors
/// [`Error::Name`] for an empty one, one of more than 64 characters, and one with control characters, which
/// have hidden the end of names from readers before.
fn check(text: &str) -> Result<()> {
    if text.trim().is_empty() {
        Err(Error::Name("empty"))
    } else if text.chars().count() > MOST_CHARACTERS {
        Err(Error::Name("more than 64 characters"))
    } else if text.chars().any(char::is_control) {
        Err(Error::Name("with control characters"))
    } else {
        Ok(())
    }
}

/// A name of some parts, each a UTF8String.
///
/// # Errors
/// [`Error::Name`] when a part cannot stand in one.
pub(crate) fn distinguished_name(parts: &[(ObjectIdentifier, &str)]) -> Result<Name> {
    let mut name = RdnSequence::default();
    for (oid, text) in parts {
        check(text)?;
        let value = Any::new(Tag::Utf8String, text.as_bytes())?;
        let mut part = RelativeDistinguishedName::default();
        part.insert(AttributeTypeAndValue { oid: *oid, value })?;
        name.push(part);
    }
    Ok(Name::from_der(&name.to_der()?)?)
}

/// The first part of a kind as text.
pub(super) fn part(name: &Name, kind: ObjectIdentifier) -> Option<String> {
    let value = &name.iter().find(|part| part.oid == kind)?.value;
    let bytes = value.value();
    match value.tag() {
        Tag::Utf8String | Tag::PrintableString | Tag::Ia5String => String::from_utf8(bytes.to_vec()).ok(),
        // In practice Latin-1.
        Tag::TeletexString => Some(bytes.iter().copied().map(char::from).collect()),
        Tag::BmpString => {
            let (units, []) = bytes.as_chunks::<2>() else { return None };
            String::from_utf16(&units.iter().copied().map(u16::from_be_bytes).collect::<Vec<_>>()).ok()
        }
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use const_oid::db::rfc4519;

    use super::*;

    #[test]
    fn a_name_of_any_script_comes_back() {
        let name =
            distinguished_name(&[(rfc4519::O, "Мотор 検査 GmbH"), (rfc4519::CN, "Zoë Ångström")]).unwrap();
        assert_eq!(part(&name, rfc4519::CN).unwrap(), "Zoë Ångström");
        assert_eq!(part(&name, rfc4519::O).unwrap(), "Мотор 検査 GmbH");
        assert_eq!(part(&name, rfc4519::TITLE), None);
    }

    #[test]
    fn what_is_no_name_is_refused() {
        for (wrong, why) in [
            (" ", "empty"),
            ("a\u{0}b", "with control characters"),
            (&"x".repeat(65), "more than 64 characters"),
        ] {
            assert_eq!(check(wrong), Err(Error::Name(why)));
        }
        assert_eq!(check(&"é".repeat(64)), Ok(()));
    }
}
