//! The sign-off inside a signed sheet.

use headproof_wire::{SignOff, read};
use lopdf::{Dictionary, Document, Object};

/// Its name among the attached files.
const NAME: &[u8] = b"sign-off.json";

/// The record of the sign-off that a file holds, if it is one of ours. Nothing in it is to be believed before the
/// signature of the file was checked.
pub(super) fn sign_off(pdf: &[u8]) -> Option<SignOff> {
    let file = Document::load_mem(pdf).ok()?;
    let catalog = file.catalog().ok()?;
    let names = of(&file, catalog, b"Names")?;
    let embedded = of(&file, names, b"EmbeddedFiles")?;
    let entries = embedded.get(b"Names").ok()?.as_array().ok()?;
    let named = entries.chunks_exact(2).find(|entry| entry[0].as_str().is_ok_and(|name| name == NAME))?;
    let specification = dictionary(&file, &named[1])?;
    let files = of(&file, specification, b"EF")?;
    let stream = file.get_object(files.get(b"F").ok()?.as_reference().ok()?).ok()?.as_stream().ok()?;
    read(&stream.decompressed_content().ok()?).ok()
}

fn of<'a>(file: &'a Document, within: &'a Dictionary, key: &[u8]) -> Option<&'a Dictionary> {
    dictionary(file, within.get(key).ok()?)
}

fn dictionary<'a>(file: &'a Document, object: &'a Object) -> Option<&'a Dictionary> {
    file.dereference(object).ok()?.1.as_dict().ok()
}
