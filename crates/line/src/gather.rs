//! Gathers judged heads, one by one or part by part.

use std::collections::BTreeMap;

use headproof_head::{CharacteristicId, Disposition, PortId, Service, Stage, Subject, Verdict};
use headproof_quantity::Kind;

use crate::{
    CodeSums, Distribution, Groups, Moments, ObservedHead, ObservedRow, Outcomes, Pareto, Subgroup,
    SumOverflow, Trend,
};

/// The most series that are kept apart. A line measures some dozens; profiles that differ in each head would make
/// thousands.
pub const MOST_SERIES: usize = 2000;

/// What belongs together: one characteristic of one service, measured in one stage, against one pair of limits.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct SeriesKey {
    /// When in the job.
    pub stage: Stage,
    /// Id of the profile.
    pub profile: String,
    /// Which characteristic.
    pub characteristic: CharacteristicId,
    /// Of which ports; none for what belongs to no port.
    pub service: Option<Service>,
    /// Least amount that conforms, in counts.
    pub lower: Option<i64>,
    /// Greatest amount that conforms, in counts.
    pub upper: Option<i64>,
}

/// The values of one series.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Series {
    /// Dimension of its amounts; none before the first value.
    pub kind: Option<Kind>,
    /// Rows that conform.
    pub conforms: u64,
    /// Rows that do not conform.
    pub does_not_conform: u64,
    /// Rows that could not be proven either way.
    pub not_proven: u64,
    /// All values.
    pub values: Distribution,
    /// The values of each head as a group.
    pub groups: Vec<Subgroup>,
    /// The mean of each head over the time of measurement, in seconds since 1970.
    pub trend: Trend,
    /// By the code of the bench.
    pub benches: Groups,
    /// By the code of the cutter.
    pub cutters: Groups,
    /// By the gauge that most of a value's uncertainty comes from.
    pub gauges: Groups,
    /// By the code of the operator.
    pub operators: Groups,
}

/// Rows that do not conform.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Failures {
    /// By characteristic and service.
    pub characteristics: Pareto<(CharacteristicId, Option<Service>)>,
    /// By port.
    pub ports: Pareto<PortId>,
}

/// What is known of a set besides its values.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Standing {
    /// Somebody has signed for it.
    pub is_signed: bool,
    /// With a concession.
    pub with_concession: bool,
}

/// Many heads. Parts may be gathered apart and merged in any order.
#[derive(Debug, Clone, Default)]
pub struct Line {
    /// How many sets of each stage came out how, and what of them is signed.
    pub outcomes: BTreeMap<Stage, Outcomes>,
    /// How first sets after rework or as handed over came out, also those that a later one took the place of.
    pub passes: Outcomes,
    /// What does not conform in each stage.
    pub failures: BTreeMap<Stage, Failures>,
    /// When the first and the last set was measured, in milliseconds since 1970.
    pub measured: Option<(i64, i64)>,
    series: BTreeMap<SeriesKey, Series>,
    /// Values of series beyond [`MOST_SERIES`].
    pub left_out: u64,
}

impl Line {
    /// Takes a head in. `id` is its place among all heads, each once; the studies name it so.
    ///
    /// # Errors
    /// [`SumOverflow`] when sums run over; then the head is counted in part.
    pub fn observe(&mut self, id: u32, head: &ObservedHead, standing: Standing) -> Result<(), SumOverflow> {
        self.outcomes.entry(head.stage).or_default().count(head.disposition, standing);
        let at = head.measured_at;
        self.measured = Some(self.measured.map_or((at, at), |(from, to)| (from.min(at), to.max(at))));
        let mut together: BTreeMap<_, Vec<&ObservedRow>> = BTreeMap::new();
        for row in &head.rows {
            let service = match row.subject {
                Subject::Port(port) => Some(port.service),
                Subject::Head | Subject::Cylinder(_) => None,
            };
            if row.verdict == Verdict::DoesNotConform {
                let failures = self.failures.entry(head.stage).or_default();
                failures.characteristics.add((row.characteristic, service), 1);
                if let Subject::Port(port) = row.subject {
                    failures.ports.add(port, 1);
                }
            }
            let limits =
                row.limits.and_then(|at| head.limits.get(usize::from(at))).copied().unwrap_or_default();
            together.entry((row.characteristic, service, limits)).or_default().push(row);
        }
        for ((characteristic, service, (lower, upper)), rows) in together {
            let (stage, profile) = (head.stage, head.profile.clone());
            let key = SeriesKey { stage, profile, characteristic, service, lower, upper };
            if !self.series.contains_key(&key) && self.series.len() >= MOST_SERIES {
                self.left_out += rows.iter().filter(|row| row.value.is_some()).count() as u64;
                continue;
            }
            self.series.entry(key).or_default().observe(id, head, &rows)?;
        }
        Ok(())
    }

    /// Counts the first set of a head in a stage for the yield; sets as received say nothing of the work.
    pub fn observe_first(&mut self, head: &ObservedHead) {
        if head.stage != Stage::AsReceived {
            self.passes.count(head.disposition, Standing::default());
        }
    }

    /// Takes in what was gathered of other heads.
    ///
    /// # Errors
    /// [`SumOverflow`] when sums run over.
    pub fn merge(&mut self, other: Self) -> Result<(), SumOverflow> {
        for (stage, outcomes) in &other.outcomes {
            self.outcomes.entry(*stage).or_default().merge(outcomes);
        }
        self.passes.merge(&other.passes);
        for (stage, failures) in other.failures {
            let known = self.failures.entry(stage).or_default();
            known.characteristics.merge(failures.characteristics);
            known.ports.merge(failures.ports);
        }
        self.measured = match (self.measured, other.measured) {
            (Some((a, b)), Some((c, d))) => Some((a.min(c), b.max(d))),
            (one, another) => one.or(another),
        };
        self.left_out += other.left_out;
        for (key, series) in other.series {
            if !self.series.contains_key(&key) && self.series.len() >= MOST_SERIES {
                self.left_out += series.values.n();
                continue;
            }
            self.series.entry(key).or_default().merge(series)?;
        }
        Ok(())
    }

    /// How the sets of all stages came out.
    #[must_use]
    pub fn all(&self) -> Outcomes {
        let mut all = Outcomes::default();
        for outcomes in self.outcomes.values() {
            all.merge(outcomes);
        }
        all
    }

    /// The series in the order of their keys.
    pub fn series(&self) -> impl Iterator<Item = (&SeriesKey, &Series)> {
        self.series.iter()
    }
}

impl Series {
    /// Takes in the rows of one head.
    fn observe(&mut self, id: u32, head: &ObservedHead, rows: &[&ObservedRow]) -> Result<(), SumOverflow> {
        let seconds = head.measured_at.div_euclid(1000);
        let (mut all, mut by_gauge) = (Moments::default(), BTreeMap::<u16, Moments>::new());
        for row in rows {
            match row.verdict {
                Verdict::Conforms => self.conforms += 1,
                Verdict::DoesNotConform => self.does_not_conform += 1,
                Verdict::NotProven => self.not_proven += 1,
                Verdict::NoLimit | Verdict::NotMeasured => {}
            }
            let Some(value) = row.value else { continue };
            self.kind = Some(row.kind);
            self.values.observe(value)?;
            all.observe(value)?;
            if let Some(gauge) = row.gauge {
                by_gauge.entry(gauge).or_default().observe(value)?;
            }
        }
        let Some(sums) = of_head(seconds, all)? else { return Ok(()) };
        self.groups.push(Subgroup::summed(head.measured_at, id, &sums.values).ok_or(SumOverflow)?);
        self.trend.merge(&sums.heads)?;
        let codes = [
            (&mut self.benches, &head.bench),
            (&mut self.cutters, &head.cutter),
            (&mut self.operators, &head.operator),
        ];
        for (groups, code) in codes {
            if let Some(code) = code {
                groups.add(code, &sums)?;
            }
        }
        for (gauge, values) in by_gauge {
            if let (Some(code), Some(sums)) = (head.gauges.get(usize::from(gauge)), of_head(seconds, values)?)
            {
                self.gauges.add(code, &sums)?;
            }
        }
        Ok(())
    }

    fn merge(&mut self, other: Self) -> Result<(), SumOverflow> {
        self.kind = self.kind.or(other.kind);
        self.conforms += other.conforms;
        self.does_not_conform += other.does_not_conform;
        self.not_proven += other.not_proven;
        self.values.merge(&other.values)?;
        self.groups.extend(other.groups);
        self.trend.merge(&other.trend)?;
        self.benches.merge(&other.benches)?;
        self.cutters.merge(&other.cutters)?;
        self.gauges.merge(&other.gauges)?;
        self.operators.merge(&other.operators)
    }
}

/// The sums of one head; none without values. Its mean is taken to the nearest count, which is far below what a gauge tells.
fn of_head(seconds: i64, values: Moments) -> Result<Option<CodeSums>, SumOverflow> {
    let Some(mean) = values.nearest_mean() else { return Ok(None) };
    let mut heads = Trend::default();
    heads.observe(seconds, mean)?;
    Ok(Some(CodeSums { values, heads }))
}

impl Outcomes {
    fn count(&mut self, disposition: Disposition, standing: Standing) {
        self.heads += 1;
        match disposition {
            Disposition::Accept => self.accepted += 1,
            Disposition::Rework => self.reworked += 1,
            Disposition::Incomplete => self.incomplete += 1,
            Disposition::Reject => self.rejected += 1,
        }
        self.signed += u64::from(standing.is_signed);
        self.with_concession += u64::from(standing.with_concession);
    }
}
