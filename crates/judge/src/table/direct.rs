//! Characteristics that are read off a gauge as they are.

use headproof_head::{MissingCause, Place, Reading, State};
use headproof_metrology as metrology;
use headproof_quantity::{Dimension, Quantity};

use crate::budget::{Budget, nth};
use crate::candidate::{Candidate, Candidates};
use crate::characteristic::Derived;
use crate::context::{Context, not_computable};

/// One reading, one place; `absent` names the message that says what is missing without it.
pub(super) fn one<D: Dimension>(
    reading: Option<&Reading<D>>,
    absent: &'static str,
    out: &mut Candidates,
) -> Derived {
    let reading = reading.ok_or(MissingCause::Absent(absent))?;
    out.push(Candidate::read(Place::Whole, reading));
    Ok(())
}

/// Several readings, each at a place of its own.
pub(super) fn each<D: Dimension>(
    readings: &[Reading<D>],
    place: impl Fn(u16, u16) -> Place,
    absent: &'static str,
    out: &mut Candidates,
) -> Derived {
    if readings.is_empty() {
        return Err(MissingCause::Absent(absent));
    }
    let of = number(readings.len());
    let at = |(index, reading)| Candidate::read(place(number(index + 1), of), reading);
    out.extend(readings.iter().enumerate().map(at));
    Ok(())
}

/// Greatest less least of several readings.
pub(super) fn spread<D: Dimension>(
    context: &Context<'_>,
    name: &'static str,
    readings: &[&Reading<D>],
    out: &mut Candidates,
) -> Derived {
    let values: Vec<Quantity<D>> = readings.iter().map(|reading| reading.value()).collect();
    let sum = metrology::spread(&values).map_err(not_computable)?;
    let mut budget = Budget::new(context);
    for (index, sensitivity) in sum.sensitivity {
        budget.reading(nth(name, index), sensitivity, readings[index]);
    }
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget));
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
    ($id:literal, $title:literal, $kind:ident, |$port:ident| $reading:expr, $absent:literal) => {
        Characteristic::of_port($id, $title, Kind::$kind, |_, $port, out| {
            direct::one($reading.as_ref(), $absent, out)
        })
    };
}

pub(super) use direct;
