//! What holds for every gauge study.

use crate::common::{digits, study};
use headproof_line::{
    CrossedShape, DivisorRule, GaugeVariation, Pooling, ReferenceResult, ReferenceRules, ReferenceStudy,
    SignificanceOfBias,
};
use proptest::prelude::*;

/// Values in whole steps, exact under the moves below.
fn crossed() -> impl Strategy<Value = (CrossedShape, Vec<f64>)> {
    (2_usize..6, 2_usize..5, 2_usize..4).prop_flat_map(|(parts, operators, trials)| {
        let shape = CrossedShape { parts, operators, trials };
        let values = prop::collection::vec((-500..500).prop_map(f64::from), parts * operators * trials);
        (Just(shape), values)
    })
}

fn both(shape: CrossedShape, values: &[f64]) -> [GaugeVariation; 2] {
    let study = study(shape, values);
    // Never pooled: at the very level, rounding could decide.
    [study.anova(Pooling::Never).variation, study.average_range(DivisorRule::Table).variation]
}

/// Do all standard deviations agree, after `scale`? Rounding is measured against all that varies.
fn same(a: &GaugeVariation, b: &GaugeVariation, scale: f64) -> bool {
    let of = |v: &GaugeVariation| [v.repeatability, v.reproducibility, v.interaction, v.grr, v.part, v.total];
    // Squares, as a root turns a rounding of 1e-16 near nought into one of 1e-8.
    let limit = 1e-11 * (b.total * scale).powi(2);
    of(a).iter().zip(of(b)).all(|(a, b)| (a * a - (b * scale).powi(2)).abs() <= limit)
}

proptest! {
    #[test]
    fn order_of_parts_operators_and_trials_does_not_matter(
        (shape, values) in crossed(), turn in (0_usize..9, 0_usize..9, 0_usize..9), mirror: bool,
    ) {
        let at = |p: usize, o: usize, t: usize| values[(p * shape.operators + o) * shape.trials + t];
        let mut moved = Vec::new();
        for p in 0..shape.parts {
            for o in 0..shape.operators {
                for t in 0..shape.trials {
                    let p = (if mirror { shape.parts - 1 - p } else { p } + turn.0) % shape.parts;
                    let o = (if mirror { shape.operators - 1 - o } else { o } + turn.1) % shape.operators;
                    moved.push(at(p, o, (t + turn.2) % shape.trials));
                }
            }
        }
        for (a, b) in both(shape, &moved).iter().zip(both(shape, &values)) {
            prop_assert!(same(a, &b, 1.0), "{a:?} {b:?}");
            prop_assert!((a.mean - b.mean).abs() < 1e-10);
        }
    }

    #[test]
    fn an_offset_changes_the_mean_alone(
        (shape, values) in crossed(), offset in -1_000_000_000_i32..1_000_000_000,
    ) {
        let moved: Vec<f64> = values.iter().map(|value| value + f64::from(offset)).collect();
        for (a, b) in both(shape, &moved).iter().zip(both(shape, &values)) {
            prop_assert!(same(a, &b, 1.0), "{a:?} {b:?}");
            prop_assert!((a.mean - b.mean - f64::from(offset)).abs() < 1e-6);
        }
    }

    #[test]
    fn a_scale_scales((shape, values) in crossed(), scale in 1e-9..1e9_f64) {
        let scaled: Vec<f64> = values.iter().map(|value| value * scale).collect();
        for (a, b) in both(shape, &scaled).iter().zip(both(shape, &values)) {
            prop_assert!(same(a, &b, scale), "{a:?} {b:?}");
        }
    }

    #[test]
    fn sums_of_squares_add_up_and_nothing_is_beyond_numbers(
        (shape, values) in crossed(), level in 0.0..1.0_f64,
    ) {
        let study = study(shape, &values);
        let anova = study.anova(Pooling::Above(level));
        for table in [&anova.with_interaction, &anova.pooled] {
            let rows = [Some(table.part), Some(table.operator), table.interaction, Some(table.error)];
            let sum: f64 = rows.iter().flatten().map(|row| row.ss).sum();
            prop_assert!((sum - table.total_ss).abs() <= 1e-11 * table.total_ss);
            prop_assert_eq!(rows.iter().flatten().map(|row| row.df).sum::<u32>(), table.total_df);
            for row in rows.iter().flatten() {
                prop_assert!(row.p.is_none_or(|p| (0.0..=1.0).contains(&p)));
                prop_assert!(row.ss >= 0.0 && row.f.is_none_or(f64::is_finite));
            }
        }
        let pooled_by = anova.with_interaction.interaction.unwrap();
        prop_assert_eq!(anova.is_pooled, pooled_by.p.map_or(pooled_by.ss == 0.0, |p| p > level));
        let interval = anova.grr_interval(0.95).unwrap();
        prop_assert!(0.0 <= interval.lower && interval.lower <= interval.upper && interval.upper.is_finite());
    }

    #[test]
    fn a_reference_study_moves_and_scales(
        whole in prop::collection::vec(-50..50_i32, 10..60),
        offset in -1_000_000..1_000_000_i32,
        power in -20..20_i32,
    ) {
        let rules = ReferenceRules { tolerance: Some(1000.0), ..ReferenceRules::default() };
        let values: Vec<f64> = whole.iter().copied().map(f64::from).collect();
        let plain = ReferenceStudy::new(3.0, 0.0, &values).unwrap().evaluate(&rules).unwrap();
        // A power of two keeps whole numbers exact.
        let scale = 2_f64.powi(power);
        let moved: Vec<f64> = values.iter().map(|value| (value + f64::from(offset)) * scale).collect();
        let rules = ReferenceRules { tolerance: Some(1000.0 * scale), ..rules };
        let reference = (3.0 + f64::from(offset)) * scale;
        let result = ReferenceStudy::new(reference, 0.0, &moved).unwrap().evaluate(&rules).unwrap();
        prop_assert!(digits(result.s, plain.s * scale) > 11.0);
        prop_assert!((result.bias - plain.bias * scale).abs() <= 1e-12 * scale);
        let sufficient = |result: &ReferenceResult| result.capability.map(|c| c.cg_sufficient);
        prop_assert_eq!(sufficient(&result), sufficient(&plain));
        let tested = |result: &ReferenceResult| match result.significance {
            SignificanceOfBias::Tested { t, p, .. } => Some((t, p)),
            SignificanceOfBias::None | SignificanceOfBias::WithoutScatter => None,
        };
        prop_assert_eq!(tested(&result).is_some(), tested(&plain).is_some());
        if let (Some((t, p)), Some((same_t, same_p))) = (tested(&result), tested(&plain)) {
            prop_assert!((t - same_t).abs() < 1e-9 * (1.0 + t.abs()) && (p - same_p).abs() < 1e-9);
        }
    }

    #[test]
    fn extreme_readings_give_numbers(values in prop::collection::vec(
        prop_oneof![Just(1e15), Just(-1e15), Just(0.0), Just(5e-324), Just(1e-160), -1.0..1.0_f64], 12,
    )) {
        let shape = CrossedShape { parts: 3, operators: 2, trials: 2 };
        let study = study(shape, &values);
        for pooling in [Pooling::Always, Pooling::Never] {
            let anova = study.anova(pooling);
            let v = anova.variation;
            prop_assert!([v.grr, v.part, v.total, v.mean].iter().all(|value| value.is_finite()));
            prop_assert!(v.distinct_categories().is_none_or(|found| found.unrounded.is_finite()));
            prop_assert!(anova.grr_interval(0.999_999).unwrap().upper.is_finite());
        }
        prop_assert!(study.average_range(DivisorRule::Exact).variation.total.is_finite());
        let reference = ReferenceStudy::new(1e15, 0.0, &values).unwrap();
        let result = reference.evaluate(&ReferenceRules::default()).unwrap();
        prop_assert!(result.s.is_finite() && result.smallest_tolerance_cgk.is_finite());
    }
}

/// Standard normal numbers (Box and Muller) from a linear congruential generator (Knuth's MMIX constants).
struct Normal(u64);

impl Normal {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        ((self.0 >> 11) as f64 + 0.5) / (1_u64 << 53) as f64
    }

    fn next(&mut self) -> f64 {
        let radius = (-2.0 * libm::log(self.uniform())).sqrt();
        radius * libm::cos(std::f64::consts::TAU * self.uniform())
    }
}

/// 2,000 studies of a known gauge: the components come out on average, and intervals of 95 % hold GRR in 95
/// of 100.
#[test]
fn a_known_gauge_is_found() {
    let shape = CrossedShape { parts: 10, operators: 5, trials: 3 };
    let (ev, av, interaction, pv) = (0.5, 0.4, 0.3, 2.0);
    let grr = f64::sqrt(ev * ev + av * av + interaction * interaction);
    let mut normal = Normal(20_261_126);
    let (mut held, mut sums) = (0, [0.0; 4]);
    let studies = 2000;
    for _ in 0..studies {
        let operators: Vec<f64> = (0..shape.operators).map(|_| av * normal.next()).collect();
        let mut values = Vec::new();
        for _ in 0..shape.parts {
            let part = 100.0 + pv * normal.next();
            for operator in &operators {
                let cell = part + operator + interaction * normal.next();
                values.extend((0..shape.trials).map(|_| cell + ev * normal.next()));
            }
        }
        let study = study(shape, &values);
        let anova = study.anova(Pooling::Never);
        let interval = anova.grr_interval(0.95).unwrap();
        held += u32::from(interval.lower <= grr && grr <= interval.upper);
        let found = [anova.repeatability, anova.operator, anova.interaction.unwrap(), anova.part];
        for (sum, component) in sums.iter_mut().zip(found) {
            *sum += component.estimate / f64::from(studies);
        }
    }
    let coverage = f64::from(held) / f64::from(studies);
    println!("coverage {coverage}, mean components {sums:?}");
    // Three standard deviations of a share of 2,000 about 0.95 are 0.0146; the method is approximate.
    assert!((0.93..0.97).contains(&coverage), "{coverage}");
    for (got, sigma) in sums.iter().zip([ev, av, interaction, pv]) {
        assert!((got / (sigma * sigma) - 1.0).abs() < 0.06, "{got} against {}", sigma * sigma);
    }
}

/// The largest study there may be: 76,000 degrees of freedom give EV to a hundredth, and a narrow interval.
#[test]
fn the_largest_study() {
    let shape = CrossedShape { parts: 200, operators: 20, trials: 20 };
    let mut normal = Normal(7);
    let values: Vec<f64> = (0..80_000).map(|at| f64::from(at / 400) + 0.5 * normal.next()).collect();
    let study = study(shape, &values);
    let anova = study.anova(Pooling::default());
    let interval = anova.repeatability_interval(0.99).unwrap();
    assert!(interval.lower < 0.5 && 0.5 < interval.upper, "{interval:?}");
    assert!(interval.upper - interval.lower < 0.008, "{interval:?}");
    assert!(anova.with_interaction.part.p.unwrap() < 1e-300);
    let ranges = study.average_range(DivisorRule::Table).variation;
    assert!((ranges.repeatability / anova.variation.repeatability - 1.0).abs() < 0.01);
}
