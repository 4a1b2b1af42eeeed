//! Characteristics that are read off a gauge as they are.

use headproof_head::{MissingCause, Place, Reading, State};
use headproof_quantity::Dimension;

use crate::candidate::{Candidate, Candidates};
use crate::characteristic::Derived;

/// One reading, one place.
pub(super) fn one<D: Dimension>(
    reading: Option<&Reading<D>>,
    what: &'static str,
    out: &mut Candidates,
) -> Derived {
    let reading = reading.ok_or(MissingCause::Absent(what))?;
    out.push(Candidate::read(Place::Whole, reading));
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
    let at = |(index, reading)| Candidate::read(place(number(index + 1), of), reading);
    out.extend(readings.iter().enumerate().map(at));
    Ok(())
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

/// A row of a port that is read off a gauge as it is.
macro_rules! direct {
    ($id:literal, $title:literal, $kind:ident, |$port:ident| $reading:expr, $what:literal) => {
        Characteristic::of_port($id, $title, Kind::$kind, |_, $port, out| {
            direct::one($reading.as_ref(), $what, out)
        })
    };
}

pub(super) use direct;
