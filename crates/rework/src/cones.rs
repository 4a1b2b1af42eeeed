//! A seat as the lower envelope of three cones.
//!
//! In a section through the valve axis, height counted towards the chamber over radius, the metal of a seat
//! lies under three straight lines: the throat cut, the seat and the top cut, each flatter than the one
//! before. What a cutter leaves is the lower of its own line and what was there, so that a seat after any
//! cuts is again the lower envelope of three lines, and an edge is where two neighbours cross. Each line is
//! kept by its height at the axis; a feed lowers it.
//!
//! Source: plane geometry.

use crate::affine::{Affine, CUTS, Var};
use crate::facts::SeatFacts;

const RADIANS: f64 = std::f64::consts::PI / 180.0;

pub(crate) fn tangent(degrees: f64) -> f64 {
    libm::tan(degrees * RADIANS)
}

pub(crate) fn cosine(degrees: f64) -> f64 {
    libm::cos(degrees * RADIANS)
}

/// Tangents of the three angles.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Slopes {
    pub(crate) top: f64,
    pub(crate) seat: f64,
    pub(crate) throat: f64,
}

impl Slopes {
    pub(crate) fn of(top: f64, seat: f64, throat: f64) -> Self {
        Self { top: tangent(top), seat: tangent(seat), throat: tangent(throat) }
    }
}

/// Heights at the axis of the three lines of a seat, with its outer edge at height nothing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Lines {
    pub(crate) slopes: Slopes,
    pub(crate) top: f64,
    pub(crate) seat: f64,
    pub(crate) throat: f64,
}

impl Lines {
    /// Of a seat as it is.
    pub(crate) fn of(seat: &SeatFacts) -> Self {
        let slopes = Slopes::of(seat.top_angle, seat.angle, seat.throat_angle);
        let inner = (seat.inner_radius - seat.outer_radius) * slopes.seat;
        Self {
            slopes,
            top: -seat.outer_radius * slopes.top,
            seat: -seat.outer_radius * slopes.seat,
            throat: inner - seat.inner_radius * slopes.throat,
        }
    }
}

/// A seat after its cuts.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct CutSeat {
    /// Height at the axis of the seat's line.
    pub(crate) seat: Affine,
    pub(crate) slopes: Slopes,
    pub(crate) outer_radius: Affine,
    pub(crate) inner_radius: Affine,
    pub(crate) width: Affine,
    /// What the clean-up needs: each is to be zero or less.
    pub(crate) clean_up: Vec<Affine>,
    /// How far the top cut goes below the cone that was there, at the new edge.
    pub(crate) top_depth: Option<Affine>,
    /// The same of the throat cut.
    pub(crate) throat_depth: Option<Affine>,
}

/// Which cuts are made, by which decisions (feeds), at which angles.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Cuts {
    pub(crate) slopes: Slopes,
    pub(crate) seat_angle: f64,
    pub(crate) seat: Var,
    pub(crate) top: Option<Var>,
    pub(crate) throat: Option<Var>,
    /// All three move as one.
    pub(crate) form: bool,
    /// The seat begins so much higher, on new metal.
    pub(crate) raised: Option<f64>,
    /// Feed of the light turns that come after the cuts that stop by sight.
    pub(crate) light_turns: f64,
}

/// What the seat becomes.
///
/// The errors of the result say what a miss of each cut does when every cut stops by what the bench sees: the
/// top cut stops at the outer diameter and the throat cut at the width, whatever the cuts before them left.
pub(crate) fn cut(facts: &SeatFacts, cuts: &Cuts) -> CutSeat {
    let old = Lines::of(facts);
    let (ro, ri) = (facts.outer_radius, facts.inner_radius);
    let new = cuts.slopes;
    let inner_height = (ri - ro) * old.slopes.seat;
    // A steeper cutter touches at the inner edge first, a flatter one at the outer.
    let touch = if new.seat > old.slopes.seat { inner_height - ri * new.seat } else { -ro * new.seat };
    let raised = cuts.raised.unwrap_or(0.0);
    let seat = Affine::constant(touch + raised).minus(&Affine::var(cuts.seat));
    let feed = |own: Option<Var>| if cuts.form { Some(cuts.seat) } else { own };
    let (top_feed, throat_feed) = (feed(cuts.top), feed(cuts.throat));
    let top = top_feed.map(|feed| Affine::constant(-ro * new.top + raised).minus(&Affine::var(feed)));
    let throat = throat_feed
        .map(|feed| Affine::constant(inner_height - ri * new.throat + raised).minus(&Affine::var(feed)));
    let top_slope = if top.is_some() { new.top } else { old.slopes.top };
    let throat_slope = if throat.is_some() { new.throat } else { old.slopes.throat };
    let top_line = top.clone().unwrap_or_else(|| Affine::constant(old.top));
    let throat_line = throat.clone().unwrap_or_else(|| Affine::constant(old.throat));
    let (per_outer, per_inner) = (1.0 / (new.seat - top_slope), 1.0 / (throat_slope - new.seat));
    let cosine = cosine(cuts.seat_angle);

    let outer_errors = match (cuts.form, top.is_some()) {
        (true, _) => [0.0; CUTS],
        (false, true) => [0.0, -per_outer, 0.0],
        (false, false) => [per_outer, 0.0, 0.0],
    };
    let width_errors = match (cuts.form, throat.is_some()) {
        (true, _) => [0.0; CUTS],
        (false, true) => [0.0, 0.0, -per_inner / cosine],
        (false, false) => [(outer_errors[0] + per_inner) / cosine, outer_errors[1] / cosine, 0.0],
    };
    let inner_errors = std::array::from_fn(|cut| outer_errors[cut] - cosine * width_errors[cut]);
    let outer_radius = top_line.clone().minus(&seat).times(per_outer).missed_by(outer_errors);
    let inner_radius = seat.clone().minus(&throat_line).times(per_inner).missed_by(inner_errors);
    let width = outer_radius.clone().minus(&inner_radius).times(1.0 / cosine).missed_by(width_errors);
    let seat = seat.missed_by([-1.0, 0.0, 0.0]);

    // How far a line lies above another at a radius.
    let above = |line: &Affine, slope: f64, other: f64, other_slope: f64, radius: &Affine| {
        line.clone().plus_constant(-other).plus(&radius.clone().times(slope - other_slope))
    };
    let on_new_metal = cuts.raised.is_some();
    let clean_up = if on_new_metal {
        Vec::new()
    } else {
        let need = facts.need / self::cosine(facts.angle) + cuts.light_turns;
        let at = |radius| above(&seat, new.seat, old.seat, old.slopes.seat, radius).plus_constant(need);
        let same_angle = (new.seat - old.slopes.seat).abs() < 1e-12;
        if same_angle { vec![at(&outer_radius)] } else { vec![at(&outer_radius), at(&inner_radius)] }
    };
    let depth = |line: Option<Affine>, slope, old_line, old_slope, radius: &Affine| {
        let line = line.filter(|_| !on_new_metal)?;
        Some(above(&line, slope, old_line, old_slope, radius).times(-1.0).missed_by([0.0; CUTS]))
    };
    CutSeat {
        top_depth: depth(top, new.top, old.top, old.slopes.top, &outer_radius),
        throat_depth: depth(throat, new.throat, old.throat, old.slopes.throat, &inner_radius),
        seat,
        slopes: new,
        outer_radius,
        inner_radius,
        width,
        clean_up,
    }
}

/// A seat that is left as it is, in the same terms.
pub(crate) fn uncut(facts: &SeatFacts) -> CutSeat {
    let lines = Lines::of(facts);
    CutSeat {
        seat: Affine::constant(lines.seat),
        slopes: lines.slopes,
        outer_radius: Affine::constant(facts.outer_radius),
        inner_radius: Affine::constant(facts.inner_radius),
        width: Affine::constant(facts.width()),
        clean_up: Vec::new(),
        top_depth: None,
        throat_depth: None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn facts() -> SeatFacts {
        SeatFacts {
            outer_radius: 16.5,
            inner_radius: 15.0,
            angle: 45.0,
            top_angle: 30.0,
            throat_angle: 60.0,
            need: 0.0,
            from_contact: false,
            nominal_angles: false,
            usual_angles: false,
        }
    }

    fn cuts() -> Cuts {
        Cuts {
            slopes: Slopes::of(30.0, 45.0, 60.0),
            seat_angle: 45.0,
            seat: 0,
            top: Some(1),
            throat: Some(2),
            form: false,
            raised: None,
            light_turns: 0.0,
        }
    }

    /// Seat cut 0.10 mm, top cut 0.15 mm, throat cut 0.12 mm; numbers by plane geometry in exact arithmetic,
    /// the same as those of `headproof_metrology::edge_after_feeds`.
    #[test]
    fn three_feeds_move_both_edges() {
        let after = cut(&facts(), &cuts());
        let feeds = [0.10, 0.15, 0.12];
        assert!((after.outer_radius.at(&feeds) - 16.38170).abs() < 5e-6);
        assert!((after.inner_radius.at(&feeds) - 15.02732).abs() < 5e-6);
        assert!((after.width.at(&feeds) - 1.91538).abs() < 5e-6);
    }

    /// 0.03 mm of feed moves the outer diameter 0.14 mm and the inner 0.08 mm.
    #[test]
    fn a_missed_stop_moves_its_own_edge() {
        let after = cut(&facts(), &cuts());
        assert!((2.0 * after.outer_radius.errors[1].abs() * 0.03 - 0.142).abs() < 5e-4);
        let inner_alone = 2.0 * after.width.errors[2].abs() * cosine(45.0) * 0.03;
        assert!((inner_alone - 0.082).abs() < 5e-4, "{inner_alone}");
    }

    #[test]
    fn a_form_blade_only_sinks_the_seat() {
        let after = cut(&facts(), &Cuts { form: true, ..cuts() });
        assert!((after.outer_radius.at(&[0.2]) - 16.5).abs() < 1e-12);
        assert!((after.width.at(&[0.2]) - facts().width()).abs() < 1e-12);
    }

    /// The lower envelope of the lines, found on a fine grid of radii.
    #[test]
    fn edges_are_those_of_the_lower_envelope() {
        let other_angles = Cuts { slopes: Slopes::of(31.0, 44.6, 59.0), seat_angle: 44.6, ..cuts() };
        let feeds = [0.12, 0.2, 0.15];
        let after = cut(&facts(), &other_angles);
        let old = Lines::of(&facts());
        let seat = after.seat.at(&feeds);
        let top = -16.5 * other_angles.slopes.top - feeds[1];
        let throat = -1.5 * old.slopes.seat - 15.0 * other_angles.slopes.throat - feeds[2];
        let lines = [
            (old.throat, old.slopes.throat),
            (old.seat, old.slopes.seat),
            (old.top, old.slopes.top),
            (throat, other_angles.slopes.throat),
            (seat, other_angles.slopes.seat),
            (top, other_angles.slopes.top),
        ];
        let lowest = |radius: f64| {
            let height = |line: &(f64, f64)| line.1.mul_add(radius, line.0);
            (0..6).min_by(|a, b| height(&lines[*a]).total_cmp(&height(&lines[*b]))).unwrap()
        };
        let step = 1e-4;
        let on_seat: Vec<f64> =
            (140_000..175_000).map(|n| f64::from(n) * step).filter(|radius| lowest(*radius) == 4).collect();
        assert!((on_seat[0] - after.inner_radius.at(&feeds)).abs() < 2.0 * step);
        assert!((on_seat[on_seat.len() - 1] - after.outer_radius.at(&feeds)).abs() < 2.0 * step);
    }
}
