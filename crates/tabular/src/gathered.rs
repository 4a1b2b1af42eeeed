//! The cells of one head, gathered row by row.

use std::collections::BTreeMap;

use headproof_wire::Fault;

use crate::column::{COLUMNS, Column, Scope, specific};
use crate::faults::record;
use crate::header::Header;
use crate::records::Record;
use crate::rows::Rows;

/// Most ports of a head: as many as a measurement set may have.
pub(crate) const MOST_PORTS: usize = 80;

/// What stands in a cell, and on which row.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Cell {
    pub(crate) text: String,
    pub(crate) row: u64,
}

/// Cells that are not empty, by their columns.
pub(crate) type Cells = BTreeMap<usize, Cell>;

/// Cells of a port or of a cylinder.
#[derive(Debug)]
pub(crate) struct Group {
    /// Its first row.
    pub(crate) row: u64,
    /// What tells it from others: the cell of its cylinder; empty for a port.
    pub(crate) cylinder: String,
    pub(crate) cells: Cells,
}

/// One head.
#[derive(Debug)]
pub(crate) struct Gathered {
    pub(crate) rows: Rows,
    pub(crate) head: Cells,
    pub(crate) chambers: Vec<Group>,
    pub(crate) diesel: Vec<Group>,
    pub(crate) ports: Vec<Group>,
    pub(crate) faults: Vec<Fault>,
    /// Is a row missing or not what it was meant to be? Then nothing can be told of the head as a whole.
    pub(crate) is_broken: bool,
}

impl Gathered {
    /// A head that begins on that row.
    pub(crate) const fn new(row: u64) -> Self {
        Self {
            rows: Rows::one(row),
            head: Cells::new(),
            chambers: Vec::new(),
            diesel: Vec::new(),
            ports: Vec::new(),
            faults: Vec::new(),
            is_broken: false,
        }
    }

    /// Tells of a row that cannot be taken as it is.
    pub(crate) fn broken(&mut self, pointer: &str, detail: String) {
        self.is_broken = true;
        record(&mut self.faults, || Fault::new(pointer.to_owned(), detail, None));
    }

    /// Takes the cells of a row.
    pub(crate) fn add(&mut self, header: &Header, from: Record) {
        let row = from.row;
        self.rows.last = row;
        let port = self.ports.len();
        for (place, detail) in &from.faults {
            let column = header.columns.get(*place).copied().flatten().map(|column| &COLUMNS.all[column]);
            let name = column.map_or_else(|| (place + 1).to_string(), |column| column.name.clone());
            let pointer = column.map(|column| specific(&column.goes_to(false), port)).unwrap_or_default();
            self.broken(&pointer, format!("row {row}, column {name}: {detail}"));
        }
        let (cells, columns) = (from.cells.len(), header.columns.len());
        if cells != columns {
            self.broken("", format!("row {row}: has {cells} cells, but the header has {columns} columns"));
            return;
        }
        if port == MOST_PORTS {
            let detail = format!("row {row}: a head has at most {MOST_PORTS} ports");
            self.broken("/measurement_set/ports", detail);
            return;
        }
        let cylinder_column = COLUMNS.named("cylinder").and_then(|column| header.place(column));
        let cylinder = cylinder_column.and_then(|place| from.cells.get(place)).cloned().unwrap_or_default();
        let mut of_port = Cells::new();
        for (index, text) in header.columns.iter().zip(from.cells) {
            let Some(index) = index.filter(|_| !text.is_empty()) else { continue };
            let column = &COLUMNS.all[index];
            let cell = Cell { text, row };
            match column.family.scope {
                Scope::Port => {
                    of_port.insert(index, cell);
                }
                Scope::Head | Scope::Request => {
                    agreed(&mut self.head, &mut self.faults, 0, (index, column), cell)
                }
                scope => {
                    let groups = if scope == Scope::Chamber { &mut self.chambers } else { &mut self.diesel };
                    let place = of_cylinder(groups, &cylinder, row);
                    agreed(&mut groups[place].cells, &mut self.faults, place, (index, column), cell);
                }
            }
        }
        if of_port.is_empty() {
            let pointer = format!("/measurement_set/ports/{port}");
            self.broken(&pointer, format!("row {row}: names no port: cylinder, service and index are empty"));
        }
        self.ports.push(Group { row, cylinder: String::new(), cells: of_port });
    }
}

/// Where the cells of a cylinder are.
fn of_cylinder(groups: &mut Vec<Group>, cylinder: &str, row: u64) -> usize {
    groups.iter().position(|group| group.cylinder == cylinder).unwrap_or_else(|| {
        groups.push(Group { row, cylinder: cylinder.to_owned(), cells: Cells::new() });
        groups.len() - 1
    })
}

/// Keeps a cell that may stand on several rows: wherever it does, it has to say the same.
fn agreed(
    cells: &mut Cells,
    faults: &mut Vec<Fault>,
    place: usize,
    (index, column): (usize, &Column),
    cell: Cell,
) {
    let Some(earlier) = cells.get(&index) else {
        cells.insert(index, cell);
        return;
    };
    if earlier.text != cell.text {
        let (row, name) = (cell.row, &column.name);
        let detail = format!("row {row}, column {name}: says something else than row {}", earlier.row);
        let pointer = specific(&column.goes_to(false), place);
        record(faults, || Fault::new(pointer, detail, Some(cell.text.into())));
    }
}
