//! Objects inside streams: ISO 32000-1, 7.5.7. There are some hundred elements to a page; one by one they would
//! double a file.

use crate::SheetError;
use crate::deflate::Deflater;

/// Objects to a stream. A reader takes a whole stream in to get at one of them.
const EACH: usize = 1000;

/// Objects packed into streams.
pub(super) struct Packed {
    deflater: Deflater,
    /// The number of each object, in the order of the streams.
    numbers: Vec<u32>,
    /// Their streams, whole objects but for their numbers.
    streams: Vec<Vec<u8>>,
    /// Number and place of each object of the stream in work.
    places: Vec<u8>,
    objects: Vec<u8>,
}

impl Packed {
    /// No objects yet.
    pub(super) fn new() -> Self {
        let (numbers, streams, places, objects) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        Self { deflater: Deflater::quick(), numbers, streams, places, objects }
    }

    /// Adds an object of a number, which a function writes.
    ///
    /// # Errors
    /// Those of [`Deflater::deflate`].
    pub(super) fn add(&mut self, number: u32, write: impl FnOnce(&mut Vec<u8>)) -> Result<(), SheetError> {
        self.numbers.push(number);
        self.places.extend_from_slice(format!("{number} {} ", self.objects.len()).as_bytes());
        write(&mut self.objects);
        self.objects.push(b'\n');
        if self.numbers.len().is_multiple_of(EACH) { self.end_stream() } else { Ok(()) }
    }

    fn end_stream(&mut self) -> Result<(), SheetError> {
        let first = self.places.len();
        let objects = (self.numbers.len() - 1) % EACH + 1;
        self.places.append(&mut self.objects);
        let deflated = self.deflater.deflate(&self.places)?;
        self.places.clear();
        let length = deflated.len();
        let dictionary =
            format!("<</Type/ObjStm/N {objects}/First {first}/Filter/FlateDecode/Length {length}>>stream\n");
        self.streams.push([dictionary.as_bytes(), &deflated, b"\nendstream"].concat());
        Ok(())
    }

    /// All streams.
    ///
    /// # Errors
    /// Those of [`Deflater::deflate`].
    pub(super) fn into_streams(mut self) -> Result<Vec<Vec<u8>>, SheetError> {
        if !self.objects.is_empty() {
            self.end_stream()?;
        }
        Ok(self.streams)
    }

    /// The number of each object, in which stream it is, counted from 0, and at which place there.
    pub(super) fn places(&self) -> impl Iterator<Item = (u32, usize, u16)> {
        self.numbers.iter().enumerate().map(|(n, number)| (*number, n / EACH, (n % EACH) as u16))
    }
}
