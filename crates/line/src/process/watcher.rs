//! Run rules over points that come one by one.

use super::rules::{LONGEST, Mark, completes};
use super::{Point, RuleSet, Signal, Track};

/// Watches one chart as its points come, in constant memory: it keeps what the rules need of the last 15 points.
///
/// A new group's points are those of a [`chart`](super::chart()) of it alone against a reference; a moving range wants
/// the group before it, too.
///
/// ```
/// use headproof_line::{Point, RuleSet, Track, Watcher};
/// let mut watcher = Watcher::new(RuleSet::Nelson, Track::Location);
/// let calm = Point { place: 0, order: 1, id: 0, n: 1, value: 0.5, centre: 0.0, lower: -3.0, upper: 3.0 };
/// assert!(watcher.watch(&calm).is_empty());
/// assert_eq!(watcher.watch(&Point { value: 3.5, ..calm }).len(), 1);
/// ```
#[derive(Debug, Clone)]
pub struct Watcher {
    rules: RuleSet,
    track: Track,
    /// The last points, oldest first.
    last: [Mark; LONGEST],
    /// How many of `last`, from its end, are filled.
    filled: usize,
    /// How many points have come.
    seen: usize,
}

impl Watcher {
    /// One that has seen nothing yet.
    #[must_use]
    pub fn new(rules: RuleSet, track: Track) -> Self {
        Self { rules, track, last: [Mark::default(); LONGEST], filled: 0, seen: 0 }
    }

    /// The signals this point completes: the same that [`signals`](super::signals) gives for all points together.
    pub fn watch(&mut self, point: &Point) -> Vec<Signal> {
        self.last.rotate_left(1);
        self.last[LONGEST - 1] = point.into();
        self.filled = LONGEST.min(self.filled + 1);
        let (to, marks) = (self.seen, &self.last[LONGEST - self.filled..]);
        self.seen = self.seen.saturating_add(1);
        let rules = self.track.rules(self.rules).iter();
        rules
            .filter_map(|&rule| {
                let back = completes(rule, marks)?;
                Some(Signal { rule, chart: self.track, from: to.saturating_sub(back), to })
            })
            .collect()
    }
}
