//! Codes of the documents in plain words.

use headproof_wire::{
    Camshaft, DecisionRule, Evaluation, InsertFit, InsertMaterial, Layout, Lifter, Material, Service, Stage,
    State, StemSeal,
};

/// A verdict, read from its code.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Verdict {
    /// Shown without a limit.
    NoLimit,
    /// Inside its limits.
    Conforms,
    /// Nothing usable was read.
    NotMeasured,
    /// Too close to a limit for the gauge.
    NotProven,
    /// Outside its limits.
    DoesNotConform,
}

impl Verdict {
    /// Those a legend explains.
    pub(crate) const JUDGED: [Self; 4] =
        [Self::Conforms, Self::DoesNotConform, Self::NotProven, Self::NotMeasured];

    /// From the code of the evaluation; a code this edition does not know proves nothing.
    pub(crate) fn from_code(code: &str) -> Self {
        match code {
            "conforms" => Self::Conforms,
            "does-not-conform" => Self::DoesNotConform,
            "not-measured" => Self::NotMeasured,
            "no-limit" => Self::NoLimit,
            _ => Self::NotProven,
        }
    }

    /// In words.
    pub(crate) const fn words(self) -> &'static str {
        match self {
            Self::Conforms => "conforms",
            Self::DoesNotConform => "does not conform",
            Self::NotProven => "not proven",
            Self::NotMeasured => "not measured",
            Self::NoLimit => "no limit",
        }
    }

    /// In words on two short lines, for narrow places.
    pub(crate) const fn two_lines(self) -> [&'static str; 2] {
        match self {
            Self::Conforms => ["conforms", ""],
            Self::DoesNotConform => ["does not", "conform"],
            Self::NotProven => ["not", "proven"],
            Self::NotMeasured => ["not", "measured"],
            Self::NoLimit => ["no limit", ""],
        }
    }
}

/// The verdict that stands for a disposition where a mark is drawn.
pub(crate) fn disposition_mark(disposition: &str) -> Verdict {
    match disposition {
        "accept" => Verdict::Conforms,
        "rework" | "reject" => Verdict::DoesNotConform,
        _ => Verdict::NotMeasured,
    }
}

/// Title of a characteristic for people; of any other code, the code as words.
pub(crate) fn title(id: &str) -> String {
    match headproof_judge::characteristic(id) {
        Some(characteristic) => characteristic.title.to_owned(),
        None => sentence(&id.replace('-', " ")),
    }
}

/// A text with its first letter made a capital.
pub(crate) fn sentence(text: &str) -> String {
    let mut rest = text.chars();
    rest.next().map(|first| first.to_uppercase().chain(rest).collect()).unwrap_or_default()
}

/// A word in the singular or the plural, with its number.
pub(crate) fn counted(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// `cylinder 2, exhaust 1`.
pub(crate) fn port_name(cylinder: u8, service: Service, index: u8) -> String {
    format!("Cylinder {cylinder}, {} {index}", service_word(service))
}

/// Service of a valve.
pub(crate) const fn service_word(service: Service) -> &'static str {
    match service {
        Service::Intake => "intake",
        Service::Exhaust => "exhaust",
    }
}

/// Stage of a job.
pub(crate) const fn stage(stage: Stage) -> &'static str {
    match stage {
        Stage::AsReceived => "as received",
        Stage::AfterRework => "after rework",
        Stage::Final => "final",
    }
}

/// Material of a head.
pub(crate) const fn material(material: Material) -> &'static str {
    match material {
        Material::CastIron => "cast iron",
        Material::Aluminium => "aluminium",
    }
}

/// State of a part.
pub(crate) const fn state(state: State) -> &'static str {
    match state {
        State::Good => "in order",
        State::Worn => "worn",
        State::Bad => "damaged or missing",
    }
}

/// What a stem seal is.
pub(crate) const fn stem_seal(seal: StemSeal) -> &'static str {
    match seal {
        StemSeal::New => "new",
        StemSeal::Reused => "the old one",
        StemSeal::Absent => "none",
    }
}

/// How an insert sits.
pub(crate) const fn insert_fit(fit: InsertFit) -> &'static str {
    match fit {
        InsertFit::Tight => "tight",
        InsertFit::Loose => "LOOSE",
    }
}

/// What an insert is made of.
pub(crate) const fn insert_material(material: InsertMaterial) -> &'static str {
    match material {
        InsertMaterial::Iron => "iron",
        InsertMaterial::Steel => "steel",
        InsertMaterial::HardAlloy => "hard alloy",
        InsertMaterial::BerylliumCopper => "beryllium copper",
    }
}

/// A layout in one line.
pub(crate) fn layout(layout: &Layout) -> String {
    let camshaft = match layout.camshaft {
        Camshaft::Pushrod => "pushrods",
        Camshaft::Overhead => "overhead camshaft",
    };
    let lifter = match layout.lifter {
        Lifter::Adjustable => "adjustable lash",
        Lifter::Hydraulic => "hydraulic lifters",
        Lifter::BucketWithShim => "buckets with shims",
    };
    format!(
        "{}, each with {} intake and {} exhaust; {camshaft}, {lifter}",
        counted(layout.cylinders.into(), "cylinder", "cylinders"),
        layout.intake_per_cylinder,
        layout.exhaust_per_cylinder,
    )
}

/// A decision rule in one sentence.
pub(crate) fn decision_rule(evaluation: &Evaluation) -> String {
    match evaluation.decision_rule {
        DecisionRule::Simple => "Simple acceptance: a value inside its limits, the limits themselves \
                                 included, conforms; its uncertainty is shown and does not move the verdict."
            .to_owned(),
        DecisionRule::Guarded { conformance_probability } => format!(
            "Guarded acceptance: a value conforms only when the readings prove it with a probability of at \
             least {} %; too close to a limit for that, it is not proven.",
            crate::format::as_written(round_percent(conformance_probability)),
        ),
    }
}

/// Per cent of a probability without the noise of binary digits.
fn round_percent(probability: f64) -> f64 {
    (probability * 1e8).round() / 1e6
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_characteristic_gets_a_title() {
        assert_eq!(title("seat-width"), "Seat width");
        assert_eq!(title("reading-missing"), "Reading missing");
        assert_eq!(title(""), "");
    }

    #[test]
    fn per_cents_are_clean() {
        assert_eq!(round_percent(0.95).to_string(), "95");
        assert_eq!(round_percent(0.999).to_string(), "99.9");
    }
}
