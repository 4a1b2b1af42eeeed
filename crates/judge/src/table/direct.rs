//! Characteristics that are read off a gauge as they are.

use headproof_head::{MissingCause, Place, Reading, State};
use headproof_quantity::Dimension;

use crate::characteristic::{Candidate, Candidates, Derived};

pub(super) const READ_DIRECTLY: &str = "as read";
pub(super) const DEFINITION: &str = "definition of the measured quantity";
pub(super) const OF_THE_READING: &str = "that of the reading; repeats add s²/n";
pub(super) const FIRST_ORDER: &str = "first order, readings independent (JCGM 100, 5.1.2 from memory)";
pub(super) const NO_UNCERTAINTY: &str = "none: found or not";

/// One reading, one place.
pub(super) fn one<D: Dimension>(
    reading: Option<&Reading<D>>,
    what: &'static str,
    out: &mut Candidates,
) -> Derived {
    let reading = reading.ok_or(MissingCause::Absent(what))?;
    out.push(at(Place::Whole, reading));
    Ok(())
}

/// Several readings, each at a place of its own.
pub(super) fn each<D: Dimension>(
    readings: &[Reading<D>],
    place: impl Fn(u16, u16) -> Place,
    what: &'static str,
    out: &mut Candidates,
) -> Derived {
    if readings.is_empty() {
        return Err(MissingCause::Absent(what));
    }
    let of = number(readings.len());
    out.extend(readings.iter().enumerate().map(|(index, reading)| at(place(number(index + 1), of), reading)));
    Ok(())
}

/// A reading as a candidate.
pub(super) fn at<D: Dimension>(place: Place, reading: &Reading<D>) -> Candidate {
    Candidate::exact(place, reading.value().exact(), reading.uncertainty().map(|u| u.get()))
}

/// The n-th of several positions round a seat or face.
pub(super) const fn around(position: u16, of: u16) -> Place {
    Place::Around { position, of }
}

/// The n-th entry of a list.
pub(super) const fn entry(position: u16, _of: u16) -> Place {
    Place::Entry(position)
}

/// Places are counted in small numbers; the documents bound the lists.
pub(super) fn number(index: usize) -> u16 {
    u16::try_from(index).unwrap_or(u16::MAX)
}

/// Only what is good is in order.
pub(super) fn good(state: State) -> bool {
    state == State::Good
}

/// A row that is read off a gauge as it is.
macro_rules! direct {
    ($id:literal, $title:literal, $kind:ident, |$port:ident| $reading:expr, $what:literal) => {
        Characteristic {
            id: CharacteristicId::new($id),
            title: $title,
            formula: direct::READ_DIRECTLY,
            source: direct::DEFINITION,
            uncertainty: direct::OF_THE_READING,
            measure: Measure::Amount(Kind::$kind),
            derive: Derive::Port(|_, $port, out| direct::one($reading.as_ref(), $what, out)),
        }
    };
}

/// A row that is found in order or not: of a port (`PortState`) or of the head as a whole (`HeadState`).
macro_rules! state {
    ($id:literal, $title:literal, $of:ident, |$whole:ident| $state:expr) => {
        Characteristic {
            id: CharacteristicId::new($id),
            title: $title,
            formula: "found in order or not",
            source: direct::DEFINITION,
            uncertainty: direct::NO_UNCERTAINTY,
            measure: Measure::InOrder,
            derive: Derive::$of(|$whole| $state),
        }
    };
}

pub(super) use {direct, state};
