//! Rows of cells, as RFC 4180 has them, with everything that is not so said of its cell.
//!
//! Written here because a reader of CSV as they are usual makes something of anything: an unclosed quotation mark
//! swallows the rest of the file, one in the midst of a cell is taken as it is. Here nothing is guessed.

use std::io::{self, BufRead, BufReader, Read};

/// Longest row in bytes, so that an unclosed quotation mark does not hold a whole file in memory.
const LONGEST_ROW: usize = 1 << 20;

const BOM: [u8; 3] = [0xef, 0xbb, 0xbf];

/// One row.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Record {
    /// Its number, from 1: as a spreadsheet counts.
    pub(crate) row: u64,
    /// Its cells.
    pub(crate) cells: Vec<String>,
    /// What is wrong with the form of a cell, by the index of the cell.
    pub(crate) faults: Vec<(usize, &'static str)>,
}

impl Record {
    fn says_nothing(&self) -> bool {
        self.faults.is_empty() && self.cells.iter().all(String::is_empty)
    }
}

/// Where in a cell the next byte is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Within {
    Start,
    Plain,
    Quoted,
    /// After a quotation mark inside quotation marks: it ends them, or stands for itself when it comes again.
    Quote,
}

/// Reads rows one by one.
pub(crate) struct Records<R> {
    input: BufReader<io::Chain<io::Cursor<Vec<u8>>, R>>,
    row: u64,
    skip_line_feed: bool,
    is_over: bool,
}

impl<R: Read> Records<R> {
    /// Reads from there; a byte order mark before the first row is passed over.
    pub(crate) fn new(mut reader: R) -> io::Result<Self> {
        let mut start = Vec::new();
        reader.by_ref().take(BOM.len() as u64).read_to_end(&mut start)?;
        if start == BOM {
            start.clear();
        }
        let input = BufReader::new(io::Cursor::new(start).chain(reader));
        Ok(Self { input, row: 0, skip_line_feed: false, is_over: false })
    }

    /// The next row in which anything stands.
    pub(crate) fn next(&mut self) -> io::Result<Option<Record>> {
        loop {
            match self.any()? {
                Some(record) if record.says_nothing() => {}
                other => return Ok(other),
            }
        }
    }

    fn any(&mut self) -> io::Result<Option<Record>> {
        if self.is_over {
            return Ok(None);
        }
        self.row += 1;
        let mut making = Making::new(self.row);
        loop {
            let buffer = self.input.fill_buf()?;
            if buffer.is_empty() {
                self.is_over = true;
                return Ok(making.at_the_end());
            }
            let mut used = 0;
            let mut is_done = false;
            for byte in buffer {
                used += 1;
                if std::mem::take(&mut self.skip_line_feed) && *byte == b'\n' {
                    continue;
                }
                if making.take(*byte) {
                    self.skip_line_feed = *byte == b'\r';
                    is_done = true;
                    break;
                }
            }
            self.input.consume(used);
            if is_done {
                return Ok(Some(making.record));
            }
            if making.size > LONGEST_ROW {
                self.is_over = true;
                making.fault("makes the row longer than 1 MiB: what follows was not read");
                making.end_cell();
                return Ok(Some(making.record));
            }
        }
    }
}

/// A row while it is read.
struct Making {
    record: Record,
    cell: Vec<u8>,
    within: Within,
    size: usize,
}

impl Making {
    fn new(row: u64) -> Self {
        let record = Record { row, ..Record::default() };
        Self { record, cell: Vec::new(), within: Within::Start, size: 0 }
    }

    /// Takes a byte; says whether it ended the row.
    fn take(&mut self, byte: u8) -> bool {
        self.size += 1;
        let is_quoted = self.within == Within::Quoted;
        match byte {
            b'"' => match self.within {
                Within::Start => self.within = Within::Quoted,
                Within::Quoted => self.within = Within::Quote,
                Within::Quote => self.push(byte, Within::Quoted),
                Within::Plain => {
                    self.fault("holds a quotation mark, but does not stand in quotation marks");
                    self.push(byte, Within::Plain);
                }
            },
            b',' if !is_quoted => self.end_cell(),
            b'\r' | b'\n' if !is_quoted => {
                self.end_cell();
                return true;
            }
            _ => match self.within {
                Within::Quote => {
                    self.fault("goes on after its closing quotation mark");
                    self.push(byte, Within::Plain);
                }
                Within::Quoted => self.push(byte, Within::Quoted),
                Within::Start | Within::Plain => self.push(byte, Within::Plain),
            },
        }
        false
    }

    fn push(&mut self, byte: u8, within: Within) {
        self.cell.push(byte);
        self.within = within;
    }

    /// Tells of the cell that is being read, once.
    fn fault(&mut self, detail: &'static str) {
        let cell = self.record.cells.len();
        if self.record.faults.last().is_none_or(|(last, _)| *last != cell) {
            self.record.faults.push((cell, detail));
        }
    }

    fn end_cell(&mut self) {
        let cell = String::from_utf8(std::mem::take(&mut self.cell)).unwrap_or_else(|error| {
            self.fault("is not UTF-8");
            String::from_utf8_lossy(error.as_bytes()).into_owned()
        });
        self.record.cells.push(cell);
        self.within = Within::Start;
    }

    /// The row that the end of the file ends; none where the last one had ended already.
    fn at_the_end(mut self) -> Option<Record> {
        if self.size == 0 {
            return None;
        }
        if self.within == Within::Quoted {
            self.fault("has a quotation mark that is never closed");
        }
        self.end_cell();
        Some(self.record)
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::*;

    fn all(bytes: &[u8]) -> Vec<Record> {
        let mut records = Records::new(bytes).expect("bytes");
        std::iter::from_fn(|| records.next().expect("bytes")).collect()
    }

    fn cells(text: &str) -> Vec<(u64, Vec<String>)> {
        all(text.as_bytes()).into_iter().map(|record| (record.row, record.cells)).collect()
    }

    fn row(number: u64, cells: &[&str]) -> (u64, Vec<String>) {
        (number, cells.iter().map(|cell| (*cell).to_owned()).collect())
    }

    /// RFC 4180, clause 2; line ends of all three kinds.
    #[test]
    fn rows_end_with_any_line_end_and_quotation_marks_hold_what_they_hold() {
        for end in ["\r\n", "\n", "\r"] {
            let text = format!("a,b{end}1,\"2,\"\"x\"\"{end}y\"{end}");
            let expected = [row(1, &["a", "b"]), row(2, &["1", &format!("2,\"x\"{end}y")])];
            assert_eq!(cells(&text), expected, "{end:?}");
            assert_eq!(cells(text.trim_end_matches(['\r', '\n'])), expected, "{end:?}");
        }
    }

    #[test]
    fn rows_that_say_nothing_are_counted_and_passed_over() {
        assert_eq!(cells("\n\na\n,,\n\"\"\nb,\n\n"), [row(3, &["a"]), row(6, &["b", ""])]);
        assert_eq!(cells(""), []);
    }

    #[test]
    fn a_byte_order_mark_is_passed_over_at_the_start_only() {
        assert_eq!(cells("\u{feff}\"a\",b"), [row(1, &["a", "b"])]);
        assert_eq!(cells("a\n\u{feff}b"), [row(1, &["a"]), row(2, &["\u{feff}b"])]);
        assert_eq!(cells("\u{feff}"), []);
    }

    #[test]
    fn whatever_is_no_csv_is_told_of_its_cell() {
        let faults = |bytes: &[u8]| -> Vec<(u64, usize, &str)> {
            let records = all(bytes).into_iter();
            records
                .flat_map(|r| r.faults.into_iter().map(move |(cell, detail)| (r.row, cell, detail)))
                .collect()
        };
        let marks = "holds a quotation mark, but does not stand in quotation marks";
        assert_eq!(faults(b"a,b\"c\"\nd"), [(1, 1, marks)]);
        assert_eq!(faults(b"a\n\"b\"c\",d"), [(2, 0, "goes on after its closing quotation mark")]);
        assert_eq!(faults(b"a\nb,\"c\nd"), [(2, 1, "has a quotation mark that is never closed")]);
        assert_eq!(faults(b"a,\xff,b"), [(1, 1, "is not UTF-8")]);
        let mut endless = b"a\n\"".to_vec();
        endless.resize(3 * LONGEST_ROW, b'x');
        assert_eq!(faults(&endless), [(2, 0, "makes the row longer than 1 MiB: what follows was not read")]);
    }

    proptest! {
        /// What an independent writer writes, in any of its ways, is read as what it was given.
        #[test]
        fn what_another_writes_is_read(
            rows in prop::collection::vec(prop::collection::vec("[a\"',;\r\n \u{e4}]{0,5}", 1..4), 1..6),
            crlf in any::<bool>(),
            always in any::<bool>(),
        ) {
            let style = if always { csv::QuoteStyle::Always } else { csv::QuoteStyle::Necessary };
            let end = if crlf { csv::Terminator::CRLF } else { csv::Terminator::Any(b'\n') };
            let mut builder = csv::WriterBuilder::new();
            let mut writer = builder.flexible(true).quote_style(style).terminator(end).from_writer(Vec::new());
            for row in &rows {
                writer.write_record(row).expect("room");
            }
            let found = all(&writer.into_inner().expect("room"));
            let expected: Vec<_> =
                rows.into_iter().enumerate().filter(|(_, row)| row.iter().any(|cell| !cell.is_empty())).collect();
            prop_assert!(found.iter().all(|record| record.faults.is_empty()));
            let found: Vec<_> = found.into_iter().map(|record| (record.row as usize - 1, record.cells)).collect();
            prop_assert_eq!(found, expected);
        }
    }
}
