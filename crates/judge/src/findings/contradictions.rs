//! Two ways to the same quantity that give different answers.

use headproof_head::{Finding, FindingCode, Port, Reading};
use headproof_metrology::{clearance_from_rocking, width_from_diameters};
use headproof_quantity::{Exact, LengthDim};

use super::rests_on::{SEAT_WIDTHS, seat_diameters};
use super::{CERTAIN, blocking, warning};
use crate::budget::Budget;
use crate::context::Context;
use crate::table::guide_heights;

type LengthReading = Reading<LengthDim>;

/// Differences below `least` are what round numbers and uneven wear make; `unknown` stands in where nothing
/// is known of the uncertainties, and is what makes widths unusable. In mm; common practice, no source.
struct Allowed {
    least: f64,
    unknown: f64,
}

const WIDTHS: Allowed = Allowed { least: 0.1, unknown: 0.25 };
const CLEARANCES: Allowed = Allowed { least: 0.01, unknown: 0.03 };

impl Allowed {
    fn is_passed_by(&self, difference: f64, uncertainty: Option<f64>) -> bool {
        difference > uncertainty.map_or(self.unknown, |u| (CERTAIN * u).max(self.least))
    }
}

/// The mean of the widths round the seat against the width that the diameters give.
pub(super) fn widths(context: &Context<'_>, port: &Port) -> Option<Finding> {
    let seat = &port.seat;
    let (outer, inner) = seat.outer_diameter.as_ref().zip(seat.inner_diameter.as_ref())?;
    if inner.value() >= outer.value() {
        // Crossed diameters give no width to compare.
        return None;
    }
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
    let difference = (from_diameters.value.get() - mean).abs();
    WIDTHS.is_passed_by(difference, uncertainty).then(|| {
        let fields = ["/seat/widths", "/seat/outer_diameter", "/seat/inner_diameter"];
        let text =
            format!("{}: the seat widths and the width that the seat's diameters give contradict", port.id);
        if difference > WIDTHS.unknown {
            let touches = [SEAT_WIDTHS.to_vec(), seat_diameters(port)].concat();
            blocking(port, FindingCode::ReadingsContradict, &fields, text, touches)
        } else {
            warning(port, FindingCode::ReadingsContradict, &fields, text)
        }
    })
}

/// A stem that rocks less than its bores let it; more is what a bell-mouth does.
pub(super) fn clearances(context: &Context<'_>, port: &Port) -> Option<Finding> {
    let (rocking, length) = port.guide.rocking.as_ref().zip(port.guide.engaged_length.as_ref())?;
    let (travel, distance) = (&rocking.travel, &rocking.distance_outside);
    let rocked = clearance_from_rocking(travel.value(), distance.value(), length.value()).ok()?;
    let clearance = |(bore, stem): &(&LengthReading, &LengthReading)| bore.value() - stem.value();
    let (bore, stem) = guide_heights(port)
        .into_iter()
        .filter_map(|(_, bores, stem)| Some((bores, stem?)))
        .flat_map(|(bores, stem)| bores.iter().map(move |bore| (bore, stem)))
        .min_by_key(clearance)?;
    let mut budget = Budget::new(context);
    budget.reading("guide bore", 1.0, bore);
    budget.reading("stem diameter", -1.0, stem);
    budget.reading("rocking travel", -rocked.sensitivity[0], travel);
    budget.reading("distance outside the guide", -rocked.sensitivity[1], distance);
    budget.reading("engaged length", -rocked.sensitivity[2], length);
    let (uncertainty, _) = budget.close();
    let short = clearance(&(bore, stem)).exact().approx() - rocked.value.get();
    CLEARANCES.is_passed_by(short, uncertainty).then(|| {
        warning(
            port,
            FindingCode::ReadingsContradict,
            &["/guide/rocking", "/guide/bores", "/valve/stem"],
            format!("{}: the stem rocks less than the measured bores would let it", port.id),
        )
    })
}
