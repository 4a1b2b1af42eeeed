//! The drawing of a measured seat in section, with the valve laid on it and the contact band along its face.

use headproof_texts::Say;
use headproof_wire::{PortRows, Units};

use super::caption::{Caption, Sign};
use super::labels::{Labels, Rect};
use super::seat::{Laid, Seated};
use super::strip::Strip;
use super::{
    Cone, Figure, Known, NAME, Paper, Point, Posted, Spot, TITLE, TITLE_HEIGHT, draw_arrow, draw_masked,
    draw_metal, draw_scale_bar, draw_title, largest_scale, row_of,
};
use crate::canvas::{Canvas, Ink, Pen};
use crate::format::{InUnit, degrees};

/// Height of the section itself.
const FIELD: f32 = 31.5;
/// Room above and below seat and valve in it.
const ROOM: (f32, f32) = (6.2, 5.4);
/// The most that seat and face may take of its width.
const MOST: f32 = 0.5;
/// What the diameters below it take.
const DIAMETERS: f32 = 4.4;

const BAND: Pen = Pen::new(Ink::Black, 3.0);
const MEASURED: Pen = Pen::new(Ink::Black, 1.1);
const SUPPOSED: Pen = Pen::new(Ink::Black, 0.4);
const THIN: Pen = Pen::new(Ink::Black, 0.3);

/// A seat in section, ready to be drawn.
pub(super) struct SeatSection {
    seated: Seated,
    strip: Option<Strip>,
    caption: Caption,
    length: InUnit,
    say: Say,
}

impl SeatSection {
    /// Of one port; none when its seat was not measured.
    pub(super) fn of(posted: &Posted<'_>, judged: &PortRows, units: &Units) -> Option<Self> {
        let seated = Seated::of(posted)?;
        let strip = Strip::of(posted, judged, &seated);
        let (mut caption, say) = (Caption::default(), posted.say());
        // Where the band was marked, the drawing of the face says so.
        if seated.valve.is_some_and(|valve| !valve.band_is_marked) {
            caption.add(Sign::None, say.text("section-band-by-diameters"));
            caption.add_row(say.text("figure-overhang"), row_of(judged, "overhang"), units, say);
        }
        caption.add_row(say.text("figure-interference"), row_of(judged, "interference-angle"), units, say);
        caption.add_row(say.text("figure-seat-width"), row_of(judged, "seat-width"), units, say);
        if seated.by_contact {
            caption.add(Sign::None, say.text("section-edges-by-contact"));
        }
        Some(Self { seated, strip, caption, length: InUnit::length(units, say), say })
    }

    fn strip_height(&self) -> f32 {
        self.strip.as_ref().map_or(0.0, |_| Strip::HEIGHT)
    }

    /// Lays seat and valve into the field.
    fn paper(&self, corner: Spot, width: f32) -> Paper {
        let Seated { profile, valve, .. } = &self.seated;
        let deepest = profile.inner.height;
        let highest = valve.as_ref().map_or(profile.outer.height, top_of).max(profile.outer.height);
        let widest = valve.map_or(profile.outer.radius, |valve| valve.edge.radius.max(profile.outer.radius));
        let room = (f64::from(width * MOST), f64::from(FIELD - ROOM.0 - ROOM.1));
        let narrowest = profile.inner.radius;
        let scale = largest_scale((room.0 / (widest - narrowest)).min(room.1 / (highest - deepest)));
        let point = Point { radius: (narrowest + widest) / 2.0, height: (deepest + highest) / 2.0 };
        let lies_at = (corner.0 + width * 0.46, corner.1 + ROOM.0 + room.1 as f32 / 2.0);
        Paper { corner, size: (width, FIELD), scale, point, lies_at }
    }
}

/// Height of the top of the valve; where its rim was not measured, of a bit of it.
fn top_of(valve: &Laid) -> f64 {
    const BIT: f64 = 0.8;
    valve.edge.height + valve.margin.unwrap_or(BIT)
}

fn pen(cone: Cone) -> Pen {
    if cone.known == Known::Measured { MEASURED } else { SUPPOSED }
}

/// What its strokes mean.
pub(super) fn key(say: Say) -> Caption {
    let mut key = Caption::default();
    key.add(Sign::Stroke(BAND, false), say.text("key-touch"));
    key.add(Sign::Stroke(MEASURED, false), say.text("key-angle-measured"));
    key.add(Sign::Stroke(SUPPOSED, false), say.text("key-angle-supposed"));
    key.add(Sign::None, say.text("key-section"));
    key
}

impl Figure for SeatSection {
    fn height(&self, width: f32) -> f32 {
        TITLE_HEIGHT + FIELD + DIAMETERS + self.strip_height() + 1.0 + self.caption.height(width)
    }

    fn draw(&self, canvas: &mut Canvas, at: Spot, width: f32) {
        let title = self.say.with("section-title", &[("unit", (&self.length.sign).into())]);
        let top = draw_title(canvas, at, width, &title);
        let paper = self.paper((at.0, top), width);
        let bar = (at.0 + TITLE.width(&title) + 4.0, at.1 + TITLE.ascent());
        draw_scale_bar(canvas, bar, (paper.scale, 12.0), (NAME, &self.length));
        let field = Rect::new(paper.corner, paper.size);
        let mut labels = Labels::new(field);
        draw_seat(canvas, &self.seated, &paper, &mut labels);
        if let Some(valve) = &self.seated.valve {
            draw_valve(canvas, valve, &paper, field, &mut labels);
        }
        self.draw_diameters(canvas, &paper, &mut labels);
        self.draw_names(canvas, &paper, &mut labels);
        let mut y = paper.bottom() + DIAMETERS;
        if let Some(strip) = &self.strip {
            strip.draw(canvas, (at.0, y), width, paper.scale);
            y += Strip::HEIGHT;
        }
        self.caption.draw(canvas, (at.0, y + 1.0), width);
    }
}

fn draw_seat(canvas: &mut Canvas, seated: &Seated, paper: &Paper, labels: &mut Labels) {
    let corners = paper.corners(&seated.profile);
    draw_metal(canvas, paper, &corners);
    canvas.rectangle(None, Some(Pen::new(Ink::Pale, 0.5)), paper.corner, paper.size);
    let [throat_end, inner, outer, top_end] = corners;
    canvas.line(pen(seated.throat), &[throat_end, inner]);
    canvas.line(pen(seated.top), &[outer, top_end]);
    canvas.line(pen(seated.seat), &[inner, outer]);
    labels.line(&corners);
}

/// Its face as far as it goes, its rim and its top; the contact lies on it as a thick line.
fn draw_valve(canvas: &mut Canvas, valve: &Laid, paper: &Paper, field: Rect, labels: &mut Labels) {
    let edge = paper.spot(valve.edge);
    let slope = super::tangent(valve.face.degrees);
    let inner = valve.inner.map_or_else(|| paper.end_of_line(edge, slope, false), |point| paper.spot(point));
    let rim = paper.spot(Point { radius: valve.edge.radius, height: top_of(valve) });
    let outline = if valve.margin.is_some() { MEASURED } else { SUPPOSED.dashed(2.0, 1.5) };
    let mut stroke = |pen: Pen, from: Spot, to: Spot| {
        if let Some((from, to)) = field.clip(from, to) {
            canvas.line(pen, &[from, to]);
            labels.line(&[from, to]);
        }
    };
    stroke(pen(valve.face), edge, inner);
    stroke(outline, edge, rim);
    stroke(outline, rim, (paper.left(), rim.1));
    stroke(BAND, paper.spot(valve.band.0), paper.spot(valve.band.1));
}

impl SeatSection {
    /// Those of the seat below the field, that of the valve's head in it above the rim.
    fn draw_diameters(&self, canvas: &mut Canvas, paper: &Paper, labels: &mut Labels) {
        let Seated { profile, valve, by_contact, .. } = &self.seated;
        let base = paper.bottom() + DIAMETERS - 1.0;
        let (inner, outer) = (paper.spot(profile.inner), paper.spot(profile.outer));
        let sign = if *by_contact { "≈ ⌀" } else { "⌀" };
        for (edge, point, to_the_left) in [(inner, profile.inner, true), (outer, profile.outer, false)] {
            let leader = [(edge.0, edge.1 + 0.8), (edge.0, base + 0.4)];
            canvas.line(THIN, &leader);
            labels.line(&leader);
            let text = format!("{sign} {}", self.length.plain(2.0 * point.radius));
            let x = if to_the_left { edge.0 - 0.9 - NAME.width(&text) } else { edge.0 + 0.9 };
            canvas.text(NAME.face, NAME.size, NAME.ink, (x, base), &text);
        }
        let Some(valve) = valve else { return };
        let rim = paper.spot(Point { radius: valve.edge.radius, height: top_of(valve) });
        let leader = [(rim.0, rim.1 - 0.8), (rim.0, paper.top() + 1.0)];
        canvas.line(THIN, &leader);
        labels.line(&leader);
        let diameter = self.length.plain(2.0 * valve.edge.radius);
        let text = self.say.with("section-valve", &[("diameter", diameter.into())]);
        let size = (NAME.width(&text), NAME.leading());
        if let Some(corner) = labels.place(size, [(rim.0 - 1.1 - size.0, paper.top() + 1.0)]) {
            canvas.text(NAME.face, NAME.size, NAME.ink, (corner.0, corner.1 + NAME.ascent()), &text);
        }
    }

    /// The names of the cones and the rim, each where nothing is drawn, else nowhere: the table has them too.
    fn draw_names(&self, canvas: &mut Canvas, paper: &Paper, labels: &mut Labels) {
        let Seated { profile, seat, top, throat, valve, .. } = &self.seated;
        if let Some(valve) = valve {
            self.draw_margin(canvas, valve, paper, labels);
        }
        let middle = |a: Spot, b: Spot| ((a.0 + b.0) / 2.0, (a.1 + b.1) / 2.0);
        let [throat_end, inner, outer, top_end] = paper.corners(profile);
        let below = |from: Spot| {
            (0..40).map(move |n| (from.0 + 1.0 + (n % 5) as f32 * 2.0, from.1 + 1.0 + (n / 5) as f32 * 1.4))
        };
        let mut name = |text: &str, corners: &mut dyn Iterator<Item = Spot>| {
            let size = (NAME.width(text), NAME.leading());
            if let Some(corner) = labels.place(size, corners) {
                draw_masked(canvas, NAME, corner, &[text.to_owned()]);
            }
        };
        name(&self.cone_name("cone-seat", *seat), &mut below(middle(inner, outer)));
        let text = self.cone_name("cone-top", *top);
        let right = paper.right() - NAME.width(&text) - 1.2;
        name(&text, &mut (0..20).map(|n| (right, middle(outer, top_end).1 - 4.0 + n as f32 * 0.8)));
        let text = self.cone_name("cone-throat", *throat);
        // Beside its line, in the port; else in the metal.
        let low = paper.bottom() - NAME.leading() - 1.0;
        let beside = (1..4).map(|n| (throat_end.0 - NAME.width(&text) - n as f32 * 0.6, low));
        let left = |n: i32| throat_end.0.min(inner.0) + 1.0 + (n % 12) as f32;
        let metal = (0..72).map(|n| (left(n), low - (n / 12) as f32 * 1.2));
        name(&text, &mut beside.chain(metal));
        if let Some(valve) = valve {
            let text = self.cone_name("cone-face", valve.face);
            let start = paper.spot(Point { radius: valve.edge.radius, height: top_of(valve) }).1 + 1.2;
            name(&text, &mut (0..30).map(|n| (paper.left() + 1.5, start + n as f32 * 0.8)));
        }
    }

    /// The name of a cone with its angle, where that is known.
    fn cone_name(&self, id: &'static str, cone: Cone) -> String {
        let name = self.say.text(id);
        match cone.known {
            Known::Guessed => name.to_owned(),
            _ => format!("{name} {}", degrees(cone.degrees, self.say)),
        }
    }

    /// The rim, dimensioned on the chamber side.
    fn draw_margin(&self, canvas: &mut Canvas, valve: &Laid, paper: &Paper, labels: &mut Labels) {
        const AWAY: f32 = 2.6;
        let Some(margin) = valve.margin else { return };
        let edge = paper.spot(valve.edge);
        let rim = paper.spot(Point { radius: valve.edge.radius, height: top_of(valve) });
        let x = edge.0 + AWAY;
        let text = self.say.with("section-margin", &[("margin", self.length.plain(margin).into())]);
        let size = (NAME.width(&text), NAME.leading());
        let corners = (0..16).map(|n| (x + 1.2, rim.1 - size.1 - 0.9 + n as f32 * 0.8));
        let above = (1..6).map(|n| (x + 1.2, rim.1 - size.1 - 0.9 - n as f32 * 0.8));
        // On the chamber side of the top cut; where that leaves no room, inside the valve.
        let profile = &self.seated.profile;
        let outer = paper.spot(profile.outer);
        let surface = |x: f32| outer.1 - (x - outer.0) * profile.top as f32;
        let in_chamber = |corner: &Spot| corner.1 + size.1 < surface(corner.0);
        let inside = (0..8).map(|n| (edge.0 - 1.2 - size.0, rim.1 + 0.9 + n as f32 * 0.8));
        let corners = corners.clone().take(2).chain(above).chain(corners.skip(2));
        let corners = corners.filter(in_chamber).chain(inside);
        // What the words belong to must be there before they look for room.
        labels.line(&[(x, edge.1), (x, rim.1)]);
        let Some(corner) = labels.place(size, corners) else { return };
        for y in [edge.1, rim.1] {
            canvas.line(THIN, &[(edge.0 + 0.7, y), (x + 0.7, y)]);
        }
        // Up to its words, where they stand higher than the rim.
        let end = rim.1.min(corner.1 + size.1);
        canvas.line(THIN, &[(x, edge.1), (x, end)]);
        if edge.1 - rim.1 > 5.0 {
            draw_arrow(canvas, (x, rim.1), (0.0, -1.0));
            draw_arrow(canvas, (x, edge.1), (0.0, 1.0));
        }
        canvas.text(NAME.face, NAME.size, NAME.ink, (corner.0, corner.1 + NAME.ascent()), &text);
    }
}
