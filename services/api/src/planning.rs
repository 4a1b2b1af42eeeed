//! Rework plans, each made when its turn has come.

use headproof_head::{self as head, MeasurementSet, Plan, TargetProfile};
use headproof_rework::Effort;
use headproof_wire::{ReworkPlan, Units, Workshop, plan_document};

use crate::ApiError;
use crate::turns::Turns;

static TURNS: Turns = Turns::of("plans");

/// What a plan is made from.
pub(crate) struct Task {
    /// The head as it is.
    pub(crate) set: MeasurementSet,
    /// What it shall conform to.
    pub(crate) profile: TargetProfile,
    /// With what means.
    pub(crate) workshop: head::Workshop,
    /// These means as they were posted.
    pub(crate) means: Option<Workshop>,
    /// The units of its sentences.
    pub(crate) units: Units,
}

impl Task {
    /// Makes the plan, on this thread.
    pub(crate) fn perform(&self) -> ReworkPlan {
        let plan = best(&self.set, &self.profile, &self.workshop);
        plan_document(&plan, &self.set, &self.profile, self.units).made_with(self.means.clone())
    }
}

/// The planner, with as much effort as it takes by itself.
fn best(set: &MeasurementSet, profile: &TargetProfile, workshop: &head::Workshop) -> Plan {
    headproof_rework::plan(set, profile, workshop, Effort::default())
}

/// Makes a plan on a thread of its own, when its turn has come.
///
/// # Errors
/// [`crate::ProblemKind::Unavailable`] when its turn does not come soon enough.
pub(crate) async fn plan(task: Task) -> Result<ReworkPlan, ApiError> {
    TURNS.make(move || task.perform()).await
}
