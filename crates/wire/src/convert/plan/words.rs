//! The words of a plan.

use headproof_head::{
    Assumption, CutKind, Objective, Outcome, Phrase, PhraseValue, PortStatus, StepCaution, Work,
};

pub(super) const fn objective(objective: Objective) -> &'static str {
    match objective {
        Objective::LeastSink => "least-sink",
        Objective::LeastCost => "least-cost",
        Objective::FewestParts => "fewest-parts",
    }
}

pub(super) const fn outcome(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::NothingToDo => "nothing-to-do",
        Outcome::Planned => "planned",
        Outcome::Staged => "staged",
        Outcome::NoPlan => "no-plan",
    }
}

pub(super) const fn status(status: PortStatus) -> &'static str {
    match status {
        PortStatus::NothingToDo => "nothing-to-do",
        PortStatus::Planned => "planned",
        PortStatus::GuideFirst => "guide-first",
        PortStatus::MeasureFirst => "measure-first",
        PortStatus::NoPlan => "no-plan",
    }
}

pub(super) const fn cut(kind: CutKind) -> &'static str {
    match kind {
        CutKind::Seat => "seat",
        CutKind::Top => "top",
        CutKind::Throat => "throat",
        CutKind::Form => "form",
        CutKind::LightTurns => "light-turns",
    }
}

pub(super) const fn operation(work: &Work) -> &'static str {
    match work {
        Work::MeasureFirst(_) => "measure-first",
        Work::RenewGuide => "renew-guide",
        Work::FitInsert(_) => "fit-insert",
        Work::CutDeck(_) => "cut-deck",
        Work::CutSeat { cut, .. } => match cut.kind {
            CutKind::Seat => "seat-cut",
            CutKind::Top => "top-cut",
            CutKind::Throat => "throat-cut",
            CutKind::Form => "form-cut",
            CutKind::LightTurns => "light-turns",
        },
        Work::GrindFace { .. } => "grind-face",
        Work::GrindTip { .. } => "grind-tip",
        Work::FitValve { .. } => "fit-valve",
        Work::CheckMarking { .. } => "check-marking",
        Work::TestForLeaks => "leak-test",
        Work::FitSprings { .. } => "fit-springs",
        Work::FitLashShim { .. } => "fit-lash-shim",
        Work::SetLash => "set-lash",
        Work::MeasureAgain(_) => "measure-again",
    }
}

pub(super) const fn assumption(assumption: Assumption) -> Phrase {
    Phrase::plain(match assumption {
        Assumption::CuttersAtNominalAngles => "plan-assumes-cutters-at-nominal-angles",
        Assumption::NominalAngles => "plan-assumes-nominal-angles",
        Assumption::UsualAngles => "plan-assumes-usual-angles",
        Assumption::DiametersFromContact => "plan-assumes-diameters-from-contact",
        Assumption::SameLength => "plan-assumes-same-length",
    })
}

pub(super) const fn caution(caution: StepCaution) -> Phrase {
    Phrase::plain(match caution {
        StepCaution::SodiumStem => "plan-caution-sodium-stem",
        StepCaution::BerylliumCopper => "plan-caution-beryllium-copper",
        StepCaution::ThinInsert => "plan-caution-thin-insert",
        StepCaution::TreatedFace => "plan-caution-treated-face",
        StepCaution::StoredEnergy => "plan-caution-stored-energy",
        StepCaution::EyesAndSkin => "plan-caution-eyes-and-skin",
        StepCaution::HotAndCold => "plan-caution-hot-and-cold",
        StepCaution::AxisMoves => "plan-caution-axis-moves",
        StepCaution::CamTiming => "plan-caution-cam-timing",
        StepCaution::TightLash => "plan-caution-tight-lash",
    })
}

/// What a sentence goes on with, where there is something.
pub(super) fn tail(phrase: Option<Phrase>) -> PhraseValue {
    phrase.map_or_else(|| PhraseValue::text(""), PhraseValue::Phrase)
}

/// Sentences in English, and as they can be said in any language.
pub(super) fn told(phrases: impl Iterator<Item = Phrase>) -> (Vec<String>, Vec<crate::Phrase>) {
    phrases.map(crate::convert::phrases::said).unzip()
}
