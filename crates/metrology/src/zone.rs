//! The least zone: how far apart two faces must at least stand to hold all readings between them.
//!
//! The faces are functions of the place that are linear in their coefficients: planes over a deck, lines
//! along one, limaçons round a seat. The least zone is then a linear program; it is solved to its exact
//! optimum by exchanging the points that touch, and proved by its multipliers. Where rounding stands in
//! the way of the proof the search is done again in whole numbers.

mod basis;
mod cloud;
mod exchange;
mod whole;

pub(crate) use basis::{Touching, Zone, inverse};
pub(crate) use cloud::{Cloud, centred, scaled};

use self::basis::Basis;

/// The least zone of readings: in doubles where that is proved, else in whole numbers.
///
/// `spanning` are `M` − 1 points whose places fix a face; `None` only when they do not.
pub(crate) fn least_zone<const M: usize>(cloud: &Cloud<'_, M>, spanning: &[usize]) -> Option<Zone<M>> {
    in_doubles(cloud, spanning)
        .filter(|zone| zone.is_proved_least(cloud))
        .or_else(|| whole::exchange(cloud, spanning))
}

fn in_doubles<const M: usize>(cloud: &Cloud<'_, M>, spanning: &[usize]) -> Option<Zone<M>> {
    exchange::exchange(cloud, Basis::first(cloud, spanning)?)
}

#[cfg(test)]
pub(crate) mod tests;
