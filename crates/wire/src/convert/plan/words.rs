//! The words of a plan.

use headproof_head::{Assumption, CutKind, Objective, Outcome, PortStatus, StepCaution, Work};

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

pub(super) const fn assumption(assumption: Assumption) -> &'static str {
    match assumption {
        Assumption::CuttersAtNominalAngles => {
            "No cutters were named: one for each nominal angle of the profile is assumed."
        }
        Assumption::NominalAngles => {
            "Where an angle was not measured, the nominal of the profile is taken for it."
        }
        Assumption::UsualAngles => {
            "Top or throat angles were neither measured nor in the profile: they count as the shop cuts them, else \
             as 15° flatter and steeper than the seat."
        }
        Assumption::DiametersFromContact => {
            "Where the diameters of a seat were not measured, they are taken from its contact band."
        }
        Assumption::SameLength => {
            "A new valve is taken to be as long from face to tip as the old one, because a length is missing."
        }
    }
}

pub(super) const fn caution(caution: StepCaution) -> &'static str {
    match caution {
        StepCaution::SodiumStem => {
            "Sodium in the stem: never grind, cut, weld or break it. Scrap it through a specialist."
        }
        StepCaution::BerylliumCopper => {
            "Beryllium copper: never grind it dry, its dust is toxic. Keep it wet and collect what comes off."
        }
        StepCaution::ThinInsert => {
            "Look at what is left of the insert: one that is cut too thin is replaced, not used."
        }
        StepCaution::TreatedFace => {
            "Coated, nitrided or titanium face: grind or lap it only where the engine maker allows it."
        }
        StepCaution::StoredEnergy => {
            "Springs store energy: use a spring compressor, stand aside, and wear eye protection."
        }
        StepCaution::EyesAndSkin => {
            "Wear eye protection. Carbide edges and chips cut skin, also when the cutter stands still."
        }
        StepCaution::HotAndCold => {
            "A warmed head burns and fumes; dry ice and liquid nitrogen burn by cold and drive out the air: \
             gloves, face shield, open doors."
        }
        StepCaution::AxisMoves => {
            "Guide and seat share one axis: whatever moves the guide makes the readings of its seat void."
        }
        StepCaution::CamTiming => {
            "A cut deck moves the cam timing of an overhead-cam head. Where valves can meet pistons, turn \
             the engine two full turns by hand before it is started."
        }
        StepCaution::TightLash => "Lash that is too tight holds a valve off its seat and burns it.",
    }
}
