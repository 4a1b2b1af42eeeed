//! The load of the springs over their height, with the two heights of the valve train and what is allowed
//! there.

use headproof_quantity::Kind;
use headproof_texts::Say;
use headproof_wire::{PortRows, Row, Spring, Units};

use super::caption::{Caption, Sign};
use super::{Figure, NAME, Posted, Spot, TITLE_HEIGHT, draw_title, row_of};
use crate::canvas::{Canvas, Ink, Pen};
use crate::format::{InUnit, plain, sign};
use crate::text::Style;
use crate::words::Verdict;

/// Room for the figures at the left, and for those below.
const FIGURES: f32 = 8.4;
const BELOW: f32 = 4.0;
/// Height of the plot, and the air over it.
const HIGH: f32 = 27.0;
const AIR: f32 = 1.6;
const TICK: Style = NAME.sized(6.6);

const AXIS: Pen = Pen::new(Ink::Black, 0.4);
const GRID: Pen = Pen::new(Ink::Pale, 0.3);
const LINE: Pen = Pen::new(Ink::Black, 0.9);
const HEIGHT: Pen = Pen::new(Ink::Black, 0.5).dashed(2.0, 1.4);
const LIMITS: Pen = Pen::new(Ink::Black, 1.6);
const CAP: Pen = Pen::new(Ink::Black, 0.7);

/// A height of the retainer and what is said of the load there.
struct Station {
    name: &'static str,
    height: f64,
    load: Option<f64>,
    limits: (Option<f64>, Option<f64>),
    verdict: Verdict,
}

/// The plot, ready to be drawn; heights of the retainer in millimetres, loads in newtons.
pub(super) struct SpringLine {
    /// Height and load at each reading, spring by spring, high to low.
    springs: Vec<Vec<(f64, f64)>>,
    stations: Vec<Station>,
    /// What both axes stretch over.
    heights: (f64, f64),
    loads: (f64, f64),
    units: Units,
    title: String,
    caption: Caption,
}

impl SpringLine {
    /// Of one port; none without loads at two heights of one spring.
    pub(super) fn of(posted: &Posted<'_>, judged: &PortRows, units: &Units) -> Option<Self> {
        let (pack, say) = (posted.port?.spring_pack.as_ref()?, posted.say());
        let springs: Vec<Vec<(f64, f64)>> =
            pack.springs.iter().filter_map(|spring| loads(posted, spring)).collect();
        if springs.is_empty() {
            return None;
        }
        let installed = posted.length(pack.installed_height.as_ref());
        let open = installed.zip(posted.length(pack.lift.as_ref())).map(|(height, lift)| height - lift);
        let sound = |load: &f64| load.is_finite() && *load >= 0.0;
        let station = |name, height: Option<f64>, row: Option<&Row>| {
            Some(Station {
                name,
                height: height?,
                // A load below nothing is a fault of its reading.
                load: row.and_then(|row| row.measured).filter(sound),
                limits: row.map_or((None, None), |row| (row.lower.filter(sound), row.upper.filter(sound))),
                verdict: row.map_or(Verdict::NoLimit, |row| Verdict::from_code(&row.verdict)),
            })
        };
        let (seat_load, open_load) = (row_of(judged, "seat-load"), row_of(judged, "open-load"));
        let stations: Vec<Station> =
            [(say.text("valve-closed"), installed, seat_load), (say.text("valve-open"), open, open_load)]
                .into_iter()
                .filter_map(|(name, height, row)| station(name, height, row))
                .collect();
        let read = || springs.iter().flatten();
        let heights = stretch(read().map(|point| point.0).chain(stations.iter().map(|s| s.height)), 0.08)?;
        let said = stations.iter().flat_map(|s| [s.load, s.limits.0, s.limits.1]).flatten();
        let loads = (0.0, stretch(read().map(|point| point.1).chain(said), 0.08)?.1);
        let [force, length] = [Kind::Force, Kind::Length].map(|kind| sign(units.unit(kind)));
        let title = say.with("spring-title", &[("force", force.into()), ("length", length.into())]);
        let caption = Caption::default();
        let mut line = Self { springs, stations, heights, loads, units: *units, title, caption };
        line.caption = line.words(posted, [seat_load, open_load]);
        (line.loads.1 > 0.0).then_some(line)
    }

    fn words(&self, posted: &Posted<'_>, rows: [Option<&Row>; 2]) -> Caption {
        let mut caption = Caption::default();
        let say = posted.say();
        let length = InUnit::length(posted.units(), say);
        for (station, row) in self.stations.iter().zip(rows) {
            let height = length.plain(station.height);
            let name = say.with("spring-at", &[("valve", station.name.into()), ("height", height.into())]);
            if row.is_some_and(|row| row.measured.is_some()) {
                caption.add_row(&format!("{name}:"), row, posted.units(), say);
            } else {
                caption.add(Sign::None, name);
            }
        }
        caption
    }
}

/// What its strokes mean.
pub(super) fn key(say: Say) -> Caption {
    let mut key = Caption::default();
    key.add(Sign::Stroke(LINE, true), say.text("key-springs"));
    key.add(Sign::Stroke(HEIGHT, false), say.text("key-heights"));
    key.add(Sign::Stroke(LIMITS, false), say.text("key-loads"));
    key.add(Sign::None, say.text("key-spring"));
    key
}

/// Loads of a spring over the height of the retainer, high to low.
fn loads(posted: &Posted<'_>, spring: &Spring) -> Option<Vec<(f64, f64)>> {
    let step = posted.length(spring.seat_step.as_ref()).unwrap_or(0.0);
    let mut points: Vec<(f64, f64)> = spring
        .loads
        .iter()
        .map(|point| {
            Some((posted.length(Some(&point.height))? + step, posted.read(&point.load, Kind::Force)?))
        })
        .collect::<Option<_>>()?;
    points.sort_by(|one, other| other.0.total_cmp(&one.0));
    (points.len() >= 2).then_some(points)
}

/// From the least to the greatest of some amounts and a share more on either side.
fn stretch(amounts: impl Iterator<Item = f64>, share: f64) -> Option<(f64, f64)> {
    let wide = |range: (f64, f64), amount: f64| (range.0.min(amount), range.1.max(amount));
    let (least, greatest) = amounts.fold((f64::INFINITY, f64::NEG_INFINITY), wide);
    let more = (greatest - least) * share;
    (greatest - least > 1e-6 && more.is_finite()).then_some((least - more, greatest + more))
}

/// At most so many round steps from nothing up to an amount.
fn ticks(most: f64, count: f64) -> Vec<f64> {
    let rough = most / count;
    let power = libm::pow(10.0, libm::floor(libm::log10(rough)));
    let step = [1.0, 2.0, 5.0, 10.0].map(|times| times * power).into_iter().find(|step| *step >= rough);
    let Some(step) = step else { return Vec::new() };
    (0..=(most / step) as u32).map(|n| f64::from(n) * step).collect()
}

impl Figure for SpringLine {
    fn height(&self, width: f32) -> f32 {
        TITLE_HEIGHT + AIR + HIGH + BELOW + 1.0 + self.caption.height(width)
    }

    fn draw(&self, canvas: &mut Canvas, at: Spot, width: f32) {
        let top = draw_title(canvas, at, width, &self.title) + AIR;
        let plot = Plot { line: self, left: at.0 + FIGURES, top, width: width - FIGURES - 1.6 };
        plot.draw_axes(canvas);
        for spring in &self.springs {
            let spots: Vec<Spot> = spring.iter().map(|point| plot.spot(*point)).collect();
            canvas.line(LINE, &spots);
            for spot in spots {
                canvas.circle(Some(Ink::Black), None, spot, 0.6);
            }
        }
        for station in &self.stations {
            plot.draw_station(canvas, station);
        }
        self.caption.draw(canvas, (at.0, top + HIGH + BELOW + 1.0), width);
    }
}

/// Where the plot lies on the page.
struct Plot<'a> {
    line: &'a SpringLine,
    left: f32,
    top: f32,
    width: f32,
}

impl Plot<'_> {
    /// Greater heights to the left: the valve opens to the right.
    fn spot(&self, (height, load): (f64, f64)) -> Spot {
        let (heights, loads) = (self.line.heights, self.line.loads);
        let across = (heights.1 - height) / (heights.1 - heights.0);
        let up = (load - loads.0) / (loads.1 - loads.0);
        (self.left + across as f32 * self.width, self.top + (1.0 - up as f32) * HIGH)
    }

    fn draw_axes(&self, canvas: &mut Canvas) {
        let (right, bottom) = (self.left + self.width, self.top + HIGH);
        let force = self.line.units.unit(Kind::Force);
        let most = force.from_base(self.line.loads.1);
        for tick in ticks(most, 5.0) {
            let Some(load) = force.to_base(tick).ok() else { continue };
            let y = self.spot((self.line.heights.0, load.to_f64())).1;
            canvas.line(GRID, &[(self.left, y), (right, y)]);
            let text = plain(tick, 0);
            let at = (self.left - 1.2 - TICK.width(&text), y + TICK.cap_height() / 2.0);
            canvas.text(TICK.face, TICK.size, TICK.ink, at, &text);
        }
        canvas.line(AXIS, &[(self.left, self.top - AIR), (self.left, bottom), (right, bottom)]);
        self.draw_names(canvas, bottom + 0.9 + TICK.ascent());
    }

    /// The two heights by name below the axis, or in the middle what the axis is.
    fn draw_names(&self, canvas: &mut Canvas, base: f32) {
        let mut clear = self.left - 6.0;
        for station in &self.line.stations {
            let wide = TICK.width(station.name);
            let middle = self.spot((station.height, 0.0)).0;
            let x = (middle - wide / 2.0).min(self.left + self.width + 1.4 - wide).max(clear);
            if x + wide <= self.left + self.width + 1.5 {
                canvas.text(TICK.face, TICK.size, TICK.ink, (x, base), station.name);
                clear = x + wide + 1.0;
            }
        }
    }

    /// A dashed line at its height, what is allowed there as a thick upright with caps, and the load.
    fn draw_station(&self, canvas: &mut Canvas, station: &Station) {
        let (x, bottom) = self.spot((station.height, 0.0));
        canvas.line(HEIGHT, &[(x, bottom), (x, self.top)]);
        let (lower, upper) = station.limits;
        if lower.is_some() || upper.is_some() {
            let y = |load: f64| self.spot((station.height, load)).1;
            let (from, to) = (lower.map_or(bottom, y), upper.map_or(self.top, y));
            canvas.line(LIMITS, &[(x, from), (x, to)]);
            for end in [lower.map(|_| from), upper.map(|_| to)].into_iter().flatten() {
                canvas.line(CAP, &[(x - 1.4, end), (x + 1.4, end)]);
            }
        }
        if let Some(load) = station.load {
            super::bars::draw_shape(canvas, station.verdict, self.spot((station.height, load)));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ticks_are_round_and_few() {
        assert_eq!(ticks(560.0, 5.0), [0.0, 200.0, 400.0]);
        assert_eq!(ticks(160.0, 5.0), [0.0, 50.0, 100.0, 150.0]);
        assert!(ticks(9.0, 5.0).len() <= 6);
    }

    #[test]
    fn a_stretch_of_nothing_is_none() {
        assert_eq!(stretch([3.0, 3.0].into_iter(), 0.1), None);
        assert_eq!(stretch(std::iter::empty(), 0.1), None);
        assert_eq!(stretch([0.0, 10.0].into_iter(), 0.1), Some((-1.0, 11.0)));
    }
}
