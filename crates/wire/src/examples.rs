//! Worked examples that come with the program: invented demo data.
//!
//! The heads are made up: the overhauls of a co-operative workshop, of engines that drive irrigation
//! pumps and cold-store generators. The limits of the profiles are common-practice values and those of
//! no engine; the engine maker's manual prevails.
//!
//! ```
//! use headproof_wire::{MeasurementSet, examples, read};
//!
//! let (head, profile) = examples::HEADS[0];
//! assert_eq!(head.name, "set-irrigation-pump-16v");
//! assert_eq!(profile.name, "profile-demo-aluminium-16v");
//! let set: MeasurementSet = read(head.text.as_bytes())?;
//! assert_eq!(set.head.serial, "DEMO-WP-0417");
//! # Ok::<(), headproof_wire::ReadError>(())
//! ```

/// A document as it is shipped.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Example {
    /// The name of its file without `.json`: `set-`, `profile-`, `workshop-` or `gauge-study-`, then what it shows.
    pub name: &'static str,
    /// The document, one JSON object.
    pub text: &'static str,
}

macro_rules! example {
    ($name:literal) => {
        Example { name: $name, text: include_str!(concat!("../examples/", $name, ".json")) }
    };
}

const ALUMINIUM_16V: Example = example!("profile-demo-aluminium-16v");
const IRON_8V: Example = example!("profile-demo-iron-8v");
const IRON_6V: Example = example!("profile-demo-iron-6v");

/// The demo profiles: target profiles that say so in their notice.
pub const PROFILES: [Example; 3] = [ALUMINIUM_16V, IRON_8V, IRON_6V];

/// The demo shop: what its rework plans may do, and with what.
pub const WORKSHOP: Example = example!("workshop-demo-cooperative");

/// The demo studies of gauges: a crossed one and one on a reference.
pub const GAUGE_STUDIES: [Example; 2] =
    [example!("gauge-study-seat-width"), example!("gauge-study-dial-gauge")];

/// The demo heads: measurement sets, each with the profile it is held against.
pub const HEADS: [(Example, Example); 3] = [
    (example!("set-irrigation-pump-16v"), ALUMINIUM_16V),
    (example!("set-cold-store-8v"), IRON_8V),
    (example!("set-generator-3cyl-6v"), IRON_6V),
];

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::{At, MeasurementSet, TargetProfile, Workshop, read, workshop};

    #[test]
    fn every_file_of_the_examples_is_exported() -> std::io::Result<()> {
        let entries = std::fs::read_dir(concat!(env!("CARGO_MANIFEST_DIR"), "/examples"))?;
        let files: BTreeSet<String> = entries
            .map(|entry| Ok(entry?.file_name().to_string_lossy().into_owned()))
            .collect::<std::io::Result<_>>()?;
        let exported =
            HEADS.iter().map(|(head, _)| head).chain(&PROFILES).chain([&WORKSHOP]).chain(&GAUGE_STUDIES);
        assert_eq!(files, exported.map(|example| format!("{}.json", example.name)).collect());
        Ok(())
    }

    #[test]
    fn every_example_can_be_read_and_every_profile_says_that_it_is_a_demo() {
        for (head, _) in HEADS {
            let read = read::<MeasurementSet>(head.text.as_bytes());
            assert!(read.is_ok(), "{}: {read:?}", head.name);
        }
        for example in PROFILES {
            let profile: TargetProfile = read(example.text.as_bytes()).expect(example.name);
            assert!(profile.id.starts_with("demo-"), "{}", example.name);
            assert!(
                profile.notice.is_some_and(|notice| notice.starts_with("Demo data.")),
                "{}",
                example.name
            );
        }
    }

    #[test]
    fn the_demo_shop_has_no_faults_and_says_that_it_is_invented() {
        let shop: Workshop = read(WORKSHOP.text.as_bytes()).expect(WORKSHOP.name);
        assert_eq!(workshop(&shop, &At::Root).map(|shop| shop.cutters.len()), Ok(shop.cutters.len()));
        assert!(shop.cutters.iter().all(|cutter| cutter.id.contains("invented")));
    }
}
