//! How many values lie where, with the limits.

use headproof_texts::Say;
use headproof_wire::statistics::{CharacteristicStatistics, Histogram};

use super::amounts::Amounts;
use super::axis::Axis;
use super::plot::{BELOW, BESIDE, Frame, TICK};
use crate::canvas::{Canvas, Ink, Pen};
use crate::drawing::{Spot, TITLE_HEIGHT, draw_arrow, draw_title};
use crate::structure::Tag;

/// Height of the names of the limits over the plot.
const NAMES: f32 = 3.4;
/// A limit farther from the values than so many times their width is told by an arrow: a line would make them small.
const REACH: f64 = 2.5;
/// Narrowest bar on paper.
const NARROW: f32 = 0.5;

const BAR: Pen = Pen::new(Ink::Black, 0.35);
const LIMIT: Pen = Pen::new(Ink::Black, 1.1);

/// A limit of the histogram.
struct Limit {
    amount: f64,
    name: String,
    /// Is it the lower one?
    lower: bool,
    /// Is it so near that it has a line?
    near: bool,
}

/// Draws it into a box, with its title.
pub(super) fn draw(
    canvas: &mut Canvas,
    at: Spot,
    (width, height): (f32, f32),
    of: &CharacteristicStatistics,
    amounts: &Amounts,
    say: Say,
) {
    let title = say.with("line-histogram", &[("count", of.n.into()), ("unit", (&amounts.unit).into())]);
    let title = title.trim_end_matches([',', ' ']);
    canvas.structure.open(Tag::Figure);
    let top = draw_title(canvas, at, width, title);
    let sound = of.histogram.as_ref().filter(|histogram| is_sound(histogram));
    if let Some(histogram) = sound {
        let corner = (at.0 + BESIDE - 3.0, top + NAMES);
        let size = (width - BESIDE + 3.0, height - TITLE_HEIGHT - NAMES - BELOW);
        draw_plot(canvas, Frame { corner, size }, histogram, of, amounts, say);
    } else {
        let text = say.text("line-no-histogram");
        canvas.structure.describe(text);
        canvas.text(TICK.face, TICK.size, TICK.ink, (at.0, top + TICK.ascent()), text);
    }
    canvas.structure.close();
}

/// Can it be drawn?
fn is_sound(histogram: &Histogram) -> bool {
    let Histogram { edges, counts, .. } = histogram;
    !counts.is_empty()
        && edges.len() == counts.len() + 1
        && edges.iter().all(|edge| edge.is_finite())
        && edges.is_sorted()
}

fn draw_plot(
    canvas: &mut Canvas,
    frame: Frame,
    histogram: &Histogram,
    of: &CharacteristicStatistics,
    amounts: &Amounts,
    say: Say,
) {
    let Histogram { edges, counts, .. } = histogram;
    let (least, greatest) = (edges[0], edges[edges.len() - 1]);
    let reach = REACH * (greatest - least);
    let limits = limits(of, (least - reach, greatest + reach), amounts);
    let shown = limits.iter().filter(|limit| limit.near).map(|limit| limit.amount);
    let Some(across) = Axis::over(shown.chain([least, greatest]), 5, 0.04) else { return };
    let most = counts.iter().copied().max().unwrap_or(0).max(1);
    let up = Axis::between(0.0, most as f64 * 1.04, if most < 5 { most as usize + 1 } else { 5 });
    for (edges, count) in edges.windows(2).zip(counts).filter(|(_, count)| **count > 0) {
        let (left, right) = (frame.x(across.place(edges[0])), frame.x(across.place(edges[1])));
        let (left, right) =
            if right - left < NARROW { (left - NARROW / 2.0, left + NARROW / 2.0) } else { (left, right) };
        let top = frame.y(up.place(*count as f64));
        canvas.rectangle(Some(Ink::Pale), Some(BAR), (left, top), (right - left, frame.bottom() - top));
    }
    frame.draw_left(canvas, &up, say);
    frame.draw_below(canvas, &across, say);
    draw_limits(canvas, frame, &limits, &across);
    canvas.structure.describe(&words(histogram, amounts, say));
    for limit in &limits {
        canvas.structure.describe(&limit.name);
    }
}

fn limits(of: &CharacteristicStatistics, (from, to): (f64, f64), amounts: &Amounts) -> Vec<Limit> {
    let sound = |limit: Option<f64>| limit.filter(|limit| limit.is_finite());
    let limit = |(amount, lower): (f64, bool)| Limit {
        amount,
        name: format!("{}\u{A0}{}", if lower { '≥' } else { '≤' }, amounts.value(amount)),
        lower,
        near: (from..=to).contains(&amount) || from >= to,
    };
    let both = sound(of.lower)
        .map(|lower| (lower, true))
        .into_iter()
        .chain(sound(of.upper).map(|upper| (upper, false)));
    both.map(limit).collect()
}

/// Lines of the limits with their names over them, and arrows to those that lie far off.
fn draw_limits(canvas: &mut Canvas, frame: Frame, limits: &[Limit], across: &Axis) {
    let base = frame.corner.1 - 1.0;
    let half = frame.size.0 / 2.0 - 1.0;
    let mut places: Vec<(f32, f32)> = Vec::new();
    for limit in limits {
        let style = TICK.fitted(&limit.name, half - 3.5, 3.5);
        let width = style.width(&limit.name);
        let left = if limit.near {
            let x = frame.x(across.place(limit.amount));
            canvas.line(LIMIT, &[(x, frame.corner.1 - 0.4), (x, frame.bottom())]);
            (x - width / 2.0).clamp(frame.corner.0 - 2.0, frame.right() - width)
        } else if limit.lower {
            frame.corner.0 + 3.0
        } else {
            frame.right() - width - 3.0
        };
        places.push((left, width));
    }
    // Two names that meet move apart.
    if let [lower, upper] = places.as_mut_slice() {
        let over = lower.0 + lower.1 + 1.5 - upper.0;
        if over > 0.0 {
            let moved = (over / 2.0).min(lower.0 - frame.corner.0 + 2.0).max(0.0);
            lower.0 -= moved;
            upper.0 += over - moved;
            let beyond = (upper.0 + upper.1 - frame.right()).max(0.0);
            upper.0 -= beyond;
            lower.0 -= beyond;
        }
    }
    for (limit, (left, width)) in limits.iter().zip(places) {
        let style = TICK.fitted(&limit.name, half - 3.5, 3.5);
        canvas.text(style.face, style.size, style.ink, (left, base), &limit.name);
        let middle = base - style.cap_height() / 2.0;
        match (limit.near, limit.lower) {
            (true, _) => {}
            (false, true) => draw_arrow(canvas, (left - 2.8, middle), (-1.0, 0.0)),
            (false, false) => draw_arrow(canvas, (left + width + 2.8, middle), (1.0, 0.0)),
        }
    }
}

/// What is seen on it: where the most values lie.
fn words(histogram: &Histogram, amounts: &Amounts, say: Say) -> String {
    let Histogram { edges, counts, .. } = histogram;
    let (place, count) = (0..)
        .zip(counts)
        .max_by_key(|(place, count)| (**count, std::cmp::Reverse(*place)))
        .unwrap_or((0, &0));
    let place: usize = place;
    say.with(
        "line-histogram-words",
        &[
            ("bins", counts.len().into()),
            ("from", amounts.value(edges[0]).into()),
            ("to", amounts.value(edges[edges.len() - 1]).into()),
            ("count", (*count).into()),
            ("low", amounts.value(edges[place]).into()),
            ("high", amounts.value(edges[place + 1]).into()),
        ],
    )
}
