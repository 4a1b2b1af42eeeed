//! Small files, written by hand.

use std::io::Read;

use headproof_tabular::{Given, Head, heads};
use headproof_wire::{Fault, ProfileSelector};

/// A row by the names of its columns.
pub(crate) type Row = Vec<(String, String)>;

/// Rows of a head of one cylinder and two valves.
pub(crate) fn rows(serial: &str) -> Vec<Row> {
    let head = [
        ("stage", "final"),
        ("length_unit", "mm"),
        ("force_unit", "N"),
        ("volume_unit", "mL"),
        ("pressure_unit", "kPa"),
        ("roughness_unit", "um"),
        ("job_number", "J-1"),
        ("measured_by", "an invented person"),
        ("measured_at", "2026-03-01T10:00:00+01:00"),
        ("material", "cast-iron"),
        ("camshaft", "pushrod"),
        ("lifter", "adjustable"),
        ("cylinders", "1"),
        ("intake_per_cylinder", "1"),
        ("exhaust_per_cylinder", "1"),
        ("cylinder", "1"),
        ("index", "1"),
    ];
    ["intake", "exhaust"]
        .map(|service| {
            let keys = [("serial", serial), ("service", service)];
            keys.iter().chain(&head).map(|(name, cell)| ((*name).to_owned(), (*cell).to_owned())).collect()
        })
        .to_vec()
}

/// The rows with a cell changed or added: by its row as a fault counts, which begins at 2.
pub(crate) fn with(mut rows: Vec<Row>, row: usize, name: &str, cell: &str) -> Vec<Row> {
    let cells = &mut rows[row - 2];
    cells.retain(|(other, _)| other != name);
    cells.push((name.to_owned(), cell.to_owned()));
    rows
}

/// A file of these rows: a column for each name in any of them, every cell in quotation marks.
pub(crate) fn file(rows: &[Row]) -> String {
    let mut names: Vec<&String> = Vec::new();
    for (name, _) in rows.iter().flatten() {
        if !names.contains(&name) {
            names.push(name);
        }
    }
    let quoted = |cell: &str| format!("\"{}\"", cell.replace('"', "\"\""));
    let header: Vec<String> = names.iter().map(|name| quoted(name)).collect();
    let mut text = header.join(",");
    for row in rows {
        let cell = |name: &&String| row.iter().find(|(other, _)| other == *name).map_or("", |(_, cell)| cell);
        let cells: Vec<String> = names.iter().map(|name| quoted(cell(name))).collect();
        text += &format!("\r\n{}", cells.join(","));
    }
    text + "\r\n"
}

/// What a file comes to, its profile named beside it.
pub(crate) fn taken(file: impl Read) -> Vec<Head> {
    let named = ProfileSelector { id: "demo".into(), revision: "1".into() };
    let found: Vec<Head> =
        heads(file, Given::Named(&named)).expect("bytes").map(|head| head.expect("bytes")).collect();
    found
}

/// All faults of a file.
pub(crate) fn faults(file: &[u8]) -> Vec<Fault> {
    taken(file).into_iter().flat_map(|head| head.request.err().unwrap_or_default()).collect()
}

/// The faults of a file as text: pointer, then detail.
pub(crate) fn told(file: &[u8]) -> Vec<String> {
    faults(file).into_iter().map(|fault| format!("{} {}", fault.pointer, fault.detail)).collect()
}
