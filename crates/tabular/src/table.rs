//! The one table of columns, in the order in which they are written.

mod head;
mod port;

use crate::column::{Family, Kind, Needed, Scope};

/// Every line of the table, in order.
pub fn families() -> impl Iterator<Item = &'static Family> {
    [
        port::KEYS,
        port::READINGS,
        head::CYLINDERS,
        head::IDENTITY,
        head::LAYOUT,
        head::INSTRUMENTS,
        head::WHOLE,
    ]
    .into_iter()
    .flatten()
}

/// A column that may be left out.
const fn column(
    scope: Scope,
    name: &'static str,
    path: &'static str,
    kind: Kind,
    description: &'static str,
) -> Family {
    Family { name, scope, path, kind, needed: Needed::Never, most: (0, 0), description }
}

impl Family {
    const fn needed(self, needed: Needed) -> Self {
        Self { needed, ..self }
    }

    const fn up_to(self, n: usize) -> Self {
        Self { most: (n, 0), ..self }
    }

    const fn up_to_each(self, n: usize, m: usize) -> Self {
        Self { most: (n, m), ..self }
    }
}
