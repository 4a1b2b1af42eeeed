//! Columns: what each is called, where its cells go in a job request, and what may stand in them.

use std::collections::HashMap;
use std::sync::LazyLock;

use crate::table;

/// What a column belongs to, and with it where its path begins.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Scope {
    /// The request around the measurement set.
    Request,
    /// The head.
    Head,
    /// The chamber of the row's cylinder.
    Chamber,
    /// The diesel parts of the row's cylinder.
    Diesel,
    /// The port of the row.
    Port,
}

impl Scope {
    /// All of them.
    pub(crate) const ALL: [Self; 5] = [Self::Request, Self::Head, Self::Chamber, Self::Diesel, Self::Port];

    /// The JSON Pointer that paths of this scope begin with.
    #[must_use]
    pub const fn root(self) -> &'static str {
        match self {
            Self::Request => "",
            Self::Head => "/measurement_set",
            Self::Chamber => "/measurement_set/chambers/{cylinder}",
            Self::Diesel => "/measurement_set/diesel/{cylinder}",
            Self::Port => "/measurement_set/ports/{port}",
        }
    }

    /// The list that a scope repeats in: the pointer before its index.
    pub(crate) const fn list(self) -> Option<&'static str> {
        match self {
            Self::Request | Self::Head => None,
            Self::Chamber => Some("/measurement_set/chambers/"),
            Self::Diesel => Some("/measurement_set/diesel/"),
            Self::Port => Some("/measurement_set/ports/"),
        }
    }
}

/// What may stand in a cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// A reading, with columns beside it for its instrument, its uncertainty and its repeats.
    Reading,
    /// A number as JSON writes it.
    Number,
    /// A whole number; its bounds are those of the schema.
    Integer,
    /// One of the words of the schema.
    Word,
    /// `yes` or `no`.
    YesNo,
    /// Any text.
    Text,
    /// A day, as ISO 8601 has it.
    Date,
    /// Date and time with offset, as RFC 3339 has them.
    DateTime,
    /// `none`: the list is empty, rather than unknown.
    NoneOfThem,
}

/// Where a cell has to be filled.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Needed {
    /// On every row.
    EachRow,
    /// On one row of each head at least.
    EachHead,
    /// Nowhere.
    Never,
}

/// A line of the table: a column, or several that differ in their numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Family {
    /// Name, with `{n}` and `{m}` for numbers from 1.
    pub name: &'static str,
    /// What it belongs to.
    pub scope: Scope,
    /// Where its cells go below the root of its scope; an index is one less than its number.
    pub path: &'static str,
    /// What may stand in it.
    pub kind: Kind,
    /// Where it has to be filled.
    pub needed: Needed,
    /// The greatest `{n}` and `{m}`.
    pub most: (usize, usize),
    /// What it says.
    pub description: &'static str,
}

impl Family {
    /// Where its cells go in a job request, with `{port}` or `{cylinder}` for the one of the row.
    #[must_use]
    pub fn pointer(&self) -> String {
        format!("{}/{}", self.scope.root(), self.path)
    }
}

/// Which part of a reading a column holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// The value itself, and the only part of what is no reading.
    Value,
    /// Id of its instrument.
    Instrument,
    /// Its expanded uncertainty.
    Uncertainty,
    /// The coverage factor of that.
    CoverageFactor,
    /// One of its repeats.
    Repeat(usize),
}

/// Most repeats of a reading that have columns.
pub const MOST_REPEATS: usize = 5;

/// One column, its numbers filled in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    /// Its name, as it stands in the header.
    pub name: String,
    /// The line of the table it comes from.
    pub family: &'static Family,
    /// Which part of the reading it holds.
    pub part: Part,
    /// Where a value goes in a job request that has nothing beside it, with the placeholder of its scope.
    pub(crate) pointer: String,
    /// The column of the value this one belongs to; its own place where it is one.
    pub(crate) value: usize,
}

impl Column {
    /// What may stand in its cells.
    #[must_use]
    pub const fn kind(&self) -> Kind {
        match self.part {
            Part::Value => self.family.kind,
            Part::Instrument => Kind::Text,
            Part::Uncertainty | Part::CoverageFactor | Part::Repeat(_) => Kind::Number,
        }
    }

    /// Where it has to be filled.
    #[must_use]
    pub const fn needed(&self) -> Needed {
        match self.part {
            Part::Value => self.family.needed,
            _ => Needed::Never,
        }
    }

    /// Where a cell goes, with the placeholder of its scope; a value goes deeper where something is said
    /// beside it.
    pub(crate) fn goes_to(&self, detailed: bool) -> String {
        let at = &self.pointer;
        match self.part {
            Part::Value if detailed => format!("{at}/value"),
            Part::Value => at.clone(),
            Part::Instrument => format!("{at}/instrument"),
            Part::Uncertainty => format!("{at}/expanded_uncertainty"),
            Part::CoverageFactor => format!("{at}/coverage_factor"),
            Part::Repeat(number) => format!("{at}/repeats/{}", number - 1),
        }
    }
}

/// All columns in the order of the table, and the ways to find one.
pub(crate) struct Columns {
    pub(crate) all: Vec<Column>,
    by_name: HashMap<String, usize>,
    by_pointer: HashMap<String, usize>,
}

/// The columns, made once.
pub(crate) static COLUMNS: LazyLock<Columns> = LazyLock::new(|| {
    let mut columns = Columns { all: Vec::new(), by_name: HashMap::new(), by_pointer: HashMap::new() };
    table::families().for_each(|family| columns.add_family(family));
    columns
});

impl Columns {
    fn add_family(&mut self, family: &'static Family) {
        for n in 1..=family.most.0.max(1) {
            for m in 1..=family.most.1.max(1) {
                let fill = |text: &str, less: usize| {
                    text.replace("{n}", &(n - less).to_string()).replace("{m}", &(m - less).to_string())
                };
                let (name, pointer) = (fill(family.name, 0), fill(&family.pointer(), 1));
                let value = self.all.len();
                let mut add = |name: String, part| {
                    self.add(Column { name, family, part, pointer: pointer.clone(), value });
                };
                add(name.clone(), Part::Value);
                if family.kind == Kind::Reading {
                    add(format!("{name}_instrument"), Part::Instrument);
                    add(format!("{name}_uncertainty"), Part::Uncertainty);
                    add(format!("{name}_coverage_factor"), Part::CoverageFactor);
                    for number in 1..=MOST_REPEATS {
                        add(format!("{name}_repeat_{number}"), Part::Repeat(number));
                    }
                }
            }
        }
    }

    fn add(&mut self, column: Column) {
        let index = self.all.len();
        self.by_name.insert(column.name.clone(), index);
        self.by_pointer.insert(column.goes_to(false), index);
        if column.kind() == Kind::Reading {
            self.by_pointer.insert(column.goes_to(true), index);
        }
        self.all.push(column);
    }

    pub(crate) fn named(&self, name: &str) -> Option<usize> {
        self.by_name.get(name).copied()
    }

    /// The column whose cells go there.
    pub(crate) fn at(&self, template: &str) -> Option<usize> {
        self.by_pointer.get(template).copied()
    }

    /// The column whose cells go there or to what holds it, else the first of those that go into it.
    pub(crate) fn near(&self, template: &str) -> Option<usize> {
        let above = template.match_indices('/').rev().map(|(end, _)| &template[..end]);
        let inside = format!("{template}/");
        let below = || self.all.iter().position(|column| column.pointer.starts_with(&inside));
        let is_element = template.rsplit('/').next().is_some_and(|token| token.parse::<usize>().is_ok());
        self.at(template)
            .or_else(|| above.filter(|above| !above.is_empty()).find_map(|above| self.at(above)))
            .or_else(|| if is_element { below() } else { None })
    }
}

/// A pointer into a job request with the placeholder of its scope, and the index that stood there.
pub(crate) fn generalised(pointer: &str) -> (Scope, String, usize) {
    for scope in Scope::ALL {
        let Some(rest) = scope.list().and_then(|list| pointer.strip_prefix(list)) else { continue };
        let (index, inner) = rest.split_at(rest.find('/').unwrap_or(rest.len()));
        if let Ok(index) = index.parse() {
            return (scope, format!("{}{inner}", scope.root()), index);
        }
    }
    (Scope::Head, pointer.to_owned(), 0)
}

/// A template with that index in the place of its placeholder.
pub(crate) fn specific(template: &str, index: usize) -> String {
    let index = index.to_string();
    template.replacen("{port}", &index, 1).replacen("{cylinder}", &index, 1)
}
