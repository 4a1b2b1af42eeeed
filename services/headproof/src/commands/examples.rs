//! The invented heads and profiles that come with the program.

use std::error::Error;

use headproof_wire::{MeasurementSet, TargetProfile, read};

macro_rules! shipped {
    ($name:literal) => {
        ($name, include_str!(concat!("../../../../crates/wire/examples/", $name, ".json")))
    };
}

/// Name and text of a shipped document.
pub(crate) type Shipped = (&'static str, &'static str);

/// Demo profiles: common-practice values, no engine's limits.
pub(crate) const PROFILES: [Shipped; 3] = [
    shipped!("profile-demo-aluminium-16v"),
    shipped!("profile-demo-iron-8v"),
    shipped!("profile-demo-iron-6v"),
];

/// Demo heads, each with the profile it is held against.
pub(crate) const HEADS: [(Shipped, Shipped); 3] = [
    (shipped!("set-irrigation-pump-16v"), PROFILES[0]),
    (shipped!("set-cold-store-8v"), PROFILES[1]),
    (shipped!("set-generator-3cyl-6v"), PROFILES[2]),
];

/// A shipped set.
pub(crate) fn set((name, text): Shipped) -> Result<MeasurementSet, Box<dyn Error>> {
    read(text.as_bytes()).map_err(|error| format!("{name}: {error}").into())
}

/// A shipped profile.
pub(crate) fn profile((name, text): Shipped) -> Result<TargetProfile, Box<dyn Error>> {
    read(text.as_bytes()).map_err(|error| format!("{name}: {error}").into())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_shipped_document_can_be_read_and_says_that_it_is_a_demo() {
        for (head, named) in HEADS {
            assert!(set(head).is_ok(), "{}", head.0);
            let profile = profile(named).unwrap();
            assert!(
                profile.id.starts_with("demo-")
                    && profile.notice.is_some_and(|notice| notice.contains("emo"))
            );
        }
    }
}
