//! The table of characteristics. A new one is one row here (in the part it belongs to) and one sum in
//! `metrology`.

mod assembly;
mod chamber;
mod contact;
mod deck;
mod direct;
mod guide;
mod insert;
mod leak;
mod seat;
mod spring;
mod tests_of_head;
mod turn;
mod valve;
mod winding;

use std::collections::HashMap;
use std::sync::LazyLock;

use headproof_head::CharacteristicId;

pub(crate) use self::contact::FaceBand;
pub(crate) use self::guide::{Pair, pairs, rocked};
pub(crate) use self::leak::{Air, highest_atmosphere};
pub use self::turn::high_side;
use crate::characteristic::Characteristic;

static PARTS: [&[Characteristic]; 12] = [
    seat::ROWS,
    insert::ROWS,
    contact::ROWS,
    guide::ROWS,
    valve::ROWS,
    assembly::ROWS,
    spring::ROWS,
    winding::ROWS,
    leak::ROWS,
    chamber::ROWS,
    deck::ROWS,
    tests_of_head::ROWS,
];

/// Every row with its place in the table, by name.
static BY_NAME: LazyLock<HashMap<&'static str, (usize, &'static Characteristic)>> =
    LazyLock::new(|| table().enumerate().map(|(place, row)| (row.id.as_str(), (place, row))).collect());

/// Every characteristic, in the order they are shown.
pub fn table() -> impl Iterator<Item = &'static Characteristic> {
    PARTS.into_iter().flatten()
}

/// The characteristic of that name.
#[must_use]
pub fn characteristic(id: &str) -> Option<&'static Characteristic> {
    BY_NAME.get(id).map(|(_, row)| *row)
}

/// Where a characteristic stands in [`table`].
pub(crate) fn place_in_table(id: CharacteristicId) -> Option<usize> {
    BY_NAME.get(id.as_str()).map(|(place, _)| *place)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_are_unique_and_every_row_says_where_it_comes_from() {
        assert_eq!(BY_NAME.len(), table().count());
        for row in table() {
            assert!(
                !row.formula.is_empty()
                    && !row.source.is_empty()
                    && !row.uncertainty.is_empty()
                    && !row.outside_check.is_empty(),
                "{}",
                row.id
            );
        }
    }
}
