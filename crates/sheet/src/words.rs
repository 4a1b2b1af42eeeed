//! Codes of the documents in plain words.

use headproof_texts::Say;
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
    pub(crate) fn words(self, say: Say) -> &'static str {
        say.text(match self {
            Self::Conforms => "verdict-conforms",
            Self::DoesNotConform => "verdict-does-not-conform",
            Self::NotProven => "verdict-not-proven",
            Self::NotMeasured => "verdict-not-measured",
            Self::NoLimit => "verdict-no-limit",
        })
    }

    /// In words on two short lines, for narrow places.
    pub(crate) fn two_lines(self, say: Say) -> [&'static str; 2] {
        let words = self.words(say);
        match (self, words.rsplit_once(' ')) {
            (Self::NoLimit, _) | (_, None) => [words, ""],
            (_, Some((first, second))) => [first, second],
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

/// A text with its first letter made a capital.
pub(crate) fn sentence(text: &str) -> String {
    let mut rest = text.chars();
    rest.next().map(|first| first.to_uppercase().chain(rest).collect()).unwrap_or_default()
}

/// `Cylinder 2, exhaust 1`.
pub(crate) fn port_name(cylinder: u8, service: Service, index: u8, say: Say) -> String {
    let service = service_word(service, say);
    say.with(
        "port-name",
        &[("cylinder", cylinder.into()), ("service", service.into()), ("index", index.into())],
    )
}

/// What a document calls a port: `cylinder 2 exhaust 1`.
pub(crate) fn subject_of(cylinder: u8, service: Service, index: u8) -> String {
    let service = match service {
        Service::Intake => "intake",
        Service::Exhaust => "exhaust",
    };
    format!("cylinder {cylinder} {service} {index}")
}

/// What a document calls its subject, taken apart.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Subject {
    /// `head`.
    Head,
    /// `cylinder 2`.
    Cylinder(u8),
    /// `cylinder 2 exhaust 1`.
    Port(u8, Service, u8),
}

impl Subject {
    /// Takes it apart; `None` for any other text.
    pub(crate) fn of(code: &str) -> Option<Self> {
        match *code.split(' ').collect::<Vec<_>>().as_slice() {
            ["head"] => Some(Self::Head),
            ["cylinder", cylinder] => Some(Self::Cylinder(cylinder.parse().ok()?)),
            ["cylinder", cylinder, service, index] => {
                let service = match service {
                    "intake" => Service::Intake,
                    "exhaust" => Service::Exhaust,
                    _ => return None,
                };
                Some(Self::Port(cylinder.parse().ok()?, service, index.parse().ok()?))
            }
            _ => None,
        }
    }

    /// As a heading: `Cylinder 2, exhaust 1`.
    pub(crate) fn name(self, say: Say) -> String {
        match self {
            Self::Head => say.text("subject-head").to_owned(),
            Self::Cylinder(cylinder) => cylinder_name(cylinder, say),
            Self::Port(cylinder, service, index) => port_name(cylinder, service, index, say),
        }
    }

    /// Inside a sentence: `cylinder 2 exhaust 1`.
    pub(crate) fn named(self, say: Say) -> String {
        match self {
            Self::Head => say.text("head-named").to_owned(),
            Self::Cylinder(cylinder) => say.with("cylinder-named", &[("cylinder", cylinder.into())]),
            Self::Port(cylinder, service, index) => {
                let id = match service {
                    Service::Intake => "port-intake",
                    Service::Exhaust => "port-exhaust",
                };
                say.with(id, &[("cylinder", cylinder.into()), ("index", index.into())])
            }
        }
    }
}

/// `demo-iron revision 3`.
pub(crate) fn profile_name(id: &str, revision: &str, say: Say) -> String {
    say.with("profile-name", &[("id", id.into()), ("revision", revision.into())])
}

/// `Cylinder 2`.
pub(crate) fn cylinder_name(cylinder: u8, say: Say) -> String {
    say.with("cylinder-name", &[("cylinder", cylinder.into())])
}

/// The title of a characteristic with the sign of its unit, where it has one.
pub(crate) fn with_unit(characteristic: &str, unit: &str, say: Say) -> String {
    let title = say.title(characteristic);
    if unit.is_empty() { title.into_owned() } else { format!("{title}, {unit}") }
}

/// As much of a digest as tells one record from another on paper.
pub(crate) fn short_digest(digest: &str) -> String {
    digest.chars().take(12).collect()
}

/// Service of a valve.
pub(crate) fn service_word(service: Service, say: Say) -> &'static str {
    say.text(match service {
        Service::Intake => "service-intake",
        Service::Exhaust => "service-exhaust",
    })
}

/// Stage of a job.
pub(crate) fn stage(stage: Stage, say: Say) -> &'static str {
    say.text(match stage {
        Stage::AsReceived => "stage-as-received",
        Stage::AfterRework => "stage-after-rework",
        Stage::Final => "stage-final",
    })
}

/// What follows for a head, by its code; a code this edition does not know is said as it is.
pub(crate) fn disposition(code: &str, say: Say) -> String {
    let id = match code {
        "accept" => "disposition-accept",
        "rework" => "disposition-rework",
        "incomplete" => "disposition-incomplete",
        "reject" => "disposition-reject",
        _ => return code.to_owned(),
    };
    say.text(id).to_owned()
}

/// Material of a head.
pub(crate) fn material(material: Material, say: Say) -> &'static str {
    say.text(match material {
        Material::CastIron => "material-cast-iron",
        Material::Aluminium => "material-aluminium",
    })
}

/// State of a part.
pub(crate) fn state(state: State, say: Say) -> &'static str {
    say.text(match state {
        State::Good => "state-good",
        State::Worn => "state-worn",
        State::Bad => "state-bad",
    })
}

/// What a stem seal is.
pub(crate) fn stem_seal(seal: StemSeal, say: Say) -> &'static str {
    say.text(match seal {
        StemSeal::New => "stem-seal-new",
        StemSeal::Reused => "stem-seal-reused",
        StemSeal::Absent => "stem-seal-absent",
    })
}

/// How an insert sits.
pub(crate) fn insert_fit(fit: InsertFit, say: Say) -> &'static str {
    say.text(match fit {
        InsertFit::Tight => "insert-fit-tight",
        InsertFit::Loose => "insert-fit-loose",
    })
}

/// What an insert is made of.
pub(crate) fn insert_material(material: InsertMaterial, say: Say) -> &'static str {
    say.text(match material {
        InsertMaterial::Iron => "insert-material-iron",
        InsertMaterial::Steel => "insert-material-steel",
        InsertMaterial::HardAlloy => "insert-material-hard-alloy",
        InsertMaterial::BerylliumCopper => "insert-material-beryllium-copper",
    })
}

/// A layout in one line.
pub(crate) fn layout(layout: &Layout, say: Say) -> String {
    let camshaft = say.text(match layout.camshaft {
        Camshaft::Pushrod => "camshaft-pushrod",
        Camshaft::Overhead => "camshaft-overhead",
    });
    let lifter = say.text(match layout.lifter {
        Lifter::Adjustable => "lifter-adjustable",
        Lifter::Hydraulic => "lifter-hydraulic",
        Lifter::BucketWithShim => "lifter-bucket-with-shim",
    });
    say.with(
        "layout",
        &[
            ("cylinders", layout.cylinders.into()),
            ("intake", layout.intake_per_cylinder.into()),
            ("exhaust", layout.exhaust_per_cylinder.into()),
            ("camshaft", camshaft.into()),
            ("lifter", lifter.into()),
        ],
    )
}

/// A decision rule in one sentence.
pub(crate) fn decision_rule(evaluation: &Evaluation, say: Say) -> String {
    match evaluation.decision_rule {
        DecisionRule::Simple => say.text("decision-simple").to_owned(),
        DecisionRule::Guarded { conformance_probability } => {
            let percent = crate::format::as_written(round_percent(conformance_probability), say);
            say.with("decision-guarded", &[("percent", percent.into())])
        }
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
    fn per_cents_are_clean() {
        assert_eq!(round_percent(0.95).to_string(), "95");
        assert_eq!(round_percent(0.999).to_string(), "99.9");
    }
}
