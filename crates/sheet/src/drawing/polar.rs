//! The runout of seat and face as a polar trace.

use headproof_quantity::{Kind, Unit};
use headproof_texts::Say;
use headproof_wire::{PortRows, Units};

use super::caption::{Caption, Sign};
use super::posted::to_base;
use super::ring::on_circle;
use super::runout::{Trace, fit_at};
use super::{Figure, NAME, Posted, Spot, TITLE_HEIGHT, draw_arrow, draw_title, row_of};
use crate::canvas::{Canvas, Ink, Pen};
use crate::format::{InUnit, as_written, plain, sign};

/// Radius on paper of the mean, and how far the greatest deviation goes from it.
const MEAN: f32 = 8.0;
const REACH: f32 = 4.2;
/// From its centre to its upper and lower edge.
const HALF: f32 = 16.0;
/// Strokes between two readings, and of a circle.
const STEPS: usize = 10;
const ROUND: usize = 90;
/// Half a degree, on paper some 0.1 mm: what is nearer together gets no strokes in between.
const FINEST: f64 = 0.5;

const GRID: Pen = Pen::new(Ink::Pale, 0.35);
const SEAT: Pen = Pen::new(Ink::Black, 1.1);
const FACE: Pen = Pen::new(Ink::Black, 0.45);
const FIT: Pen = Pen::new(Ink::Black, 0.5).dashed(2.4, 1.4);
const LIMIT: Pen = Pen::new(Ink::Black, 0.8).dashed(0.8, 1.6);

/// Traces of seat and face, ready to be drawn; amounts in millimetres.
pub(super) struct RunoutPolar {
    seat: Option<Trace>,
    face: Option<Trace>,
    /// Greatest runout of the seat that conforms, where it is of the size of what was read.
    limit: Option<f64>,
    /// Between two rings.
    step: f64,
    /// Millimetres on paper for each that was read.
    scale: f64,
    title: String,
    caption: Caption,
}

impl RunoutPolar {
    /// Of one port; none when neither seat nor face was read all round.
    pub(super) fn of(posted: &Posted<'_>, judged: &PortRows, units: &Units) -> Option<Self> {
        let row = |name: &str| row_of(judged, name);
        let (seat_angle, face_angle) = (posted.angles().seat, posted.face_angle());
        let dial = posted.seat().and_then(|seat| seat.runout.as_ref());
        let seat = Trace::of(posted, dial, seat_angle.map(|angle| angle.0), row("seat-eccentricity"));
        let dial = posted.valve().and_then(|valve| valve.face_runout.as_ref());
        let face = Trace::of(posted, dial, face_angle.map(|angle| angle.0), row("face-eccentricity"));
        let reach = |trace: &Trace| {
            let (least, greatest) = trace.range();
            greatest.max(-least).max(trace.fit.map_or(0.0, |fit| fit.0))
        };
        let read = [&seat, &face].into_iter().flatten().map(reach).reduce(f64::max)?;
        let limit = row("seat-runout").and_then(|row| row.upper).filter(|_| seat.is_some());
        // The zone lies about the middle of the readings, not about their mean.
        let zone = seat.as_ref().zip(limit).map(|(trace, limit)| {
            let (least, greatest) = trace.range();
            (least + greatest).abs() / 2.0 + limit / 2.0
        });
        let limit = limit.filter(|limit| *limit > 0.0 && zone.is_some_and(|zone| zone <= 6.0 * read));
        let reach = zone.filter(|_| limit.is_some()).map_or(read, |zone| zone.max(read));
        let unit = units.unit(Kind::Length);
        let smallest = if unit == Unit::Inch { 1e-4 } else { 1e-3 };
        let in_unit = unit.from_base(reach).max(2.0 * smallest);
        let step = step_within(in_unit / 2.0).max(smallest);
        let base = |amount: f64| to_base(amount, Kind::Length, units);
        let scale = f64::from(REACH) / base(in_unit)?;
        let title = posted.say().with("runout-title", &[("unit", sign(unit).into())]);
        let mut polar =
            Self { seat, face, limit, step: base(step)?, scale, title, caption: Caption::default() };
        polar.caption = polar.words(judged, units, step, posted.say());
        polar.scale.is_finite().then_some(polar)
    }

    fn words(&self, judged: &PortRows, units: &Units, step: f64, say: Say) -> Caption {
        let mut caption = Caption::default();
        let length = InUnit::length(units, say);
        if let Some(seat) = &self.seat {
            caption.add_row(say.text("runout-of-seat"), row_of(judged, "seat-runout"), units, say);
            if let Some((amount, towards)) = seat.fit {
                let (amount, towards) = (length.plain(amount), plain(towards, 0));
                let values = [("amount", amount.into()), ("towards", towards.into())];
                caption.add(Sign::None, say.with("runout-off-centre", &values));
            }
        }
        if self.face.is_some() {
            caption.add_row(say.text("runout-of-face"), row_of(judged, "face-runout"), units, say);
        }
        if self.seat.is_none() {
            caption.add(Sign::None, say.text("runout-of-face-alone"));
        }
        let rings = match units.unit(Kind::Length) {
            Unit::Millimetre => format!("{} µm", plain(step * 1000.0, 0)),
            unit => format!("{} {}", as_written(step, say), unit.code()),
        };
        caption.add(Sign::None, say.with("runout-rings", &[("apart", rings.into())]));
        caption
    }

    fn radius(&self, amount: f64) -> f32 {
        MEAN + (amount * self.scale) as f32
    }

    fn draw_grid(&self, canvas: &mut Canvas, centre: Spot) {
        let reach = f64::from(REACH) / self.scale;
        let rings = (reach / self.step + 1e-6).floor() as i32;
        for ring in -rings..=rings {
            canvas.circle(None, Some(GRID), centre, self.radius(f64::from(ring) * self.step));
        }
        let style = NAME.sized(6.4);
        for (n, text) in ["0", "90", "180", "270"].into_iter().enumerate() {
            let turn = n as f64 / 4.0;
            let (near, far) = (MEAN - REACH, MEAN + REACH);
            canvas.line(GRID, &[on_circle(centre, near, turn), on_circle(centre, far, turn)]);
            let away = if n % 2 == 0 { style.cap_height() / 2.0 } else { style.width(text) / 2.0 };
            let middle = on_circle(centre, far + 1.0 + away, turn);
            let at = (middle.0 - style.width(text) / 2.0, middle.1 + style.cap_height() / 2.0);
            canvas.text(style.face, style.size, style.ink, at, text);
        }
    }

    /// A closed line through readings.
    fn draw_trace(&self, canvas: &mut Canvas, centre: Spot, trace: &Trace, pen: Pen, dot: f32) {
        let count = trace.points.len();
        let mut line = Vec::with_capacity(count * STEPS + 1);
        for (n, (angle, amount)) in trace.points.iter().enumerate() {
            let (next, to) = trace.points[(n + 1) % count];
            let far = if n + 1 == count { next + 360.0 - angle } else { next - angle };
            let steps = steps_over(far);
            line.extend((0..steps).map(|step| {
                let share = step as f64 / steps as f64;
                let turn = (angle + share * far) / 360.0;
                on_circle(centre, self.radius(amount + share * (to - amount)), turn)
            }));
        }
        line.extend(line.first().copied());
        canvas.line(pen, &line);
        if count <= 36 {
            for (angle, amount) in &trace.points {
                let spot = on_circle(centre, self.radius(*amount), angle / 360.0);
                canvas.circle(Some(Ink::Black), None, spot, dot);
            }
        }
    }

    /// From the centre of the chart to that of the circle, as far as it is off; too short for a head, a dot.
    fn draw_way_off(&self, canvas: &mut Canvas, centre: Spot, (amount, towards): (f64, f64)) {
        const HEAD: f64 = 2.6;
        let long = amount * self.scale;
        let tip = on_circle(centre, long as f32, towards / 360.0);
        canvas.line(SEAT, &[centre, tip]);
        if long > HEAD {
            draw_arrow(canvas, tip, on_circle((0.0, 0.0), 1.0, towards / 360.0));
        } else {
            canvas.circle(Some(Ink::Black), None, tip, 0.55);
        }
    }

    fn draw_round(&self, canvas: &mut Canvas, centre: Spot, pen: Pen, amount: impl Fn(f64) -> f64) {
        let turns = (0..=ROUND).map(|n| n as f64 / ROUND as f64);
        let line: Vec<Spot> =
            turns.map(|turn| on_circle(centre, self.radius(amount(360.0 * turn)), turn)).collect();
        canvas.line(pen, &line);
    }
}

/// Strokes between two readings so many degrees apart.
fn steps_over(degrees: f64) -> usize {
    ((degrees / FINEST).round() as usize).clamp(1, STEPS)
}

/// What its strokes mean.
pub(super) fn key(say: Say) -> Caption {
    let mut key = Caption::default();
    key.add(Sign::Stroke(SEAT, true), say.text("key-seat-as-read"));
    key.add(Sign::Stroke(FIT, false), say.text("key-best-circle"));
    key.add(Sign::Stroke(LIMIT, false), say.text("key-zone"));
    key.add(Sign::Stroke(FACE, true), say.text("key-face-as-read"));
    key.add(Sign::None, say.text("key-runout"));
    key
}

/// The largest of 1, 2, 5 times a power of ten that is not above an amount.
fn step_within(amount: f64) -> f64 {
    let mut power = 1e-6;
    while power * 10.0 <= amount {
        power *= 10.0;
    }
    let step = [5.0, 2.0].into_iter().map(|times| times * power).find(|step| *step <= amount);
    // Powers by multiplication gather noise that would be printed.
    let step = step.unwrap_or(power);
    (step * 1e6).round() / 1e6
}

impl Figure for RunoutPolar {
    fn height(&self, width: f32) -> f32 {
        TITLE_HEIGHT + 2.0 * HALF + 1.0 + self.caption.height(width)
    }

    fn draw(&self, canvas: &mut Canvas, at: Spot, width: f32) {
        let top = draw_title(canvas, at, width, &self.title);
        let centre = (at.0 + width / 2.0, top + HALF);
        self.draw_grid(canvas, centre);
        if let Some((seat, limit)) = self.seat.as_ref().zip(self.limit) {
            let (least, greatest) = seat.range();
            for side in [-0.5, 0.5] {
                self.draw_round(canvas, centre, LIMIT, |_| (least + greatest) / 2.0 + side * limit);
            }
        }
        if let Some(face) = &self.face {
            self.draw_trace(canvas, centre, face, FACE, 0.4);
        }
        if let Some(seat) = &self.seat {
            if let Some(fit) = seat.fit {
                self.draw_round(canvas, centre, FIT, |angle| fit_at(fit, angle));
                self.draw_way_off(canvas, centre, fit);
            }
            self.draw_trace(canvas, centre, seat, SEAT, 0.6);
        }
        self.caption.draw(canvas, (at.0, top + 2.0 * HALF + 1.0), width);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn readings_so_close_that_paper_does_not_part_them_get_no_strokes_in_between() {
        assert_eq!([360.0, 45.0, 5.0].map(steps_over), [STEPS; 3]);
        assert_eq!([1.0, 0.5, 0.0].map(steps_over), [2, 1, 1]);
        let once_round: usize = (0..720).map(|_| steps_over(360.0 / 720.0)).sum();
        assert_eq!(once_round, 720);
    }

    #[test]
    fn rings_lie_round_numbers_apart() {
        let say = Say::of(headproof_texts::Language::English);
        for (amount, step) in
            [(0.025, 0.02), (0.05, 0.05), (0.0099, 0.005), (0.001, 0.001), (0.000_24, 0.0002)]
        {
            assert_eq!(as_written(step_within(amount), say), as_written(step, say), "{amount}");
        }
    }
}
