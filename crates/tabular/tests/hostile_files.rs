//! Files that are not as they should be, and very long ones.

mod common;

use std::io::{self, Read};
use std::sync::atomic::{AtomicUsize, Ordering};

use common::{file, rows, taken, told};
use proptest::prelude::*;

#[test]
fn a_header_with_faults_is_told_and_no_head_is_taken() {
    let good = file(&rows("A-1"));
    let told_of = |from: &str, to: &str| told(good.replace(from, to).as_bytes());
    assert_eq!(
        told_of("\"length_unit\"", "\"Length unit\""),
        [
            " row 1, column 4: is the name of no column",
            "/measurement_set/units/length row 1: there is no column length_unit, which is required"
        ]
    );
    assert_eq!(told_of("\"lifter\"", "\"stage\"")[0], " row 1, column 14: has the same name as column 3");
    assert_eq!(told_of("\"lifter\"", "")[0], " row 1, column 14: has no name");
    assert_eq!(told(b""), [" the file is empty: its first row has to name its columns"]);
    assert_eq!(told(b"\xef\xbb\xbf\r\n\r\n"), [" the file is empty: its first row has to name its columns"]);
    let separated = |told: &[String]| told.iter().any(|told| told.contains("have to be separated by commas"));
    assert!(separated(&told_of(",", ";")) && separated(&told(b"serial;stage\nA-1;final\n")));
    let utf_16: Vec<u8> = good.replace('"', "").encode_utf16().flat_map(u16::to_le_bytes).collect();
    let marked = [b"\xff\xfe".as_slice(), &utf_16].concat();
    assert!(told(&marked)[0].starts_with(" row 1, column 1: is not UTF-8"));
    let header = good.lines().next().expect("a header");
    assert_eq!(taken(header.as_bytes()), []);
}

/// The header does not hide what is wrong below it.
#[test]
fn faults_below_a_bad_header_are_told_with_it() {
    let text = file(&common::with(rows("A-1"), 3, "seat_angle", "x")).replace("\"lifter\"", "\"lift\"");
    let told = told(text.as_bytes());
    assert!(told[0].contains("is the name of no column") && told[1].contains("no column lifter"), "{told:?}");
    assert!(told[2].contains("row 3, column seat_angle") && told.len() == 3, "{told:?}");
}

#[test]
fn line_ends_byte_order_marks_and_empty_rows_change_nothing() {
    let good = file(&rows("A-1"));
    let expected = taken(good.as_bytes());
    assert!(expected[0].request.is_ok());
    for end in ["\n", "\r"] {
        assert_eq!(taken(good.replace("\r\n", end).as_bytes()), expected);
    }
    assert_eq!(taken(format!("\u{feff}{good}").as_bytes()), expected);
    assert_eq!(taken(good.trim_end().as_bytes()), expected);
    let empty = ",".repeat(good.lines().next().expect("a header").matches(',').count());
    assert_eq!(taken(format!("{good}{empty}\r\n\r\n").as_bytes()), expected);
}

#[test]
fn a_row_that_is_not_whole_is_told_and_its_head_is_not_taken() {
    let good = file(&rows("A-1"));
    let cut = good.trim_end().trim_end_matches(|other| other != ',').trim_end_matches(',');
    let columns = good.lines().next().expect("a header").matches(',').count() + 1;
    let expected = format!(" row 3: has {} cells, but the header has {columns} columns", columns - 1);
    assert_eq!(told(cut.as_bytes()), [expected]);
    let more = format!("{},\r\n", good.trim_end());
    assert_eq!(
        told(more.as_bytes()),
        [format!(" row 3: has {} cells, but the header has {columns} columns", columns + 1)]
    );
    let open = good.replacen("\"exhaust\"", "\"exhaust", 1);
    assert!(!told(open.as_bytes()).is_empty());
    let marks = good.replacen("\"exhaust\"", "ex\"haust", 1);
    assert_eq!(
        told(marks.as_bytes()),
        [
            "/measurement_set/ports/1/service row 3, column service: holds a quotation mark, but does not stand in quotation marks"
        ]
    );
    let latin = [good.replacen("an invented person", "", 1).into_bytes(), Vec::new()].concat();
    let place = good.find("an invented person").expect("a name");
    let latin = [&latin[..place], b"\xc4nne", &latin[place..]].concat();
    assert_eq!(told(&latin)[0], "/measurement_set/job/measured_by row 2, column measured_by: is not UTF-8");
    let nameless = file(&common::with(rows("A-1"), 3, "serial", ""));
    assert_eq!(
        told(nameless.as_bytes()),
        ["/measurement_set/head/serial row 3, column serial: is required on every row"]
    );
}

#[test]
fn rows_of_a_head_stand_together() {
    let text = file(&[rows("A-1"), rows("A-2"), rows("A-1")].concat());
    let found = taken(text.as_bytes());
    let is_taken: Vec<bool> = found.iter().map(|head| head.request.is_ok()).collect();
    assert_eq!(is_taken, [true, true, false]);
    let faults = found[2].request.as_ref().expect_err("it comes again");
    assert_eq!(faults.len(), 1);
    assert!(
        faults[0]
            .detail
            .starts_with("row 6, column serial: rows of this serial and stage began on row 2 too")
    );
    let later = common::with(common::with(rows("A-1"), 2, "stage", "as-received"), 3, "stage", "as-received");
    let another_stage = file(&[rows("A-1"), rows("A-2"), later].concat());
    assert!(taken(another_stage.as_bytes()).iter().all(|head| head.request.is_ok()));
}

/// A file that is made while it is read, and counts how far it was.
struct Endless<'a> {
    header: String,
    heads: usize,
    made: &'a AtomicUsize,
    rest: Vec<u8>,
}

impl Read for Endless<'_> {
    fn read(&mut self, into: &mut [u8]) -> io::Result<usize> {
        if self.rest.is_empty() && self.made.load(Ordering::Relaxed) < self.heads {
            let head = self.made.fetch_add(1, Ordering::Relaxed);
            let text = file(&rows(&format!("A-{head}")));
            let body = text.split_once("\r\n").expect("a header").1;
            self.rest = if head == 0 { format!("{}\r\n{body}", self.header).into() } else { body.into() };
        }
        let size = into.len().min(self.rest.len());
        into[..size].copy_from_slice(&self.rest[..size]);
        self.rest.drain(..size);
        Ok(size)
    }
}

#[test]
fn ten_thousand_heads_are_read_as_they_come() {
    let made = AtomicUsize::new(0);
    let header = file(&rows("A")).split_once("\r\n").expect("a header").0.to_owned();
    let reader = Endless { header, heads: 10_000, made: &made, rest: Vec::new() };
    let named = headproof_wire::ProfileSelector { id: "demo".into(), revision: "1".into() };
    let found = headproof_tabular::heads(reader, headproof_tabular::Given::Named(&named)).expect("bytes");
    let mut count = 0;
    for head in found {
        assert!(head.expect("bytes").request.is_ok());
        count += 1;
        // What was read and not yet given out is one head and what a buffer holds.
        assert!(made.load(Ordering::Relaxed) <= count + 40, "{count}");
    }
    assert_eq!(count, 10_000);
}

proptest! {
    /// `csv` writes, with the marks it likes, and what it was given is what is read.
    #[test]
    fn whatever_is_quoted_comes_back(serial in "[ -~äλ漢]{1,40}", note in "[ -~äλ漢]{1,80}", always in any::<bool>()) {
        let rows = common::with(rows(&serial), 2, "customer_name", &note);
        let plain = file(&rows);
        let mut reader = csv::ReaderBuilder::new().has_headers(false).from_reader(plain.as_bytes());
        let style = if always { csv::QuoteStyle::Always } else { csv::QuoteStyle::Necessary };
        let mut writer = csv::WriterBuilder::new().quote_style(style).from_writer(Vec::new());
        for record in reader.records() {
            writer.write_record(&record.expect("a row")).expect("room");
        }
        let text = writer.into_inner().expect("room");
        prop_assert_eq!(taken(text.as_slice()), taken(plain.as_bytes()));
        if !serial.trim().is_empty() && !note.trim().is_empty() {
            let request = taken(text.as_slice())[0].request.clone().expect("no faults");
            prop_assert_eq!(request.measurement_set.head.serial, serial);
            prop_assert_eq!(request.measurement_set.customer.map(|customer| customer.name), Some(note));
        }
    }

    /// Whatever the bytes, there is an answer, and its faults have places.
    #[test]
    fn any_change_of_a_file_is_taken_or_told(
        at in any::<prop::sample::Index>(),
        take in 0_usize..30,
        put in prop::collection::vec(prop_oneof![Just(b'"'), Just(b','), Just(b'\n'), Just(b'\r'), any::<u8>()], 0..12),
    ) {
        let good = file(&[rows("A-1"), rows("A-2")].concat()).into_bytes();
        let at = at.index(good.len());
        let end = (at + take).min(good.len());
        let changed = [&good[..at], &put, &good[end..]].concat();
        for fault in common::faults(&changed) {
            prop_assert!(fault.pointer.is_empty() || fault.pointer.starts_with('/'), "{fault:?}");
            prop_assert!(fault.detail.starts_with("row") || fault.detail.starts_with("the file"), "{fault:?}");
        }
    }
}
