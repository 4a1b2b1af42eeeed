//! Two ways to the same quantity that give different answers.

use headproof_head::{Finding, FindingCode, Port};
use headproof_metrology::width_from_diameters;
use headproof_quantity::Exact;

use super::rests_on::{SEAT_WIDTHS, seat_diameters};
use super::{blocking, by_chance, of_port, warning};
use crate::budget::Budget;
use crate::context::Context;
use crate::table::{Pair, pairs, rocked};

/// Differences below `least` are what round numbers and uneven wear make; `unknown` stands in where nothing
/// is known of the uncertainties, and is what makes widths unusable. In mm; common practice, no source.
struct Allowed {
    least: f64,
    unknown: f64,
}

const WIDTHS: Allowed = Allowed { least: 0.1, unknown: 0.25 };
const CLEARANCES: Allowed = Allowed { least: 0.01, unknown: 0.03 };

impl Allowed {
    fn is_passed_by(&self, difference: f64, budget: Budget<'_>) -> bool {
        difference > by_chance(budget).map_or(self.unknown, |chance| chance.max(self.least))
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
    let difference = (from_diameters.value.get() - mean).abs();
    WIDTHS.is_passed_by(difference, budget).then(|| {
        let fields = ["/seat/widths", "/seat/outer_diameter", "/seat/inner_diameter"];
        let says = of_port(port, "found-widths-contradict");
        if difference > WIDTHS.unknown {
            let touches = [SEAT_WIDTHS.to_vec(), seat_diameters(port)].concat();
            blocking(port, FindingCode::ReadingsContradict, &fields, says, touches)
        } else {
            warning(port, FindingCode::ReadingsContradict, &fields, says)
        }
    })
}

/// A stem that rocks less than its bores let it; more is what a bell-mouth does.
pub(super) fn clearances(context: &Context<'_>, port: &Port) -> Option<Finding> {
    let rocked = rocked(port).ok()?;
    let tightest = pairs(port).min_by_key(Pair::clearance)?;
    let mut budget = Budget::new(context);
    tightest.add(&mut budget, 1.0);
    rocked.add(&mut budget, -1.0);
    let short = tightest.clearance().approx() - rocked.clearance();
    CLEARANCES.is_passed_by(short, budget).then(|| {
        warning(
            port,
            FindingCode::ReadingsContradict,
            &["/guide/rocking", "/guide/bores", "/valve/stem"],
            of_port(port, "found-clearances-contradict"),
        )
    })
}
