//! Invented heads of an invented co-operative workshop, for looking at pages and checking them.

use headproof_sheet::{PlanInput, Record, SheetInput};
use headproof_wire::{
    CylinderRows, Evaluation, Finding, MeasurementSet, Paper, PortRows, ReasonLine, ReworkPlan, Row, Service,
    SheetOptions, TargetProfile,
};
use serde_json::{Value, json};

/// The digest every specimen is printed with.
pub(crate) const DIGEST: &str = "3f9a12c4d0e85b7760a1c2d3e4f5061728394a5b6c7d8e9f00112233445566aa";

/// The digest every specimen plan is printed with.
pub(crate) const PLAN_DIGEST: &str = "b07c5512aa90ef3412c4d0e85b7760a1c2d3e4f5061728394a5b6c7d8e9f0011";

/// What is attached to every specimen, in the place of its documents.
pub(crate) const RECORD: Record<'_> = Record {
    measurement_set: b"{\"is\":\"set\"}",
    profile: b"{\"is\":\"profile\"}",
    evaluation: b"{\"is\":\"evaluation\"}",
};

/// What a specimen head is like.
#[derive(Clone)]
pub(crate) struct Specimen {
    /// Cylinders.
    pub(crate) cylinders: u8,
    /// Intake valves of each.
    pub(crate) intake: u8,
    /// Exhaust valves of each.
    pub(crate) exhaust: u8,
    /// Serial of the head.
    pub(crate) serial: String,
    /// Name of the customer.
    pub(crate) customer: String,
    /// Unit of lengths.
    pub(crate) inches: bool,
    /// With a guarded decision rule.
    pub(crate) guarded: bool,
    /// Every so manieth port is out.
    pub(crate) bad_every: usize,
    /// Everything conforms.
    pub(crate) clean: bool,
    /// The disposition to state, where it is not rework.
    pub(crate) disposition: Option<&'static str>,
}

impl Default for Specimen {
    fn default() -> Self {
        Self {
            cylinders: 4,
            intake: 2,
            exhaust: 2,
            serial: "PUMP-0417".into(),
            customer: "Invented Irrigation Co-operative".into(),
            inches: false,
            guarded: true,
            bad_every: 5,
            clean: false,
            disposition: None,
        }
    }
}

/// One judged head with all its documents.
pub(crate) struct Documents {
    /// The readings.
    pub(crate) set: MeasurementSet,
    /// The limits.
    pub(crate) profile: TargetProfile,
    /// The judgement.
    pub(crate) evaluation: Evaluation,
    /// The rework plan, where there is one.
    pub(crate) plan: Option<ReworkPlan>,
}

impl Documents {
    /// As the renderer takes them, in English.
    pub(crate) fn input(&self, paper: Paper) -> SheetInput<'_> {
        self.input_in(SheetOptions { paper, ..SheetOptions::default() })
    }

    /// As the renderer takes them, to look as asked.
    pub(crate) fn input_in(&self, look: SheetOptions) -> SheetInput<'_> {
        SheetInput {
            set: &self.set,
            profile: &self.profile,
            evaluation: &self.evaluation,
            evaluation_digest: DIGEST,
            plan: self.plan.as_ref().map(|plan| PlanInput {
                plan,
                digest: PLAN_DIGEST,
                canonical: b"{\"is\":\"plan\"}",
            }),
            earlier: None,
            sign_off: None,
            record: RECORD,
            look,
        }
    }
}

impl Specimen {
    /// Makes the documents.
    pub(crate) fn documents(&self) -> Documents {
        let evaluation = self.evaluation();
        Documents { set: self.set(), profile: self.profile(), evaluation, plan: None }
    }

    fn units(&self) -> Value {
        if self.inches {
            json!({"length": "in", "force": "lbf", "volume": "mL", "pressure": "inHg", "roughness": "uin"})
        } else {
            json!({"length": "mm", "force": "N", "volume": "mL", "pressure": "kPa", "roughness": "um"})
        }
    }

    fn addresses(&self) -> Vec<(u8, Service, u8)> {
        let mut all = Vec::new();
        for cylinder in 1..=self.cylinders {
            all.extend((1..=self.intake).map(|n| (cylinder, Service::Intake, n)));
            all.extend((1..=self.exhaust).map(|n| (cylinder, Service::Exhaust, n)));
        }
        all
    }

    fn set(&self) -> MeasurementSet {
        let port = |(n, (cylinder, service, index)): (usize, (u8, Service, u8))| {
            json!({
                "cylinder": cylinder, "service": service, "index": index,
                "guide": {"fit": "good", "stem_seal": "new"},
                "valve": {"tag": format!("A{}", n + 1), "tip": "good", "keeper_groove": if n == 3 {"worn"} else {"good"},
                          "neck": "good", "nitrided": service == Service::Intake,
                          "sodium_filled": service == Service::Exhaust},
                "seat": {"insert": {"fit": if n == 5 {"loose"} else {"tight"}, "material": "hard-alloy"},
                         "runout": {"direction": "square", "readings": [0.0, 0.01, 0.02, 0.01, 0.0, -0.01, -0.02, -0.01]}},
                "contact": {"gaps": if n == 2 { json!([12.5]) } else { json!([]) }},
                "spring_pack": {"springs": [{"free_length": 52.1}]},
                "assembly": {"recession_datum": "deck"},
                "leak": {"decay": {"start": 60.0, "end": 59.2, "seconds": 30, "volume": 85, "side": "port",
                                   "vacuum": false, "spring_fitted": true, "guide_sealed": false}},
            })
        };
        let ports: Vec<Value> = self.addresses().into_iter().enumerate().map(port).collect();
        serde_json::from_value(json!({
            "format": "headproof/measurement-set/1",
            "units": self.units(),
            "head": {"serial": self.serial, "engine_family": "Demo four-stroke pump engine", "casting": "DEMO 7",
                     "material": "cast-iron", "hardness": 212},
            "customer": {"name": self.customer, "reference": "field 12, well 3"},
            "job": {"number": "2026-0117", "stage": "as-received", "measured_by": "Demo Measurer",
                    "measured_at": "2026-03-02T10:15:00+02:00", "bench": "B2", "cutter": "C45-30-60",
                    "operator": "op-4", "temperature": 21.5},
            "layout": {"camshaft": "overhead", "lifter": "bucket-with-shim", "cylinders": self.cylinders,
                       "intake_per_cylinder": self.intake, "exhaust_per_cylinder": self.exhaust},
            "instruments": [
                {"id": "DIAL-3", "description": "dial indicator on a guide pilot", "measures": "length",
                 "expanded_uncertainty": 0.004, "coverage_factor": 2, "resolution": 0.001,
                 "calibration_due": "2026-09-30"},
                {"id": "SPRING-1", "description": "spring tester with a very long description of its kind",
                 "measures": "force", "expanded_uncertainty": 3.5, "coverage_factor": 2, "resolution": 0.5},
                {"id": "BURETTE", "description": "burette, 100 mL", "measures": "volume",
                 "expanded_uncertainty": 0.15, "coverage_factor": 2, "resolution": 0.05,
                 "calibration_due": "2025-12-31"},
            ],
            "deck": {"dowels": "good", "bolt_threads": "worn", "plugs": "good", "removed": 0.15},
            "ports": ports,
            "tests": {"crack": {"method": "dye penetrant", "crack_found": false},
                      "pressure": {"medium": "water", "pressure": 300, "temperature": 18, "seconds": 600, "held": true}},
        }))
        .expect("the specimen is a valid document")
    }

    fn profile(&self) -> TargetProfile {
        let limit = |characteristic: &str, source: &str| {
            json!({"characteristic": characteristic, "use": "build", "upper": 1.0, "if_outside": "rework",
                   "source": source})
        };
        let long = "Invented workshop manual of the demo pump engine, edition of the third season, chapter 4 \
                    (cylinder head), table 4-7, column for heads that were overhauled before, with the remark \
                    that the lower limit holds for seats of hard alloy only; printed here to show a long source";
        serde_json::from_value(json!({
            "format": "headproof/target-profile/1",
            "id": "demo-irrigation", "revision": "3",
            "title": "Demo limits for irrigation pump heads",
            "notice": "Demonstration limits without a source: not for use on a real engine.",
            "units": self.units(),
            "decision_rule": if self.guarded {
                json!({"rule": "guarded", "conformance_probability": 0.95})
            } else { json!({"rule": "simple"}) },
            "limits": [limit("seat-width", "common practice"), limit("deck-flatness", long),
                       limit("chamber-volume", "drawing DEMO-CH-2"), limit("spring-load", "common practice")],
        }))
        .expect("the specimen is a valid document")
    }

    fn evaluation(&self) -> Evaluation {
        let ports: Vec<PortRows> =
            self.addresses().into_iter().enumerate().map(|(n, address)| self.port_rows(n, address)).collect();
        let head = vec![
            with(row("deck-feeler-lengthwise", "mm", 0.062, None, Some(0.1), "conforms"), 1, 0.006, "line 2"),
            with(
                row("deck-feeler-crosswise", "mm", 0.058, None, Some(0.05), "does-not-conform"),
                1,
                0.006,
                "line 4",
            ),
            with(row("deck-roughness", "um", 0.71, None, Some(0.8), "not-proven"), 1, 0.12, "place 1"),
            row("head-thickness", "mm", 91.948, None, None, "no-limit"),
            in_order("dowels", true),
            in_order("bolt-threads", false),
        ];
        let cylinders = (1..=self.cylinders)
            .map(|cylinder| CylinderRows {
                cylinder,
                rows: vec![
                    with(
                        row(
                            "chamber-volume",
                            "mL",
                            42.1 + f64::from(cylinder) * 0.13,
                            Some(41.5),
                            Some(43.5),
                            "conforms",
                        ),
                        2,
                        0.15,
                        "",
                    ),
                    row("compression-ratio", "1", 9.42, None, None, "no-limit"),
                ],
            })
            .collect();
        let mut evaluation: Evaluation = serde_json::from_value(json!({
            "format": "headproof/evaluation/1",
            "head_serial": self.serial,
            "job_number": "2026-0117",
            "stage": "as-received",
            "measurement_set_digest": DIGEST.chars().rev().collect::<String>(),
            "profile": {
                "id": "demo-irrigation", "revision": "3", "title": "Demo limits for irrigation pump heads",
                "notice": "Demonstration limits without a source: not for use on a real engine.",
            },
            "decision_rule": if self.guarded {
                json!({"rule": "guarded", "conformance_probability": 0.95})
            } else { json!({"rule": "simple"}) },
            "disposition": "rework",
            "headline": "",
            "reasons": [],
            "tally": {"conforms": 0, "does_not_conform": 0, "not_proven": 0, "not_measured": 0, "no_limit": 0},
            "coverage_factor": 2.0,
            "head": [], "cylinders": [], "ports": [], "findings": [],
        }))
        .expect("the specimen is a valid document");
        (evaluation.head, evaluation.cylinders, evaluation.ports) = (head, cylinders, ports);
        evaluation.findings = vec![
                Finding {
                    code: "calibration-overdue".into(),
                    severity: "warning".into(),
                    pointers: vec!["/instruments/2/calibration_due".into()],
                    text: "The calibration of BURETTE ran out on 2025-12-31, before the head was measured.".into(),
                    says: None,
                },
                Finding {
                    code: "contact-outside-face".into(),
                    severity: "blocking".into(),
                    pointers: vec!["/ports/1/contact/marks/0".into(), "/ports/1/valve/head_diameter".into()],
                    text: "The contact band reaches over the edge of the valve face: one of the two readings is wrong.".into(),
                    says: None,
                },
        ];
        if self.clean {
            clean(&mut evaluation);
        }
        count(&mut evaluation);
        if let Some(disposition) = self.disposition {
            evaluation.disposition = disposition.into();
        }
        evaluation
    }

    fn port_rows(&self, n: usize, (cylinder, service, index): (u8, Service, u8)) -> PortRows {
        let bad = self.bad_every > 0 && n % self.bad_every == self.bad_every - 1;
        let drift = n as f64 * 0.0013;
        let mut rows = vec![
            with(
                row("seat-width", "mm", 1.246 + drift, Some(1.0), Some(1.6), "conforms"),
                0,
                0.041,
                "position 3 of 8",
            ),
            with(row("seat-angle", "deg", 45.12, Some(44.5), Some(45.5), "conforms"), 0, 0.2, ""),
            with(row("interference-angle", "deg", 0.62, Some(0.0), Some(1.0), "conforms"), 0, 0.3, ""),
            with(row("overhang", "mm", 0.55, Some(0.4), None, "conforms"), 0, 0.05, ""),
            with(
                row("stem-to-guide-clearance", "mm", 0.0411, Some(0.025), Some(0.065), "conforms"),
                0,
                0.003,
                "middle, axis 2",
            ),
            with(row("seat-load", "N", 248.3, Some(225.0), None, "conforms"), 3, 3.5, "spring 1"),
            with(row("open-load", "N", 512.37, None, None, "no-limit"), 9, 4.4, "spring 1"),
            with(row("leak-rate", "Pa.m3/s", 0.002_266_67, None, Some(0.003), "conforms"), 0, 0.000_21, ""),
            in_order("keeper-groove", true),
        ];
        let runout = if bad { 0.071 } else { 0.032 };
        let verdict = if bad { "does-not-conform" } else { "conforms" };
        let mut runout = with(row("seat-runout", "mm", runout, None, Some(0.05), verdict), 0, 0.006, "");
        if bad {
            runout.detail = Some(
                "From 8 readings: first harmonic 0.031 mm, second 0.006 mm. The seat stands off its guide; \
                 measure the guide before cutting."
                    .into(),
            );
        }
        rows.insert(1, runout);
        if n % 7 == 3 {
            rows[2] = with(row("seat-angle", "deg", 45.46, Some(44.5), Some(45.5), "not-proven"), 0, 0.2, "");
            rows[2].detail =
                Some("Too close to the upper limit for this gauge to prove; measure better.".into());
        }
        if n == 1 {
            let mut margin = row("valve-margin", "mm", 0.0, Some(0.8), None, "not-measured");
            (margin.measured, margin.deviation) = (None, None);
            margin.reason = "readings-absent".into();
            margin.detail = Some("The margin was not posted.".into());
            rows.push(margin);
        }
        let gravest = ["does-not-conform", "not-measured", "not-proven", "conforms"];
        let verdict = gravest.into_iter().find(|verdict| rows.iter().any(|row| row.verdict == *verdict));
        PortRows { cylinder, service, index, verdict: verdict.unwrap_or("no-limit").into(), rows }
    }
}

fn row(
    characteristic: &'static str,
    unit: &'static str,
    measured: f64,
    lower: Option<f64>,
    upper: Option<f64>,
    verdict: &'static str,
) -> Row {
    let beyond = [lower.map(|limit| limit - measured), upper.map(|limit| measured - limit)];
    Row {
        characteristic: characteristic.into(),
        unit: Some(unit.into()),
        place: None,
        measured: Some(measured),
        in_order: None,
        lower,
        upper,
        deviation: beyond.into_iter().flatten().reduce(f64::max),
        expanded_uncertainty: None,
        budget: Vec::new(),
        conformance_probability: None,
        verdict: verdict.into(),
        reason: "inside".into(),
        detail: None,
        detail_says: None,
        limit: None,
    }
}

fn with(mut row: Row, limit: usize, uncertainty: f64, place: &str) -> Row {
    row.limit = (row.verdict != "no-limit").then_some(limit);
    row.expanded_uncertainty = Some(uncertainty);
    row.place = (!place.is_empty()).then(|| place.to_owned());
    row.conformance_probability = match row.verdict.as_ref() {
        "conforms" => Some(0.994),
        "not-proven" => Some(0.871),
        "does-not-conform" => Some(0.0002),
        _ => None,
    };
    row
}

fn in_order(characteristic: &'static str, good: bool) -> Row {
    let verdict = if good { "conforms" } else { "does-not-conform" };
    let mut row = row(characteristic, "1", 0.0, None, None, verdict);
    (row.unit, row.measured, row.in_order, row.limit) = (None, None, Some(good), Some(0));
    row
}

/// Turns every limited row into one that conforms.
fn clean(evaluation: &mut Evaluation) {
    let ports = evaluation.ports.iter_mut().flat_map(|port| {
        port.verdict = "conforms".into();
        &mut port.rows
    });
    let cylinders = evaluation.cylinders.iter_mut().flat_map(|cylinder| &mut cylinder.rows);
    for row in
        evaluation.head.iter_mut().chain(cylinders).chain(ports).filter(|row| row.verdict != "no-limit")
    {
        (row.verdict, row.detail) = ("conforms".into(), None);
        row.in_order = row.in_order.map(|_| true);
    }
    evaluation.findings.clear();
}

/// Tally, reasons and headline from the rows.
fn count(evaluation: &mut Evaluation) {
    let mut reasons = Vec::new();
    let mut tally = evaluation.tally;
    let cylinders = evaluation.cylinders.iter().map(|c| (format!("cylinder {}", c.cylinder), &c.rows));
    let ports = evaluation.ports.iter().map(|p| {
        let service = if p.service == Service::Intake { "intake" } else { "exhaust" };
        (format!("cylinder {} {service} {}", p.cylinder, p.index), &p.rows)
    });
    for (subject, rows) in
        std::iter::once(("head".to_owned(), &evaluation.head)).chain(cylinders).chain(ports)
    {
        for row in rows {
            let call = match row.verdict.as_ref() {
                "conforms" => {
                    tally.conforms += 1;
                    None
                }
                "does-not-conform" => {
                    tally.does_not_conform += 1;
                    Some(("rework", format!("{} is above its upper limit", row.characteristic)))
                }
                "not-proven" => {
                    tally.not_proven += 1;
                    Some((
                        "incomplete",
                        format!(
                            "{}: too close to the limit for this gauge to prove; measure better",
                            row.characteristic
                        ),
                    ))
                }
                "not-measured" => {
                    tally.not_measured += 1;
                    Some(("incomplete", format!("{}: not given: margin of the valve", row.characteristic)))
                }
                _ => {
                    tally.no_limit += 1;
                    None
                }
            };
            reasons.extend(call.map(|(disposition, text)| ReasonLine {
                disposition: disposition.into(),
                subject: subject.clone(),
                characteristic: Some(row.characteristic.clone()),
                text,
                says: None,
            }));
        }
    }
    reasons.sort_by_key(|reason| reason.disposition != "rework");
    let limited = tally.conforms + tally.does_not_conform + tally.not_proven + tally.not_measured;
    evaluation.headline = format!(
        "Needs rework. Conforms to profile demo-irrigation revision 3 on {} of {limited} characteristics; {} outside; {} not proven; not measured: margin ({}).",
        tally.conforms, tally.does_not_conform, tally.not_proven, tally.not_measured
    );
    evaluation.tally = tally;
    evaluation.reasons = reasons;
}

/// A head of which every text is as long as a document allows, or longer.
pub(crate) fn documents_of_everything_long() -> Documents {
    let words = "a long but breakable text of the shop about nothing in particular ".repeat(8);
    let solid = "UNBREAKABLE-".to_owned() + &"0123456789ABCDEF".repeat(12);
    let mut documents = Specimen { cylinders: 5, intake: 3, ..Specimen::default() }.documents();
    let Documents { set, profile, evaluation, .. } = &mut documents;
    set.head.serial.clone_from(&solid);
    set.head.casting = Some(solid.clone());
    set.head.engine_family = Some(words.clone());
    set.job.number.clone_from(&solid);
    set.job.measured_by.clone_from(&solid);
    set.job.bench = Some(solid.clone());
    set.job.cutter = Some(words.clone());
    if let Some(customer) = &mut set.customer {
        customer.name.clone_from(&words);
        customer.reference = Some(solid.clone());
    }
    for instrument in &mut set.instruments {
        instrument.id.clone_from(&solid);
        instrument.description.clone_from(&words);
        instrument.calibration_due = Some(solid.clone());
    }
    for port in &mut set.ports {
        if let Some(valve) = &mut port.valve {
            valve.tag = Some(solid.clone());
        }
    }
    profile.title.clone_from(&words);
    profile.notice = Some(words.repeat(3));
    for limit in &mut profile.limits {
        limit.source = format!("{} {words}", limit.source);
    }
    evaluation.profile.id = solid[..80].to_owned();
    evaluation.headline = format!("Incomplete: not everything was measured. {}", words.repeat(2));
    for finding in &mut evaluation.findings {
        finding.text = words.repeat(20);
        finding.pointers = (0..200).map(|n| format!("/deck/heights/points/{n}/z")).collect();
    }
    for reason in evaluation.reasons.iter_mut().take(3) {
        reason.text.clone_from(&words);
    }
    for row in evaluation.ports.iter_mut().flat_map(|port| &mut port.rows).step_by(9) {
        row.place = Some(solid[..60].to_owned());
        row.detail = Some(words.clone());
        row.measured = Some(-123_456.789_012_3);
        row.expanded_uncertainty = Some(f64::NAN);
    }
    documents
}
