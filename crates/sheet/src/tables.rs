//! The judged rows: head, cylinders, ports.

use headproof_wire::{Port, PortRows, Row};

use crate::SheetInput;
use crate::canvas::{Ink, Pen};
use crate::face::Face;
use crate::flow::{Flow, LEFT};
use crate::marks::mark;
use crate::observations;
use crate::rows::RowTables;
use crate::sources::Sources;
use crate::table::Line;
use crate::text::{Style, wrap};
use crate::words::{Verdict, counted, port_name};

const PORT_NAME: Style = Style::new(Face::Bold, 9.5);

/// Draws all tables of judged rows.
pub(crate) fn draw(flow: &mut Flow, input: &SheetInput<'_>, sources: &Sources<'_>) {
    let tables = RowTables::new(input, sources, flow.measure());
    flow.heading("Deck and head", 60.0);
    flow.paragraph(Style::SMALL.ink(Ink::Grey), LEFT, flow.measure(), &how_to_read(input));
    flow.y += 1.6;
    let evaluation = input.evaluation;
    if evaluation.head.is_empty() {
        flow.paragraph(Style::BODY, LEFT, flow.measure(), "No characteristic of the head as a whole.");
    } else {
        let mut table = tables.table("Deck and head".to_owned());
        table.lines = evaluation.head.iter().map(|row| tables.line(row)).collect();
        table.draw(flow);
    }
    draw_notes(flow, &observations::of_head(input.set, &evaluation.head));
    if evaluation.cylinders.iter().any(|cylinder| !cylinder.rows.is_empty()) {
        let mut table = tables.table("Cylinders".to_owned());
        for cylinder in &evaluation.cylinders {
            table.lines.push(Line::band(format!("Cylinder {}", cylinder.cylinder)));
            table.lines.extend(cylinder.rows.iter().map(|row| tables.line(row)));
        }
        flow.heading("Cylinders", table.least_height());
        table.draw(flow);
    }
    for port in &evaluation.ports {
        draw_port(flow, input, &tables, port);
    }
}

fn how_to_read(input: &SheetInput<'_>) -> String {
    let mut text =
        "Deviation: how far beyond the nearest limit; − inside, + outside. U: expanded uncertainty \
                    of the measured value with the coverage factor k shown. Found at: the worst place. \
                    From: where the limit comes from, by its number in the list at the end."
            .to_owned();
    if input.evaluation.decision_rule != headproof_wire::DecisionRule::Simple {
        text.push_str(
            " Proven with: the probability, given the readings, that the true value of this one \
             characteristic lies inside its limits; it says nothing of the head as a whole.",
        );
    }
    text
}

fn draw_port(flow: &mut Flow, input: &SheetInput<'_>, tables: &RowTables<'_>, port: &PortRows) {
    let name = port_name(port.cylinder, port.service, port.index);
    let mut table = tables.table(name.clone());
    table.lines = port.rows.iter().map(|row| tables.line(row)).collect();
    let posted = input.set.ports.iter().find(|posted| is_same(posted, port));
    let notes = posted.map(|posted| observations::of_port(posted, &port.rows)).unwrap_or_default();
    let whole = 8.5 + table.height() + notes_height(flow, &notes);
    let least = 8.5 + table.least_height();
    let fits_a_page = whole <= flow.full_room();
    flow.gap(4.5);
    flow.ensure(if fits_a_page { whole } else { least });
    draw_port_head(flow, port, &name);
    if port.rows.is_empty() {
        flow.paragraph(Style::BODY, LEFT, flow.measure(), "No characteristic of this port.");
    } else {
        table.draw(flow);
    }
    draw_notes(flow, &notes);
}

fn is_same(posted: &Port, judged: &PortRows) -> bool {
    (posted.cylinder, posted.service, posted.index) == (judged.cylinder, judged.service, judged.index)
}

fn draw_port_head(flow: &mut Flow, port: &PortRows, name: &str) {
    let verdict = Verdict::from_code(&port.verdict);
    let (top, right) = (flow.y, flow.right());
    flow.canvas().line(Pen::new(Ink::Black, 0.8), &[(LEFT, top), (right, top)]);
    let middle = top + 3.6;
    mark(flow.canvas(), verdict, (LEFT + 2.4, middle), 2.1);
    let base = middle + PORT_NAME.cap_height() / 2.0;
    flow.canvas().text(PORT_NAME.face, PORT_NAME.size, PORT_NAME.ink, (LEFT + 6.6, base), name);
    let text = outcome(&port.rows, verdict);
    let style = Style::STRONG;
    flow.canvas().text(style.face, style.size, style.ink, (right - style.width(&text), base), &text);
    flow.y = top + 7.4;
}

/// The verdict of a port with how many of its limited rows make it.
fn outcome(rows: &[Row], verdict: Verdict) -> String {
    let verdicts: Vec<Verdict> = rows.iter().map(|row| Verdict::from_code(&row.verdict)).collect();
    let limited = verdicts.iter().filter(|verdict| **verdict != Verdict::NoLimit).count();
    let like_it = verdicts.iter().filter(|other| **other == verdict).count();
    let of = counted(limited, "limited characteristic", "limited characteristics");
    if limited == 0 { verdict.words().to_owned() } else { format!("{}: {like_it} of {of}", verdict.words()) }
}

fn notes_text(notes: &[String]) -> String {
    format!("Also recorded: {}.", notes.join(" · "))
}

fn notes_height(flow: &Flow, notes: &[String]) -> f32 {
    if notes.is_empty() {
        return 0.0;
    }
    1.0 + wrap(Style::SMALL, flow.measure(), &notes_text(notes)).len() as f32 * Style::SMALL.leading()
}

fn draw_notes(flow: &mut Flow, notes: &[String]) {
    if !notes.is_empty() {
        flow.y += 1.0;
        flow.paragraph(Style::SMALL, LEFT, flow.measure(), &notes_text(notes));
    }
}
