//! A reading in one unit that equals a limit in another conforms; the next step outside does not.
//!
//! Factors: 1 in = 25.4 mm exactly and 1 lbf = 4.448 221 615 260 5 N exactly, NIST SP 811 (2008), B.8;
//! 1 inHg (conventional) = 3.386 388 640 341 kPa, the same table, last digits from memory; the products
//! below were worked out in exact decimals.

use headproof_wire::{
    At, Evaluation, MeasurementSet, Row, TargetProfile, evaluation_document, measurement_set, read,
    target_profile,
};
use proptest::prelude::*;
use proptest::test_runner::{RngAlgorithm, TestRng, TestRunner};
use serde_json::{Value, json};

const METRIC: [&str; 4] = ["mm", "N", "kPa", "um"];
const INCH: [&str; 4] = ["in", "lbf", "inHg", "uin"];

/// What is read, and which characteristic it is judged as.
#[derive(Debug, Clone, Copy)]
enum Way {
    /// The margin, as it is.
    Margin,
    /// Clearance as bore − stem, with this stem.
    Clearance(f64),
    /// Deck roughness, as it is.
    Roughness,
    /// Pressure drop as start − end, with this end.
    Drop(f64),
    /// Seat load at an installed height where the spring was loaded.
    LoadAtReading,
    /// Seat load halfway between two loads that lie this far below and above it.
    LoadBetween(f64),
}

impl Way {
    const fn characteristic(self) -> &'static str {
        match self {
            Self::Margin => "margin",
            Self::Clearance(_) => "stem-to-guide-clearance",
            Self::Roughness => "deck-roughness",
            Self::Drop(_) => "leak-pressure-drop",
            Self::LoadAtReading | Self::LoadBetween(_) => "seat-load",
        }
    }

    /// Where the row stands: `true` for the head, `false` for the port.
    const fn is_of_head(self) -> bool {
        matches!(self, Self::Roughness)
    }

    /// Puts a set together in which the characteristic comes to `amount`.
    fn set(self, amount: &Amount, units: [&str; 4], uncertainty: Option<f64>) -> Value {
        let reading = |number: f64| match uncertainty {
            Some(expanded) => json!({ "value": number, "expanded_uncertainty": expanded }),
            None => json!(number),
        };
        let mut port = json!({ "cylinder": 1, "service": "intake", "index": 1 });
        let mut deck = json!({});
        match self {
            Self::Margin => port["valve"] = json!({ "margin": reading(amount.number()) }),
            Self::Clearance(stem) => {
                port["guide"] = json!({ "bores": { "top": [reading(amount.plus(stem))] } });
                port["valve"] = json!({ "stem": { "top": reading(stem) } });
            }
            Self::Roughness => deck["roughness"] = json!([reading(amount.number())]),
            Self::Drop(end) => {
                port["leak"] = json!({ "decay": {
                    "start": reading(amount.plus(end)), "end": reading(end), "seconds": 30,
                    "side": "port", "vacuum": false, "spring_fitted": true, "guide_sealed": true,
                }});
            }
            Self::LoadAtReading => {
                port["spring_pack"] =
                    springs(&[(1.65, amount.number()), (1.25, amount.plus(70.0))], units[0], &reading);
            }
            Self::LoadBetween(half) => {
                let loads = [(1.85, amount.plus(-half)), (1.45, amount.plus(half))];
                port["spring_pack"] = springs(&loads, units[0], &reading);
            }
        }
        json!({
            "format": "headproof/measurement-set/1",
            "units": unit_block(units),
            "head": { "serial": "invented", "material": "cast-iron" },
            "job": { "number": "1", "stage": "final", "measured_by": "invented",
                     "measured_at": "2026-03-12T09:40:00+01:00" },
            "layout": { "camshaft": "pushrod", "lifter": "adjustable", "cylinders": 1,
                        "intake_per_cylinder": 1, "exhaust_per_cylinder": 1 },
            "deck": deck,
            "ports": [port],
        })
    }
}

/// Heights are in inches; a spring of as many millimetres would be doubtful, so that one is twenty times as long.
fn springs(loads: &[(f64, f64)], unit: &str, reading: &impl Fn(f64) -> Value) -> Value {
    let long = if unit == "in" { 1.0 } else { 20.0 };
    let points: Vec<Value> = loads
        .iter()
        .map(|(height, load)| json!({ "height": height * long, "load": reading(*load) }))
        .collect();
    let installed = 1.65 * long;
    let mut pack = json!({ "installed_height": installed, "springs": [{ "loads": points }] });
    if reading(1.0).is_object() {
        pack["installed_height"] = json!({ "value": installed, "expanded_uncertainty": 0.0 });
        for index in 0..loads.len() {
            let height = pack["springs"][0]["loads"][index]["height"].take();
            pack["springs"][0]["loads"][index]["height"] =
                json!({ "value": height, "expanded_uncertainty": 0.0 });
        }
    }
    pack
}

fn unit_block([length, force, pressure, roughness]: [&str; 4]) -> Value {
    json!({ "length": length, "force": force, "volume": "mL", "pressure": pressure, "roughness": roughness })
}

/// A decimal as a whole count of 10^−decimals, so that a test never leans on binary arithmetic.
#[derive(Debug, Clone, Copy)]
struct Amount {
    count: i128,
    decimals: u32,
}

impl Amount {
    fn parse(text: &str) -> Self {
        let (whole, fraction) = text.split_once('.').unwrap_or((text, ""));
        let count = format!("{whole}{fraction}").parse().expect("a decimal");
        Self { count, decimals: u32::try_from(fraction.len()).expect("short") }
    }

    fn text(self) -> String {
        let sign = if self.count < 0 { "-" } else { "" };
        let digits = format!("{:0width$}", self.count.abs(), width = self.decimals as usize + 1);
        let (whole, fraction) = digits.split_at(digits.len() - self.decimals as usize);
        format!("{sign}{whole}.{fraction}0")
    }

    fn number(self) -> f64 {
        self.text().parse().expect("a number")
    }

    fn plus(self, other: f64) -> f64 {
        self.sum(Self::parse(&format!("{other}"))).number()
    }

    fn sum(self, other: Self) -> Self {
        let decimals = self.decimals.max(other.decimals);
        let lift = |of: Self| of.count * 10i128.pow(decimals - of.decimals);
        Self { count: lift(self) + lift(other), decimals }
    }

    fn minus(self, other: Self) -> Self {
        self.sum(Self { count: -other.count, ..other })
    }
}

fn profile(way: Way, limit: (&str, f64), units: [&str; 4], guarded: bool) -> Value {
    let (side, number) = limit;
    let rule = match guarded {
        true => json!({ "rule": "guarded", "conformance_probability": 0.95 }),
        false => json!({ "rule": "simple" }),
    };
    json!({
        "format": "headproof/target-profile/1", "id": "exact", "revision": "1", "title": "exact limits",
        "units": unit_block(units),
        "decision_rule": rule,
        "limits": [{
            "characteristic": way.characteristic(), "use": "build", side: number,
            "if_outside": "rework", "source": "definition of the unit",
        }],
    })
}

fn row(set: &Value, profile: &Value, way: Way) -> Row {
    let set: MeasurementSet = read(set.to_string().as_bytes()).expect("a set");
    let profile: TargetProfile = read(profile.to_string().as_bytes()).expect("a profile");
    let set = measurement_set(&set, &At::Root).expect("a set without faults");
    let profile = target_profile(&profile, &At::Root).expect("a profile without faults");
    let evaluation: Evaluation =
        evaluation_document(&headproof_judge::evaluate(&set, &profile), &set, &profile);
    let rows = if way.is_of_head() { &evaluation.head } else { &evaluation.ports[0].rows };
    let row = rows.iter().find(|row| row.characteristic == way.characteristic());
    row.expect("the characteristic is judged").clone()
}

/// Judges `reading` in one system of units at both sides of the equal `limit` in the other.
#[track_caller]
fn check(way: Way, reading: (&str, [&str; 4]), limit: (&str, [&str; 4]), step: &str) {
    let (amount, step) = (Amount::parse(reading.0), Amount::parse(step));
    let bound = Amount::parse(limit.0).number();
    let case = format!("{way:?}: {} {:?} at {} {:?}", reading.0, reading.1, limit.0, limit.1);
    for (side, outside, inside) in
        [("upper", amount.sum(step), amount.minus(step)), ("lower", amount.minus(step), amount.sum(step))]
    {
        let verdict = |amount: Amount, uncertainty: Option<f64>, guarded: bool| {
            let set = way.set(&amount, reading.1, uncertainty);
            row(&set, &profile(way, (side, bound), limit.1, guarded), way)
        };
        let at = verdict(amount, None, false);
        assert_eq!(at.verdict, "conforms", "{case}, {side}: {at:?}");
        assert_eq!(at.deviation.map(f64::to_bits), Some(0), "{case}, {side}: {at:?}");
        let beyond = verdict(outside, None, false);
        assert_eq!(beyond.verdict, "does-not-conform", "{case}, {side}, one step outside: {beyond:?}");
        assert_eq!(verdict(inside, None, false).verdict, "conforms", "{case}, {side}, one step inside");
        let guarded = verdict(amount, Some(0.001), true);
        assert_eq!(guarded.verdict, "not-proven", "{case}, {side}, guarded: {guarded:?}");
        assert_eq!(guarded.reason, "inside-guard-band", "{case}, {side}");
        let sure = verdict(amount, Some(0.0), true);
        assert_eq!(sure.verdict, "conforms", "{case}, {side}, guarded without uncertainty: {sure:?}");
    }
}

/// Both directions: an inch reading at a metric limit, and a metric reading at an inch limit.
#[track_caller]
fn check_pair(way_inch: Way, way_metric: Way, inch: &str, metric: &str) {
    check(way_inch, (inch, INCH), (metric, METRIC), "0.000001");
    check(way_metric, (metric, METRIC), (inch, INCH), "0.000001");
    // The same without any conversion.
    check(way_inch, (inch, INCH), (inch, INCH), "0.000001");
    check(way_metric, (metric, METRIC), (metric, METRIC), "0.000001");
}

#[test]
fn lengths_read_directly() {
    for (inch, millimetre) in
        [("0.047", "1.1938"), ("0.0313", "0.79502"), ("0.1", "2.54"), ("0.000123", "0.0031242")]
    {
        check_pair(Way::Margin, Way::Margin, inch, millimetre);
    }
}

#[test]
fn lengths_derived_as_a_difference() {
    for (inch, millimetre) in [("0.0024", "0.06096"), ("0.0033", "0.08382"), ("0.001", "0.0254")] {
        check_pair(Way::Clearance(0.3411), Way::Clearance(7.969), inch, millimetre);
    }
}

#[test]
fn forces_on_a_reading_and_interpolated() {
    for (lbf, newton) in [("80", "355.85772922084"), ("60", "266.89329691563"), ("20", "88.96443230521")] {
        check_pair(Way::LoadAtReading, Way::LoadAtReading, lbf, newton);
        check_pair(Way::LoadBetween(12.5), Way::LoadBetween(12.5), lbf, newton);
    }
}

#[test]
fn pressures_lost_in_a_test() {
    for (inch_of_mercury, kilopascal) in
        [("15", "50.795829605115"), ("1", "3.386388640341"), ("0.3", "1.0159165921023")]
    {
        check_pair(Way::Drop(4.5), Way::Drop(4.5), inch_of_mercury, kilopascal);
    }
}

#[test]
fn roughness() {
    for (microinch, micrometre) in [("32", "0.8128"), ("63", "1.6002"), ("31.5", "0.8001")] {
        check_pair(Way::Roughness, Way::Roughness, microinch, micrometre);
    }
}

/// A zero-width tolerance is met by the very value and by nothing else.
#[test]
fn a_limit_from_both_sides_at_once_is_met_exactly() {
    let way = Way::Margin;
    let mut profile = profile(way, ("lower", 1.1938), METRIC, false);
    profile["limits"][0]["upper"] = json!(1.1938);
    let verdict = |inch: &str| row(&way.set(&Amount::parse(inch), INCH, None), &profile, way).verdict;
    assert_eq!(verdict("0.047"), "conforms");
    assert_eq!(verdict("0.047001"), "does-not-conform");
    assert_eq!(verdict("0.046999"), "does-not-conform");
}

/// The mean of repeats is taken in exact decimals too.
#[test]
fn equal_repeats_at_a_limit_conform() {
    let way = Way::Margin;
    let mut set = way.set(&Amount::parse("0.047"), INCH, None);
    for repeats in [json!([0.047, 0.047, 0.047]), json!([0.046, 0.048]), json!([0.0469, 0.047, 0.0471])] {
        set["ports"][0]["valve"]["margin"] = json!({ "repeats": repeats });
        for side in ["lower", "upper"] {
            let row = row(&set, &profile(way, (side, 1.1938), METRIC, false), way);
            assert_eq!(row.verdict, "conforms", "{row:?}");
        }
    }
}

/// Unit pairs with the factor from inch-based to metric as (mantissa, decimals), and how many whole
/// counts keep the product within 15 digits.
fn any_pair() -> impl Strategy<Value = (Way, Way, Amount, Amount)> {
    let pair = |ways: (Way, Way), mantissa: i128, decimals: u32, of: Amount| {
        (ways.0, ways.1, of, Amount { count: of.count * mantissa, decimals: decimals + of.decimals })
    };
    prop_oneof![
        (1..100_000i128).prop_map(move |count| pair(
            (Way::Margin, Way::Margin),
            254,
            1,
            Amount { count, decimals: 5 }
        )),
        ((1..500i128), (2000..9999u32)).prop_map(move |(count, stem)| {
            let (inch, metric) = (f64::from(stem) / 10_000.0, f64::from(stem) / 500.0);
            pair((Way::Clearance(inch), Way::Clearance(metric)), 254, 1, Amount { count, decimals: 4 })
        }),
        (1..50i128).prop_map(move |count| pair(
            (Way::LoadAtReading, Way::LoadAtReading),
            44_482_216_152_605,
            13,
            Amount { count: count * 20, decimals: 0 }
        )),
        (1..50i128).prop_map(move |count| pair(
            (Way::LoadBetween(7.25), Way::LoadBetween(7.25)),
            44_482_216_152_605,
            13,
            Amount { count: count * 20, decimals: 0 }
        )),
        (1..99i128, 0..2u32).prop_map(move |(count, decimals)| pair(
            (Way::Drop(2.0), Way::Drop(2.0)),
            3_386_388_640_341,
            12,
            Amount { count, decimals }
        )),
        (1..10_000i128).prop_map(move |count| pair(
            (Way::Roughness, Way::Roughness),
            254,
            4,
            Amount { count, decimals: 1 }
        )),
    ]
}

#[test]
fn any_decimal_reading_at_its_converted_limit_conforms_and_one_step_outside_does_not() {
    let config = ProptestConfig { cases: 96, failure_persistence: None, ..ProptestConfig::default() };
    let rng = TestRng::deterministic_rng(RngAlgorithm::ChaCha);
    let outcome = TestRunner::new_with_rng(config, rng).run(&any_pair(), |(inch, metric, a, b)| {
        check_pair(inch, metric, &a.text(), &b.text());
        Ok(())
    });
    outcome.expect("every reading at its limit conforms");
}
