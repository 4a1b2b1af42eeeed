//! The lines of a batch, one after the other, from any of the forms in which it may come.

use std::fs::File;
use std::io::{BufRead, BufReader, Read};

use headproof_tabular::{Given, Heads, heads};
use headproof_wire::{Fault, JobRequest};

use crate::{ApiError, ProblemKind};

/// How the heads of a batch are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    /// A job request a line.
    Lines,
    /// An array of job requests.
    Array,
    /// A port a row.
    Rows,
}

impl Form {
    /// Their media types; the first is the one that is asked for.
    pub(crate) const MEDIA_TYPES: [&'static str; 4] =
        ["application/x-ndjson", "application/ndjson", "application/json", "text/csv"];

    /// The form of a media type.
    pub(crate) fn of(media_type: &str) -> Self {
        match media_type {
            "application/json" => Self::Array,
            "text/csv" => Self::Rows,
            _ => Self::Lines,
        }
    }

    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Lines => "lines",
            Self::Array => "array",
            Self::Rows => "rows",
        }
    }
}

/// A line, the element of an array, or the rows of a head.
pub(crate) struct Text {
    /// Its number, from 1; that of its first row.
    pub(crate) number: u32,
    /// What it says.
    pub(crate) said: Said,
}

/// What a line says.
pub(crate) enum Said {
    /// This, to be read.
    Json(Vec<u8>),
    /// More than a document may.
    TooMuch,
    /// What was read from rows, and the client's own reference.
    Rows(Box<Result<JobRequest, Vec<Fault>>>, Option<String>),
}

impl Said {
    /// About how much memory it takes.
    pub(crate) fn size(&self) -> usize {
        match self {
            Self::Json(bytes) => bytes.len(),
            Self::TooMuch => 0,
            // A head as JSON, for want of a better figure.
            Self::Rows(..) => 32 << 10,
        }
    }
}

/// Reads what a file holds in one of the forms.
pub(crate) enum Texts {
    /// JSON.
    Json(JsonTexts),
    /// Rows.
    Rows(Box<Heads<'static, BufReader<File>>>),
}

impl Texts {
    /// From the place where the file stands; no line of JSON longer than `longest`.
    ///
    /// # Errors
    /// Internal, when the file cannot be read.
    pub(crate) fn new(file: File, form: Form, longest: usize) -> Result<Self, ApiError> {
        let reader = BufReader::with_capacity(64 << 10, file);
        Ok(match form {
            Form::Rows => Self::Rows(Box::new(
                heads(reader, Given::Nothing).map_err(|error| ApiError::internal(&error))?,
            )),
            _ => Self::Json(JsonTexts { reader, form, longest, number: 0, begun: false, over: false }),
        })
    }

    /// The next one; nothing at the end.
    ///
    /// # Errors
    /// [`ProblemKind::NotJson`] when what should be an array is none.
    pub(crate) fn next(&mut self) -> Result<Option<Text>, ApiError> {
        match self {
            Self::Json(texts) => texts.next(),
            Self::Rows(heads) => {
                let Some(head) = heads.next() else { return Ok(None) };
                let head = head.map_err(|error| ApiError::internal(&error))?;
                let number = u32::try_from(head.rows.first).map_err(|error| ApiError::internal(&error))?;
                let said = Said::Rows(Box::new(head.request), head.client_reference);
                Ok(Some(Text { number, said }))
            }
        }
    }
}

/// Reads lines or elements from a file, none longer than it may be.
pub(crate) struct JsonTexts {
    reader: BufReader<File>,
    form: Form,
    longest: usize,
    number: u32,
    /// Within the array.
    begun: bool,
    /// Behind it.
    over: bool,
}

impl JsonTexts {
    fn next(&mut self) -> Result<Option<Text>, ApiError> {
        match self.form {
            Form::Array => self.next_element(),
            Form::Lines | Form::Rows => self.next_line(),
        }
    }

    fn next_line(&mut self) -> Result<Option<Text>, ApiError> {
        loop {
            let mut bytes = Vec::new();
            let mut limited = (&mut self.reader).take(self.longest as u64 + 1);
            let read = limited.read_until(b'\n', &mut bytes).map_err(|error| ApiError::internal(&error))?;
            if read == 0 {
                return Ok(None);
            }
            self.number += 1;
            if bytes.last() != Some(&b'\n') && bytes.len() > self.longest {
                self.reader.skip_until(b'\n').map_err(|error| ApiError::internal(&error))?;
                return Ok(Some(Text { number: self.number, said: Said::TooMuch }));
            }
            if !bytes.trim_ascii().is_empty() {
                return Ok(Some(Text { number: self.number, said: Said::Json(bytes) }));
            }
        }
    }

    /// The next element of the array, as it is written: whether it is JSON is found out when it is read.
    fn next_element(&mut self) -> Result<Option<Text>, ApiError> {
        if self.over {
            return Ok(None);
        }
        let opened = if self.begun { b',' } else { b'[' };
        match self.significant()? {
            Some(byte) if byte == opened => {}
            Some(b']') if self.begun => return self.end(),
            _ => return Err(no_array("the body must be an array")),
        }
        let first = !std::mem::replace(&mut self.begun, true);
        let Some(byte) = self.significant()? else { return Err(no_array("the array has no end")) };
        if byte == b']' && first {
            return self.end();
        }
        self.number += 1;
        let said = self.element(byte)?.map_or(Said::TooMuch, Said::Json);
        Ok(Some(Text { number: self.number, said }))
    }

    fn element(&mut self, first: u8) -> Result<Option<Vec<u8>>, ApiError> {
        let mut bytes = vec![first];
        let (mut length, mut depth, mut in_string, mut escaped) = (1_usize, 0_usize, false, false);
        let mut byte = first;
        loop {
            match byte {
                _ if escaped => escaped = false,
                b'\\' if in_string => escaped = true,
                b'"' => in_string = !in_string,
                _ if in_string => {}
                b'{' | b'[' => depth += 1,
                b'}' | b']' => depth = depth.saturating_sub(1),
                _ => {}
            }
            // The element ends before a comma or a bracket that belongs to the array.
            let next = self.peek()?.ok_or_else(|| no_array("the array has no end"))?;
            if depth == 0 && !in_string && matches!(next, b',' | b']') {
                break;
            }
            self.reader.consume(1);
            byte = next;
            length += 1;
            if length <= self.longest {
                bytes.push(byte);
            }
        }
        Ok((length <= self.longest).then_some(bytes))
    }

    /// After the array nothing may follow.
    fn end(&mut self) -> Result<Option<Text>, ApiError> {
        match self.significant()? {
            None => {
                self.over = true;
                Ok(None)
            }
            Some(_) => Err(no_array("something follows the array")),
        }
    }

    /// The next byte that is no white space.
    fn significant(&mut self) -> Result<Option<u8>, ApiError> {
        while let Some(byte) = self.peek()? {
            self.reader.consume(1);
            if !matches!(byte, b' ' | b'\t' | b'\r' | b'\n') {
                return Ok(Some(byte));
            }
        }
        Ok(None)
    }

    fn peek(&mut self) -> Result<Option<u8>, ApiError> {
        Ok(self.reader.fill_buf().map_err(|error| ApiError::internal(&error))?.first().copied())
    }
}

fn no_array(detail: &str) -> ApiError {
    ApiError::because(ProblemKind::NotJson, detail)
}

#[cfg(test)]
mod tests {
    use std::io::{Seek, Write};

    use super::*;

    fn read(text: &str, form: Form) -> Result<Vec<(u32, Option<String>)>, ApiError> {
        let mut file = tempfile::tempfile().expect("a file");
        file.write_all(text.as_bytes()).and_then(|()| file.rewind()).expect("written");
        let mut texts = Texts::new(file, form, 20)?;
        let mut all = Vec::new();
        while let Some(Text { number, said }) = texts.next()? {
            let text = match said {
                Said::Json(bytes) => Some(String::from_utf8_lossy(&bytes).trim().to_owned()),
                Said::TooMuch | Said::Rows(..) => None,
            };
            all.push((number, text));
        }
        assert!(texts.next()?.is_none(), "the end stays the end");
        Ok(all)
    }

    fn some(number: u32, text: &str) -> (u32, Option<String>) {
        (number, Some(text.to_owned()))
    }

    #[test]
    fn lines_are_numbered_with_the_empty_ones_and_a_long_one_is_left_out() {
        let long = "x".repeat(21);
        let text = format!("one\n\n  \r\ntwo\r\n{long}\nthree");
        let lines = read(&text, Form::Lines).expect("lines");
        assert_eq!(lines, [some(1, "one"), some(4, "two"), (5, None), some(6, "three")]);
        assert_eq!(read("", Form::Lines).expect("nothing"), []);
    }

    #[test]
    fn an_array_is_taken_apart_wherever_brackets_stand() {
        let text = r#" [ {"a":"]},\""}, [1,[2]] , 3,"x" ] "#;
        let elements = read(text, Form::Array).expect("an array");
        let expected = [some(1, r#"{"a":"]},\""}"#), some(2, "[1,[2]]"), some(3, "3"), some(4, r#""x""#)];
        assert_eq!(elements, expected);
        assert_eq!(read("[]", Form::Array).expect("an array"), []);
        let long = format!("[\"{}\",1]", "x".repeat(30));
        assert_eq!(read(&long, Form::Array).expect("an array"), [(1, None), some(2, "1")]);
        for bad in ["", "{}", "[1", "[", "[1,", "[1]]", "[1] x", "1"] {
            assert!(read(bad, Form::Array).is_err(), "{bad}");
        }
    }
}
