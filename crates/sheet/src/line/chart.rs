//! A control chart: location above spread, over the same heads.

use headproof_texts::Say;
use headproof_wire::statistics::{ChartPoint, ControlChart, RunRule, Track};

use super::amounts::Amounts;
use super::axis::Axis;
use super::plot::{BELOW, BESIDE, Frame};
use super::signs::{self, Sign};
use super::words::track_of;
use crate::canvas::{Canvas, Ink, Pen};
use crate::drawing::{Spot, TITLE_HEIGHT, draw_title};
use crate::structure::Tag;

/// More points than this would run into one another: the last of them are drawn.
pub(super) const MOST: usize = 100;
/// The share of the height that the chart of location has.
const LOCATION: f32 = 0.6;
/// Room for half a mark at the right edge.
const EDGE: f32 = 1.2;
/// Air between the two.
const BETWEEN: f32 = 1.6;

const CENTRE: Pen = Pen::new(Ink::Black, 0.35);
const LIMIT: Pen = Pen::new(Ink::Black, 0.7).dashed(2.6, 1.6);
const TRACE: Pen = Pen::new(Ink::Black, 0.45);

/// Draws it into a box.
pub(super) fn draw(
    canvas: &mut Canvas,
    (x, y): Spot,
    (width, height): (f32, f32),
    chart: &ControlChart,
    amounts: &Amounts,
    say: Say,
) {
    canvas.structure.open(Tag::Figure);
    let plots = height - 2.0 * TITLE_HEIGHT - BELOW - BETWEEN;
    let places = Places::of(chart);
    let (location, spread) = (last(&chart.location), last(&chart.spread));
    let mut top = y;
    for (track, points, share) in
        [(Track::Location, location, LOCATION), (Track::Spread, spread, 1.0 - LOCATION)]
    {
        let name = track_of(chart.kind, track, say);
        let title =
            if amounts.unit.is_empty() { name.to_owned() } else { format!("{name}, {}", amounts.unit) };
        top = draw_title(canvas, (x, top), width, &title);
        let frame = Frame { corner: (x + BESIDE, top), size: (width - BESIDE - EDGE, plots * share) };
        draw_track(canvas, frame, (chart, track, points), &places, amounts, say);
        top = frame.bottom() + BETWEEN;
        if track == Track::Spread {
            frame.draw_below(canvas, &places.axis(), say);
        }
    }
    canvas.structure.close();
}

/// The points that are drawn.
fn last(points: &[ChartPoint]) -> &[ChartPoint] {
    &points[points.len().saturating_sub(MOST)..]
}

/// The places of the first and the last head that are drawn, and how many there are.
pub(super) fn drawn(chart: &ControlChart) -> (u64, u64, usize) {
    let Places { first, last: end } = Places::of(chart);
    (first, end, last(&chart.location).len())
}

/// The places of the heads across both charts.
struct Places {
    first: u64,
    last: u64,
}

impl Places {
    fn of(chart: &ControlChart) -> Self {
        let points = || last(&chart.location).iter().chain(last(&chart.spread));
        // The chart of location says from where on: moving ranges are one fewer.
        let first = last(&chart.location).first().map(|point| point.place);
        Self {
            first: first.or_else(|| points().map(|point| point.place).min()).unwrap_or(1),
            last: points().map(|point| point.place).max().unwrap_or(1),
        }
    }

    fn axis(&self) -> Axis {
        let span = (self.last.saturating_sub(self.first) + 1) as usize;
        Axis::between(self.first as f64 - 0.5, self.last as f64 + 0.5, span.min(8))
    }
}

fn draw_track(
    canvas: &mut Canvas,
    frame: Frame,
    (chart, track, points): (&ControlChart, Track, &[ChartPoint]),
    places: &Places,
    amounts: &Amounts,
    say: Say,
) {
    let all = points.iter().flat_map(|point| [point.value, point.centre, point.lower, point.upper]);
    let most = if track == Track::Location { 6 } else { 4 };
    let Some(up) = Axis::over(all, most, 0.06) else { return };
    let across = places.axis();
    let shown: Vec<&ChartPoint> = points.iter().filter(|point| point.place >= places.first).collect();
    let steps = |amount: fn(&ChartPoint) -> f64| steps(&shown, amount, frame, &across, &up);
    canvas.line(CENTRE, &steps(|point| point.centre));
    canvas.line(LIMIT, &steps(|point| point.lower));
    canvas.line(LIMIT, &steps(|point| point.upper));
    let spots: Vec<Spot> = shown
        .iter()
        .map(|point| (frame.x(across.place(point.place as f64)), frame.y(up.place(point.value))))
        .collect();
    if spots.len() > 1 {
        canvas.line(TRACE, &spots);
    }
    let mut marked: Vec<(Sign, Spot)> =
        shown.iter().map(|point| sign(chart, track, point.place)).zip(spots).collect();
    // What matters most lies on top.
    marked.sort_by_key(|(sign, _)| *sign);
    for (sign, spot) in marked {
        signs::draw(canvas, sign, spot);
    }
    frame.draw_left(canvas, &up, say);
    if let Some(point) = shown.last() {
        canvas.structure.describe(&say.with(
            "line-track-words",
            &[
                ("count", shown.len().into()),
                ("centre", amounts.mean(point.centre).into()),
                ("lower", amounts.mean(point.lower).into()),
                ("upper", amounts.mean(point.upper).into()),
            ],
        ));
    }
}

/// What the point at a place means on a track.
fn sign(chart: &ControlChart, track: Track, place: u64) -> Sign {
    let of = chart.signals.iter().filter(|signal| signal.track == track);
    let meaning = of.map(|signal| {
        let belongs = (signal.from..=signal.to).contains(&place);
        // Of points beyond the limits each signals by itself, also where they follow each other.
        let is_beyond = signal.rule == RunRule::OnePointBeyondThreeSigma;
        match belongs {
            true if is_beyond || signal.to == place => Sign::Signal,
            true => Sign::InRun,
            false => Sign::Plain,
        }
    });
    meaning.max().unwrap_or(Sign::Plain)
}

/// A line at an amount of each point, in steps half-way between them.
fn steps(
    points: &[&ChartPoint],
    amount: fn(&ChartPoint) -> f64,
    frame: Frame,
    across: &Axis,
    up: &Axis,
) -> Vec<Spot> {
    let mut line: Vec<Spot> = Vec::new();
    for point in points {
        let y = frame.y(up.place(amount(point)));
        let [left, right] = [-0.5, 0.5].map(|side| frame.x(across.place(point.place as f64 + side)));
        match line.last_mut() {
            // Goes on at the same height.
            Some(end) if (end.1 - y).abs() < 1e-4 => end.0 = right,
            _ => line.extend([(left, y), (right, y)]),
        }
    }
    line
}

#[cfg(test)]
mod tests {
    use super::*;

    fn point(place: u64, upper: f64) -> ChartPoint {
        let measured_at = String::new();
        ChartPoint {
            place,
            head: String::new(),
            measured_at,
            n: 4,
            value: 0.5,
            centre: 0.5,
            lower: 0.0,
            upper,
        }
    }

    #[test]
    fn a_limit_that_stays_is_one_stroke_and_one_that_changes_has_steps() {
        let frame = Frame { corner: (0.0, 0.0), size: (10.0, 10.0) };
        let (across, up) = (Axis::between(0.5, 4.5, 4), Axis::between(0.0, 1.0, 4));
        let strokes = |uppers: [f64; 4]| {
            let points: Vec<ChartPoint> =
                (1..).zip(uppers).map(|(place, upper)| point(place, upper)).collect();
            let points: Vec<&ChartPoint> = points.iter().collect();
            steps(&points, |point| point.upper, frame, &across, &up).len()
        };
        assert_eq!(strokes([1.0; 4]), 2);
        assert_eq!(strokes([1.0, 1.0, 0.5, 0.5]), 4);
        assert_eq!(strokes([1.0, 0.2, 0.5, 0.5]), 6);
    }

    #[test]
    fn the_end_of_a_run_is_its_signal() {
        use headproof_wire::statistics::{ChartKind, ChartSignal, SigmaEstimator};
        let signal = |from, to, track| ChartSignal {
            rule: match track {
                Track::Location => RunRule::TwoOfThreeBeyondTwoSigma,
                Track::Spread => RunRule::OnePointBeyondThreeSigma,
            },
            track,
            from,
            to,
            head: String::new(),
        };
        let chart = ControlChart {
            kind: ChartKind::MeanRange,
            centre: 0.0,
            sigma: 1.0,
            estimator: SigmaEstimator::MeanRange,
            groups: 9,
            location: Vec::new(),
            spread: Vec::new(),
            signals: vec![
                signal(2, 4, Track::Location),
                signal(4, 6, Track::Location),
                signal(7, 8, Track::Spread),
            ],
            signal_count: 3,
        };
        let signs: Vec<Sign> = (1..=8).map(|place| sign(&chart, Track::Location, place)).collect();
        use Sign::{InRun, Plain, Signal};
        assert_eq!(signs, [Plain, InRun, InRun, Signal, InRun, Signal, Plain, Plain]);
        assert_eq!([6, 7, 8].map(|place| sign(&chart, Track::Spread, place)), [Plain, Signal, Signal]);
    }
}
