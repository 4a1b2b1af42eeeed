//! The floor under every file: deflating what is in it at the same level, and nothing else. Typefaces and the profile
//! of colours are not counted: those are deflated once for all documents.

use std::error::Error;
use std::hint::black_box;
use std::io::Read;
use std::time::{Duration, Instant};

use flate2::read::ZlibDecoder;
use flate2::{Compress, Compression, FlushCompress, Status};
use lopdf::Document;

/// What is drawn on the pages of a file.
pub(crate) fn contents(file: &Document) -> Vec<Vec<u8>> {
    file.get_pages().values().map(|page| file.get_page_content(*page)).collect()
}

/// The documents attached to a file.
pub(crate) fn attachments(file: &Document) -> lopdf::Result<Vec<Vec<u8>>> {
    let streams = file.objects.values().filter_map(|object| object.as_stream().ok());
    let attached = streams.filter(|stream| stream.dict.has_type(b"EmbeddedFile"));
    attached.map(lopdf::Stream::decompressed_content).collect()
}

/// The streams of packed objects, which hold the structure of the pages, by the words the writer of the file begins them
/// with.
pub(crate) fn structure(file: &[u8]) -> Result<Vec<Vec<u8>>, Box<dyn Error>> {
    const BEGIN: &[u8] = b"<</Type/ObjStm";
    let mut streams = Vec::new();
    for at in memchr::memmem::find_iter(file, BEGIN) {
        let stream = &file[at..];
        let body = memchr::memmem::find(stream, b"stream\n").ok_or("no stream")? + b"stream\n".len();
        let mut inflated = Vec::new();
        ZlibDecoder::new(&stream[body..]).read_to_end(&mut inflated)?;
        streams.push(inflated);
    }
    Ok(streams)
}

/// How long deflating them takes.
pub(crate) fn deflate_all(streams: &[Vec<u8>]) -> Result<Duration, Box<dyn Error>> {
    let begin = Instant::now();
    let mut deflater = Compress::new(Compression::new(6), true);
    for stream in streams {
        deflater.reset();
        let mut deflated = Vec::with_capacity(stream.len() / 2 + 4096);
        let status = deflater.compress_vec(stream, &mut deflated, FlushCompress::Finish)?;
        if status != Status::StreamEnd {
            return Err("a stream did not shrink to half".into());
        }
        black_box(deflated);
    }
    Ok(begin.elapsed())
}
