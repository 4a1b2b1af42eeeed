//! The heads of a file, one after another.

use std::collections::HashMap;
use std::hash::{BuildHasher, RandomState};
use std::io::{self, Read};

use headproof_wire::{Fault, JobRequest};

use crate::column::COLUMNS;
use crate::gathered::Gathered;
use crate::given::Given;
use crate::header::Header;
use crate::records::{Record, Records};
use crate::request::request;
use crate::rows::Rows;

/// What some rows of a file came to.
#[derive(Debug, Clone, PartialEq)]
pub struct Head {
    /// Its rows; the header where that has faults.
    pub rows: Rows,
    /// The serial on its rows.
    pub serial: Option<String>,
    /// The client's own reference.
    pub client_reference: Option<String>,
    /// The request, or every fault of these rows.
    pub request: Result<JobRequest, Vec<Fault>>,
}

/// The heads of a file. Only the rows of one are held at a time, and of each of the others 24 bytes, by which its
/// rows are known when they come again.
pub struct Heads<'p, R> {
    records: Records<R>,
    header: Header,
    header_faults: Vec<Fault>,
    /// Has the header faults? Then no head is taken, but its own faults are told.
    is_spoiled: bool,
    given: Given<'p>,
    waiting: Option<Record>,
    seen: Seen,
    is_over: bool,
}

/// Reads the heads of a CSV file (RFC 4180, UTF-8), whose first row names its columns.
///
/// Each item is a head, or the header where that has faults; then no head is taken. There are at most
/// [`MOST_FAULTS`](headproof_wire::MOST_FAULTS) faults of each.
///
/// # Errors
/// What keeps the file from being read, here and as an item; the iterator has then come to its end.
pub fn heads<R: Read>(reader: R, given: Given<'_>) -> io::Result<Heads<'_, R>> {
    let mut records = Records::new(reader)?;
    let first = records.next()?;
    let (header, header_faults) = Header::read(first.as_ref());
    let is_spoiled = !header_faults.is_empty();
    Ok(Heads {
        records,
        header,
        header_faults,
        is_spoiled,
        given,
        waiting: None,
        seen: Seen::default(),
        is_over: false,
    })
}

impl<R: Read> Iterator for Heads<'_, R> {
    type Item = io::Result<Head>;

    fn next(&mut self) -> Option<Self::Item> {
        if !self.header_faults.is_empty() {
            let request = Err(std::mem::take(&mut self.header_faults));
            return Some(Ok(Head { rows: Rows::one(1), serial: None, client_reference: None, request }));
        }
        while !self.is_over {
            match self.gather() {
                Ok(Some((gathered, serial))) => {
                    let reference = COLUMNS.named("client_reference");
                    let reference = reference.and_then(|column| gathered.head.get(&column));
                    let client_reference = reference.map(|cell| cell.text.clone());
                    let rows = gathered.rows;
                    let request = request(gathered, &self.header, self.given);
                    let says_nothing = request.as_ref().map_or_else(Vec::is_empty, |_| true);
                    if self.is_spoiled && says_nothing {
                        continue;
                    }
                    return Some(Ok(Head { rows, serial, client_reference, request }));
                }
                Ok(None) => self.is_over = true,
                Err(error) => {
                    self.is_over = true;
                    return Some(Err(error));
                }
            }
        }
        None
    }
}

/// Serial and stage of a row.
type Key = (String, String);

impl<R: Read> Heads<'_, R> {
    /// The rows of the next head, and its serial. A row that does not say whose it is counts as the open head's.
    fn gather(&mut self) -> io::Result<Option<(Gathered, Option<String>)>> {
        let (Some(serial), Some(stage)) = (self.place("serial"), self.place("stage")) else {
            return Ok(None);
        };
        let Some(first) = self.waiting.take().map_or_else(|| self.records.next(), |row| Ok(Some(row)))?
        else {
            return Ok(None);
        };
        let mut gathered = Gathered::new(first.row);
        let mut key = None;
        let mut next = Some(first);
        while let Some(row) = next {
            let its_key = self.key(&row, serial, stage);
            if key.is_some() && its_key.is_some() && key != its_key {
                self.waiting = Some(row);
                break;
            }
            self.tell_of_missing_key(&mut gathered, &row, (serial, stage));
            key = key.or(its_key);
            gathered.add(&self.header, row);
            next = self.records.next()?;
        }
        if let Some(earlier) = key.as_ref().and_then(|key| self.seen.earlier(key, gathered.rows.first)) {
            let row = gathered.rows.first;
            let detail = format!(
                "row {row}, column serial: rows of this serial and stage began on row {earlier} too, and have to stand together"
            );
            gathered.broken("/measurement_set/head/serial", detail);
        }
        Ok(Some((gathered, key.map(|(serial, _)| serial))))
    }

    fn place(&self, name: &str) -> Option<usize> {
        COLUMNS.named(name).and_then(|column| self.header.place(column))
    }

    fn key(&self, row: &Record, serial: usize, stage: usize) -> Option<Key> {
        let is_whole = row.cells.len() == self.header.columns.len()
            && !row.faults.iter().any(|(cell, _)| *cell == serial || *cell == stage);
        let key = (row.cells.get(serial)?.clone(), row.cells.get(stage)?.clone());
        (is_whole && !key.0.is_empty() && !key.1.is_empty()).then_some(key)
    }

    fn tell_of_missing_key(&self, gathered: &mut Gathered, row: &Record, (serial, stage): (usize, usize)) {
        if row.cells.len() != self.header.columns.len() {
            return;
        }
        for (place, name, pointer) in [
            (serial, "serial", "/measurement_set/head/serial"),
            (stage, "stage", "/measurement_set/job/stage"),
        ] {
            if row.cells.get(place).is_some_and(String::is_empty) {
                gathered.broken(pointer, format!("row {}, column {name}: is required on every row", row.row));
            }
        }
    }
}

/// The heads that came before: by two hashes with keys of their own, since serials may be long.
#[derive(Debug, Default)]
struct Seen {
    hashers: [RandomState; 2],
    rows: HashMap<[u64; 2], u64>,
}

impl Seen {
    /// The row on which the same head began before, if it did.
    fn earlier(&mut self, key: &Key, row: u64) -> Option<u64> {
        let hashes = [self.hashers[0].hash_one(key), self.hashers[1].hash_one(key)];
        let earlier = self.rows.get(&hashes).copied();
        self.rows.entry(hashes).or_insert(row);
        earlier
    }
}
