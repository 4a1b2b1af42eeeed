//! The first page: verdict, sign-off, reasons, findings, who and what, and the plan view.

use crate::document::Placed;
use crate::flow::{Extent, Flow, LEFT};
use crate::identity::Identity;
use crate::plan_view::PlanView;
use crate::reasons::{findings, reasons};
use crate::sign_off::Block;
use crate::table::Table;
use crate::text::Style;
use crate::{SheetError, SheetInput, verdict_block};

/// What a heading takes.
const HEADING: f32 = 13.0;
/// What three reasons take with their heading and the line that there are more.
const THREE_REASONS: f32 = 38.0;

/// What one finding takes with its heading and the line that there are more.
const ONE_FINDING: f32 = 33.0;

/// A list that may have to go on over the page.
struct List {
    /// The message that says how many more there are.
    more: &'static str,
    table: Table,
    shown: usize,
}

impl List {
    const fn new(more: &'static str, table: Table) -> Self {
        Self { more, table, shown: 0 }
    }

    fn need(&self) -> f32 {
        if self.table.lines.is_empty() { 0.0 } else { HEADING + self.table.height() }
    }

    fn rest(&self) -> usize {
        self.table.lines.len() - self.shown
    }

    /// Draws what fits a height and says how much does not.
    fn draw_within(&mut self, flow: &mut Flow, height: f32) {
        if self.table.lines.is_empty() {
            return;
        }
        let height = height.min(flow.room());
        let all = self.need() <= height;
        let rest = self.table.lines.split_off(if all {
            self.table.lines.len()
        } else {
            self.table.lines_within(height - HEADING - Style::BODY.leading() - 1.0)
        });
        self.shown = self.table.lines.len();
        let extent = if rest.is_empty() { Extent::Whole } else { Extent::InPart };
        flow.heading_of(extent, &self.table.caption, 0.0);
        if self.shown > 0 {
            self.table.draw(flow);
        }
        if !rest.is_empty() {
            flow.y += 1.0;
            let text = flow.say().with(self.more, &[("count", rest.len().into())]);
            flow.paragraph(Style::STRONG, LEFT, flow.measure(), &text);
        }
        self.table.lines.extend(rest);
    }

    fn draw_rest(&mut self, flow: &mut Flow) {
        self.table.lines.drain(..self.shown);
        self.shown = 0;
        if !self.table.lines.is_empty() {
            flow.heading_of(Extent::Continued, &self.table.caption, self.table.least_height());
            self.table.draw(flow);
        }
    }
}

/// Draws it, and the rest of its lists on the page after it; tells where the sign-off stands, if there is one.
///
/// # Errors
/// Those of [`Block::new`].
pub(crate) fn draw(flow: &mut Flow, input: &SheetInput<'_>) -> Result<Option<Placed>, SheetError> {
    let measure = flow.measure();
    verdict_block::draw(flow, input.evaluation);
    let block = input.sign_off.map(|sign_off| Block::new(sign_off, measure, input.say())).transpose()?;
    let identity = Identity::new(input, measure);
    let mut plan = PlanView::new(&input.set.layout, input.evaluation, measure, input.say());
    let mut reasons = List::new("more-reasons", reasons(input, measure));
    let mut findings = List::new("more-findings", findings(input, measure));
    let need = reasons.need() + findings.need();
    let least = reasons.need().min(THREE_REASONS) + findings.need().min(ONE_FINDING);
    let signed_at = block.map(|mut block| {
        block.shrink_to(flow.room() - identity.height() - least, input.say());
        block.draw(flow)
    });

    // The plan view shrinks a little so that the lists fit; where that is not enough it makes way.
    let room = flow.room() - identity.height();
    let natural = plan.height();
    plan.shrink_to((room - need).max(0.0));
    let plan_stays = room - plan.height() >= least;
    if !plan_stays {
        plan.shrink_to(natural);
    }
    let budget = (room - if plan_stays { plan.height() } else { 0.0 }).max(least);
    let for_findings = findings.need().min((budget - reasons.need()).max(budget * 0.4).max(ONE_FINDING));
    let start = flow.y;
    reasons.draw_within(flow, budget - for_findings);
    findings.draw_within(flow, budget - (flow.y - start));
    if plan_stays {
        plan.draw(flow);
    }
    identity.draw(flow);
    if reasons.rest() + findings.rest() > 0 {
        flow.new_page();
    }
    reasons.draw_rest(flow);
    findings.draw_rest(flow);
    if !plan_stays {
        // With its heading on a page of its own at the most: a heading alone points at nothing.
        plan.shrink_to(plan.height().min(flow.full_room() - HEADING));
        flow.heading(input.say().text("plan-view"), plan.height());
        plan.draw(flow);
    }
    Ok(signed_at)
}
