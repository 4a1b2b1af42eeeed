//! Invented heads that are about to be measured.

use headproof_sheet::WorksheetInput;
use headproof_wire::{Layout, Paper, SheetOptions, TargetProfile, Units, examples};
use serde_json::{Value, json};

/// The digest every specimen is printed with.
pub(crate) const DIGEST: &str = "5c0ffee5a12c4d0e85b7760a1c2d3e4f5061728394a5b6c7d8e9f001122334455";

/// A head that is about to be measured.
#[derive(Debug, Clone)]
pub(crate) struct Blank {
    /// What kind of head.
    pub(crate) layout: Layout,
    /// The limits.
    pub(crate) profile: TargetProfile,
    /// The units of the worksheet.
    pub(crate) units: Units,
    /// Serial, where it is known.
    pub(crate) head_serial: Option<String>,
    /// Job, where there is one.
    pub(crate) job_number: Option<String>,
}

impl Blank {
    /// A head of the first demo profile without serial and job.
    pub(crate) fn of(cylinders: u8, intake: u8, exhaust: u8) -> Self {
        let profile = read(examples::PROFILES[0].text);
        Self {
            layout: layout(cylinders, intake, exhaust),
            profile,
            units: metric(),
            head_serial: None,
            job_number: None,
        }
    }

    /// As the renderer takes it, in English.
    pub(crate) fn input(&self, paper: Paper) -> WorksheetInput<'_> {
        self.input_in(SheetOptions { paper, ..SheetOptions::default() })
    }

    /// As the renderer takes it.
    pub(crate) fn input_in(&self, look: SheetOptions) -> WorksheetInput<'_> {
        WorksheetInput {
            layout: &self.layout,
            profile: &self.profile,
            profile_digest: DIGEST,
            units: &self.units,
            head_serial: self.head_serial.as_deref(),
            job_number: self.job_number.as_deref(),
            look,
        }
    }

    /// With a profile that limits everything there is to limit, for build and for wear, in long words.
    pub(crate) fn with_every_limit(mut self) -> Self {
        let limit = |row: &headproof_judge::Characteristic, limit_use: &str| {
            let mut limit = json!({"characteristic": row.id.as_str(), "use": limit_use, "if_outside": "rework",
                                   "required": limit_use == "build", "source": "invented for a test"});
            if !row.measure().is_in_order() {
                limit["lower"] = json!(-123.456_7);
                limit["upper"] = json!(1_234.567_8);
            }
            if row.is_windowed() {
                limit["window"] = json!({"length": 1_234.5, "width": 123.456_78});
            }
            limit
        };
        let limits = headproof_judge::table().flat_map(|row| ["build", "wear"].map(|word| limit(row, word)));
        self.profile.limits = serde_json::from_value(Value::Array(limits.collect())).expect("limits");
        self
    }
}

fn read(text: &str) -> TargetProfile {
    serde_json::from_str(text).expect("a document of the demo")
}

/// A head that carries its camshaft.
pub(crate) fn layout(cylinders: u8, intake: u8, exhaust: u8) -> Layout {
    let layout = json!({"camshaft": "overhead", "lifter": "bucket-with-shim", "cylinders": cylinders,
                        "intake_per_cylinder": intake, "exhaust_per_cylinder": exhaust});
    serde_json::from_value(layout).expect("a layout")
}

/// Millimetres and newtons.
pub(crate) fn metric() -> Units {
    Units::BASE
}

/// Inches and pounds-force.
pub(crate) fn inches() -> Units {
    let units =
        json!({"length": "in", "force": "lbf", "volume": "mL", "pressure": "inHg", "roughness": "uin"});
    serde_json::from_value(units).expect("units")
}

/// Heads of all sizes, with their names.
pub(crate) fn specimens() -> Vec<(&'static str, Blank)> {
    let named = |serial: &str, job: &str, blank: Blank| Blank {
        head_serial: Some(serial.to_owned()),
        job_number: Some(job.to_owned()),
        ..blank
    };
    let mut pushrods = Blank { profile: read(examples::PROFILES[2].text), ..Blank::of(3, 1, 1) };
    pushrods.layout.camshaft = headproof_wire::Camshaft::Pushrod;
    let mut terms = Blank { profile: read(examples::PROFILES[1].text), ..Blank::of(4, 1, 1) };
    terms.layout.compression =
        serde_json::from_value(json!({"bore": 92.0, "stroke": 98.5, "crevice": {"repeats": [0.7, 0.71]}}))
            .ok();
    let long = "0123456789-UNBREAKABLE".repeat(9);
    let mut wordy =
        named(&long, &"very long words of the shop ".repeat(7), Blank::of(2, 2, 1)).with_every_limit();
    wordy.profile.title = "a long but breakable title about nothing in particular ".repeat(3);
    wordy.profile.id = "p".repeat(80);
    wordy.profile.revision = "r".repeat(40);
    wordy.profile.notice = Some("A notice that has far too much to say. ".repeat(15));
    vec![
        ("one-two", Blank::of(1, 1, 1)),
        ("pushrods", pushrods),
        ("terms", named("DEMO-17", "J-2026-04", terms)),
        ("four-four", named("DEMO-WP-0417", "2026-0117", Blank::of(4, 2, 2))),
        ("sixteen-five-inch", Blank { units: inches(), ..Blank::of(16, 3, 2) }),
        ("every-limit-inch", Blank { units: inches(), ..Blank::of(1, 1, 1).with_every_limit() }),
        ("greek", named("ΑΝΤΛΙΑ-7 Άρδευση", "Αρ. 12", Blank::of(2, 1, 1))),
        ("cyrillic", named("Їжак «7» \u{5D0}", "№ 41-Щ", Blank { units: inches(), ..Blank::of(3, 2, 1) })),
        ("wordy", wordy),
    ]
}
