//! What an evaluation says in words. Sentences name no amounts, so that they hold in any unit.

use headproof_head::{
    CharacteristicId, Disposition, Edge, Evaluation, FindingCode, MissingCause, Phrase, PhraseValue, Place,
    Reason, TargetProfile, Verdict,
};

use crate::convert::phrases::{counted, not_measured, title};

pub(super) const fn disposition(disposition: Disposition) -> &'static str {
    match disposition {
        Disposition::Accept => "accept",
        Disposition::Rework => "rework",
        Disposition::Incomplete => "incomplete",
        Disposition::Reject => "reject",
    }
}

pub(in crate::convert) const fn verdict(verdict: Verdict) -> &'static str {
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
        Reason::Missing(MissingCause::Absent(_) | MissingCause::StateAbsent) => "reading-missing",
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
pub(super) fn detail(characteristic: CharacteristicId, reason: &Reason) -> Option<Phrase> {
    let Reason::Missing(cause) = reason else {
        return match reason {
            Reason::GuardBand => Some(Phrase::plain("detail-guard-band")),
            Reason::GaugeTooCoarse => Some(Phrase::plain("detail-gauge-too-coarse")),
            Reason::UncertaintyUnknown => Some(Phrase::plain("detail-uncertainty-unknown")),
            _ => None,
        };
    };
    Some(match cause {
        MissingCause::Absent(readings) => Phrase::plain(readings),
        MissingCause::StateAbsent => Phrase::with("absent-state", "title", title(characteristic)),
        MissingCause::PortAbsent => Phrase::plain("detail-port-absent"),
        MissingCause::NotComputable(why) => (**why).clone(),
        MissingCause::Blocked(code) => {
            Phrase::with("detail-blocked", "finding", PhraseValue::text(finding_word(*code)))
        }
    })
}

/// One line of the reason chain.
pub(super) fn cause(characteristic: CharacteristicId, reason: &Reason) -> Phrase {
    let id = match reason {
        Reason::AboveUpper => "cause-above-upper",
        Reason::BelowLower => "cause-below-lower",
        Reason::NotInOrder => "cause-not-in-order",
        reason => {
            return match detail(characteristic, reason) {
                Some(why) => Phrase::with("cause-because", "title", title(characteristic)).and("why", why),
                None => Phrase::with("cause-itself", "title", title(characteristic)),
            };
        }
    };
    Phrase::plain(id).and("title", title(characteristic))
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
pub(super) fn headline(evaluation: &Evaluation, profile: &TargetProfile) -> Phrase {
    let opening = match evaluation.disposition {
        Disposition::Accept => Phrase::plain("opening-accept"),
        Disposition::Rework => Phrase::plain("opening-rework"),
        Disposition::Incomplete => Phrase::plain("opening-incomplete"),
        Disposition::Reject => Phrase::plain("opening-reject"),
    };
    let tally = evaluation.tally;
    let missing = counted(not_measured(evaluation));
    Phrase::with("headline", "opening", opening)
        .and("profile", PhraseValue::text(&profile.id))
        .and("revision", PhraseValue::text(&profile.revision))
        .and("conforms", tally.conforms)
        .and("limited", tally.limited())
        .and("failing", tally.does_not_conform)
        .and("unproven", tally.not_proven)
        .and("kinds", missing.len())
        .and("missing", PhraseValue::List(missing))
}
