//! The contact band round the face, seen from the chamber.
//!
//! The face is a few millimetres wide on a circle of tens: across it the drawing is stretched, and says so.

use std::f64::consts::TAU;

use headproof_quantity::Kind;
use headproof_texts::Say;
use headproof_wire::{PortRows, Units};

use super::caption::{Caption, Sign};
use super::{Figure, NAME, Posted, Spot, TITLE_HEIGHT, draw_title, row_of, tangent};
use crate::canvas::{Canvas, Ink, Pen};
use crate::format::{number, sign};

/// Radii on paper of the outer and the inner edge of the face.
const OUTER: f32 = 12.6;
const INNER: f32 = 5.2;
/// From its centre to the side of the drawing.
const HALF: f32 = 16.8;
/// Radius of the disc that shows gaps.
const DISC: f32 = 3.4;
/// Strokes between two clock positions, and about how many there are all round at the most: then each is some
/// 0.1 mm long on paper.
const STEPS: usize = 12;
const ROUND: usize = 720;
/// The most positions that are numbered.
const NUMBERED: usize = 8;

const FACE: Pen = Pen::new(Ink::Black, 0.4);
const EDGE: Pen = Pen::new(Ink::Black, 1.0);
const LIMIT: Pen = Pen::new(Ink::Black, 0.8).dashed(0.8, 1.6);

/// The band, ready to be drawn. Amounts in millimetres along the face from its outer edge.
pub(super) struct ContactRing {
    /// Where the band begins at each clock position.
    from_edge: Vec<f64>,
    /// Where it ends, unless that was not read everywhere.
    to: Option<Vec<f64>>,
    /// Width of the face.
    face: Option<f64>,
    /// What the space between the two circles stands for.
    across: f64,
    /// The least overhang that conforms.
    overhang: Option<f64>,
    /// Arcs without contact, in degrees.
    gaps: Vec<f64>,
    title: String,
    caption: Caption,
}

impl ContactRing {
    /// Of one port; none without a band read at three positions at least, or gaps.
    pub(super) fn of(posted: &Posted<'_>, judged: &PortRows, units: &Units) -> Option<Self> {
        let contact = posted.port?.contact.as_ref()?;
        let from_edge: Vec<f64> =
            contact.marks.iter().map(|mark| posted.length(Some(&mark.from_edge))).collect::<Option<_>>()?;
        if from_edge.len() < 3 {
            return None;
        }
        let widths: Option<Vec<f64>> =
            contact.marks.iter().map(|mark| posted.length(mark.width.as_ref())).collect();
        let to: Option<Vec<f64>> =
            widths.map(|widths| from_edge.iter().zip(&widths).map(|(from, width)| from + width).collect());
        let gaps = contact.gaps.iter().flatten().filter_map(|gap| posted.read(gap, Kind::Angle)).collect();
        let face = face_width(posted);
        let overhang = row_of(judged, "overhang").and_then(|row| row.lower);
        let farthest = from_edge.iter().chain(to.iter().flatten()).copied().fold(0.0, f64::max);
        let across = face.unwrap_or(0.0).max(farthest * 1.05).max(overhang.unwrap_or(0.0));
        if !(across > 0.0 && across.is_finite() && from_edge.iter().all(|from| *from > -across)) {
            return None;
        }
        let sign = sign(units.unit(Kind::Length));
        let title = posted.say().with("contact-title", &[("unit", sign.into())]);
        let mut ring =
            Self { from_edge, to, face, across, overhang, gaps, title, caption: Caption::default() };
        ring.caption = ring.words(contact.gaps.is_some(), judged, units, posted.say());
        Some(ring)
    }

    fn words(&self, gaps_were_looked_for: bool, judged: &PortRows, units: &Units, say: Say) -> Caption {
        let mut caption = Caption::default();
        caption.add_row(say.text("figure-overhang"), row_of(judged, "overhang"), units, say);
        caption.add_row(say.text("figure-band-width"), row_of(judged, "contact-width"), units, say);
        if !self.gaps.is_empty() {
            caption.add_row(say.text("figure-gaps"), row_of(judged, "contact-gap"), units, say);
        } else if gaps_were_looked_for {
            caption.add(Sign::None, say.text("figure-no-gaps"));
        }
        let stretched = number(f64::from(OUTER - INNER) / self.across, 1, say);
        caption.add(Sign::None, say.with("contact-stretched", &[("times", stretched.into())]));
        caption
    }

    /// Radius on paper at a distance from the outer edge of the face.
    fn radius(&self, distance: f64) -> f32 {
        OUTER - (distance / self.across) as f32 * (OUTER - INNER)
    }

    /// A closed line at distances given for each position, straight on paper only over short ways.
    fn round(&self, centre: Spot, distances: &[f64]) -> Vec<Spot> {
        let count = distances.len();
        let steps = (ROUND / count).clamp(1, STEPS);
        let spots = (0..=count * steps).map(|step| {
            let (n, share) = (step / steps, (step % steps) as f64 / steps as f64);
            let (this, next) = (distances[n % count], distances[(n + 1) % count]);
            let turn = step as f64 / (count * steps) as f64;
            on_circle(centre, self.radius(this + share * (next - this)), turn)
        });
        spots.collect()
    }

    fn draw_band(&self, canvas: &mut Canvas, centre: Spot) {
        let outer = self.round(centre, &self.from_edge);
        if let Some(to) = &self.to {
            let inner = self.round(centre, to);
            let around: Vec<Spot> = outer.iter().chain(inner.iter().rev()).copied().collect();
            canvas.polygon(Some(Ink::Pale), None, &around);
            canvas.line(EDGE, &inner);
        }
        canvas.line(EDGE, &outer);
        let count = self.from_edge.len();
        if count > 3 * NUMBERED {
            return;
        }
        for series in std::iter::once(&self.from_edge).chain(&self.to) {
            for (n, distance) in series.iter().enumerate() {
                let spot = on_circle(centre, self.radius(*distance), n as f64 / count as f64);
                canvas.circle(Some(Ink::Black), None, spot, 0.55);
            }
        }
    }

    /// Ticks and numbers outside.
    fn draw_positions(&self, canvas: &mut Canvas, centre: Spot) {
        let count = self.from_edge.len();
        let style = NAME.sized(6.6);
        let step = count.div_ceil(NUMBERED);
        // The last must not come too near to the first.
        for n in (0..count).step_by(step).filter(|n| n + step <= count) {
            let turn = n as f64 / count as f64;
            canvas.line(FACE, &[on_circle(centre, OUTER, turn), on_circle(centre, OUTER + 0.9, turn)]);
            let text = (n + 1).to_string();
            let middle = on_circle(centre, OUTER + 2.6, turn);
            let at = (middle.0 - style.width(&text) / 2.0, middle.1 + style.cap_height() / 2.0);
            canvas.text(style.face, style.size, style.ink, at, &text);
        }
    }

    /// One sector for each gap, one after the other: where they lie was not read.
    fn draw_gaps(&self, canvas: &mut Canvas, centre: Spot) {
        if self.gaps.is_empty() {
            return;
        }
        canvas.circle(Some(Ink::White), Some(FACE), centre, DISC);
        let mut from = 0.0;
        for gap in self.gaps.iter().map(|degrees| (degrees / 360.0).clamp(0.0, 1.0)) {
            if from >= 1.0 {
                break;
            }
            let to = (from + gap).min(1.0);
            let arc = (0..=STEPS).map(|n| from + (to - from) * n as f64 / STEPS as f64);
            let sector: Vec<Spot> =
                std::iter::once(centre).chain(arc.map(|turn| on_circle(centre, DISC, turn))).collect();
            canvas.polygon(Some(Ink::Black), None, &sector);
            from = (to + 0.03).min(1.0);
        }
    }
}

/// Width of the face along itself, where it was measured.
fn face_width(posted: &Posted<'_>) -> Option<f64> {
    let valve = posted.valve()?;
    let outer = posted.length(valve.head_diameter.as_ref())?;
    let inner = posted.length(valve.face_inner_diameter.as_ref())?;
    let slope = tangent(posted.face_angle()?.0);
    Some((outer - inner) / 2.0 * (1.0 + slope * slope).sqrt()).filter(|width| *width > 0.0)
}

/// A spot so many turns clockwise from the top of a circle.
pub(super) fn on_circle((x, y): Spot, radius: f32, turns: f64) -> Spot {
    let (sine, cosine) = libm::sincos(turns * TAU);
    (x + radius * sine as f32, y - radius * cosine as f32)
}

/// What its strokes mean.
pub(super) fn key(say: Say) -> Caption {
    let mut key = Caption::default();
    key.add(Sign::Patch(Ink::Pale), say.text("key-band"));
    key.add(Sign::Stroke(LIMIT, false), say.text("key-least-overhang"));
    key.add(Sign::Patch(Ink::Black), say.text("key-gaps"));
    key.add(Sign::None, say.text("key-contact"));
    key
}

impl Figure for ContactRing {
    fn height(&self, width: f32) -> f32 {
        TITLE_HEIGHT + 2.0 * HALF + 1.0 + self.caption.height(width)
    }

    fn draw(&self, canvas: &mut Canvas, at: Spot, width: f32) {
        let top = draw_title(canvas, at, width, &self.title);
        let centre = (at.0 + width / 2.0, top + HALF);
        self.draw_band(canvas, centre);
        canvas.circle(None, Some(FACE), centre, OUTER);
        if let Some(face) = self.face {
            canvas.circle(None, Some(FACE), centre, self.radius(face));
        }
        if let Some(overhang) = self.overhang {
            canvas.circle(None, Some(LIMIT), centre, self.radius(overhang));
        }
        self.draw_positions(canvas, centre);
        self.draw_gaps(canvas, centre);
        self.caption.draw(canvas, (at.0, top + 2.0 * HALF + 1.0), width);
    }
}
