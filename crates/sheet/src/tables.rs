//! The judged rows: head, cylinders, ports.

use headproof_texts::Say;
use headproof_wire::{DecisionRule, Port, PortRows, Row};

use crate::SheetInput;
use crate::canvas::{Ink, Pen};
use crate::drawing::{Bars, DeckMap, Figure, Key, PortFigures, draw_key_of_bars};
use crate::face::Face;
use crate::flow::{Flow, LEFT};
use crate::marks::mark;
use crate::observations;
use crate::rows::RowTables;
use crate::sources::Sources;
use crate::structure::Tag;
use crate::table::Line;
use crate::text::{Style, wrap};
use crate::words::{Verdict, cylinder_name, port_name};

const PORT_NAME: Style = Style::new(Face::Bold, 9.5);
/// So many rows of a port, and what each of them takes at the least, stay with its drawings.
const FIRST_ROWS: usize = 4;
const ROW: f32 = 4.6;

/// Draws all tables of judged rows.
pub(crate) fn draw(flow: &mut Flow, input: &SheetInput<'_>, sources: &Sources<'_>) {
    let tables = RowTables::new(input, sources, flow.measure());
    let say = input.say();
    let caption = say.text("rows-deck-and-head");
    flow.heading(caption, 60.0);
    flow.paragraph(Style::SMALL.ink(Ink::Grey), LEFT, flow.measure(), &how_to_read(input));
    flow.y += 1.6;
    let evaluation = input.evaluation;
    if evaluation.head.is_empty() {
        flow.paragraph(Style::BODY, LEFT, flow.measure(), say.text("rows-of-head-none"));
    } else {
        let mut table = tables.table(caption.to_owned());
        table.lines = evaluation.head.iter().map(|row| tables.line(row)).collect();
        table.draw(flow);
    }
    draw_notes(flow, &observations::of_head(input.set, &evaluation.head, say));
    draw_deck(flow, input);
    if evaluation.cylinders.iter().any(|cylinder| !cylinder.rows.is_empty()) {
        let mut table = tables.table(say.text("rows-cylinders").to_owned());
        for cylinder in &evaluation.cylinders {
            table.lines.push(Line::band(cylinder_name(cylinder.cylinder, say)));
            table.lines.extend(cylinder.rows.iter().map(|row| tables.line(row)));
        }
        flow.heading(&table.caption, table.least_height());
        table.draw(flow);
        draw_cylinder_bars(flow, input);
    }
    draw_ports(flow, input, &tables);
}

/// Bars of the head's rows, with what bars mean, and the heights of the deck.
fn draw_deck(flow: &mut Flow, input: &SheetInput<'_>) {
    let evaluation = input.evaluation;
    flow.gap(2.4);
    draw_key_of_bars(flow, evaluation);
    flow.y += 1.4;
    Bars::of_rows(&evaluation.head, evaluation, input.say()).flow(flow);
    if let Some(map) = DeckMap::of(input.set, &evaluation.head, input.say()) {
        let measure = flow.measure();
        flow.gap(1.6);
        flow.ensure(map.height(measure));
        let at = (LEFT, flow.y);
        flow.canvas().structure.open(Tag::Figure);
        map.draw(flow.canvas(), at, measure);
        flow.canvas().structure.close();
        flow.y += map.height(measure);
    }
}

fn draw_cylinder_bars(flow: &mut Flow, input: &SheetInput<'_>) {
    let rows = input.evaluation.cylinders.iter().flat_map(|cylinder| {
        cylinder
            .rows
            .iter()
            .map(|row| (row, format!("{}: {}", cylinder.cylinder, input.say().title(&row.characteristic))))
    });
    flow.gap(2.0);
    Bars::of(rows, input.evaluation, input.say()).flow(flow);
}

fn how_to_read(input: &SheetInput<'_>) -> String {
    let columns = input.say().text("how-to-read-rows");
    match input.evaluation.decision_rule {
        DecisionRule::Simple => columns.to_owned(),
        DecisionRule::Guarded { .. } => format!("{columns} {}", input.say().text("how-to-read-probability")),
    }
}

fn draw_ports(flow: &mut Flow, input: &SheetInput<'_>, tables: &RowTables<'_>) {
    let (ports, measure) = (&input.evaluation.ports, flow.measure());
    let figures: Vec<PortFigures> = ports.iter().map(|port| PortFigures::of(input, port, measure)).collect();
    let key = Key::of(&figures, measure, input.say());
    if key.height() > 0.0 {
        flow.heading(input.say().text("key-of-port-drawings"), key.height());
        key.draw(flow);
    } else {
        flow.canvas().structure.begin_section(2);
    }
    for (port, figures) in ports.iter().zip(&figures) {
        draw_port(flow, input, tables, (port, figures));
    }
}

fn draw_port(
    flow: &mut Flow,
    input: &SheetInput<'_>,
    tables: &RowTables<'_>,
    (port, figures): (&PortRows, &PortFigures),
) {
    let say = input.say();
    let name = port_name(port.cylinder, port.service, port.index, say);
    let mut table = tables.table(name.clone());
    table.lines = port.rows.iter().map(|row| tables.line(row)).collect();
    let posted = input.set.ports.iter().find(|posted| is_same(posted, port));
    let notes = posted.map(|posted| observations::of_port(posted, &port.rows, say)).unwrap_or_default();
    let whole = 8.5 + figures.height() + table.height() + notes_height(flow, &notes);
    // More than a page: the drawings and the first rows stay together.
    let begins = figures.height() + table.lines.iter().take(FIRST_ROWS).map(|_| ROW).sum::<f32>();
    let least = 8.5 + begins.max(table.least_height()).min(flow.full_room() - 9.0);
    let fits_a_page = whole <= flow.full_room();
    flow.gap(4.5);
    flow.ensure(if fits_a_page { whole } else { least });
    if input.evaluation.ports.first().is_some_and(|first| std::ptr::eq(first, port)) {
        flow.mark(0, say.text("rows-ports"));
    }
    flow.mark(1, &format!("{name}: {}", Verdict::from_code(&port.verdict).words(say)));
    draw_port_head(flow, port, &name);
    figures.draw(flow);
    if port.rows.is_empty() {
        flow.paragraph(Style::BODY, LEFT, flow.measure(), say.text("rows-of-port-none"));
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
    flow.canvas().structure.open_heading(3);
    flow.canvas().text(PORT_NAME.face, PORT_NAME.size, PORT_NAME.ink, (LEFT + 6.6, base), name);
    flow.canvas().structure.close();
    let text = outcome(&port.rows, verdict, flow.say());
    let style = Style::STRONG;
    flow.canvas().structure.open(Tag::Paragraph);
    flow.canvas().text(style.face, style.size, style.ink, (right - style.width(&text), base), &text);
    flow.canvas().structure.close();
    flow.y = top + 7.4;
}

/// The verdict of a port with how many of its limited rows make it.
fn outcome(rows: &[Row], verdict: Verdict, say: Say) -> String {
    let verdicts: Vec<Verdict> = rows.iter().map(|row| Verdict::from_code(&row.verdict)).collect();
    let limited = verdicts.iter().filter(|verdict| **verdict != Verdict::NoLimit).count();
    let like_it = verdicts.iter().filter(|other| **other == verdict).count();
    if limited == 0 {
        return verdict.words(say).to_owned();
    }
    let values =
        [("verdict", verdict.words(say).into()), ("count", like_it.into()), ("limited", limited.into())];
    say.with("outcome-of-port", &values)
}

fn notes_text(notes: &[String], say: Say) -> String {
    say.with("also-recorded", &[("notes", notes.join(" · ").into())])
}

fn notes_height(flow: &Flow, notes: &[String]) -> f32 {
    if notes.is_empty() {
        return 0.0;
    }
    1.0 + wrap(Style::SMALL, flow.measure(), &notes_text(notes, flow.say())).len() as f32
        * Style::SMALL.leading()
}

fn draw_notes(flow: &mut Flow, notes: &[String]) {
    if !notes.is_empty() {
        flow.y += 1.0;
        flow.paragraph(Style::SMALL, LEFT, flow.measure(), &notes_text(notes, flow.say()));
    }
}
