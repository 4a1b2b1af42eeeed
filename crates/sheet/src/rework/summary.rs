//! What a plan comes to, what it takes, and how good it is.

use headproof_wire::{PlanTotals, PortPlan};

use super::{LARGER, Part, STRONG, TEXT, draw_about, extras, words};
use crate::canvas::{Ink, Pen};
use crate::face::Face;
use crate::flow::{BAR_ROOM, Flow, LEFT};
use crate::format::{as_written, number};
use crate::said::said;
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::text::{Style, wrap};
use crate::words::{sentence, stage};

const TITLE: Style = Style::new(Face::Bold, 20.0);
const HEADLINE: Style = Style::new(Face::NarrowBold, 12.0);
const FIGURE: Style = Style::new(Face::NarrowBold, 14.0);

/// Draws it.
pub(super) fn draw(flow: &mut Flow, part: &Part<'_>) {
    let (plan, measure, say) = (part.plan, flow.measure(), part.say());
    flow.canvas().structure.open_heading(2);
    flow.paragraph(TITLE, LEFT, measure, say.text("plan-title"));
    flow.canvas().structure.close();
    flow.y += 1.0;
    let headline = said(&plan.headline, plan.headline_says.as_ref(), say);
    flow.paragraph(HEADLINE, LEFT, measure, &headline);
    flow.y += 2.0;
    let worked_out = say.text("plan-worked-out");
    flow.ensure(wrap(STRONG, measure - BAR_ROOM, worked_out).len() as f32 * STRONG.leading());
    flow.barred(STRONG, LEFT, 0.0, measure, worked_out);
    flow.y += 3.0;
    draw_totals(flow, part, &plan.totals);
    if plan.outcome != "nothing-to-do" {
        draw_about(flow, say.text("plan-best-in"), &words::objective(&plan.objective, say));
    }
    if let Some(proof) = words::proof(plan, say) {
        draw_about(flow, say.text("plan-how-good"), &proof);
    }
    if let Some(deck) = &plan.deck {
        let (depth, needed) = (part.length.with_unit(deck.depth), part.length.with_unit(deck.needed));
        let text = say.with("plan-deck-comes-off", &[("depth", depth.into()), ("needed", needed.into())]);
        draw_about(flow, say.text("plan-deck"), &text);
    }
    let mut granted = say.text("plan-taken-for-granted");
    for assumption in words::all_said(&plan.assumptions, &plan.assumptions_say, say) {
        draw_about(flow, std::mem::take(&mut granted), &assumption);
    }
    let from = say.with("plan-from-readings", &[("stage", stage(plan.stage, say).into())]);
    draw_about(flow, say.text("plan-starts-from"), &from);
    draw_about(flow, say.text("plan-digest"), part.digest);
    draw_ports(flow, part);
    draw_beyond(flow, part);
    draw_predicted(flow, part);
}

/// What the plan takes in all, as figures under their labels.
fn draw_totals(flow: &mut Flow, part: &Part<'_>, totals: &PlanTotals) {
    const HEIGHT: f32 = 12.5;
    let say = part.say();
    let mut figures = vec![
        (say.text("plan-total-outcome"), words::outcome(&part.plan.outcome, say)),
        (say.text("plan-total-ports"), totals.ports.to_string()),
        (say.text("plan-total-sink"), part.length.with_unit(totals.sink)),
        (say.text("plan-total-new-parts"), totals.new_parts.to_string()),
        (say.text("plan-total-shims"), totals.shims.to_string()),
    ];
    if totals.minutes > 0.0 {
        figures.push((say.text("plan-total-minutes"), as_written(tenths(totals.minutes), say)));
    }
    if totals.cost > 0.0 {
        figures.push((say.text("plan-total-cost"), number(totals.cost, 2, say)));
    }
    flow.ensure(HEIGHT + 3.0);
    let (top, measure) = (flow.y, flow.measure());
    flow.canvas().rectangle(None, Some(Pen::new(Ink::Black, 0.5)), (LEFT, top), (measure, HEIGHT));
    let width = measure / figures.len() as f32;
    let label_style = Style::LABEL.sized(7.6);
    let fitted = figures.iter().map(|(label, _)| label_style.fitted(label, width - 4.0, 5.0).size);
    let label_style = label_style.sized(fitted.fold(label_style.size, f32::min));
    for (n, (label, figure)) in figures.iter().enumerate() {
        let left = LEFT + n as f32 * width;
        if n > 0 {
            let rule = [(left, top + 1.2), (left, top + HEIGHT - 1.2)];
            flow.canvas().line(Pen::new(Ink::Pale, 0.4), &rule);
        }
        let style = FIGURE.fitted(figure, width - 4.0, 5.0);
        let at = (left + 2.0, top + 7.0);
        flow.canvas().structure.begin_item();
        flow.canvas().text(style.face, style.size, style.ink, at, figure);
        let at = (left + 2.0, top + 10.8);
        flow.canvas().structure.begin_body();
        flow.canvas().text(label_style.face, label_style.size, label_style.ink, at, label);
        flow.canvas().structure.end_item();
    }
    flow.y += HEIGHT + 3.0;
}

fn tenths(number: f64) -> f64 {
    (number * 10.0).round() / 10.0
}

/// One line for each port that is not left as it is.
fn draw_ports(flow: &mut Flow, part: &Part<'_>) {
    let is_left = |port: &&PortPlan| port.status == "nothing-to-do";
    let (left, concerned): (Vec<_>, Vec<_>) = part.plan.ports.iter().partition(is_left);
    let say = part.say();
    let sinks_by = say.with("plan-column-sinks-by-in", &[("unit", (&part.length.sign).into())]);
    let columns = vec![
        Column::new(say.text("plan-column-port"), 40.0, Align::Snug),
        Column::new(say.text("plan-column-comes-to"), 37.0, Align::Snug),
        Column::new(sinks_by, 20.0, Align::Point),
        Column::new(say.text("plan-column-what-for"), flow.measure() - 97.0, Align::Left),
    ];
    let line = |port: &PortPlan| {
        let mut phrases = extras::of_port(part, port);
        let why = match port.status.as_ref() {
            "no-plan" => Some(say.text("plan-see-where-no-plan")),
            "guide-first" => Some(say.text("plan-no-cut-before-guide")),
            "measure-first" => Some(say.text("plan-no-cut-before-that")),
            _ => None,
        };
        phrases.extend(why.map(str::to_owned));
        let planned = port.status == "planned";
        let sink = planned.then(|| part.length.plain(port.sink));
        let cells = vec![
            Cell::Text(words::name_of(port, say)),
            Cell::Text(words::status(&port.status, say)),
            Cell::figure(sink),
            Cell::Text(sentence(&phrases.join("; "))),
        ];
        Line { flagged: !planned, ..Line::new(cells) }
    };
    let heading = say.text("plan-ports-at-a-glance");
    let lines = concerned.into_iter().map(line).collect();
    let place = Place { left: LEFT, larger: LARGER };
    let table = Table { columns, lines, caption: heading.to_owned(), note_column: 0, place };
    flow.heading(heading, table.least_height());
    if !table.lines.is_empty() {
        table.draw(flow);
    }
    if !left.is_empty() {
        flow.y += 1.4;
        let names: Vec<String> =
            left.into_iter().map(|port| words::name_of(port, say).replace(' ', "\u{A0}")).collect();
        let text = say.with("plan-nothing-to-do-on", &[("ports", names.join("; ").into())]);
        flow.paragraph(TEXT, LEFT, flow.measure(), &text);
    }
}

/// What keeps the head from being accepted whatever is done.
fn draw_beyond(flow: &mut Flow, part: &Part<'_>) {
    if part.plan.beyond.is_empty() {
        return;
    }
    let say = part.say();
    let columns = vec![
        Column::new(say.text("reasons-subject"), 42.0, Align::Snug),
        Column::new(say.text("findings-title"), 44.0, Align::Left),
        Column::new(say.text("reasons-why"), flow.measure() - 86.0, Align::Left),
    ];
    let line = |beyond: &headproof_wire::BeyondPlan| {
        Line::new(vec![
            Cell::Text(part.subject(&beyond.subject)),
            Cell::Text(say.title(&beyond.characteristic).into_owned()),
            Cell::Text(said(&beyond.text, beyond.says.as_ref(), say)),
        ])
    };
    let heading = say.text("plan-what-is-beyond");
    let lines = part.plan.beyond.iter().map(line).collect();
    let place = Place { left: LEFT, larger: LARGER };
    let table = Table { columns, lines, caption: heading.to_owned(), note_column: 0, place };
    flow.heading(heading, table.least_height());
    table.draw(flow);
}

/// How the head would be judged, without any mark.
fn draw_predicted(flow: &mut Flow, part: &Part<'_>) {
    let Some(predicted) = &part.plan.predicted else { return };
    let measure = flow.measure();
    let say = part.say();
    let headline = said(&predicted.evaluation.headline, predicted.evaluation.headline_says.as_ref(), say);
    let notice = said(&predicted.notice, predicted.notice_says.as_ref(), say);
    let texts = [(STRONG, headline), (TEXT, notice)];
    let height: f32 = texts
        .iter()
        .map(|(style, text)| wrap(*style, measure, text).len() as f32 * style.leading() + 1.0)
        .sum();
    flow.heading(say.text("plan-after-the-work"), height.min(flow.full_room() / 2.0));
    for (style, text) in texts {
        flow.paragraph(style, LEFT, measure, &text);
        flow.y += 1.0;
    }
}
