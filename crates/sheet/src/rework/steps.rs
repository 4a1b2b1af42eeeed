//! The steps in the order of the bench, each with a box to tick and room for a reading.

use headproof_wire::{PlanCut, PlanStep};

use super::words::all_said;
use super::{LARGER, NAME, Part, STRONG, TEXT};
use crate::canvas::{Ink, Pen};
use crate::face::Face;
use crate::flow::{BAR_ROOM, Flow, LEFT};
use crate::format::degrees;
use crate::said::said;
use crate::structure::Tag;
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::text::{Style, wrap};
use crate::words::sentence;

const NUMBER: Style = Style::new(Face::Bold, 13.0);
const DO: Style = Style::new(Face::NarrowBold, 10.6);
const TICK: f32 = 5.4;
/// Where the box to tick stands, from the left margin.
const TICK_LEFT: f32 = 11.5;
/// Where texts begin, from the left margin.
const INDENT: f32 = 20.0;
/// Size of the place for a reading.
const READING: (f32, f32) = (36.0, 9.0);
/// What a step takes at least, for its boxes.
const LEAST: f32 = READING.1 + 4.6;
/// From the word of a caution to its text.
const CAUTION_ROOM: f32 = 16.5;
const AIR: f32 = 0.9;
const GROUP: f32 = 7.2;

/// Draws all steps, those in a row on the same subject under one heading.
pub(super) fn draw(flow: &mut Flow, part: &Part<'_>) {
    let steps = &part.plan.steps;
    let Some(first) = steps.first() else { return };
    let measure = flow.measure();
    let say = part.say();
    let how = say.text("plan-steps-how");
    let first = StepBlock::new(part, first, measure).height();
    let with = lines_height(TEXT, measure, how) + 4.0 + GROUP + first;
    flow.heading(say.text("plan-steps"), with.min(flow.full_room() - 12.0));
    flow.paragraph(TEXT, LEFT, measure, how);
    flow.y += 1.6;
    for group in steps.chunk_by(|one, next| one.subject == next.subject) {
        let name = part.subject(&group[0].subject);
        for (n, step) in group.iter().enumerate() {
            if flow.is_overfull() {
                return;
            }
            let block = StepBlock::new(part, step, measure);
            let height = block.height();
            let with_name = if n == 0 { GROUP + 2.0 } else { 0.0 };
            let on_new_page = flow.ensure(height + with_name);
            if n == 0 {
                flow.gap(2.0);
                flow.canvas().structure.open_heading(4);
                draw_name(flow, &name);
                flow.canvas().structure.close();
            } else if on_new_page {
                flow.canvas().structure.open(Tag::Artifact);
                draw_name(flow, &say.with("plan-subject-continued", &[("subject", (&name).into())]));
                flow.canvas().structure.close();
            }
            block.draw(flow);
        }
    }
}

fn draw_name(flow: &mut Flow, name: &str) {
    let (top, measure) = (flow.y, flow.measure());
    flow.canvas().rectangle(Some(Ink::Tint), None, (LEFT, top), (measure, GROUP - 1.0));
    flow.canvas().line(Pen::new(Ink::Black, 0.8), &[(LEFT, top), (LEFT + measure, top)]);
    let style = NAME.fitted(name, measure - 3.0, 5.0);
    let base = top + (GROUP - 1.0 + style.cap_height()) / 2.0;
    flow.canvas().text(style.face, style.size, style.ink, (LEFT + 1.5, base), name);
    flow.y += GROUP;
}

/// One step, laid out but not yet drawn.
struct StepBlock {
    number: u32,
    text: String,
    check: String,
    cautions: Vec<String>,
    cut: Option<Table>,
    /// Width of what stands below the place for a reading; beside it there is less.
    wide: f32,
    narrow: f32,
    /// Is there room for the check beside the place for a reading?
    check_beside: bool,
}

impl StepBlock {
    fn new(part: &Part<'_>, step: &PlanStep, measure: f32) -> Self {
        let say = part.say();
        let check = said(step.check.trim(), step.check_says.as_ref(), say);
        let cautions = all_said(&step.cautions, &step.cautions_say, say);
        let wide = measure - INDENT;
        let mut block = Self {
            number: step.number,
            text: said(&step.text, step.says.as_ref(), say),
            check: if check.is_empty() { check } else { say.with("plan-check", &[("check", check.into())]) },
            cautions: cautions.iter().map(|text| sentence(text)).collect(),
            cut: step.cut.as_ref().map(|cut| cut_table(part, cut, measure)),
            wide,
            narrow: wide - READING.0 - 4.0,
            check_beside: false,
        };
        let below = block.height();
        block.check_beside = true;
        block.check_beside = block.height() <= below;
        block
    }

    /// Its whole height.
    fn height(&self) -> f32 {
        let text = lines_height(DO, self.narrow, &self.text);
        let check_width = if self.check_beside { self.narrow } else { self.wide };
        let check = lines_height(TEXT, check_width, &self.check);
        let upper = if self.check_beside { (text + check).max(LEAST) } else { text.max(LEAST) + check };
        let cautions: f32 = self
            .cautions
            .iter()
            .map(|text| lines_height(TEXT, self.wide - BAR_ROOM - CAUTION_ROOM, text))
            .sum();
        let cut = self.cut.as_ref().map_or(0.0, |table| table.height() + 0.6 + AIR);
        1.0 + upper + cautions + cut + 1.2
    }

    fn draw(&self, flow: &mut Flow) {
        let left = LEFT + INDENT;
        let (top, page) = (flow.y, flow.pages_before());
        flow.canvas().structure.begin_item();
        self.draw_number(flow, top);
        flow.canvas().structure.begin_body();
        self.draw_boxes(flow, top);
        flow.y = top + 1.0;
        draw_text(flow, DO, self.narrow, &self.text);
        let clear = |flow: &mut Flow| {
            if flow.pages_before() == page {
                flow.y = flow.y.max(top + 1.0 + LEAST);
            }
        };
        if self.check_beside {
            draw_text(flow, TEXT, self.narrow, &self.check);
            clear(flow);
        } else {
            clear(flow);
            draw_text(flow, TEXT, self.wide, &self.check);
        }
        for caution in &self.cautions {
            draw_caution(flow, left, self.wide, caution);
        }
        if let Some(table) = &self.cut {
            flow.y += 0.6;
            table.draw(flow);
            flow.y += AIR;
        }
        flow.canvas().structure.end_item();
        flow.y += 0.6;
        let (y, right) = (flow.y, flow.right());
        flow.canvas().line(Pen::new(Ink::Pale, 0.4), &[(LEFT, y), (right, y)]);
        flow.y += 0.6;
    }

    fn draw_number(&self, flow: &mut Flow, top: f32) {
        let number = self.number.to_string();
        let style = NUMBER.fitted(&number, TICK_LEFT - 2.0, 5.0);
        let base = top + 1.0 + DO.ascent();
        let at = (LEFT + TICK_LEFT - 2.0 - style.width(&number), base);
        flow.canvas().text(style.face, style.size, style.ink, at, &number);
    }

    /// The box to tick, and the place for a reading.
    fn draw_boxes(&self, flow: &mut Flow, top: f32) {
        let pen = Pen::new(Ink::Black, 0.8);
        flow.canvas().rectangle(None, Some(pen), (LEFT + TICK_LEFT, top + 0.8), (TICK, TICK));
        let x = flow.right() - READING.0;
        let (label, words) = (Style::LABEL.sized(7.6), flow.say().text("plan-read-after"));
        flow.canvas().structure.open(Tag::Paragraph);
        flow.canvas().text(label.face, label.size, label.ink, (x, top + 0.8 + label.ascent()), words);
        flow.canvas().structure.close();
        let y = top + 1.2 + label.leading();
        flow.canvas().rectangle(None, Some(Pen::new(Ink::Black, 0.5)), (x, y), READING);
    }
}

fn lines_height(style: Style, width: f32, text: &str) -> f32 {
    if text.is_empty() { 0.0 } else { wrap(style, width, text).len() as f32 * style.leading() + AIR }
}

fn draw_text(flow: &mut Flow, style: Style, width: f32, text: &str) {
    if !text.is_empty() {
        flow.canvas().structure.open(Tag::Paragraph);
        flow.paragraph(style, LEFT + INDENT, width, text);
        flow.canvas().structure.close();
        flow.y += AIR;
    }
}

/// A caution beside its word, set off by a bar.
fn draw_caution(flow: &mut Flow, left: f32, width: f32, text: &str) {
    flow.ensure(STRONG.leading());
    let word = flow.say().text("plan-caution");
    let at = (left + BAR_ROOM, flow.y + STRONG.ascent());
    flow.canvas().structure.open(Tag::Paragraph);
    flow.canvas().text(STRONG.face, STRONG.size, STRONG.ink, at, word);
    flow.canvas().structure.close();
    flow.canvas().structure.open(Tag::Paragraph);
    flow.barred(TEXT, left, CAUTION_ROOM, width, text);
    flow.canvas().structure.close();
    flow.y += AIR;
}

/// The figures of a cut in one row.
fn cut_table(part: &Part<'_>, cut: &PlanCut, measure: f32) -> Table {
    let (length, say) = (&part.length, part.say());
    let unit = || [("unit", (&length.sign).into())];
    let mut columns = vec![
        Column::new(say.text("plan-column-cutter"), 0.0, Align::Left),
        Column::new(say.text("plan-column-angle"), 13.0, Align::Right),
        Column::new(say.with("plan-column-feed", &unit()), 31.0, Align::Right),
        Column::new(say.with("plan-column-outer-in", &unit()), 29.0, Align::Right),
        Column::new(say.with("plan-column-inner-in", &unit()), 29.0, Align::Right),
        Column::new(say.with("plan-column-width-left", &unit()), 22.0, Align::Right),
    ];
    columns[0].width = measure - INDENT - columns.iter().map(|column| column.width).sum::<f32>();
    let feed = cut.feed.map(|feed| match cut.cut.as_ref() {
        // Their feed is a limit, not a depth to reach.
        "light-turns" => say.with("plan-feed-at-most", &[("feed", length.plain(feed).into())]),
        _ => length.within(feed, cut.tolerance),
    });
    let cells = vec![
        Cell::Text(cut.cutter.clone().unwrap_or_else(|| say.text("plan-any-cutter").to_owned())),
        Cell::Text(degrees(cut.angle, say)),
        Cell::Text(feed.unwrap_or_else(|| say.text("plan-feed-by-sizes").to_owned())),
        Cell::Text(length.plain(cut.outer_diameter)),
        Cell::Text(length.plain(cut.inner_diameter)),
        Cell::Text(length.plain(cut.width)),
    ];
    let place = Place { left: LEFT + INDENT, larger: LARGER };
    Table { columns, lines: vec![Line::new(cells)], caption: String::new(), note_column: 0, place }
}
