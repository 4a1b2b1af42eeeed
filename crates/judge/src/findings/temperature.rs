//! Sizes and pressures that temperature has changed.

use headproof_head::{
    Finding, FindingCode, FindingPart, Material, MeasurementSet, Phrase, PhraseValue, Port, Severity,
};
use headproof_metrology::{RingMaterial, drift_pressure};

use super::{of_port, warning};
use crate::table::Air;

/// The temperature at which sizes are stated, in °C. Source: ISO 1 (from memory).
const REFERENCE: f64 = 20.0;
/// Growth that is worth a word: a tenth of a millimetre in a metre (common practice, no source).
const TELLING_GROWTH: f64 = 1e-4;
/// Share of a pressure's fall that temperature alone may have (common practice, no source).
const TELLING_SHARE: f64 = 0.1;

/// Measured so far from 20 °C that sizes differ, with the correction that this would need.
pub(super) fn off(set: &MeasurementSet, findings: &mut Vec<Finding>) {
    let Some(temperature) = &set.job.temperature else { return };
    let (material, expansion) = match set.head.material {
        Material::CastIron => (Phrase::plain("material-cast-iron"), RingMaterial::GREY_IRON_EXPANSION),
        Material::Aluminium => (Phrase::plain("material-aluminium"), RingMaterial::ALUMINIUM_356_EXPANSION),
    };
    let celsius = temperature.value().approx();
    let away = celsius - REFERENCE;
    if (expansion * away).abs() < TELLING_GROWTH {
        return;
    }
    let correction = |expansion: f64| PhraseValue::amount(format!("{:+.4} %", -100.0 * expansion * away));
    let says =
        Phrase::with("found-temperature-off", "celsius", PhraseValue::amount(format!("{celsius:.1} °C")))
            .and("material", material)
            .and("cold", correction(expansion))
            .and("warm", correction(expansion - RingMaterial::STEEL_1020_EXPANSION));
    findings.push(Finding {
        code: FindingCode::TemperatureOff,
        severity: Severity::Warning,
        at: vec![(FindingPart::Set, "/job/temperature")],
        says,
        touches: Vec::new(),
    });
}

/// The air of a decay test cooled or warmed enough to fake or hide a leak.
pub(super) fn drift(port: &Port) -> Option<Finding> {
    let test = port.leak.decay.as_ref()?;
    let air = Air::of(test)?;
    let absolute = air.absolute(test, test.start.value());
    let faked = drift_pressure(absolute, air.start.value(), air.end.value()).ok()?.value.get();
    let lost = (test.start.value() - test.end.value()).exact().approx();
    (faked.abs() > TELLING_SHARE * lost.abs()).then(|| {
        warning(
            port,
            FindingCode::TemperatureDrift,
            &["/leak/decay/start_temperature", "/leak/decay/end_temperature"],
            of_port(port, "found-temperature-drift"),
        )
    })
}
