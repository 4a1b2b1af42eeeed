//! The first row: which column is which.

use std::collections::HashMap;

use headproof_wire::Fault;

use crate::column::{COLUMNS, Needed, specific};
use crate::faults::record;
use crate::records::Record;

/// What the first row says.
#[derive(Debug, Default)]
pub(crate) struct Header {
    /// The column of each cell of a row; none where its name is no column's or stands twice.
    pub(crate) columns: Vec<Option<usize>>,
    /// Columns that are needed and cannot be told: of these the header has been told already.
    pub(crate) missing: Vec<usize>,
}

impl Header {
    /// Reads the first row; its faults stand beside it.
    pub(crate) fn read(first: Option<&Record>) -> (Self, Vec<Fault>) {
        let mut faults = Vec::new();
        let Some(first) = first else {
            fault(&mut faults, || "the file is empty: its first row has to name its columns".into(), None);
            return (Self::default(), faults);
        };
        let row = first.row;
        for (cell, detail) in &first.faults {
            fault(&mut faults, || format!("row {row}, column {}: {detail}", cell + 1), None);
        }
        if let [only] = first.cells.as_slice()
            && only.contains([';', '\t'])
        {
            fault(&mut faults, || format!("row {row}: columns have to be separated by commas"), None);
        }
        // Of each column, where it stands first, and how often.
        let mut places: HashMap<usize, (usize, usize)> = HashMap::new();
        let mut columns: Vec<Option<usize>> = Vec::new();
        for (place, name) in first.cells.iter().enumerate() {
            let column = COLUMNS.named(name);
            let at = || format!("row {row}, column {}", place + 1);
            match column {
                None if name.is_empty() => fault(&mut faults, || format!("{}: has no name", at()), None),
                None => fault(&mut faults, || format!("{}: is the name of no column", at()), Some(name)),
                Some(column) => {
                    let (earlier, times) = places.entry(column).or_insert((place, 0));
                    *times += 1;
                    if *times > 1 {
                        let twice = || format!("{}: has the same name as column {}", at(), *earlier + 1);
                        fault(&mut faults, twice, Some(name));
                    }
                }
            }
            columns.push(column);
        }
        let stands_twice = |column: &usize| places.get(column).is_some_and(|(_, times)| *times > 1);
        let mut missing: Vec<usize> = places.keys().copied().filter(stands_twice).collect();
        columns.iter_mut().for_each(|column| *column = column.filter(|column| !stands_twice(column)));
        for (index, column) in COLUMNS.all.iter().enumerate() {
            if column.needed() != Needed::Never && !places.contains_key(&index) {
                let pointer = specific(&column.goes_to(false), 0);
                let detail = format!("row {row}: there is no column {}, which is required", column.name);
                record(&mut faults, || Fault::new(pointer, detail, None));
                missing.push(index);
            }
        }
        (Self { columns, missing }, faults)
    }

    /// Where the cells of a column stand.
    pub(crate) fn place(&self, column: usize) -> Option<usize> {
        self.columns.iter().position(|other| *other == Some(column))
    }
}

fn fault(faults: &mut Vec<Fault>, detail: impl FnOnce() -> String, name: Option<&String>) {
    record(faults, || Fault::new(String::new(), detail(), name.map(|name| name.as_str().into())));
}
