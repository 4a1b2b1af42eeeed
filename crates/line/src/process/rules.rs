//! Run rules: what on a chart is too unlikely for chance.

use super::{Chart, Point};

/// The most points a rule looks back over.
pub(super) const LONGEST: usize = 15;

/// A rule that points of a chart can break, named by what it says.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum RunRule {
    /// A point beyond a control limit.
    OnePointBeyondThreeSigma,
    /// Two of three points beyond two standard errors on the same side.
    TwoOfThreeBeyondTwoSigma,
    /// Four of five points beyond one standard error on the same side.
    FourOfFiveBeyondOneSigma,
    /// Eight points in a row on one side of the centre line.
    EightOnOneSide,
    /// Nine points in a row on one side of the centre line.
    NineOnOneSide,
    /// Six points in a row, each higher than the last or each lower.
    SixRisingOrFalling,
    /// Fourteen points in a row that go up and down in turn.
    FourteenAlternating,
    /// Fifteen points in a row nearer the centre line than one standard error, on either side.
    FifteenWithinOneSigma,
    /// Eight points in a row beyond one standard error, on either side.
    EightBeyondOneSigma,
}

/// Which rules are used together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum RuleSet {
    /// Control limits only (Shewhart 1931).
    ThreeSigma,
    /// The four zone rules of the Western Electric handbook of 1956 (from memory).
    WesternElectric,
    /// The eight tests of Nelson 1984, Journal of Quality Technology 16(4), as in the ISO standards of Shewhart
    /// charts, ISO 8258 and ISO 7870-2 (from memory).
    Nelson,
}

impl RuleSet {
    /// Its rules.
    #[must_use]
    pub const fn rules(self) -> &'static [RunRule] {
        use RunRule::{
            EightBeyondOneSigma, EightOnOneSide, FifteenWithinOneSigma, FourOfFiveBeyondOneSigma,
            FourteenAlternating, NineOnOneSide, OnePointBeyondThreeSigma, SixRisingOrFalling,
            TwoOfThreeBeyondTwoSigma,
        };
        match self {
            Self::ThreeSigma => &[OnePointBeyondThreeSigma],
            Self::WesternElectric => &[
                OnePointBeyondThreeSigma,
                TwoOfThreeBeyondTwoSigma,
                FourOfFiveBeyondOneSigma,
                EightOnOneSide,
            ],
            Self::Nelson => &[
                OnePointBeyondThreeSigma,
                NineOnOneSide,
                SixRisingOrFalling,
                FourteenAlternating,
                TwoOfThreeBeyondTwoSigma,
                FourOfFiveBeyondOneSigma,
                FifteenWithinOneSigma,
                EightBeyondOneSigma,
            ],
        }
    }
}

/// Which of the two charts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Track {
    /// Means or single values: all rules of a set hold.
    Location,
    /// Ranges or standard deviations: only the control limits hold, since these are not spread evenly about their
    /// centre line.
    Spread,
}

impl Track {
    /// The rules of a set that hold here.
    pub(super) const fn rules(self, set: RuleSet) -> &'static [RunRule] {
        match self {
            Self::Location => set.rules(),
            Self::Spread => RuleSet::ThreeSigma.rules(),
        }
    }
}

/// A rule is broken. It is told at the point that completes the breach, and again at each further point that does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Signal {
    /// The rule.
    pub rule: RunRule,
    /// On which of the two charts.
    pub chart: Track,
    /// The place of the first point that belongs to it among the chart's points, from 0.
    pub from: usize,
    /// The place of the last.
    pub to: usize,
}

/// What the rules need of a point.
#[derive(Debug, Clone, Copy, Default)]
pub(super) struct Mark {
    /// The value, for rising and falling.
    value: f64,
    /// The number of standard errors it is beyond, at most 3, negative below the centre line.
    beyond: i8,
    /// −1 below the centre line, 0 on it, 1 above.
    side: i8,
    /// Nearer the centre line than one standard error.
    inside: bool,
}

impl From<&Point> for Mark {
    fn from(point: &Point) -> Self {
        let Point { value, centre, lower, upper, .. } = *point;
        let side = i8::from(value > centre) - i8::from(value < centre);
        let limit = if side < 0 { centre - lower } else { upper - centre };
        let distance = (value - centre).abs();
        let out = value > upper || value < lower;
        let beyond =
            if out { 3 } else { i8::from(distance > limit / 3.0) + i8::from(distance > limit / 1.5) };
        Self { value, beyond: side * beyond, side, inside: distance < limit / 3.0 }
    }
}

/// How many points back the breach begins that the last of these points completes; `None` where it completes none.
pub(super) fn completes(rule: RunRule, marks: &[Mark]) -> Option<usize> {
    let newest = marks.last()?;
    match rule {
        RunRule::OnePointBeyondThreeSigma => (newest.beyond.abs() == 3).then_some(0),
        RunRule::TwoOfThreeBeyondTwoSigma => some_of(marks, 2, 3, 2),
        RunRule::FourOfFiveBeyondOneSigma => some_of(marks, 4, 5, 1),
        RunRule::EightOnOneSide => row(marks, 8, |mark| mark.side != 0 && mark.side == newest.side),
        RunRule::NineOnOneSide => row(marks, 9, |mark| mark.side != 0 && mark.side == newest.side),
        RunRule::SixRisingOrFalling => steps(marks, 6, |_, up| up),
        RunRule::FourteenAlternating => steps(marks, 14, |place, up| up == (place % 2 == 0)),
        RunRule::FifteenWithinOneSigma => row(marks, 15, |mark| mark.inside),
        RunRule::EightBeyondOneSigma => row(marks, 8, |mark| mark.beyond != 0),
    }
}

/// Whether the newest point and enough of those before it are beyond `level` on the newest's side.
fn some_of(marks: &[Mark], enough: usize, among: usize, level: i8) -> Option<usize> {
    let side = marks.last()?.side;
    let mut places = (0..among).zip(marks.iter().rev()).filter(|(_, mark)| mark.beyond * side >= level);
    let (first, _) = places.next()?;
    let (last, _) = places.nth(enough - 2)?;
    (first == 0).then_some(last)
}

/// Whether the last `length` points are all like that.
fn row(marks: &[Mark], length: usize, like: impl Fn(&Mark) -> bool) -> Option<usize> {
    let start = marks.len().checked_sub(length)?;
    marks[start..].iter().all(like).then_some(length - 1)
}

/// Whether all steps between the last `length` points are like that, or all are once turned upside down.
fn steps(marks: &[Mark], length: usize, like: impl Fn(usize, bool) -> bool) -> Option<usize> {
    let last = &marks[marks.len().checked_sub(length)?..];
    let all = |turned: bool| {
        last.windows(2).enumerate().all(|(place, pair)| {
            let (low, high) = if like(place, !turned) { (pair[0], pair[1]) } else { (pair[1], pair[0]) };
            low.value < high.value
        })
    };
    (all(false) || all(true)).then_some(length - 1)
}

/// All signals of a chart: those of its location first, in the order of the points that complete them, then those
/// of its spread.
///
/// ```
/// use headproof_line::{ChartKind, Reference, RuleSet, RunRule, Subgroup, chart, signals};
/// let groups: Vec<Subgroup> =
///     (1..=8).filter_map(|order| Subgroup::of(order, 0, &[104 + order % 2])).collect();
/// let held = Reference { centre: 100.0, sigma: 20.0 };
/// let chart = chart(ChartKind::IndividualsMovingRange, &groups, Some(&held))?;
/// let found = signals(&chart, RuleSet::WesternElectric);
/// assert!(found.len() == 1 && found[0].rule == RunRule::EightOnOneSide && found[0].to == 7);
/// # Ok::<(), headproof_line::ChartError>(())
/// ```
#[must_use]
pub fn signals(chart: &Chart, rules: RuleSet) -> Vec<Signal> {
    let mut found = Vec::new();
    for track in [Track::Location, Track::Spread] {
        let marks: Vec<Mark> = chart.points(track).iter().map(Mark::from).collect();
        for to in 0..marks.len() {
            for &rule in track.rules(rules) {
                if let Some(back) = completes(rule, &marks[..=to]) {
                    found.push(Signal { rule, chart: track, from: to - back, to });
                }
            }
        }
    }
    found
}
