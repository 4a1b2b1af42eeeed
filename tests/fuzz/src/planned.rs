//! What any rework plan promises.

use std::sync::LazyLock;

use headproof_head::{MeasurementSet, PortStatus, Row, TargetProfile, Verdict, Workshop};
use headproof_rework::{Effort, plan};
use headproof_wire::{At, Units, examples, plan_document, read, workshop};

/// The shop of the demo: it can do everything there is to do.
static SHOP: LazyLock<Workshop> = LazyLock::new(|| {
    let document = read(examples::WORKSHOP.text.as_bytes()).expect("the shop of the demo is read");
    workshop(&document, &At::Root).expect("the shop of the demo has no fault")
});

/// A search of a few branches: what is looked for here lies elsewhere.
const BRIEF: Effort = Effort { nodes: 20 };

/// Would a row keep the head from being accepted? One that is not required may go unmeasured or unproven.
fn is_amiss(row: &Row) -> bool {
    row.limit.is_some()
        && match row.verdict {
            Verdict::DoesNotConform => true,
            Verdict::NotProven | Verdict::NotMeasured => row.required,
            Verdict::Conforms | Verdict::NoLimit => false,
        }
}

/// Plans the rework of a head and holds the plan against what any plan promises.
///
/// # Panics
/// When a promise is broken.
pub(crate) fn plan_promises(set: &MeasurementSet, profile: &TargetProfile, units: Units) {
    let plan = plan(set, profile, &SHOP, BRIEF);
    assert_eq!(plan.ports.len(), set.layout.ports().count(), "a port without an answer");
    for port in &plan.ports {
        match port.status {
            PortStatus::Planned => {
                let proof = plan.proof.as_ref().expect("what is planned is proved");
                let rows = proof.evaluation.ports.iter().find(|rows| rows.port == port.port);
                let rows = rows.expect("what is planned is judged");
                let amiss = rows.rows.iter().find(|row| is_amiss(row));
                assert!(amiss.is_none(), "{} does not conform: {amiss:?}", port.port);
            }
            PortStatus::NoPlan => assert!(port.conflict.is_some(), "{}: no plan and no reason", port.port),
            PortStatus::NothingToDo | PortStatus::GuideFirst | PortStatus::MeasureFirst => {
                assert!(port.seat.is_none(), "{}: cut before its turn", port.port);
            }
        }
    }
    let document = plan_document(&plan, set, profile, units);
    assert!(document.steps.iter().all(|step| !step.text.contains("NaN")), "a step without a number");
    serde_json::to_vec(&document).expect("a plan is JSON");
}
