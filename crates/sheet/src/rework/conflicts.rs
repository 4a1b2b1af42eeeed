//! Where there is no plan: which bounds fight each other, and what would free them.

use headproof_wire::{PlanBound, PlanConflict, PortPlan};

use super::{NAME, Part, STRONG, draw_item, item_height, words};
use crate::canvas::{Ink, Pen};
use crate::flow::{Flow, LEFT};

const BETWEEN: &str = "These cannot all be met; without any one of them the others can:";
const FIRST: &str = "These cannot all be met; one of them at least has to give way:";
const APART: &str = "Apart from that, neither can all of these; of them, too, one has to give way:";
const FREED: &str = "Each of these would free it; each was tried and leads to a plan:";
const NOT_FREED: &str = "Nothing that was tried frees it.";
const UNKNOWN: &str = "No plan was found; which bounds fight each other is not known.";

const INDENT: f32 = 4.0;
const GAP: f32 = 0.9;

/// Draws all of them; nothing where there is none.
pub(super) fn draw(flow: &mut Flow, part: &Part<'_>) {
    let without = |port: &&PortPlan| port.status == "no-plan" || port.conflict.is_some();
    let ports: Vec<&PortPlan> = part.plan.ports.iter().filter(without).collect();
    if ports.is_empty() && part.plan.conflict.is_none() {
        return;
    }
    flow.heading("Where there is no plan", 40.0);
    let head = part.plan.conflict.as_ref().map(|conflict| ("The head as a whole".to_owned(), Some(conflict)));
    let ports = ports.into_iter().map(|port| (words::name_of(port), port.conflict.as_ref()));
    for (n, (name, conflict)) in head.into_iter().chain(ports).enumerate() {
        draw_one(flow, &name, conflict, n == 0);
    }
}

/// A sentence and what it speaks of.
type List<'a> = (&'static str, Vec<&'a str>);

/// The bounds that fight each other, then what frees them.
fn lists(conflict: Option<&PlanConflict>) -> Vec<List<'_>> {
    let Some(conflict) = conflict.filter(|conflict| !conflict.between.is_empty()) else {
        return vec![(UNKNOWN, Vec::new())];
    };
    let alone = conflict.apart.is_empty();
    let mut lists = vec![(if alone { BETWEEN } else { FIRST }, texts(&conflict.between))];
    lists.extend(conflict.apart.iter().map(|bounds| (APART, texts(bounds))));
    lists.push(if conflict.freed_by.is_empty() {
        (NOT_FREED, Vec::new())
    } else {
        (FREED, conflict.freed_by.iter().map(|way| way.text.as_str()).collect())
    });
    lists
}

fn texts(bounds: &[PlanBound]) -> Vec<&str> {
    bounds.iter().map(|bound| bound.text.as_str()).collect()
}

/// Draws one of them; the first has the rule of the heading over it.
fn draw_one(flow: &mut Flow, name: &str, conflict: Option<&PlanConflict>, first: bool) {
    let width = flow.measure();
    let lists = lists(conflict);
    let items = lists.iter().flat_map(|(_, texts)| texts).map(|text| item_height(width - INDENT, text));
    let height = items.sum::<f32>() + lists.len() as f32 * (STRONG.leading() + GAP);
    if !flow.ensure(height + NAME.leading() + 4.0) && !first {
        let (y, right) = (flow.y + 2.0, flow.right());
        flow.canvas().line(Pen::new(Ink::Pale, 0.5), &[(LEFT, y), (right, y)]);
        flow.y = y + 2.0;
    }
    flow.canvas().structure.open_heading(4);
    flow.paragraph(NAME, LEFT, width, name);
    flow.canvas().structure.close();
    for (sentence, texts) in lists {
        flow.y += GAP;
        flow.paragraph(STRONG, LEFT, width, sentence);
        for text in texts {
            draw_item(flow, LEFT + INDENT, width - INDENT, text);
        }
    }
}
