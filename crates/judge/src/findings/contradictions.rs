//! Two ways to the same quantity that give different answers.

use headproof_head::{Finding, FindingCode, Port, Reading};
use headproof_metrology::{clearance_from_rocking, width_from_diameters};
use headproof_quantity::{Exact, LengthDim};

use super::{blocking, warning};
use crate::budget::Budget;
use crate::context::Context;
use crate::table::guide_heights;

/// Answers further apart than this many of their own standard uncertainties contradict each other: by
/// chance that happens once in 370 times.
const TELLING: f64 = 3.0;
/// Differences below this are what round numbers and uneven wear make, in mm (common practice, no source).
const NEGLIGIBLE: f64 = 0.1;
/// The same where nothing is known of the uncertainties, in mm (common practice, no source).
const NEGLIGIBLE_UNKNOWN: f64 = 0.25;

fn contradict(difference: f64, uncertainty: Option<f64>) -> bool {
    let allowed = uncertainty.map_or(NEGLIGIBLE_UNKNOWN, |u| (TELLING * u).max(NEGLIGIBLE));
    difference.abs() > allowed
}

/// The mean of the widths round the seat against the width that the diameters give.
pub(super) fn widths(context: &Context<'_>, port: &Port) -> Option<Finding> {
    let seat = &port.seat;
    let (outer, inner) = seat.outer_diameter.as_ref().zip(seat.inner_diameter.as_ref())?;
    let angle = context.seat_angle(port).ok()?;
    let values: Vec<Exact> = seat.widths.iter().map(|width| width.value().exact()).collect();
    let mean = Exact::mean(&values)?.approx();
    let from_diameters = width_from_diameters(outer.value(), inner.value(), angle.angle()).ok()?;
    let mut budget = Budget::new(context);
    budget.reading("seat outer diameter", from_diameters.sensitivity[0], outer);
    budget.reading("seat inner diameter", from_diameters.sensitivity[1], inner);
    budget.angle("seat angle", from_diameters.sensitivity[2], &angle);
    #[expect(clippy::cast_precision_loss, reason = "a handful of readings")]
    let share = -1.0 / values.len() as f64;
    seat.widths.iter().for_each(|width| budget.reading("seat width", share, width));
    let (uncertainty, _) = budget.close();
    contradict(from_diameters.value.get() - mean, uncertainty).then(|| {
        blocking(
            port,
            FindingCode::ReadingsContradict,
            &["/seat/widths", "/seat/outer_diameter", "/seat/inner_diameter"],
            format!("{}: the seat widths and the width that the seat's diameters give contradict", port.id),
            &["seat-width", "seat-width-uniformity"],
        )
    })
}

/// A stem that rocks less than its bores let it; more is what a bell-mouth does.
pub(super) fn clearances(port: &Port) -> Option<Finding> {
    let (rocking, length) = port.guide.rocking.as_ref().zip(port.guide.engaged_length.as_ref())?;
    let rocked =
        clearance_from_rocking(rocking.travel.value(), rocking.distance_outside.value(), length.value())
            .ok()?;
    let clearance =
        |bore: &Reading<LengthDim>, stem: &Reading<LengthDim>| (bore.value() - stem.value()).exact().approx();
    let least = guide_heights(port)
        .into_iter()
        .filter_map(|(_, bores, stem)| Some((bores, stem?)))
        .flat_map(|(bores, stem)| bores.iter().map(move |bore| clearance(bore, stem)))
        .min_by(f64::total_cmp)?;
    (least - rocked.value.get() > NEGLIGIBLE / 2.0).then(|| {
        warning(
            port,
            FindingCode::ReadingsContradict,
            &["/guide/rocking", "/guide/bores", "/valve/stem"],
            format!("{}: the stem rocks less than the measured bores would let it", port.id),
        )
    })
}
