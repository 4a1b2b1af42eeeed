//! The documents a file was made from, inside it: associated files of ISO 19005-3 (the mechanism of
//! ISO 32000-2, 14.13).

use std::collections::BTreeMap;

use lopdf::{Document, Object, ObjectId, StringFormat, dictionary};
use md5::{Digest, Md5};

use super::metadata::text_string;
use super::moment::Moment;
use crate::SheetError;
use crate::deflate::Deflater;

/// How an attached document is related to the pages.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Relationship {
    /// The pages show what it says.
    Data,
    /// What they show was worked out from it.
    Source,
    /// It says something of them that they were not made from.
    Supplement,
}

/// A JSON document that goes into a file.
#[derive(Debug, Clone)]
pub(crate) struct Attachment<'a> {
    /// Its file name, of ASCII letters, digits, hyphens and a full stop; no two are alike.
    pub(crate) name: String,
    /// What it is.
    pub(crate) description: String,
    /// How it is related to the pages.
    pub(crate) relationship: Relationship,
    /// The document itself.
    pub(crate) bytes: &'a [u8],
    /// The page it belongs to, from 0; `None`: the whole document.
    pub(crate) page: Option<usize>,
}

/// File specifications of what was attached.
#[derive(Debug, Default)]
pub(super) struct Attached {
    /// All of them by name, as the name tree of embedded files wants them.
    pub(super) names: Vec<Object>,
    /// Those of the whole document, by `None`, and of single pages.
    pub(super) of: BTreeMap<Option<usize>, Vec<Object>>,
}

/// Embeds the documents.
///
/// # Errors
/// [`SheetError::Write`], which deflating does not give.
pub(super) fn add_to(
    file: &mut Document,
    attachments: &[Attachment<'_>],
    moment: Option<Moment>,
    deflater: &mut Deflater,
) -> Result<Attached, SheetError> {
    let mut attached = Attached::default();
    let mut by_name = BTreeMap::new();
    for attachment in attachments {
        let specification = specify(file, attachment, moment, deflater)?;
        by_name.insert(attachment.name.as_str(), specification);
        attached.of.entry(attachment.page).or_default().push(specification.into());
    }
    for (name, specification) in by_name {
        attached.names.extend([Object::string_literal(name), specification.into()]);
    }
    Ok(attached)
}

fn specify(
    file: &mut Document,
    attachment: &Attachment<'_>,
    moment: Option<Moment>,
    deflater: &mut Deflater,
) -> Result<ObjectId, SheetError> {
    let Attachment { name, description, relationship, bytes, page: _ } = attachment;
    let mut parameters = dictionary! {
        "Size" => bytes.len() as i64,
        // ISO 32000-1, table 46, asks for MD5 here; it finds damage, not forgery.
        "CheckSum" => Object::String(Md5::digest(bytes).to_vec(), StringFormat::Hexadecimal),
    };
    if let Some(moment) = moment {
        parameters.set("ModDate", Object::string_literal(moment.pdf()));
    }
    let embedded = dictionary! {
        "Type" => "EmbeddedFile",
        "Subtype" => Object::Name(b"application/json".to_vec()),
        "Params" => parameters,
    };
    let embedded = deflater.stream(embedded, bytes)?;
    let embedded = file.add_object(embedded);
    let relationship = match relationship {
        Relationship::Data => "Data",
        Relationship::Source => "Source",
        Relationship::Supplement => "Supplement",
    };
    Ok(file.add_object(dictionary! {
        "Type" => "Filespec",
        "F" => Object::string_literal(name.as_str()),
        "UF" => text_string(name),
        "Desc" => text_string(description),
        "AFRelationship" => relationship,
        "EF" => dictionary! { "F" => embedded, "UF" => embedded },
    }))
}
