//! The head as a whole: tests of the casting, the deck with its grid of heights, cam bores.

use headproof_judge::Scope;
use headproof_quantity::Kind;
use headproof_wire::Camshaft;

use crate::flow::{Flow, LEFT};
use crate::format::sign;
use crate::structure::{Heads, Tag};
use crate::text::Style;

use super::WorksheetInput;
use super::entry::{BOX, Block, draw_band, write_box};
use super::parts::{OF_HEAD, others, wants_grid};
use super::wanted::Wanted;

/// Messages that name the lines along the head on which heights are read.
const LINES: [&str; 3] = ["blank-deck-one-side", "blank-deck-middle", "blank-deck-other-side"];
/// Most places of a line beside each other.
const ABREAST: usize = 9;
const NAMES: f32 = 17.0;
const GAP: f32 = 1.0;
const ROW: f32 = BOX + 0.9;

/// Draws what the profile asks of the head.
pub(super) fn draw(flow: &mut Flow, input: &WorksheetInput<'_>, wanted: &Wanted<'_>) {
    let say = input.say();
    let block = |title, entries| Block { title: say.text(title), of: None, entries };
    let mut blocks: Vec<Block> =
        OF_HEAD.iter().map(|part| block(part.title, part.entries(wanted, None, input.units))).collect();
    // What compares cylinders stands with them.
    let mut rest = others(&OF_HEAD, Scope::Head, wanted, None, input.units);
    let with_cylinders = ["chamber-spread", "compression-ratio-spread"].map(|id| say.title(id));
    rest.retain(|entry| !with_cylinders.iter().any(|title| entry.name.starts_with(title.as_ref())));
    blocks.push(block("blank-part-further-head", rest));
    blocks.retain(|block| !block.entries.is_empty());
    let grid = wants_grid(wanted);
    let first = blocks.first().map_or(0.0, Block::least_height);
    if blocks.is_empty() && !grid {
        return;
    }
    flow.heading(say.text("rows-deck-and-head"), if grid { grid_height(input) } else { first });
    if grid {
        draw_grid(flow, input);
        flow.gap(2.0);
    }
    for block in &blocks {
        block.draw(flow);
    }
}

/// Places along the head: before, between and behind the cylinders; three at least.
fn stations(input: &WorksheetInput<'_>) -> usize {
    (usize::from(input.layout.cylinders) + 1).max(3)
}

fn grid_height(input: &WorksheetInput<'_>) -> f32 {
    ROW + stations(input).div_ceil(ABREAST) as f32 * part_height()
}

fn part_height() -> f32 {
    Style::LABEL.leading() + (LINES.len() + 1) as f32 * ROW + 1.4
}

/// A grid of boxes for heights, with boxes for where each column and line lies.
fn draw_grid(flow: &mut Flow, input: &WorksheetInput<'_>) {
    let unit = sign(input.units.unit(Kind::Length));
    flow.ensure(grid_height(input).min(flow.full_room()));
    let say = flow.say();
    draw_band(flow, &say.with("blank-deck-heights", &[("unit", unit.into())]), None);
    let all = stations(input);
    let parts = all.div_ceil(ABREAST);
    let each = all.div_ceil(parts);
    for first in (0..all).step_by(each) {
        flow.ensure(part_height());
        draw_part(flow, input, first..(first + each).min(all), each);
    }
}

fn draw_part(flow: &mut Flow, input: &WorksheetInput<'_>, stations: std::ops::Range<usize>, each: usize) {
    let width = (flow.measure() - NAMES + GAP) / (each + 1) as f32;
    let column = |n: usize| LEFT + NAMES + n as f32 * width;
    let (label, say) = (Style::LABEL, flow.say());
    let base = flow.y + 0.6 + label.ascent();
    flow.canvas().structure.open(Tag::Table);
    flow.canvas().structure.open(Tag::Row);
    flow.canvas().structure.open(Tag::Cell(1));
    flow.canvas().structure.close();
    flow.canvas().structure.open(Tag::Header(Heads::Below, 1));
    flow.canvas().text(label.face, label.size, label.ink, (column(0), base), say.text("blank-deck-across"));
    flow.canvas().structure.close();
    for (n, station) in stations.clone().enumerate() {
        let name = place(station, input);
        let style = label.fitted(&name, width - GAP, 5.0);
        flow.canvas().structure.open(Tag::Header(Heads::Below, 1));
        flow.canvas().text(style.face, style.size, style.ink, (column(n + 1), base), &name);
        flow.canvas().structure.close();
    }
    flow.canvas().structure.close();
    flow.y += 0.6 + label.leading();
    for line in 0..=LINES.len() {
        let name = say.text(if line == 0 { "blank-deck-along" } else { LINES[line - 1] });
        let style = Style::TABLE;
        let at = (LEFT, flow.y + (BOX + style.cap_height()) / 2.0);
        flow.canvas().structure.open(Tag::Row);
        flow.canvas().structure.open(Tag::Header(Heads::Beside, 1));
        flow.canvas().text(style.face, style.size, style.ink, at, name);
        flow.canvas().structure.close();
        // Where the two rules meet nothing is written.
        for n in 0..=stations.len() {
            flow.canvas().structure.open(Tag::Cell(1));
            flow.canvas().structure.close();
            if line > 0 || n > 0 {
                write_box(flow, (column(n), flow.y), width - GAP);
            }
        }
        flow.canvas().structure.close();
        flow.y += ROW;
    }
    flow.canvas().structure.close();
    flow.y += 0.8;
}

/// Where a place lies along the head.
fn place(station: usize, input: &WorksheetInput<'_>) -> String {
    let cylinders = usize::from(input.layout.cylinders);
    let say = input.say();
    match station {
        0 => say.text("blank-before-first").to_owned(),
        _ if cylinders < 2 && station == 1 => say.text("blank-beside-first").to_owned(),
        _ if cylinders < 2 || station == cylinders => {
            say.with("blank-behind", &[("cylinder", cylinders.into())])
        }
        _ => say.with("blank-between", &[("before", station.into()), ("behind", (station + 1).into())]),
    }
}

/// Is there a camshaft in the head?
pub(super) fn carries_camshaft(input: &WorksheetInput<'_>) -> bool {
    input.layout.camshaft == Camshaft::Overhead
}
