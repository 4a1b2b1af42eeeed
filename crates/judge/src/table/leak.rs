//! Leak tests.

use headproof_head::{Decay, MissingCause, Place, Port, Reading};
use headproof_metrology as metrology;
use headproof_quantity::{Exact, Kind, Pressure, PressureDim, StandardUncertainty, TemperatureDim};

use crate::budget::Budget;
use crate::candidate::{Candidate, Candidates};
use crate::characteristic::{Characteristic, Derived};
use crate::context::{Context, need, not_computable};

pub(super) static ROWS: &[Characteristic] = &[
    Characteristic::of_port("leak-rate", "Leak rate", Kind::Flow, rate)
        .worked_out(
            "Q = V · Δp / Δt; where both temperatures of the air are given, Q = V (p1 − p2 · T1 / T2) / \
             Δt with absolute pressures",
            "ideal gas; 40 CFR 1065.644 for the form with temperatures",
            "the worked inputs of 40 CFR 1065.644; closed forms in numpy",
        )
        .with_uncertainty(ATMOSPHERE_UNKNOWN),
    Characteristic::of_port("leak-pressure-drop", "Pressure lost in the leak test", Kind::Pressure, drop)
        .worked_out("start − end", "definition", "exact decimal arithmetic in Python"),
    Characteristic::of_port("leak-drift", "Pressure lost by cooling alone", Kind::Pressure, drift)
        .worked_out(
            "p (T1 − T2) / T1 with the absolute pressure and temperatures; in a vacuum what warming alone \
             fakes",
            "ideal gas",
            "the 0.5 K case worked in numpy",
        )
        .with_uncertainty(ATMOSPHERE_UNKNOWN)
        .on_request(),
    Characteristic::state_of_port("leak-held", "Leak test held", |port| port.leak.held),
    Characteristic::state_of_port("leak-seep", "No solvent seen to seep", |port| {
        port.leak.seep.map(|seep| !seep)
    }),
];

const ATMOSPHERE_UNKNOWN: &str = "first order, readings of one gauge as correlated as it states; an atmosphere that was not measured \
     is taken as 101.325 kPa, evenly within 5 kPa";

/// The standard atmosphere in kPa, exactly (ISO 2533, from memory).
const ATMOSPHERE: Exact = Exact::from_count(101_325, 3);
/// How far weather moves it either way at sea level, in kPa (common practice, no source).
const WEATHER: f64 = 5.0;

fn decay(port: &Port) -> Result<&Decay, MissingCause> {
    port.leak.decay.as_ref().ok_or(MissingCause::Absent("absent-decay-test"))
}

fn rate(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let test = decay(port)?;
    let volume = need(&test.volume, "absent-test-volume")?;
    let mut budget = Budget::new(context);
    let flow = if let Some(air) = Air::of(test) {
        let [start, end] = [&test.start, &test.end].map(|reading| air.absolute(test, reading.value()));
        let sum = metrology::decay_flow_at_temperatures(
            volume.value(),
            start,
            end,
            air.start.value(),
            air.end.value(),
            test.duration.value(),
        )
        .map_err(not_computable)?;
        // In a vacuum air leaks in: the other way.
        let inward = if test.vacuum { -1.0 } else { 1.0 };
        let [per_volume, per_start, per_end, per_warm, per_cold, per_second] =
            sum.sensitivity.map(|partial| inward * partial);
        budget.reading("test volume", per_volume, volume);
        budget.reading("pressure at the start", inward * per_start, &test.start);
        budget.reading("pressure at the end", inward * per_end, &test.end);
        budget.reading("temperature at the start", per_warm, air.start);
        budget.reading("temperature at the end", per_cold, air.end);
        budget.reading("duration", per_second, &test.duration);
        air.add_atmosphere(&mut budget, per_start + per_end);
        inward * sum.value.get()
    } else {
        let sum = metrology::decay_flow(
            volume.value(),
            test.start.value(),
            test.end.value(),
            test.duration.value(),
        )
        .map_err(not_computable)?;
        budget.reading("test volume", sum.sensitivity[0], volume);
        budget.reading("pressure at the start", sum.sensitivity[1], &test.start);
        budget.reading("pressure at the end", sum.sensitivity[2], &test.end);
        budget.reading("duration", sum.sensitivity[3], &test.duration);
        sum.value.get()
    };
    out.push(Candidate::computed(Place::Whole, flow, budget));
    Ok(())
}

fn drop(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let test = decay(port)?;
    let lost = test.start.value() - test.end.value();
    let mut budget = Budget::new(context);
    budget.reading("pressure at the start", 1.0, &test.start);
    budget.reading("pressure at the end", -1.0, &test.end);
    out.push(Candidate::exact(Place::Whole, lost.exact(), budget));
    Ok(())
}

fn drift(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let test = decay(port)?;
    let air = Air::of(test).ok_or(MissingCause::Absent("absent-air-temperatures"))?;
    let sum =
        metrology::drift_pressure(air.absolute(test, test.start.value()), air.start.value(), air.end.value())
            .map_err(not_computable)?;
    let rises = if test.vacuum { 1.0 } else { -1.0 };
    let [per_pressure, per_start, per_end] = sum.sensitivity.map(|partial| rises * partial);
    let mut budget = Budget::new(context);
    budget.reading("pressure at the start", -rises * per_pressure, &test.start);
    air.add_atmosphere(&mut budget, per_pressure);
    budget.reading("temperature at the start", per_start, air.start);
    budget.reading("temperature at the end", per_end, air.end);
    out.push(Candidate::computed(Place::Whole, rises * sum.value.get(), budget));
    Ok(())
}

/// The most that the atmosphere of a test can have weighed, in kPa.
pub(crate) fn highest_atmosphere(test: &Decay) -> f64 {
    test.atmosphere.as_ref().map_or(ATMOSPHERE.approx() + WEATHER, |reading| reading.value().approx())
}

/// The air of a decay test whose temperature was followed.
pub(crate) struct Air<'a> {
    pub(crate) start: &'a Reading<TemperatureDim>,
    pub(crate) end: &'a Reading<TemperatureDim>,
    atmosphere: Option<&'a Reading<PressureDim>>,
}

impl<'a> Air<'a> {
    pub(crate) fn of(test: &'a Decay) -> Option<Self> {
        let (start, end) = (test.start_temperature.as_ref()?, test.end_temperature.as_ref()?);
        Some(Self { start, end, atmosphere: test.atmosphere.as_ref() })
    }

    /// A size above or below the atmosphere as an absolute pressure.
    pub(crate) fn absolute(&self, test: &Decay, size: Pressure) -> Pressure {
        let atmosphere = self.atmosphere.map_or(ATMOSPHERE, |reading| reading.value().exact());
        let absolute = if test.vacuum { atmosphere - size.exact() } else { atmosphere + size.exact() };
        Pressure::from_exact(absolute)
    }

    fn add_atmosphere(&self, budget: &mut Budget<'_>, sensitivity: f64) {
        match self.atmosphere {
            Some(reading) => budget.reading("atmosphere", sensitivity, reading),
            None => {
                let spread = StandardUncertainty::<PressureDim>::from_half_width(WEATHER);
                budget.constant("atmosphere", Kind::Pressure, sensitivity, Some(spread.get()));
            }
        }
    }
}
