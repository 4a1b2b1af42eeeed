//! Where each reading stands between its limits: one bar for each limited amount.

use headproof_texts::Say;
use headproof_wire::{Evaluation, Row};

use super::guard::multiplier;
use super::{CAPTION, Spot, TITLE_HEIGHT, draw_title};
use crate::canvas::{Canvas, Ink, Pen};
use crate::flow::{Flow, LEFT};
use crate::marks::mark;
use crate::structure::Tag;
use crate::text::Style;
use crate::words::Verdict;

/// From bar to bar.
const LINE: f32 = 4.0;
/// Height of a bar.
const HIGH: f32 = 2.0;
/// Room of the mark before the name, and the share of a column that both take.
const MARK: f32 = 3.8;
const NAMES: f32 = 0.5;
/// The least and the greatest width of a column, and the air between two.
const LEAST: f32 = 54.0;
const MOST: f32 = 66.0;
const GUTTER: f32 = 3.0;
/// Half the height of what shows a reading.
const SHAPE: f32 = 1.05;

const LIMIT: Pen = Pen::new(Ink::Black, 0.7);
const OPEN: Pen = Pen::new(Ink::Black, 0.3);
const SPREAD: Pen = Pen::new(Ink::Black, 0.9);

/// One bar; places on it run from 0 to 1.
#[derive(Debug, Clone, PartialEq)]
struct Bar {
    name: String,
    verdict: Verdict,
    lower: Option<f64>,
    upper: Option<f64>,
    /// How far the guard bands reach inwards from the limits; none: they meet.
    guard: Option<f64>,
    /// The reading, where it lies on the bar; else on which side it lies beyond.
    reading: f64,
    /// Its expanded uncertainty.
    spread: f64,
}

impl Bar {
    /// None for a row without a limited amount.
    fn of(row: &Row, name: String, evaluation: &Evaluation) -> Option<Self> {
        let measured = row.measured.filter(|measured| measured.is_finite())?;
        let spread = row.expanded_uncertainty.filter(|spread| spread.is_finite()).unwrap_or(0.0).max(0.0);
        let (from, to) = window(row.lower, row.upper, measured, spread)?;
        let place = |amount: f64| (amount - from) / (to - from);
        let (lower, upper) = (row.lower.map(place), row.upper.map(place));
        let u = spread / evaluation.coverage_factor;
        let tolerance = row.lower.zip(row.upper).map(|(lower, upper)| (upper - lower) / u);
        let moved = if u > 0.0 { multiplier(evaluation.decision_rule, tolerance) } else { Some(0.0) };
        Some(Self {
            name,
            verdict: Verdict::from_code(&row.verdict),
            lower,
            upper,
            guard: moved.map(|moved| moved * u / (to - from)),
            reading: place(measured),
            spread: spread / (to - from),
        })
    }
}

/// What the two ends of a bar stand for. Between two limits lies its middle half. With one, a third lies
/// beyond it, and as far as it is from zero inside: where it is zero itself, as far as the reading.
fn window(lower: Option<f64>, upper: Option<f64>, measured: f64, spread: f64) -> Option<(f64, f64)> {
    let inside = |limit: f64| if limit.abs() > 1e-9 { limit.abs() } else { measured.abs().max(2.0 * spread) };
    let (from, to) = match (lower, upper) {
        (Some(lower), Some(upper)) => {
            let margin = (upper - lower) / 2.0;
            (lower - margin, upper + margin)
        }
        (Some(lower), None) => (lower - inside(lower) / 2.0, lower + inside(lower)),
        (None, Some(upper)) => (upper - inside(upper), upper + inside(upper) / 2.0),
        (None, None) => return None,
    };
    (from.is_finite() && to.is_finite() && to > from).then_some((from, to))
}

/// The bars of some rows.
pub(crate) struct Bars {
    bars: Vec<Bar>,
    say: Say,
}

impl Bars {
    /// Of rows, each under the name it shall have.
    pub(crate) fn of<'a>(
        rows: impl Iterator<Item = (&'a Row, String)>,
        evaluation: &Evaluation,
        say: Say,
    ) -> Self {
        Self { bars: rows.filter_map(|(row, name)| Bar::of(row, name, evaluation)).collect(), say }
    }

    /// Of the rows of one subject.
    pub(crate) fn of_rows(rows: &[Row], evaluation: &Evaluation, say: Say) -> Self {
        Self::of(rows.iter().map(|row| (row, say.title(&row.characteristic).into_owned())), evaluation, say)
    }

    /// Is there none?
    pub(crate) fn is_empty(&self) -> bool {
        self.bars.is_empty()
    }

    /// How many columns a width has room for.
    fn columns(width: f32) -> usize {
        (((width + GUTTER) / (LEAST + GUTTER)) as usize).max(1)
    }

    /// Is a width too small for any bar?
    pub(crate) fn need_more_than(width: f32) -> bool {
        width < LEAST
    }

    /// Height they take at a width.
    pub(crate) fn height(&self, width: f32) -> f32 {
        if self.is_empty() {
            return 0.0;
        }
        TITLE_HEIGHT + self.bars.len().div_ceil(Self::columns(width)) as f32 * LINE
    }

    /// Draws them with their upper left corner at a spot.
    pub(crate) fn draw(&self, canvas: &mut Canvas, at: Spot, width: f32) {
        if self.is_empty() {
            return;
        }
        canvas.structure.open(Tag::Figure);
        let top = draw_title(canvas, at, width, self.say.text("bars-title"));
        let columns = Self::columns(width);
        let each = self.bars.len().div_ceil(columns);
        let wide = ((width - (columns - 1) as f32 * GUTTER) / columns as f32).min(MOST);
        for (n, bar) in self.bars.iter().enumerate() {
            let x = at.0 + (n / each) as f32 * (wide + GUTTER);
            draw_line(canvas, bar, (x, top + (n % each) as f32 * LINE), wide, self.say);
        }
        canvas.structure.close();
    }

    /// Draws them over as many pages as they take.
    pub(crate) fn flow(mut self, flow: &mut Flow) {
        let width = flow.measure();
        while !self.is_empty() {
            flow.ensure(TITLE_HEIGHT + LINE);
            let lines = (((flow.room() - TITLE_HEIGHT) / LINE) as usize).max(1);
            let rest = self.bars.split_off(self.bars.len().min(lines * Self::columns(width)));
            let (y, height) = (flow.y, self.height(width));
            self.draw(flow.canvas(), (LEFT, y), width);
            flow.y += height + 1.0;
            self.bars = rest;
        }
    }
}

fn draw_line(canvas: &mut Canvas, bar: &Bar, (x, y): Spot, width: f32, say: Say) {
    let middle = y + LINE / 2.0;
    canvas.structure.describe(&format!("{}: {}", bar.name, bar.verdict.words(say)));
    mark(canvas, bar.verdict, (x + 1.4, middle), 1.2);
    let names = width * NAMES;
    let style = CAPTION.fitted(&bar.name, names - MARK - 1.5, 4.0);
    let base = middle + style.cap_height() / 2.0;
    canvas.text(style.face, style.size, style.ink, (x + MARK, base), &bar.name);
    draw_bar(canvas, bar, (x + names, middle), width - names - SHAPE);
}

/// The zone that conforms, the guard bands in it, and the reading on it.
fn draw_bar(canvas: &mut Canvas, bar: &Bar, (x, middle): Spot, width: f32) {
    let at = |place: f64| x + (place.clamp(0.0, 1.0) as f32) * width;
    let (top, bottom) = (middle - HIGH / 2.0, middle + HIGH / 2.0);
    let (from, to) = (bar.lower.unwrap_or(0.0), bar.upper.unwrap_or(1.0));
    canvas.line(OPEN, &[(x, bottom), (x + width, bottom)]);
    draw_guard(canvas, bar, &at, top);
    canvas.line(OPEN, &[(at(from), top), (at(to), top)]);
    for limit in [bar.lower, bar.upper].into_iter().flatten() {
        canvas.line(LIMIT, &[(at(limit), top - 0.5), (at(limit), bottom + 0.5)]);
    }
    let ends = (at(bar.reading - bar.spread), at(bar.reading + bar.spread));
    if ends.1 > ends.0 + 0.05 {
        canvas.line(SPREAD, &[(ends.0, middle), (ends.1, middle)]);
        for (end, place) in [(ends.0, bar.reading - bar.spread), (ends.1, bar.reading + bar.spread)] {
            if (0.0..=1.0).contains(&place) {
                canvas.line(SPREAD, &[(end, middle - 0.55), (end, middle + 0.55)]);
            }
        }
    }
    let ink = if bar.verdict == Verdict::DoesNotConform { Ink::Accent } else { Ink::Black };
    if (0.0..=1.0).contains(&bar.reading) {
        draw_shape(canvas, bar.verdict, (at(bar.reading), middle));
    } else {
        let (tip, back) = if bar.reading < 0.0 { (x - 0.6, 2.4) } else { (x + width + 0.4, -2.4) };
        let corners = [(tip, middle), (tip + back, middle - SHAPE), (tip + back, middle + SHAPE)];
        canvas.polygon(Some(ink), None, &corners);
    }
}

fn draw_guard(canvas: &mut Canvas, bar: &Bar, at: &impl Fn(f64) -> f32, top: f32) {
    let (from, to) = (bar.lower.unwrap_or(0.0), bar.upper.unwrap_or(1.0));
    let mut fill = |left: f64, right: f64| {
        let (left, right) = (at(left), at(right));
        if right > left + 0.02 {
            canvas.rectangle(Some(Ink::Pale), None, (left, top), (right - left, HIGH));
        }
    };
    let Some(guard) = bar.guard else { return fill(from, to) };
    if let Some(lower) = bar.lower {
        fill(lower, (lower + guard).min(to));
    }
    if let Some(upper) = bar.upper {
        fill((upper - guard).max(from), upper);
    }
}

/// A reading: a disc that conforms, a square that does not, a lozenge that is not proven.
pub(super) fn draw_shape(canvas: &mut Canvas, verdict: Verdict, (x, y): Spot) {
    match verdict {
        Verdict::DoesNotConform => {
            canvas.rectangle(Some(Ink::Accent), None, (x - SHAPE, y - SHAPE), (2.0 * SHAPE, 2.0 * SHAPE));
            let cross = Pen::new(Ink::White, 0.8);
            let far = SHAPE * 0.55;
            canvas.line(cross, &[(x - far, y - far), (x + far, y + far)]);
            canvas.line(cross, &[(x - far, y + far), (x + far, y - far)]);
        }
        Verdict::Conforms | Verdict::NoLimit => {
            canvas.circle(Some(Ink::Black), None, (x, y), SHAPE * 0.85);
        }
        Verdict::NotProven | Verdict::NotMeasured => {
            let far = SHAPE * 1.3;
            let corners = [(x, y - far), (x + far, y), (x, y + far), (x - far, y)];
            canvas.polygon(Some(Ink::Black), None, &corners);
            canvas.line(Pen::new(Ink::White, 0.9), &[(x - SHAPE * 0.45, y), (x + SHAPE * 0.45, y)]);
        }
    }
}

/// Says once for a head what the parts of a bar mean.
pub(crate) fn draw_key(flow: &mut Flow, evaluation: &Evaluation) {
    let guarded = evaluation.decision_rule != headproof_wire::DecisionRule::Simple;
    let text = flow.say().text(if guarded { "bars-key-guarded" } else { "bars-key" });
    flow.paragraph(Style::SMALL.ink(Ink::Grey), LEFT, flow.measure(), text);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn limits_stand_at_the_same_places_on_every_bar_of_a_kind() {
        let place = |(from, to): (f64, f64), limit: f64| (limit - from) / (to - from);
        let two = window(Some(1.0), Some(1.6), 1.3, 0.04).unwrap();
        assert!((place(two, 1.0) - 0.25).abs() < 1e-12 && (place(two, 1.6) - 0.75).abs() < 1e-12);
        let upper = window(None, Some(0.05), 0.02, 0.004).unwrap();
        assert!((place(upper, 0.05) - 2.0 / 3.0).abs() < 1e-12 && upper.0.abs() < 1e-12);
        let lower = window(Some(0.8), None, 1.0, 0.01).unwrap();
        assert!((place(lower, 0.8) - 1.0 / 3.0).abs() < 1e-12);
    }

    #[test]
    fn what_cannot_be_drawn_has_no_bar() {
        assert_eq!(window(None, None, 1.0, 0.1), None);
        assert_eq!(window(Some(1.0), Some(1.0), 1.0, 0.1), None);
        assert_eq!(window(None, Some(0.0), 0.0, 0.0), None);
        assert_eq!(window(Some(f64::NAN), None, 0.0, 0.0), None);
    }
}
