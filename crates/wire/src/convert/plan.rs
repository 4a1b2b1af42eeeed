//! The rework plan as a document.

mod amounts;
mod bounds;
mod headline;
mod ports;
mod steps;
mod words;

use std::borrow::Cow;

use headproof_head as head;
use headproof_quantity::{Kind, Length, Rounded};

use self::amounts::Amounts;
use self::words::told;
use super::evaluation::{digits, evaluation_document, profile_ref};
use super::phrases::{said, title};
use super::written::set_document;
use crate::{
    BeyondPlan, MeasureAgain, PlanDeckCut, PlanSearch, PlanStep, PlanTotals, Prediction, ReworkPlan, Units,
};

/// The format line of a rework plan.
const FORMAT: &str = "headproof/rework-plan/1";

/// The format line of readings that nobody read.
const PREDICTED: &str = "headproof/predicted-set/1";

/// A plan as a document: amounts in base units, each rounded once; sentences in `units`, which are those of
/// the posted set.
#[must_use]
pub fn plan_document(
    plan: &head::Plan,
    set: &head::MeasurementSet,
    profile: &head::TargetProfile,
    units: Units,
) -> ReworkPlan {
    let amounts = Amounts::new(units);
    let (headline, headline_says) = said(headline::headline(plan, profile));
    let (assumptions, assumptions_say) = told(plan.assumptions.iter().map(|one| words::assumption(*one)));
    ReworkPlan {
        format: FORMAT.to_owned(),
        head_serial: set.head.serial.clone(),
        job_number: set.job.number.clone(),
        stage: set.job.stage.into(),
        measurement_set_digest: None,
        profile: profile_ref(profile),
        workshop: None,
        objective: Cow::Borrowed(words::objective(plan.objective)),
        outcome: Cow::Borrowed(words::outcome(plan.outcome)),
        headline,
        headline_says: Some(headline_says),
        totals: totals(plan.totals),
        search: search(plan.search),
        assumptions,
        assumptions_say,
        ports: plan.ports.iter().map(|port| ports::port(port, amounts)).collect(),
        deck: plan.deck.map(|cut| PlanDeckCut { depth: mm(cut.depth), needed: mm(cut.needed) }),
        conflict: plan.conflict.as_ref().map(|conflict| bounds::conflict(conflict, amounts)),
        beyond: plan.beyond.iter().map(|(subject, id)| beyond(*subject, *id)).collect(),
        steps: (1..).zip(&plan.steps).map(|(number, one)| step(number, one, plan, amounts)).collect(),
        measure_again: plan.steps.iter().filter_map(measure_again).collect(),
        predicted: plan.proof.as_ref().map(|proof| Box::new(prediction(proof, profile, units))),
    }
}

/// A length in mm on the grid of lengths, which also keeps it within the digits a number on the wire may
/// have.
fn mm(length: Length) -> f64 {
    Rounded::from_exact(length.exact(), Kind::Length).map_or_else(|| length.exact().to_f64(), Rounded::to_f64)
}

fn totals(totals: head::Totals) -> PlanTotals {
    let hundredths = |number: f64| (number * 100.0).round() / 100.0;
    PlanTotals {
        ports: totals.ports,
        sink: totals.sink.to_f64(),
        new_parts: totals.new_parts,
        shims: totals.shims,
        minutes: hundredths(totals.minutes),
        cost: hundredths(totals.cost),
    }
}

fn search(search: head::Search) -> PlanSearch {
    let known = |number: Option<f64>| number.map(|number| digits(number, 9));
    PlanSearch {
        proved_best: search.proved_best,
        objective: known(search.objective),
        gap: known(search.gap),
        nodes: search.nodes,
        limit_hit: search.limit_hit,
        joined: search.joined,
    }
}

fn beyond(subject: head::Subject, id: head::CharacteristicId) -> BeyondPlan {
    let (text, says) = said(head::Phrase::with("plan-beyond", "what", title(id)));
    BeyondPlan {
        subject: subject.to_string(),
        characteristic: Cow::Borrowed(id.as_str()),
        text,
        says: Some(says),
    }
}

fn step(number: u32, step: &head::Step, plan: &head::Plan, amounts: Amounts) -> PlanStep {
    let port = match step.subject {
        head::Subject::Port(id) => plan.ports.iter().find(|port| port.port == id),
        _ => None,
    };
    let seat = port.and_then(|port| port.seat.as_ref());
    let (what, after) = steps::sentences(step, seat, amounts);
    let ((text, says), (check, check_says)) = (said(what), said(after));
    let (cautions, cautions_say) = told(step.cautions.iter().map(|one| words::caution(*one)));
    let (cut, high_side) = match &step.work {
        head::Work::CutSeat { cut, high_side } => (Some(ports::cut(cut)), high_side.map(degrees_on)),
        _ => (None, None),
    };
    PlanStep {
        number,
        subject: step.subject.to_string(),
        operation: Cow::Borrowed(words::operation(&step.work)),
        text,
        says: Some(says),
        check,
        check_says: Some(check_says),
        cautions,
        cautions_say,
        cut,
        high_side,
    }
}

/// A direction in tenths of a degree as degrees from 0 to below 360.
fn degrees_on(tenths: i16) -> f64 {
    f64::from(tenths.rem_euclid(3600)) / 10.0
}

fn measure_again(step: &head::Step) -> Option<MeasureAgain> {
    let head::Work::MeasureAgain(ids) = &step.work else { return None };
    Some(MeasureAgain {
        subject: step.subject.to_string(),
        characteristics: ids.iter().map(|id| Cow::Borrowed(id.as_str())).collect(),
    })
}

fn prediction(proof: &head::Proof, profile: &head::TargetProfile, units: Units) -> Prediction {
    let mut evaluation = evaluation_document(&proof.evaluation, &proof.predicted, profile);
    let (headline, headline_says) = said(headline::predicted(proof, profile));
    (evaluation.headline, evaluation.headline_says) = (headline, Some(headline_says));
    let (notice, notice_says) = said(head::Phrase::plain("plan-predicted-notice"));
    Prediction {
        notice,
        notice_says: Some(notice_says),
        measurement_set: set_document(&proof.predicted, units, PREDICTED),
        evaluation,
        unpredictable: proof.unpredictable.iter().map(|id| Cow::Borrowed(id.as_str())).collect(),
    }
}
