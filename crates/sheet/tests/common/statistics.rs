//! Statistics of invented heads, worked out in the plainest way from seeded values.

use headproof_wire::statistics::{
    AnalysisOfVariance, Capability, CapabilityIndex, CapabilityMethod, CharacteristicStatistics, ChartKind,
    ChartPoint, ChartSignal, CodeKind, CodeMoments, ControlChart, FailureCount, GroupComparison, HeadCounts,
    Histogram, IntervalMethod, Normality, PortFailures, RuleSet, RunRule, Selection, Share, SigmaEstimator,
    StageCounts, Statistics, TestStatistic, Track, TrendLine,
};
use headproof_wire::{Service, Stage};

/// Points that a chart keeps.
const KEPT: usize = 100;
/// Values of a head.
const PER_HEAD: usize = 4;

/// Numbers from a seed: a linear congruential generator with the constants of Knuth's MMIX (from memory).
pub(crate) struct Seeded(pub(crate) u64);

impl Seeded {
    /// From 0 to 1.
    pub(crate) fn share(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    /// About normal, with mean 0 and standard deviation 1.
    fn bell(&mut self) -> f64 {
        ((0..4).map(|_| self.share()).sum::<f64>() - 2.0) * f64::sqrt(3.0)
    }
}

/// Statistics of so many heads over so many characteristics, some of every kind.
pub(crate) fn statistics(heads: u64, characteristics: usize) -> Statistics {
    let ids: Vec<&str> = headproof_judge::table().map(|row| row.id.as_str()).collect();
    let made = (0..characteristics)
        .map(|n| characteristic(n, heads, (ids[n * 7 % ids.len()], ["mm", "deg", "N", "mm"][n % 4])));
    let characteristics = made.collect();
    let share = |count: u64, of: u64| {
        let share = count as f64 / of as f64;
        Some(Share { count, of, share, lower: (share - 0.083).max(0.0), upper: (share + 0.061).min(1.0) })
    };
    let [rework, incomplete, reject] = [heads / 5, heads / 9, heads / 50];
    Statistics {
        format: "headproof/statistics/1".into(),
        selection: Selection { from: Some("2026-03-01T00:00:00Z".into()), ..Selection::default() },
        confidence: 0.95,
        run_rules: RuleSet::WesternElectric,
        method: None,
        heads: HeadCounts {
            counted: heads,
            superseded: heads / 7,
            without_values: heads / 11,
            values_left_out: 0,
            measured_from: Some("2026-03-02T07:15:00+02:00".into()),
            measured_to: Some("2026-05-29T16:40:00+02:00".into()),
            accept: heads - rework - incomplete - reject,
            rework,
            incomplete,
            reject,
            by_stage: vec![
                StageCounts {
                    stage: Stage::AfterRework,
                    counted: heads - incomplete,
                    accept: heads - rework - incomplete - reject,
                    rework,
                    incomplete: 0,
                    reject,
                },
                StageCounts {
                    stage: Stage::Final,
                    counted: incomplete,
                    accept: 0,
                    rework: 0,
                    incomplete,
                    reject: 0,
                },
            ],
            first_pass_yield: share(heads - rework, heads),
            concession_rate: share(1, heads),
        },
        failures: failures(&ids, 30),
        failing_ports: failing_ports(20),
        characteristics,
    }
}

fn failures(ids: &[&str], count: usize) -> Vec<FailureCount> {
    let counts: Vec<u64> = (0..count).map(|n| 1 + 400 / (n as u64 + 1)).collect();
    let all = counts.iter().sum::<u64>() as f64;
    let mut sum = 0;
    let one = |(n, count): (usize, &u64)| {
        sum += count;
        FailureCount {
            stage: if n < 20 { Stage::AfterRework } else { Stage::Final },
            characteristic: ids[n * 5 % ids.len()].to_owned(),
            service: [Some(Service::Intake), Some(Service::Exhaust), None][n % 3],
            count: *count,
            share: *count as f64 / all,
            cumulative: sum as f64 / all,
        }
    };
    counts.iter().enumerate().map(one).collect()
}

fn failing_ports(count: usize) -> Vec<PortFailures> {
    let one = |n: usize| PortFailures {
        stage: if n < 15 { Stage::AfterRework } else { Stage::Final },
        cylinder: 1 + n as u8 / 4,
        service: if n.is_multiple_of(2) { Service::Exhaust } else { Service::Intake },
        index: 1 + (n / 2 % 2) as u8,
        count: 2 * (count - n) as u64,
        share: 2.0 * (count - n) as f64 / (count * (count + 1)) as f64,
        cumulative: (0..=n).map(|n| 2.0 * (count - n) as f64).sum::<f64>() / (count * (count + 1)) as f64,
    };
    (0..count).map(one).collect()
}

/// One characteristic. Its number says what is special about it.
fn characteristic(n: usize, heads: u64, (id, unit): (&str, &str)) -> CharacteristicStatistics {
    let mut seeded = Seeded(n as u64 + 1);
    let middle = [1.31, 45.02, 260.5, 0.031][n % 4];
    let spread = middle * [0.03, 0.008, 0.05, 0.2][n % 4];
    let individuals = n % 5 == 3;
    let per_head = if individuals { 1 } else { PER_HEAD };
    let drift = if n.is_multiple_of(6) { 0.5 } else { 0.0 };
    let groups: Vec<Vec<f64>> = (0..heads)
        .map(|head| {
            let at = middle + spread * drift * (head as f64 / heads as f64 - 0.5);
            (0..per_head).map(|_| at + spread * seeded.bell()).collect()
        })
        .collect();
    let values: Vec<f64> = groups.concat();
    let (mean, s) = moments(&values);
    let reach = spread * [3.0, 4.0, 2.0][n % 3];
    let (lower, upper) = match n % 7 {
        2 => (None, Some(middle + reach)),
        4 => (Some(middle - reach), None),
        5 => (None, None),
        6 => (Some(middle - 40.0 * spread), Some(middle + reach)),
        _ => (Some(middle - reach), Some(middle + reach)),
    };
    let (lower, upper) = (lower.map(round), upper.map(round));
    let normal = n % 4 != 1;
    let chart = (heads > 1 && n % 11 != 10).then(|| chart(&groups, individuals, n % 8 == 1));
    let capability = s.and_then(|s| capability((lower, upper), (mean, s, values.len()), normal));
    let no_capability = match (&capability, lower.or(upper)) {
        (Some(_), _) => None,
        (None, None) => Some("no-limits".to_owned()),
        (None, Some(_)) => Some("too-few".to_owned()),
    };
    CharacteristicStatistics {
        stage: [Stage::AfterRework, Stage::AsReceived, Stage::Final][n % 3],
        profile: ["demo-iron", "demo-aluminium-16v"][n % 2].into(),
        characteristic: id.into(),
        service: [Some(Service::Exhaust), Some(Service::Intake), None][n % 3],
        unit: unit.into(),
        lower,
        upper,
        conforms: values.len() as u64,
        does_not_conform: 0,
        not_proven: 0,
        n: values.len() as u64,
        mean: Some(mean),
        s,
        min: values.iter().copied().reduce(f64::min),
        max: values.iter().copied().reduce(f64::max),
        histogram: Some(histogram(&values)),
        normality: Normality {
            outcome: (if values.len() < 8 {
                "unknown"
            } else if normal {
                "normal"
            } else {
                "not-normal"
            })
            .into(),
            anderson_darling: Some(TestStatistic {
                statistic: 0.3125,
                p: if normal { 0.55 } else { 0.0002 },
            }),
            dagostino_pearson: n.is_multiple_of(2).then_some(TestStatistic { statistic: 1.719, p: 0.4234 }),
        },
        no_chart: chart.is_none().then(|| "sizes-differ".to_owned()),
        chart,
        capability,
        no_capability,
        groups: vec![
            comparison(CodeKind::Cutter, mean, 3, 0.000_003_1),
            comparison(CodeKind::Operator, mean, 12, 0.4),
        ],
        trend: (heads > 2).then_some(TrendLine {
            slope_per_day: spread * 0.0123,
            standard_error: spread * 0.003,
            p: Some(if drift > 0.0 { 0.0004 } else { 0.37 }),
            r_squared: Some(0.12),
        }),
    }
}

fn round(amount: f64) -> f64 {
    (amount * 1000.0).round() / 1000.0
}

fn moments(values: &[f64]) -> (f64, Option<f64>) {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let squares: f64 = values.iter().map(|value| (value - mean) * (value - mean)).sum();
    (mean, (values.len() > 1).then(|| (squares / (count - 1.0)).sqrt()))
}

fn histogram(values: &[f64]) -> Histogram {
    let (least, greatest) = values.iter().fold((f64::MAX, f64::MIN), |(a, b), v| (a.min(*v), b.max(*v)));
    let bins = 1 + values.len().ilog2() as usize;
    let width = ((greatest - least) / bins as f64).max(1e-9);
    let mut counts = vec![0; bins];
    for value in values {
        counts[(((value - least) / width) as usize).min(bins - 1)] += 1;
    }
    let edges = (0..=bins).map(|n| least + width * n as f64).collect();
    Histogram { rule: "sturges".into(), edges, counts }
}

fn capability(
    (lower, upper): (Option<f64>, Option<f64>),
    (mean, s, n): (f64, f64, usize),
    normal: bool,
) -> Option<Capability> {
    if n < 4 || s <= 0.0 {
        return None;
    }
    let index = |value: f64, interval: IntervalMethod| {
        let half = 1.96 * value.abs().max(0.3) / (2.0 * n as f64).sqrt();
        CapabilityIndex {
            value,
            lower: normal.then_some(value - half),
            upper: normal.then_some(value + half),
            interval: normal.then_some(interval),
        }
    };
    let ppl = lower.map(|lower| index((mean - lower) / (3.0 * s), IntervalMethod::NoncentralT));
    let ppu = upper.map(|upper| index((upper - mean) / (3.0 * s), IntervalMethod::NoncentralT));
    let pp =
        lower.zip(upper).map(|(lower, upper)| index((upper - lower) / (6.0 * s), IntervalMethod::ChiSquare));
    let least = |one: &Option<CapabilityIndex>, other: &Option<CapabilityIndex>| {
        let both = [one.clone(), other.clone()];
        both.into_iter().flatten().min_by(|a, b| a.value.total_cmp(&b.value))
    };
    Some(Capability {
        method: if normal { CapabilityMethod::Normal } else { CapabilityMethod::EmpiricalPercentiles },
        cp: pp.clone().filter(|_| normal),
        cpl: ppl.clone().filter(|_| normal),
        cpu: ppu.clone().filter(|_| normal),
        cpk: least(&ppl, &ppu).filter(|_| normal),
        no_cpk: (!normal).then(|| "not-normal".to_owned()),
        ppk: least(&ppl, &ppu)?,
        pp,
        ppl,
        ppu,
        percentiles: None,
        thin_tails: !normal && n < 1000,
    })
}

/// Means and ranges of four, or single values and moving ranges; factors from memory.
fn chart(groups: &[Vec<f64>], individuals: bool, unequal: bool) -> ControlChart {
    let mean = |group: &Vec<f64>| group.iter().sum::<f64>() / group.len() as f64;
    let range = |values: &[f64]| {
        values.iter().copied().fold(f64::MIN, f64::max) - values.iter().copied().fold(f64::MAX, f64::min)
    };
    let means: Vec<f64> = groups.iter().map(mean).collect();
    let centre = means.iter().sum::<f64>() / means.len() as f64;
    let ranges: Vec<(usize, f64)> = if individuals {
        means.windows(2).enumerate().map(|(n, pair)| (n + 1, range(pair))).collect()
    } else {
        groups.iter().map(|group| range(group)).enumerate().collect()
    };
    let d2 = if individuals { 1.128 } else { 2.059 };
    let sigma = ranges.iter().map(|(_, range)| range).sum::<f64>() / ranges.len() as f64 / d2;
    let point = |place: usize, value: f64, [lower, centre, upper]: [f64; 3]| ChartPoint {
        place: place as u64 + 1,
        head: format!("PUMP-{:05}", place + 1),
        measured_at: "2026-03-02T07:15:00+02:00".into(),
        n: if individuals {
            1
        } else if unequal && place % 9 < 4 {
            3
        } else {
            PER_HEAD as u16
        },
        value,
        centre,
        lower,
        upper,
    };
    let half = |place: usize| {
        let n = if individuals {
            1.0
        } else if unequal && place % 9 < 4 {
            3.0
        } else {
            PER_HEAD as f64
        };
        3.0 * sigma / f64::sqrt(n)
    };
    let location: Vec<ChartPoint> = means
        .iter()
        .enumerate()
        .map(|(place, mean)| point(place, *mean, [centre - half(place), centre, centre + half(place)]))
        .collect();
    let most = if individuals { 3.686 } else { 4.698 } * sigma;
    let spread: Vec<ChartPoint> =
        ranges.iter().map(|(place, range)| point(*place, *range, [0.0, d2 * sigma, most])).collect();
    let mut signals = Vec::new();
    for (track, points) in [(Track::Location, &location), (Track::Spread, &spread)] {
        for point in points.iter().filter(|point| point.value < point.lower || point.value > point.upper) {
            signals.push(ChartSignal {
                rule: RunRule::OnePointBeyondThreeSigma,
                track,
                from: point.place,
                to: point.place,
                head: point.head.clone(),
            });
        }
    }
    for (end, run) in location.windows(8).enumerate() {
        if run.iter().all(|point| point.value > centre) || run.iter().all(|point| point.value < centre) {
            signals.push(ChartSignal {
                rule: RunRule::EightOnOneSide,
                track: Track::Location,
                from: end as u64 + 1,
                to: end as u64 + 8,
                head: run[7].head.clone(),
            });
        }
    }
    signals.sort_by_key(|signal| signal.to);
    let last = |mut points: Vec<ChartPoint>| points.split_off(points.len().saturating_sub(KEPT));
    let signal_count = signals.len() as u64;
    ControlChart {
        kind: if individuals { ChartKind::IndividualsMovingRange } else { ChartKind::MeanRange },
        centre,
        sigma,
        estimator: if individuals { SigmaEstimator::MeanMovingRange } else { SigmaEstimator::MeanRange },
        groups: groups.len() as u64,
        location: last(location),
        spread: last(spread),
        signals: signals.split_off(signals.len().saturating_sub(KEPT)),
        signal_count,
    }
}

fn comparison(by: CodeKind, mean: f64, codes: usize, p: f64) -> GroupComparison {
    let code = |n: usize| CodeMoments {
        code: format!("C-{:02}", n + 1),
        n: 40 + n as u64,
        heads: 10 + n as u64,
        mean: mean * (1.0 + 0.004 * n as f64),
        s: Some(mean * 0.02),
        min: mean * 0.9,
        max: mean * 1.1,
        trend: (n > 0).then_some(TrendLine {
            slope_per_day: mean * 1e-5 * n as f64,
            standard_error: mean * 4e-6,
            p: Some(if n == 2 { 0.000_01 } else { 0.04 }),
            r_squared: Some(0.2),
        }),
    };
    GroupComparison {
        by,
        codes: (0..codes).map(code).collect(),
        others: 0,
        analysis_of_variance: Some(AnalysisOfVariance {
            f: 5.9,
            degrees_between: codes as u64 - 1,
            degrees_within: 100,
            p,
            r_squared: 0.1,
            s: mean * 0.02,
        }),
    }
}

/// Statistics of no head.
pub(crate) fn none() -> Statistics {
    let mut made = statistics(1, 0);
    made.heads = HeadCounts {
        counted: 0,
        superseded: 0,
        without_values: 0,
        values_left_out: 0,
        measured_from: None,
        measured_to: None,
        accept: 0,
        rework: 0,
        incomplete: 0,
        reject: 0,
        by_stage: Vec::new(),
        first_pass_yield: None,
        concession_rate: None,
    };
    (made.failures, made.failing_ports) = (Vec::new(), Vec::new());
    made.selection = Selection::default();
    made
}

/// What is rare: one head with one value, all values alike, limits far off, amounts of all sizes, long names.
pub(crate) fn odd() -> Statistics {
    let mut made = statistics(12, 10);
    made.selection = Selection {
        batch: serde_json::from_str("\"019ac0de-0000-7000-8000-000000000417\"").expect("a UUID"),
        to: Some("2026-06-01T00:00:00Z".into()),
        stage: Some(Stage::Final),
        profile: Some("a-profile-with-a-very-long-id-".repeat(3)),
        bench: Some("B-1".into()),
        cutter: Some("C-7".into()),
        operator: Some("O-3".into()),
        characteristic: Some("seat-runout".into()),
        ..Selection::default()
    };
    made.failures.truncate(1);
    made.failing_ports.truncate(1);
    let of = &mut made.characteristics;
    // One value.
    let single = &mut of[0];
    *single = characteristic(0, 1, ("seat-width", "mm"));
    (single.n, single.s, single.min, single.max) = (1, None, single.mean, single.mean);
    (single.capability, single.no_capability) = (None, Some("too-few".into()));
    (single.trend, single.groups, single.no_chart) = (None, Vec::new(), Some("empty".into()));
    // All the same, though charted.
    let same = &mut of[1];
    (same.s, same.min, same.max) = (Some(0.0), same.mean, same.mean);
    (same.capability, same.no_capability) = (None, Some("no-spread".into()));
    same.normality.outcome = "unknown".into();
    (same.normality.anderson_darling, same.normality.dagostino_pearson) = (None, None);
    let mean = same.mean.expect("values");
    same.histogram = Some(Histogram { rule: "sturges".into(), edges: vec![mean, mean], counts: vec![48] });
    if let Some(chart) = &mut same.chart {
        for point in chart.location.iter_mut() {
            (point.value, point.centre) = (chart.centre, chart.centre);
            (point.lower, point.upper) = (chart.centre, chart.centre);
        }
        for point in chart.spread.iter_mut() {
            (point.value, point.centre, point.lower, point.upper) = (0.0, 0.0, 0.0, 0.0);
        }
        (chart.sigma, chart.signals, chart.signal_count) = (0.0, Vec::new(), 0);
    }
    // Two limits close together in the middle of wide values.
    let middle = of[2].mean.expect("values");
    (of[2].lower, of[2].upper) = (Some(middle - 0.001), Some(middle + 0.001));
    // Very large and very small.
    scale(&mut of[4], 1e6);
    scale(&mut of[5], 1e-4);
    // A limit that would be told off by rounding.
    (of[6].lower, of[6].min) = (Some(0.03), Some(0.029_999));
    // Long codes, serials and an unknown characteristic with an unknown unit.
    let long = &mut of[7];
    long.characteristic = "a-characteristic-that-this-edition-does-not-know-and-that-has-a-long-name".into();
    long.unit = "furlong".into();
    long.profile = "a-profile-with-a-very-long-id-".repeat(4);
    for code in &mut long.groups[0].codes {
        code.code = "a code of the shop that is long ".repeat(3);
    }
    if let Some(chart) = &mut long.chart {
        let signal = ChartSignal {
            rule: RunRule::FifteenWithinOneSigma,
            track: Track::Spread,
            from: 2,
            to: 9,
            head: format!("SERIAL-{}", "0123456789".repeat(7)),
        };
        chart.signals = vec![signal; 8];
        chart.signal_count = 8;
    }
    // Not to be drawn.
    of[8].histogram = None;
    of[8].upper = Some(f64::INFINITY);
    made
}

/// Makes all amounts so many times greater.
fn scale(of: &mut CharacteristicStatistics, times: f64) {
    let all = [&mut of.lower, &mut of.upper, &mut of.mean, &mut of.s, &mut of.min, &mut of.max];
    all.into_iter().flatten().for_each(|amount| *amount *= times);
    if let Some(histogram) = &mut of.histogram {
        histogram.edges.iter_mut().for_each(|edge| *edge *= times);
    }
    if let Some(chart) = &mut of.chart {
        (chart.centre, chart.sigma) = (chart.centre * times, chart.sigma * times);
        for point in chart.location.iter_mut().chain(&mut chart.spread) {
            let all = [&mut point.value, &mut point.centre, &mut point.lower, &mut point.upper];
            all.into_iter().for_each(|amount| *amount *= times);
        }
    }
}
