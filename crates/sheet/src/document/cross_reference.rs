//! The end of a file: streams of packed objects, and a cross-reference stream that tells where every object is
//! (ISO 32000-1, 7.5.8), since a table cannot tell of packed ones.

use std::str::FromStr;

use lopdf::{Document, Object};

use super::packed::Packed;
use crate::SheetError;
use crate::deflate::Deflater;

/// Bytes of an entry: its kind, a place or the number of a stream, a generation or a place in that stream.
const ENTRY: usize = 1 + 4 + 2;
/// Bytes of a file for each of its streams, beside what is in it.
const USUAL_OBJECT: usize = 1 << 10;

/// Writes a file with packed objects; `last` is an object that stands as it is behind all others, and its number.
///
/// lopdf writes the objects that are not packed and, behind them, a table of their places; that table gives way to a
/// stream. (lopdf packs objects, too, but takes each for that through several copies.)
///
/// # Errors
/// [`SheetError::Write`], a fault of the program.
pub(super) fn write(
    mut file: Document,
    packed: Packed,
    last: Option<(u32, Vec<u8>)>,
) -> Result<Vec<u8>, SheetError> {
    let streams = file.objects.values().filter_map(|object| object.as_stream().ok());
    let mut bytes = Vec::with_capacity(streams.map(|stream| stream.content.len() + USUAL_OBJECT).sum());
    file.save_to(&mut bytes).map_err(|error| SheetError::Write(error.to_string()))?;
    let table = table_place(&bytes).ok_or_else(odd)?;
    let mut entries = entries(bytes.get(table..).unwrap_or_default(), file.max_id).ok_or_else(odd)?;
    bytes.truncate(table);
    let mut next = file.max_id + 1;
    for (number, stream, place) in packed.places() {
        *entries.get_mut(number as usize).ok_or_else(odd)? = entry(2, next + stream as u32, place);
    }
    for stream in packed.into_streams()? {
        entries.push(entry(1, length(&bytes)?, 0));
        append(&mut bytes, next, &stream);
        next += 1;
    }
    if let Some((number, object)) = last {
        *entries.get_mut(number as usize).ok_or_else(odd)? = entry(1, length(&bytes)?, 0);
        append(&mut bytes, number, &object);
    }
    let place = length(&bytes)?;
    entries.push(entry(1, place, 0));
    let content = Deflater::quick().deflate(&predicted(&entries))?;
    let dictionary = format!(
        "<</Type/XRef/Size {size}{trailer}/W[1 4 2]/Filter/FlateDecode/DecodeParms<</Predictor 12/Columns {ENTRY}>>\
         /Length {length}>>stream\n",
        size = entries.len(),
        trailer = trailer(&file).ok_or_else(odd)?,
        length = content.len(),
    );
    append(&mut bytes, next, &[dictionary.as_bytes(), &content, b"\nendstream"].concat());
    bytes.extend_from_slice(format!("startxref\n{place}\n%%EOF\n").as_bytes());
    Ok(bytes)
}

fn odd() -> SheetError {
    SheetError::Write("the table of objects is not as it was expected".to_owned())
}

/// How many bytes there are.
fn length(bytes: &[u8]) -> Result<u32, SheetError> {
    u32::try_from(bytes.len()).map_err(|_| SheetError::Write("more than 4 GiB".to_owned()))
}

fn append(bytes: &mut Vec<u8>, number: u32, object: &[u8]) {
    bytes.extend_from_slice(format!("{number} 0 obj\n").as_bytes());
    bytes.extend_from_slice(object);
    bytes.extend_from_slice(b"\nendobj\n");
}

/// Where the table begins, as the last lines say.
fn table_place(bytes: &[u8]) -> Option<usize> {
    let end = bytes.len().saturating_sub(48);
    let end = String::from_utf8_lossy(bytes.get(end..)?);
    number(end.rsplit_once("startxref\n")?.1.split('\n').next())
}

fn number<N: FromStr>(text: Option<&str>) -> Option<N> {
    text?.parse().ok()
}

/// The entries of a cross-reference table (7.5.4) as those of a stream; those of numbers without an object are free.
fn entries(table: &[u8], last: u32) -> Option<Vec<[u8; ENTRY]>> {
    let mut entries = vec![entry(0, 0, u16::MAX); last as usize + 1];
    let table = table.split(|byte| *byte == b'\n').map(|line| str::from_utf8(line).unwrap_or_default());
    let mut next = 0;
    for line in table.skip(1).take_while(|line| *line != "trailer") {
        let mut words = line.split_ascii_whitespace();
        match (number::<u32>(words.next()), number::<u16>(words.next()), words.next()) {
            (Some(first), Some(_), None) => next = first as usize,
            (Some(place), Some(generation), Some(kind)) => {
                if kind == "n" {
                    *entries.get_mut(next)? = entry(1, place, generation);
                }
                next += 1;
            }
            _ => return None,
        }
    }
    Some(entries)
}

fn entry(kind: u8, place: u32, second: u16) -> [u8; ENTRY] {
    let ([a, b, c, d], [e, f]) = (place.to_be_bytes(), second.to_be_bytes());
    [kind, a, b, c, d, e, f]
}

/// Each entry as what it differs in from the one before it: the filter Up of PNG (ISO 15948, 9), under which
/// packed objects are nearly all alike.
fn predicted(entries: &[[u8; ENTRY]]) -> Vec<u8> {
    const UP: u8 = 2;
    let mut before = [0; ENTRY];
    let mut rows = Vec::with_capacity(entries.len() * (ENTRY + 1));
    for entry in entries {
        rows.push(UP);
        rows.extend(entry.iter().zip(before).map(|(byte, above)| byte.wrapping_sub(above)));
        before = *entry;
    }
    rows
}

/// What stood in the trailer.
fn trailer(file: &Document) -> Option<String> {
    let reference = |key: &[u8]| file.trailer.get(key).and_then(Object::as_reference).ok();
    let (root, information) = (reference(b"Root")?, reference(b"Info")?);
    let id = file.trailer.get(b"ID").ok()?.as_array().ok()?.first()?.as_str().ok()?;
    let id: String = id.iter().map(|byte| format!("{byte:02X}")).collect();
    Some(format!("/Root {} 0 R/Info {} 0 R/ID[<{id}><{id}>]", root.0, information.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_entries_of_a_table_come_out_as_those_of_a_stream() {
        let table =
            b"xref\n0 2\n0000000000 65535 f \n0000000016 00000 n \n4 1\n0000000300 00000 n \ntrailer\n<<>>";
        let free = entry(0, 0, u16::MAX);
        let expected = [free, entry(1, 16, 0), free, free, entry(1, 300, 0)];
        assert_eq!(entries(table, 4).unwrap(), expected);
        assert_eq!(entries(b"xref\n0 x\ntrailer", 4), None);
        assert_eq!(entries(b"xref\n4 2\n0000000300 00000 n \n0000000301 00000 n \ntrailer", 4), None);
    }

    #[test]
    fn objects_one_after_the_other_in_a_stream_differ_in_one_byte() {
        let rows = predicted(&[entry(2, 70_000, 255), entry(2, 70_000, 256)]);
        assert_eq!(rows, [2, 2, 0, 1, 0x11, 0x70, 0, 255, 2, 0, 0, 0, 0, 0, 1, 1]);
    }
}
