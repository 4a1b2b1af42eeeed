//! What a plan comes to, what it takes, and how good it is.

use headproof_wire::{PlanTotals, PortPlan};

use super::{LARGER, Part, STRONG, TEXT, draw_about, extras, words};
use crate::canvas::{Ink, Pen};
use crate::face::Face;
use crate::flow::{BAR_ROOM, Flow, LEFT};
use crate::format::{as_written, plain};
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::text::{Style, wrap};
use crate::words::{sentence, stage};

const TITLE: Style = Style::new(Face::Bold, 20.0);
const HEADLINE: Style = Style::new(Face::NarrowBold, 12.0);
const FIGURE: Style = Style::new(Face::NarrowBold, 14.0);

const WORKED_OUT: &str = "Everything in this part that speaks of after the work is worked out from the readings on \
    this sheet. Nobody measured it, and it holds only as far as every cut stops where it should: only measuring \
    again shows what the head is.";

/// Draws it.
pub(super) fn draw(flow: &mut Flow, part: &Part<'_>) {
    let (plan, measure) = (part.plan, flow.measure());
    flow.canvas().structure.open_heading(2);
    flow.paragraph(TITLE, LEFT, measure, "Rework plan");
    flow.canvas().structure.close();
    flow.y += 1.0;
    flow.paragraph(HEADLINE, LEFT, measure, &plan.headline);
    flow.y += 2.0;
    flow.ensure(wrap(STRONG, measure - BAR_ROOM, WORKED_OUT).len() as f32 * STRONG.leading());
    flow.barred(STRONG, LEFT, 0.0, measure, WORKED_OUT);
    flow.y += 3.0;
    draw_totals(flow, part, &plan.totals);
    if plan.outcome != "nothing-to-do" {
        draw_about(flow, "Best in", &words::objective(&plan.objective));
    }
    if let Some(proof) = words::proof(plan) {
        draw_about(flow, "How good it is", &proof);
    }
    if let Some(deck) = &plan.deck {
        let text = format!(
            "{} comes off at the highest place; {} has to come off until it is clean.",
            part.length.with_unit(deck.depth),
            part.length.with_unit(deck.needed)
        );
        draw_about(flow, "Deck", &text);
    }
    for (n, assumption) in plan.assumptions.iter().enumerate() {
        draw_about(flow, if n == 0 { "Taken for granted" } else { "" }, assumption);
    }
    draw_about(
        flow,
        "Starts from",
        &format!("The readings on this sheet; stage: {}.", stage(plan.stage, crate::english())),
    );
    draw_about(flow, "SHA-256 of the plan", part.digest);
    draw_ports(flow, part);
    draw_beyond(flow, part);
    draw_predicted(flow, part);
}

/// What the plan takes in all, as figures under their labels.
fn draw_totals(flow: &mut Flow, part: &Part<'_>, totals: &PlanTotals) {
    const HEIGHT: f32 = 12.5;
    let mut figures = vec![
        ("comes to", words::outcome(&part.plan.outcome)),
        ("ports with work", totals.ports.to_string()),
        ("sum of all sinks", part.length.with_unit(totals.sink)),
        ("new parts", totals.new_parts.to_string()),
        ("shims", totals.shims.to_string()),
    ];
    if totals.minutes > 0.0 {
        figures.push(("minutes at the bench", as_written(tenths(totals.minutes), part.input.say())));
    }
    if totals.cost > 0.0 {
        figures.push(("cost, shop's money", plain(totals.cost, 2)));
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
    let columns = vec![
        Column::new("Port", 40.0, Align::Snug),
        Column::new("Comes to", 37.0, Align::Snug),
        Column::new(format!("Valve sinks by, {}", part.length.sign), 20.0, Align::Point),
        Column::new("What for", flow.measure() - 97.0, Align::Left),
    ];
    let line = |port: &PortPlan| {
        let mut phrases = extras::of_port(part, port);
        match port.status.as_ref() {
            "no-plan" => phrases.push("see “Where there is no plan”".to_owned()),
            "guide-first" => phrases.push("nothing is cut before it is done and measured".to_owned()),
            "measure-first" => phrases.push("nothing is cut before that".to_owned()),
            _ => {}
        }
        let planned = port.status == "planned";
        let sink = planned.then(|| part.length.plain(port.sink));
        let cells = vec![
            Cell::Text(words::name_of(port)),
            Cell::Text(words::status(&port.status)),
            Cell::figure(sink),
            Cell::Text(sentence(&phrases.join("; "))),
        ];
        Line { flagged: !planned, ..Line::new(cells) }
    };
    let lines = concerned.into_iter().map(line).collect();
    let place = Place { left: LEFT, larger: LARGER };
    let table = Table { columns, lines, caption: "Ports at a glance".to_owned(), note_column: 0, place };
    flow.heading("Ports at a glance", table.least_height());
    if !table.lines.is_empty() {
        table.draw(flow);
    }
    if !left.is_empty() {
        flow.y += 1.4;
        let names: Vec<String> =
            left.into_iter().map(|port| words::name_of(port).replace(' ', "\u{A0}")).collect();
        flow.paragraph(TEXT, LEFT, flow.measure(), &format!("Nothing to do: {}.", names.join("; ")));
    }
}

/// What keeps the head from being accepted whatever is done.
fn draw_beyond(flow: &mut Flow, part: &Part<'_>) {
    if part.plan.beyond.is_empty() {
        return;
    }
    let columns = vec![
        Column::new("Where", 42.0, Align::Snug),
        Column::new("What", 44.0, Align::Left),
        Column::new("Why", flow.measure() - 86.0, Align::Left),
    ];
    let line = |beyond: &headproof_wire::BeyondPlan| {
        Line::new(vec![
            Cell::Text(part.subject(&beyond.subject)),
            Cell::Text(crate::english().title(&beyond.characteristic).into_owned()),
            Cell::Text(beyond.text.clone()),
        ])
    };
    let heading = "What no work of this kind cures";
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
    let texts = [(STRONG, &predicted.evaluation.headline), (TEXT, &predicted.notice)];
    let height: f32 = texts
        .iter()
        .map(|(style, text)| wrap(*style, measure, text).len() as f32 * style.leading() + 1.0)
        .sum();
    flow.heading("After the work: predicted, not measured", height.min(flow.full_room() / 2.0));
    for (style, text) in texts {
        flow.paragraph(style, LEFT, measure, text);
        flow.y += 1.0;
    }
}
