//! A way in by CSV: one row for each port of a head, as a shop exports it, becomes job requests.
//!
//! A file is RFC 4180 in UTF-8 with commas; its first row names its columns, in any order, by the names of the
//! [table](families). Line ends may be CR LF, LF or CR; a byte order mark at the start is passed over, as is a row in
//! which nothing stands. The rows of one head have the same serial and stage and stand together. A column of the head may
//! be filled on one of its rows or on several, and then says the same on all of them; so may one of the cylinder. An
//! empty cell was not measured. Numbered columns are filled from 1 on without a gap.
//!
//! Nothing is repaired: a decimal comma, a unit behind a number, a cell too many are faults, and every fault says in its
//! detail on which row and in which column it is; its pointer goes into the request that was to be made.
//!
//! ```
//! use headproof_tabular::{Given, heads};
//!
//! let file = "serial,stage,cylinder,service,index,seat_angle\r\nA-17,final,1,intake,1,\"45,0\"\r\n";
//! let found: Vec<_> = heads(file.as_bytes(), Given::Nothing)?.collect::<Result<_, _>>()?;
//! let faults = found[1].request.as_ref().expect_err("a comma");
//! assert!(faults[0].detail.starts_with("row 2, column seat_angle: must be a number with a decimal point"));
//! assert_eq!(faults[0].pointer, "/measurement_set/ports/0/seat/seat_angle");
//! # Ok::<(), std::io::Error>(())
//! ```

mod cell;
mod column;
mod faults;
mod gathered;
mod given;
mod header;
mod heads;
mod metadata;
mod records;
mod request;
mod rows;
mod statistics;
mod table;
mod tree;
mod words;
mod write;

pub use column::{Column, Family, Kind, MOST_REPEATS, Needed, Part, Scope};
pub use given::Given;
pub use heads::{Head, Heads, heads};
pub use metadata::metadata;
pub use rows::Rows;
pub use statistics::{statistics_columns, statistics_table};
pub use table::families;
pub use write::{Written, write};

/// Every column there is, in the order of the table, their numbers filled in.
#[must_use]
pub fn columns() -> &'static [Column] {
    &column::COLUMNS.all
}

/// The columns that a file names in its first row, in its order.
///
/// # Errors
/// The file cannot be read; or its header has faults, which are inside.
pub fn columns_of(
    reader: impl std::io::Read,
) -> std::io::Result<Result<Vec<&'static Column>, Vec<headproof_wire::Fault>>> {
    let (header, faults) = header::Header::read(records::Records::new(reader)?.next()?.as_ref());
    let columns = header.columns.into_iter().flatten().map(|column| &columns()[column]).collect();
    Ok(if faults.is_empty() { Ok(columns) } else { Err(faults) })
}
