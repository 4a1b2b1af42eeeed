//! Where there is no plan: which bounds fight each other, and what would free them.

use headproof_texts::Say;
use headproof_wire::{PlanBound, PlanConflict, PortPlan};

use super::{NAME, Part, STRONG, draw_item, item_height, words};
use crate::canvas::{Ink, Pen};
use crate::flow::{Flow, LEFT};
use crate::said::said;

const INDENT: f32 = 4.0;
const GAP: f32 = 0.9;

/// Draws all of them; nothing where there is none.
pub(super) fn draw(flow: &mut Flow, part: &Part<'_>) {
    let without = |port: &&PortPlan| port.status == "no-plan" || port.conflict.is_some();
    let ports: Vec<&PortPlan> = part.plan.ports.iter().filter(without).collect();
    if ports.is_empty() && part.plan.conflict.is_none() {
        return;
    }
    let say = part.say();
    flow.heading(say.text("plan-where-no-plan"), 40.0);
    let head = part.plan.conflict.as_ref().map(|conflict| (part.subject("head"), Some(conflict)));
    let ports = ports.into_iter().map(|port| (words::name_of(port, say), port.conflict.as_ref()));
    for (n, (name, conflict)) in head.into_iter().chain(ports).enumerate() {
        draw_one(flow, &name, conflict, n == 0);
    }
}

/// A sentence and what it speaks of.
type List = (&'static str, Vec<String>);

/// The bounds that fight each other, then what frees them.
fn lists(conflict: Option<&PlanConflict>, say: Say) -> Vec<List> {
    let Some(conflict) = conflict.filter(|conflict| !conflict.between.is_empty()) else {
        return vec![(say.text("plan-conflict-unknown"), Vec::new())];
    };
    let between = if conflict.apart.is_empty() { "plan-conflict-between" } else { "plan-conflict-first" };
    let mut lists = vec![(say.text(between), texts(&conflict.between, say))];
    let apart = say.text("plan-conflict-apart");
    lists.extend(conflict.apart.iter().map(|bounds| (apart, texts(bounds, say))));
    let ways = conflict.freed_by.iter().map(|way| said(&way.text, way.says.as_ref(), say));
    let freed = if conflict.freed_by.is_empty() { "plan-conflict-not-freed" } else { "plan-conflict-freed" };
    lists.push((say.text(freed), ways.collect()));
    lists
}

fn texts(bounds: &[PlanBound], say: Say) -> Vec<String> {
    bounds.iter().map(|bound| said(&bound.text, bound.says.as_ref(), say)).collect()
}

/// Draws one of them; the first has the rule of the heading over it.
fn draw_one(flow: &mut Flow, name: &str, conflict: Option<&PlanConflict>, first: bool) {
    let width = flow.measure();
    let lists = lists(conflict, flow.say());
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
            draw_item(flow, LEFT + INDENT, width - INDENT, &text);
        }
    }
}
