//! The heights of the deck where they were read, as discs over the lowest point: what a cut has to take off.

use headproof_quantity::{Kind, Unit};
use headproof_texts::Say;
use headproof_wire::{MeasurementSet, Row, Units};

use super::caption::{Caption, Sign};
use super::labels::{Labels, Rect};
use super::posted::{amount, to_base};
use super::{Figure, NAME, Spot, TITLE, TITLE_HEIGHT, draw_scale_bar, draw_title};
use crate::canvas::{Canvas, Ink, Pen};
use crate::format::{InUnit, figures, number as number_of, plain};
use crate::text::Style;

/// The greatest radius of a disc, and the greatest height of the map.
const LARGEST: f32 = 2.8;
const HIGHEST: f32 = 74.0;
/// Around the outermost points.
const RIM: f32 = 8.0;
/// With more points they have no figures beside them.
const WITH_FIGURES: usize = 300;
/// The scales to draw at: life size over these.
const SMALLER: [f64; 12] = [0.5, 1.0, 2.0, 2.5, 4.0, 5.0, 8.0, 10.0, 15.0, 20.0, 30.0, 50.0];
const FIGURE: Style = NAME.sized(6.6);

const OUTLINE: Pen = Pen::new(Ink::Black, 0.4).dashed(3.0, 2.0);
const RING: Pen = Pen::new(Ink::Black, 0.7);

/// A place on the deck, in millimetres: along, across, and over the lowest place.
type Place = (f64, f64, f64);

/// The map, ready to be drawn.
pub(crate) struct DeckMap {
    places: Vec<Place>,
    high: usize,
    low: usize,
    length: InUnit,
    /// What one unit of the figures beside the discs is, in millimetres.
    figure: f64,
    caption: Caption,
    say: Say,
}

impl DeckMap {
    /// Of a head; none without heights at four places that are not all one.
    pub(crate) fn of(set: &MeasurementSet, rows: &[Row], say: Say) -> Option<Self> {
        let units = &set.units;
        let points = &set.deck.as_ref()?.heights.as_ref()?.points;
        let read: Vec<Place> = points
            .iter()
            .map(|point| {
                let along = to_base(point.x, Kind::Length, units)?;
                let across = to_base(point.y, Kind::Length, units)?;
                Some((along, across, amount(&point.z, Kind::Length, units)?))
            })
            .collect::<Option<_>>()?;
        let by_height = |one: &(usize, &Place), other: &(usize, &Place)| one.1.2.total_cmp(&other.1.2);
        let low = read.iter().enumerate().min_by(by_height)?.0;
        let high = read.iter().enumerate().max_by(by_height)?.0;
        let least = read[low].2;
        let places: Vec<Place> = read.iter().map(|(x, y, z)| (*x, *y, z - least)).collect();
        let (x, y) = (span(places.iter().map(|place| place.0)), span(places.iter().map(|place| place.1)));
        if places.len() < 4 || !(x.1 - x.0 > 1.0 || y.1 - y.0 > 1.0) {
            return None;
        }
        // Micrometres, or ten-thousandths of an inch.
        let figure = if units.unit(Kind::Length) == Unit::Inch { 2.54e-3 } else { 1e-3 };
        let length = InUnit::length(units, say);
        let mut map = Self { places, high, low, length, figure, caption: Caption::default(), say };
        map.caption = map.words(rows, units);
        Some(map)
    }

    fn words(&self, rows: &[Row], units: &Units) -> Caption {
        let mut caption = Caption::default();
        let at = |n: usize| {
            let (x, y, _) = self.places[n];
            let number = |mm: f64| {
                let unit = units.unit(Kind::Length);
                number_of(unit.from_base(mm), if unit == Unit::Inch { 2 } else { 1 }, self.say)
            };
            format!("x {}, y {} {}", number(x), number(y), self.length.sign)
        };
        let unit = if self.length.sign == "mm" { "µm".into() } else { self.say.number("0.0001 in") };
        caption.add(Sign::None, self.say.with("deck-discs", &[("unit", (*unit).into())]));
        let (high, low) = (at(self.high), at(self.low));
        let range = self.length.with_unit(self.places[self.high].2);
        let values = [("high", high.into()), ("range", range.into()), ("low", low.into())];
        caption.add(Sign::None, self.say.with("deck-high-and-low", &values));
        caption.add(Sign::None, self.cut(rows, units));
        caption
    }

    /// The plane that cleans the deck up: as the evaluation has it, else by its definition, the range of the
    /// heights over the datum.
    fn cut(&self, rows: &[Row], units: &Units) -> String {
        let row = |name: &str| rows.iter().find(|row| row.characteristic == name);
        let said = |row: &Row| {
            let figures = figures(row, units, self.say);
            let uncertainty = figures.uncertainty.map_or(String::new(), |u| format!(" (U {u})"));
            Some(format!("{}\u{A0}{}{uncertainty}", figures.measured?, figures.unit))
        };
        let parallel = row("deck-stock-parallel").and_then(said);
        let parallel = parallel.unwrap_or_else(|| self.length.with_unit(self.places[self.high].2));
        match row("deck-stock-free").and_then(said) {
            Some(free) => self
                .say
                .with("deck-cut-parallel-or-free", &[("parallel", parallel.into()), ("free", free.into())]),
            None => self.say.with("deck-cut-parallel", &[("parallel", parallel.into())]),
        }
    }

    fn spans(&self) -> ((f64, f64), (f64, f64)) {
        (span(self.places.iter().map(|place| place.0)), span(self.places.iter().map(|place| place.1)))
    }

    /// Millimetres on paper for each of the deck.
    fn scale(&self, width: f32) -> f64 {
        let (x, y) = self.spans();
        let room = (f64::from(width - 2.0 * RIM), f64::from(HIGHEST - 2.0 * RIM));
        let fitting = ((x.1 - x.0) / room.0).max((y.1 - y.0) / room.1);
        1.0 / SMALLER.into_iter().find(|times| *times >= fitting).unwrap_or(fitting)
    }

    fn map_height(&self, width: f32) -> f32 {
        let (_, y) = self.spans();
        ((y.1 - y.0) * self.scale(width)) as f32 + 2.0 * RIM
    }

    /// Where each place lies on the page.
    fn spots(&self, (left, top): Spot, width: f32) -> Vec<Spot> {
        let ((x0, x1), (y0, y1)) = self.spans();
        let scale = self.scale(width);
        let left = left + (width - ((x1 - x0) * scale) as f32) / 2.0;
        let bottom = top + RIM + ((y1 - y0) * scale) as f32;
        let spot = |(x, y, _): &Place| (left + ((x - x0) * scale) as f32, bottom - ((y - y0) * scale) as f32);
        self.places.iter().map(spot).collect()
    }

    fn draw_map(&self, canvas: &mut Canvas, at: Spot, width: f32) {
        let spots = self.spots(at, width);
        let (x, y) = (spanned(spots.iter().map(|spot| spot.0)), spanned(spots.iter().map(|spot| spot.1)));
        const OUT: f32 = 7.4;
        let corner = (x.0 - OUT, y.0 - OUT);
        let size = (x.1 - x.0 + 2.0 * OUT, y.1 - y.0 + 2.0 * OUT);
        canvas.rectangle(None, Some(OUTLINE), corner, size);
        let largest = LARGEST.min(0.36 * nearest(&spots));
        let greatest = self.places[self.high].2;
        let radius = |height: f64| largest * (height / greatest).max(0.0).sqrt() as f32;
        let mut labels = Labels::new(Rect::new(corner, size));
        for (n, (spot, place)) in spots.iter().zip(&self.places).enumerate() {
            let r = radius(place.2);
            canvas.circle(Some(Ink::Black), None, *spot, r.max(0.25));
            let around = if n == self.high { r + 0.8 } else { r.max(0.25) };
            labels.take(Rect::new((spot.0 - around, spot.1 - around), (2.0 * around, 2.0 * around)));
        }
        canvas.circle(None, Some(RING), spots[self.high], largest + 0.7);
        self.draw_cross(canvas, spots[self.low], &mut labels);
        self.draw_figures(canvas, &spots, largest, &mut labels);
    }

    fn draw_cross(&self, canvas: &mut Canvas, (x, y): Spot, labels: &mut Labels) {
        const FAR: f32 = 1.5;
        for points in [[(x - FAR, y), (x + FAR, y)], [(x, y - FAR), (x, y + FAR)]] {
            canvas.line(RING, &points);
            labels.line(&points);
        }
    }

    /// Beside its disc, the height of each place where there is room for all; else of the two that matter.
    fn draw_figures(&self, canvas: &mut Canvas, spots: &[Spot], largest: f32, labels: &mut Labels) {
        let text = |n: usize| {
            let height = plain(self.places[n].2 / self.figure, 0);
            if n == self.high {
                self.say.with("deck-high", &[("height", height.into())])
            } else if n == self.low {
                self.say.with("deck-low", &[("height", height.into())])
            } else {
                height
            }
        };
        let mut place = |n: usize| {
            let text = text(n);
            let size = (FIGURE.width(&text), FIGURE.cap_height());
            let (x, y) = spots[n];
            let away = largest + 1.4;
            let below = [away, -away - size.1].map(|dy| (x - size.0 / 2.0, y + dy));
            let beside = [away, -away - size.0].map(|dx| (x + dx, y - size.1 / 2.0));
            labels.place(size, below.into_iter().chain(beside)).map(|corner| (corner, text))
        };
        let first = [self.high, self.low];
        let mut placed: Vec<_> = first.into_iter().filter_map(&mut place).collect();
        if spots.len() <= WITH_FIGURES {
            let others = (0..spots.len()).filter(|n| !first.contains(n));
            let more: Option<Vec<_>> = others.map(&mut place).collect();
            placed.extend(more.into_iter().flatten());
        }
        for ((x, top), text) in placed {
            canvas.text(FIGURE.face, FIGURE.size, FIGURE.ink, (x, top + FIGURE.cap_height()), &text);
        }
    }
}

fn span(amounts: impl Iterator<Item = f64>) -> (f64, f64) {
    amounts.fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), amount| (a.min(amount), b.max(amount)))
}

fn spanned(amounts: impl Iterator<Item = f32>) -> (f32, f32) {
    amounts.fold((f32::INFINITY, f32::NEG_INFINITY), |(a, b), amount| (a.min(amount), b.max(amount)))
}

/// The least distance between two places that are not the same: in order along the deck only neighbours that
/// are no farther along than that need a look.
fn nearest(spots: &[Spot]) -> f32 {
    let mut sorted = spots.to_vec();
    sorted.sort_by(|one, other| one.0.total_cmp(&other.0));
    let mut least = f32::INFINITY;
    for (n, one) in sorted.iter().enumerate() {
        for other in &sorted[n + 1..] {
            if other.0 - one.0 >= least {
                break;
            }
            let far = ((other.0 - one.0).powi(2) + (other.1 - one.1).powi(2)).sqrt();
            if far > 0.05 {
                least = least.min(far);
            }
        }
    }
    least
}

impl Figure for DeckMap {
    fn height(&self, width: f32) -> f32 {
        TITLE_HEIGHT + self.map_height(width) + 1.0 + self.caption.height(width)
    }

    fn draw(&self, canvas: &mut Canvas, at: Spot, width: f32) {
        let title = self.say.text("deck-map-title");
        let top = draw_title(canvas, at, width, title);
        let bar = (at.0 + TITLE.width(title) + 6.0, at.1 + TITLE.ascent());
        draw_scale_bar(canvas, bar, (self.scale(width), 30.0), (NAME, &self.length));
        self.draw_map(canvas, (at.0, top), width);
        self.caption.draw(canvas, (at.0, top + self.map_height(width) + 1.0), width);
    }
}
