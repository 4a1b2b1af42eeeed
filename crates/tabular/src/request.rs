//! A job request out of the cells of a head, or every fault with its row and column.

use std::collections::{BTreeSet, HashMap, HashSet};

use headproof_wire::{Document, Fault, JobRequest, ReadError, read};

use crate::cell::{Leaf, leaf};
use crate::column::{COLUMNS, Kind, Part, generalised, specific};
use crate::faults::record;
use crate::gathered::{Cells, Gathered, Group};
use crate::given::Given;
use crate::header::Header;
use crate::tree::Tree;

const FORMAT: &str = "headproof/measurement-set/1";

/// A head while its document is made.
struct Making<'h> {
    header: &'h Header,
    gathered: Gathered,
    tree: Tree,
    /// The row and column of every value.
    placed: HashMap<String, (u64, usize)>,
    /// Where faults of cells were told already, or need not be told.
    told: BTreeSet<String>,
}

/// The request that these cells make.
///
/// # Errors
/// Every fault, with a pointer into the request and a detail that begins with row and column.
pub(crate) fn request(
    gathered: Gathered,
    header: &Header,
    given: Given<'_>,
) -> Result<JobRequest, Vec<Fault>> {
    let (tree, placed) = (Tree::default(), HashMap::new());
    let mut making = Making { header, gathered, tree, placed, told: BTreeSet::new() };
    making.put_all();
    if making.gathered.is_broken {
        return Err(making.gathered.faults);
    }
    let mut text = String::new();
    making.tree.write(&mut text);
    let (request, found) = match read::<JobRequest>(text.as_bytes()) {
        Ok(request) => {
            let mut found = request.content_faults();
            found.extend(given.fault(&request));
            (Some(given.put_into(request)), found)
        }
        Err(ReadError::Faults(found)) => (None, found),
        Err(ReadError::NotJson(detail)) => (None, vec![Fault::new(String::new(), detail, None)]),
    };
    found.into_iter().for_each(|fault| making.add(fault));
    match request {
        Some(request) if making.gathered.faults.is_empty() => Ok(request),
        _ => Err(making.gathered.faults),
    }
}

impl Making<'_> {
    fn put_all(&mut self) {
        self.tree.put("/measurement_set/format", Leaf::Text(FORMAT.into()));
        let head = std::mem::take(&mut self.gathered.head);
        self.put(&head, 0);
        self.gathered.head = head;
        let chambers = std::mem::take(&mut self.gathered.chambers);
        self.put_cylinders(&chambers, "/measurement_set/chambers");
        self.gathered.chambers = chambers;
        let diesel = std::mem::take(&mut self.gathered.diesel);
        self.put_cylinders(&diesel, "/measurement_set/diesel");
        self.gathered.diesel = diesel;
        let ports = std::mem::take(&mut self.gathered.ports);
        ports.iter().enumerate().for_each(|(index, port)| self.put(&port.cells, index));
        self.gathered.ports = ports;
        let mut holes = Vec::new();
        self.tree.holes("", &mut holes);
        for hole in holes {
            // What is broken has been told; a port without a cell leaves a hole as well.
            if !self.gathered.is_broken {
                let detail = "is empty, but a later one of its kind is not".to_owned();
                self.add(Fault::new(hole.clone(), detail, None));
                self.told.insert(hole);
            }
        }
    }

    /// The cylinder of an element is that of the rows it was read from. What is wrong with it is told of the port.
    fn put_cylinders(&mut self, groups: &[Group], list: &str) {
        for (index, group) in groups.iter().enumerate() {
            self.put(&group.cells, index);
            let pointer = format!("{list}/{index}/cylinder");
            self.tree.put(&pointer, leaf(Kind::Integer, &group.cylinder).0);
            self.told.insert(pointer);
        }
    }

    fn put(&mut self, cells: &Cells, index: usize) {
        let columns = cells.keys().map(|column| &COLUMNS.all[*column]);
        let detailed: HashSet<usize> =
            columns.filter(|column| column.part != Part::Value).map(|column| column.value).collect();
        for (place, cell) in cells {
            let column = &COLUMNS.all[*place];
            let pointer = specific(&column.goes_to(detailed.contains(place)), index);
            let (value, wrong) = leaf(column.kind(), &cell.text);
            self.placed.insert(pointer.clone(), (cell.row, *place));
            let is_put = self.tree.put(&pointer, value);
            let wrong = wrong.or_else(|| (!is_put).then_some("contradicts another cell of its row"));
            if let Some(wrong) = wrong {
                self.add(Fault::new(pointer.clone(), wrong.into(), Some(cell.text.as_str().into())));
                self.told.insert(pointer);
            }
        }
    }

    /// Keeps a fault of the document with its row and column, unless it was told of its cell or of the header.
    fn add(&mut self, fault: Fault) {
        let (_, template, _) = generalised(&fault.pointer);
        let column =
            self.placed.get(&fault.pointer).map(|(_, column)| *column).or_else(|| COLUMNS.near(&template));
        let is_told = self.is_told(&fault.pointer, COLUMNS.at(&template).is_some())
            || column.is_some_and(|column| self.header.missing.contains(&column));
        if is_told {
            return;
        }
        let place = self.place(&fault.pointer, column);
        record(&mut self.gathered.faults, || {
            Fault::new(fault.pointer, format!("{place}: {}", fault.detail), fault.value)
        });
    }

    /// Was the same, or something above it, told already; or something below it, where that is one cell?
    fn is_told(&self, pointer: &str, is_cell: bool) -> bool {
        let mut above = pointer.match_indices('/').map(|(end, _)| &pointer[..end]);
        let inside = format!("{pointer}/");
        self.told.contains(pointer)
            || above.any(|above| self.told.contains(above))
            || is_cell
                && self.told.range(inside.clone()..).next().is_some_and(|other| other.starts_with(&inside))
    }

    /// Row and column in words.
    fn place(&self, pointer: &str, column: Option<usize>) -> String {
        let named = |row: String, column: usize| format!("{row}, column {}", COLUMNS.all[column].name);
        if let Some((row, column)) = self.placed.get(pointer) {
            return named(format!("row {row}"), *column);
        }
        let (scope, _, index) = generalised(pointer);
        let groups = match scope {
            crate::Scope::Port => &self.gathered.ports,
            crate::Scope::Chamber => &self.gathered.chambers,
            crate::Scope::Diesel => &self.gathered.diesel,
            crate::Scope::Head | crate::Scope::Request => &Vec::new(),
        };
        let row = groups
            .get(index)
            .map_or_else(|| self.gathered.rows.to_string(), |group| format!("row {}", group.row));
        let inside = format!("{pointer}/");
        // An element as a whole is its row; whatever else has members is named by the first cell in it.
        let first = || {
            let cells = self.placed.iter().filter(|(other, _)| other.starts_with(&inside));
            cells.map(|(_, (_, column))| *column).min().filter(|_| !is_element(pointer))
        };
        match column.or_else(first) {
            Some(column) => named(row, column),
            None => row,
        }
    }
}

fn is_element(pointer: &str) -> bool {
    pointer.is_empty()
        || pointer == "/measurement_set"
        || pointer.rsplit('/').next().is_some_and(|token| token.parse::<usize>().is_ok())
}
