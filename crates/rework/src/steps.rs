//! The work in the order of the bench.

use headproof_head::{
    Camshaft, CharacteristicId, Cut, CutKind, DeckCut, Effect, InsertMaterial, Lifter, MeasurementSet, Port,
    PortPlan, PortStatus, Step, StepCaution, Subject, Work,
};
use headproof_judge::high_side;
use headproof_quantity::Length;

use crate::course::face_is_treated;
use crate::deck::DeckState;
use crate::grid::length;
use crate::moved::Moved;

/// Everything the steps are written from.
pub(crate) struct Bench<'a> {
    pub(crate) set: &'a MeasurementSet,
    pub(crate) ports: &'a [PortPlan],
    pub(crate) deck: Option<DeckCut>,
    pub(crate) deck_state: DeckState,
    pub(crate) unpredictable: &'a [CharacteristicId],
}

type Steps = Vec<Step>;

fn step(plan: &PortPlan, work: Work, cautions: Vec<StepCaution>) -> Step {
    Step { subject: Subject::Port(plan.port), work, cautions }
}

impl Bench<'_> {
    /// Guides, then measuring again; inserts; the deck; seats; faces; tips; each valve to its seat and its
    /// marking; leaks; springs and lash; and what to measure when all is done.
    pub(crate) fn steps(&self) -> Steps {
        let mut steps = Steps::new();
        self.measure_first(&mut steps);
        self.guides(&mut steps);
        self.each(&mut steps, Self::insert);
        self.deck(&mut steps);
        self.each(&mut steps, Self::seat);
        self.each(&mut steps, Self::face);
        self.each(&mut steps, Self::tip);
        self.each(&mut steps, Self::marking);
        self.each(&mut steps, Self::leaks);
        self.each(&mut steps, Self::springs);
        self.each(&mut steps, Self::lash);
        self.each(&mut steps, Self::measure_again);
        if self.deck.is_some() {
            let again = ["deck-flatness", "deck-roughness", "head-thickness", "chamber-volume"];
            let work = Work::MeasureAgain(again.map(CharacteristicId::new).to_vec());
            steps.push(Step { subject: Subject::Head, work, cautions: Vec::new() });
        }
        steps
    }

    fn each(&self, steps: &mut Steps, of_port: fn(&Self, &PortPlan, &Port, &mut Steps)) {
        for plan in self.ports.iter().filter(|plan| plan.status == PortStatus::Planned) {
            if let Some(port) = self.set.port(plan.port) {
                of_port(self, plan, port, steps);
            }
        }
    }

    fn measure_first(&self, steps: &mut Steps) {
        if self.deck_state.waits_for_cam_bores {
            let bores = CharacteristicId::new("cam-bore-straightness");
            let work = Work::MeasureFirst(vec![bores]);
            steps.push(Step { subject: Subject::Head, work, cautions: Vec::new() });
        }
        for plan in self.ports.iter().filter(|plan| plan.status == PortStatus::MeasureFirst) {
            steps.push(step(plan, Work::MeasureFirst(plan.needs.clone()), Vec::new()));
        }
    }

    fn guides(&self, steps: &mut Steps) {
        let of_the_axis = [Moved::SeatRunout, Moved::SeatWidth, Moved::OuterDiameter].map(Moved::id).to_vec();
        for plan in self.ports.iter().filter(|plan| plan.status == PortStatus::GuideFirst) {
            steps.push(step(plan, Work::RenewGuide, vec![StepCaution::AxisMoves, StepCaution::HotAndCold]));
            steps.push(step(plan, Work::MeasureAgain(of_the_axis.clone()), Vec::new()));
        }
    }

    fn insert(&self, plan: &PortPlan, port: &Port, steps: &mut Steps) {
        if let Some(id) = plan.new_insert() {
            let mut cautions = vec![StepCaution::HotAndCold];
            cautions.extend(is_beryllium(port).then_some(StepCaution::BerylliumCopper));
            steps.push(step(plan, Work::FitInsert(id.to_owned()), cautions));
        }
    }

    fn deck(&self, steps: &mut Steps) {
        if let Some(cut) = self.deck {
            let timing = self.set.layout.camshaft == Camshaft::Overhead;
            let cautions = timing.then_some(StepCaution::CamTiming).into_iter();
            let cautions = cautions.chain([StepCaution::EyesAndSkin]).collect();
            steps.push(Step { subject: Subject::Head, work: Work::CutDeck(cut), cautions });
        }
    }

    fn seat(&self, plan: &PortPlan, port: &Port, steps: &mut Steps) {
        let Some(seat) = &plan.seat else { return };
        for cut in &seat.cuts {
            let first = matches!(cut.kind, CutKind::Seat | CutKind::Form);
            let turned = port.seat.runout.as_ref().filter(|_| first && plan.new_insert().is_none());
            let high_side = turned.and_then(high_side);
            let cautions = if first { self.seat_cautions(plan, port) } else { Vec::new() };
            let cut: Cut = cut.clone();
            steps.push(step(plan, Work::CutSeat { cut, high_side }, cautions));
        }
    }

    fn seat_cautions(&self, plan: &PortPlan, port: &Port) -> Vec<StepCaution> {
        let mut cautions = vec![StepCaution::EyesAndSkin];
        if port.seat.insert.is_some() && plan.new_insert().is_none() {
            cautions.extend(is_beryllium(port).then_some(StepCaution::BerylliumCopper));
            cautions.push(StepCaution::ThinInsert);
        }
        cautions
    }

    fn face(&self, plan: &PortPlan, port: &Port, steps: &mut Steps) {
        let Some(stock) = plan.face_grind else { return };
        let margin = after(plan, Moved::Margin);
        let mut cautions = vec![StepCaution::EyesAndSkin];
        if face_is_treated(&port.valve) {
            cautions.push(StepCaution::TreatedFace);
        }
        steps.push(step(plan, Work::GrindFace { stock, margin }, cautions));
    }

    fn tip(&self, plan: &PortPlan, _: &Port, steps: &mut Steps) {
        let Some(stock) = plan.tip_grind else { return };
        let protrusion = after(plan, Moved::Protrusion);
        steps.push(step(plan, Work::GrindTip { stock, protrusion }, vec![StepCaution::EyesAndSkin]));
    }

    fn marking(&self, plan: &PortPlan, port: &Port, steps: &mut Steps) {
        let spare = plan.new_valve().map(str::to_owned);
        let touched = plan.seat.is_some() || plan.face_grind.is_some() || spare.is_some();
        if !touched {
            return;
        }
        let fresh = spare.is_some();
        let tag = port.valve.tag.clone().filter(|_| !fresh);
        let mut cautions = Vec::new();
        if fresh && port.valve.sodium_filled {
            // The old one goes to scrap.
            cautions.push(StepCaution::SodiumStem);
        }
        steps.push(step(plan, Work::FitValve { tag, spare }, cautions));
        let width =
            plan.seat.as_ref().map(|seat| seat.width.size).or_else(|| after(plan, Moved::ContactWidth));
        if let Some(width) = width {
            let from_edge = after(plan, Moved::Overhang);
            let treated = face_is_treated(&port.valve);
            let cautions = treated.then_some(StepCaution::TreatedFace).into_iter().collect();
            steps.push(step(plan, Work::CheckMarking { from_edge, width }, cautions));
        }
    }

    fn leaks(&self, plan: &PortPlan, _: &Port, steps: &mut Steps) {
        if sealing_changes(plan) {
            steps.push(step(plan, Work::TestForLeaks, Vec::new()));
        }
    }

    fn springs(&self, plan: &PortPlan, _: &Port, steps: &mut Steps) {
        if !sealing_changes(plan) && plan.tip_grind.is_none() && plan.shims.is_empty() {
            return;
        }
        let spare = plan.new_springs().map(str::to_owned);
        let installed_height = after(plan, Moved::InstalledHeight);
        let work = Work::FitSprings { spare, shims: plan.shims.clone(), installed_height };
        steps.push(step(plan, work, vec![StepCaution::StoredEnergy]));
    }

    fn lash(&self, plan: &PortPlan, port: &Port, steps: &mut Steps) {
        let tight = vec![StepCaution::TightLash];
        if let Some(thickness) = plan.lash_shim {
            let lash = after(plan, Moved::Lash);
            steps.push(step(plan, Work::FitLashShim { thickness, lash }, tight));
        } else if self.set.layout.lifter == Lifter::Adjustable && port.assembly.lash.is_some() {
            steps.push(step(plan, Work::SetLash, tight));
        }
    }

    fn measure_again(&self, plan: &PortPlan, _: &Port, steps: &mut Steps) {
        let mut again: Vec<CharacteristicId> =
            plan.effects.iter().map(|effect: &Effect| effect.characteristic).collect();
        if sealing_changes(plan) {
            again.extend(self.unpredictable);
        }
        if !again.is_empty() {
            steps.push(step(plan, Work::MeasureAgain(again), Vec::new()));
        }
    }
}

/// Is anything done after which valve and seat have to show anew that they seal?
fn sealing_changes(plan: &PortPlan) -> bool {
    plan.seat.is_some() || plan.face_grind.is_some() || !plan.new_parts.is_empty()
}

fn is_beryllium(port: &Port) -> bool {
    port.seat.insert.as_ref().is_some_and(|insert| insert.material == Some(InsertMaterial::BerylliumCopper))
}

/// What a characteristic is aimed at.
fn after(plan: &PortPlan, moved: Moved) -> Option<Length> {
    let effect = plan.effects.iter().find(|effect| effect.characteristic == moved.id())?;
    Some(length(effect.after.to_f64()))
}
