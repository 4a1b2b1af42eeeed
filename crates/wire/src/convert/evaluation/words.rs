//! What an evaluation says in words. Sentences name no amounts, so that they hold in any unit.

use std::collections::BTreeMap;

use headproof_head::{
    CharacteristicId, Disposition, Edge, Evaluation, FindingCode, MissingCause, Place, Reason, TargetProfile,
    Verdict,
};
use headproof_judge::characteristic;

pub(super) const fn disposition(disposition: Disposition) -> &'static str {
    match disposition {
        Disposition::Accept => "accept",
        Disposition::Rework => "rework",
        Disposition::Incomplete => "incomplete",
        Disposition::Reject => "reject",
    }
}

pub(super) const fn verdict(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Conforms => "conforms",
        Verdict::DoesNotConform => "does-not-conform",
        Verdict::NotProven => "not-proven",
        Verdict::NotMeasured => "not-measured",
        Verdict::NoLimit => "no-limit",
    }
}

pub(super) const fn reason_word(reason: &Reason) -> &'static str {
    match reason {
        Reason::Inside => "inside-limits",
        Reason::AboveUpper => "above-upper-limit",
        Reason::BelowLower => "below-lower-limit",
        Reason::InOrder => "in-order",
        Reason::NotInOrder => "not-in-order",
        Reason::GuardBand => "inside-guard-band",
        Reason::GaugeTooCoarse => "gauge-too-coarse",
        Reason::UncertaintyUnknown => "uncertainty-unknown",
        Reason::NoLimit => "no-limit",
        Reason::Missing(MissingCause::Absent(_)) => "reading-missing",
        Reason::Missing(MissingCause::PortAbsent) => "port-missing",
        Reason::Missing(MissingCause::NotComputable(_)) => "not-computable",
        Reason::Missing(MissingCause::Blocked(_)) => "blocked-by-finding",
    }
}

pub(super) const fn finding_word(code: FindingCode) -> &'static str {
    match code {
        FindingCode::PortMissing => "port-missing",
        FindingCode::ChamberMissing => "chamber-missing",
        FindingCode::NegativeClearance => "negative-clearance",
        FindingCode::ContactOutsideFace => "contact-outside-face",
        FindingCode::SeatDiametersCrossed => "seat-diameters-crossed",
        FindingCode::DecayRose => "decay-rose",
        FindingCode::VacuumTooDeep => "vacuum-too-deep",
        FindingCode::ValveTagRepeated => "valve-tag-repeated",
        FindingCode::CalibrationOverdue => "calibration-overdue",
        FindingCode::UncertaintyBelowResolution => "uncertainty-below-resolution",
        FindingCode::UnitDoubtful => "unit-doubtful",
        FindingCode::BoreAndStemSwapped => "bore-and-stem-swapped",
        FindingCode::ReadingsPasted => "readings-pasted",
        FindingCode::ReadingsContradict => "readings-contradict",
        FindingCode::TemperatureOff => "temperature-off",
        FindingCode::TemperatureDrift => "temperature-drift",
    }
}

/// Where the word for the reason does not say it all.
pub(super) fn detail(reason: &Reason) -> Option<String> {
    match reason {
        Reason::GuardBand => {
            Some("too close to the limit for this gauge to prove; measure better".to_owned())
        }
        Reason::GaugeTooCoarse => Some(
            "this gauge cannot decide this tolerance: no reading of it could prove conformity".to_owned(),
        ),
        Reason::UncertaintyUnknown => Some(
            "the rule asks for proof, and no uncertainty is known for a reading this depends on".to_owned(),
        ),
        Reason::Missing(MissingCause::Absent(what)) => Some(format!("not given: {what}")),
        Reason::Missing(MissingCause::PortAbsent) => Some("nothing was given for this port".to_owned()),
        Reason::Missing(MissingCause::NotComputable(why)) => Some(format!("cannot be worked out: {why}")),
        Reason::Missing(MissingCause::Blocked(code)) => {
            Some(format!("the readings are not usable, see the data finding {}", finding_word(*code)))
        }
        _ => None,
    }
}

/// One line of the reason chain.
pub(super) fn reason_text(characteristic: CharacteristicId, reason: &Reason) -> String {
    let title = title(characteristic);
    match reason {
        Reason::AboveUpper => format!("{title} is above its upper limit"),
        Reason::BelowLower => format!("{title} is below its lower limit"),
        Reason::NotInOrder => format!("{title}: found not in order"),
        reason => match detail(reason) {
            Some(detail) => format!("{title}: {detail}"),
            None => title.to_owned(),
        },
    }
}

fn title(of: CharacteristicId) -> &'static str {
    characteristic(of.as_str()).map_or(of.as_str(), |row| row.title)
}

pub(super) fn place(place: Place) -> Option<String> {
    match place {
        Place::Whole => None,
        Place::Around { position, of } => Some(format!("position {position} of {of}")),
        Place::Along { position, axis } => Some(format!("{}, axis {axis}", position.word())),
        Place::Spring(number) => Some(format!("spring {number}")),
        Place::Entry(number) => Some(format!("entry {number}")),
        Place::Level(position) => Some(position.word().to_owned()),
        Place::Height(number) => Some(format!("near deck point {number}")),
        Place::Toward(tenths) => Some(format!("towards {:.1}°", f64::from(tenths) / 10.0)),
        Place::Touching(edge) => Some(touching(edge).to_owned()),
        Place::Port(port) => Some(port.to_string()),
    }
}

const fn touching(edge: Edge) -> &'static str {
    match edge {
        Edge::SeatOuter => "first at seat outer edge",
        Edge::SeatInner => "first at seat inner edge",
        Edge::FaceOuter => "first at face outer edge",
        Edge::FaceInner => "first at face inner edge",
        Edge::Everywhere => "all over at once",
    }
}

/// The outcome in one sentence that does not promise more than was judged.
pub(super) fn headline(evaluation: &Evaluation, profile: &TargetProfile) -> String {
    let opening = match evaluation.disposition {
        Disposition::Accept => "Acceptable at these limits",
        Disposition::Rework => "Needs rework",
        Disposition::Incomplete => "Incomplete: not everything required was measured and proven",
        Disposition::Reject => "Not acceptable at these limits; a repair may exist",
    };
    let tally = evaluation.tally;
    let mut text = format!(
        "{opening}. Conforms to profile {} revision {} on {} of {} characteristics",
        profile.id,
        profile.revision,
        tally.conforms,
        tally.limited()
    );
    for (count, words) in [(tally.does_not_conform, "do not conform"), (tally.not_proven, "not proven")] {
        if count > 0 {
            text.push_str(&format!("; {count} {words}"));
        }
    }
    let missing = not_measured(evaluation);
    if !missing.is_empty() {
        text.push_str(&format!("; not measured: {missing}"));
    }
    text.push('.');
    text
}

/// What was not measured, each characteristic once with how often.
fn not_measured(evaluation: &Evaluation) -> String {
    let rows = evaluation
        .head
        .iter()
        .chain(evaluation.cylinders.iter().flat_map(|(_, rows)| rows))
        .chain(evaluation.ports.iter().flat_map(|port| &port.rows));
    let mut counts: BTreeMap<&str, u32> = BTreeMap::new();
    for row in rows.filter(|row| row.verdict == Verdict::NotMeasured) {
        *counts.entry(title(row.characteristic)).or_default() += 1;
    }
    let words = counts.iter().map(|(title, count)| match count {
        1 => inside_a_sentence(title),
        _ => format!("{} ({count})", inside_a_sentence(title)),
    });
    words.collect::<Vec<_>>().join(", ")
}

/// A title without its capital.
fn inside_a_sentence(title: &str) -> String {
    let mut letters = title.chars();
    letters.next().map(|first| first.to_lowercase().chain(letters).collect()).unwrap_or_default()
}
