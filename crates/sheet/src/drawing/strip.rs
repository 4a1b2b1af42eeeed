//! The contact band along the face, unrolled: where it lies at every clock position, and its limits.

use headproof_wire::{PortRows, Row};

use super::seat::Seated;
use super::{Posted, Spot, row_of};
use crate::canvas::{Canvas, Ink, Pen};

const EDGE: Pen = Pen::new(Ink::Black, 0.4);
const LIMIT: Pen = Pen::new(Ink::Black, 0.7);
/// From the top of the drawing to the bar; there stand the limits.
const ABOVE: f32 = 3.4;
const BAR: f32 = 2.4;

/// The band, in millimetres along the face from its outer edge.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Strip {
    /// Where the face ends, when that was measured.
    face: Option<f64>,
    /// From where to where there is contact at one clock position at least.
    anywhere: (f64, f64),
    /// From where to where there is contact at all of them; none where the band wanders more than its width.
    everywhere: Option<(f64, f64)>,
    /// The least overhang that conforms.
    overhang: Option<f64>,
    /// Least and greatest width that conform.
    width: (Option<f64>, Option<f64>),
    /// Was the band marked on the face, rather than worked out from diameters?
    marked: bool,
}

impl Strip {
    /// Height it takes.
    pub(super) const HEIGHT: f32 = ABOVE + BAR + 0.6;

    /// Of one port; none without a valve on the seat.
    pub(super) fn of(posted: &Posted<'_>, judged: &PortRows, seated: &Seated) -> Option<Self> {
        let valve = seated.valve?;
        let cosine = libm::cos(valve.face.degrees.to_radians());
        let along = |radius: f64| (valve.edge.radius - radius) / cosine;
        let marks = posted.port?.contact.iter().flat_map(|contact| &contact.marks);
        let ends: Option<Vec<(f64, f64)>> = marks
            .map(|mark| {
                let from = posted.length(Some(&mark.from_edge))?;
                Some((from, from + posted.length(mark.width.as_ref())?))
            })
            .collect();
        let ends = ends.filter(|ends| !ends.is_empty() && valve.band_is_marked);
        let marked = ends.is_some();
        let ends = ends.unwrap_or_else(|| vec![(along(valve.band.0.radius), along(valve.band.1.radius))]);
        let most = |values: &mut dyn Iterator<Item = f64>| values.fold(f64::NEG_INFINITY, f64::max);
        let least = |values: &mut dyn Iterator<Item = f64>| values.fold(f64::INFINITY, f64::min);
        let (begins, stops) = (|| ends.iter().map(|end| end.0), || ends.iter().map(|end| end.1));
        let anywhere = (least(&mut begins()), most(&mut stops()));
        let everywhere = Some((most(&mut begins()), least(&mut stops()))).filter(|(from, to)| from < to);
        let limited = |row: &&Row| row.lower.is_some() || row.upper.is_some();
        let width = ["contact-width", "seat-width"];
        let width = width.iter().find_map(|name| row_of(judged, name).filter(limited));
        let usable = [anywhere.0, anywhere.1].iter().all(|end| end.is_finite()) && anywhere.0 < anywhere.1;
        usable.then_some(Self {
            face: valve.inner.map(|inner| along(inner.radius)),
            anywhere,
            everywhere,
            overhang: row_of(judged, "overhang").and_then(|row| row.lower),
            width: width.map_or((None, None), |row| (row.lower, row.upper)),
            marked,
        })
    }

    /// The farthest thing drawn from the outer edge.
    fn extent(&self) -> f64 {
        let limit = self.width.1.or(self.width.0).map(|width| self.anywhere.0 + width);
        [Some(self.anywhere.1), self.face, self.overhang, limit].into_iter().flatten().fold(0.0, f64::max)
    }

    /// Draws it at the scale of the section, or smaller where it would not fit.
    pub(super) fn draw(&self, canvas: &mut Canvas, (x, y): Spot, width: f32, scale: f64) {
        let room = f64::from(width - 4.0);
        let scale = scale.min(room / self.extent());
        let zero = x + width - 2.0;
        let at = |distance: f64| zero - (distance * scale) as f32;
        let top = y + ABOVE;
        let (end, closed) = self.face.map_or((at(self.extent()) - 1.5, false), |face| (at(face), true));
        let fill = |canvas: &mut Canvas, ink: Ink, (from, to): (f64, f64)| {
            canvas.rectangle(Some(ink), None, (at(to), top), (at(from) - at(to), BAR));
        };
        if self.marked {
            fill(canvas, Ink::Pale, self.anywhere);
            if let Some(everywhere) = self.everywhere {
                fill(canvas, Ink::Black, everywhere);
            }
        } else {
            // What nobody saw does not look like what somebody did.
            fill(canvas, Ink::Tint, self.anywhere);
            for end in [self.anywhere.0, self.anywhere.1] {
                canvas.line(EDGE.dashed(1.2, 0.9), &[(at(end), top), (at(end), top + BAR)]);
            }
        }
        canvas.line(EDGE, &[(end, top), (zero, top), (zero, top + BAR), (end, top + BAR)]);
        if closed {
            canvas.line(EDGE, &[(end, top), (end, top + BAR)]);
        }
        if let Some(overhang) = self.overhang {
            let x = at(overhang);
            canvas.line(LIMIT, &[(x, y + 0.2), (x, top)]);
            super::draw_arrow(canvas, (x, top), (0.0, 1.0));
        }
        self.draw_bracket(canvas, (y + 1.6, top), &at);
    }

    /// From the band's outer edge: where its inner edge may lie.
    fn draw_bracket(&self, canvas: &mut Canvas, (y, top): (f32, f32), at: &dyn Fn(f64) -> f32) {
        let outer = self.everywhere.map_or(self.anywhere.0, |(from, _)| from);
        let (least, greatest) = self.width;
        let ends: Vec<f32> = [least, greatest].into_iter().flatten().map(|width| at(outer + width)).collect();
        for end in &ends {
            canvas.line(LIMIT, &[(*end, y), (*end, top)]);
        }
        if let [first, last] = ends.as_slice() {
            canvas.line(LIMIT, &[(*first, y), (*last, y)]);
        }
    }
}
