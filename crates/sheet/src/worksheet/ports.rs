//! One port after the other.

use headproof_judge::Scope;
use headproof_wire::{Layout, Service};

use crate::canvas::{Ink, Pen};
use crate::face::Face;
use crate::flow::{Flow, LEFT};
use crate::structure::Tag;
use crate::text::Style;
use crate::words::port_name;

use super::WorksheetInput;
use super::entry::{BOX, Block, write_box};
use super::parts::{OF_PORT, others};
use super::wanted::Wanted;

const NAME: Style = Style::new(Face::Bold, 9.5);
/// What the head of a port takes.
const HEAD: f32 = BOX + 2.4;

/// Ports in the order of the inspection sheet.
fn ports(layout: &Layout) -> impl Iterator<Item = (u8, Service, u8)> {
    let counts =
        [(Service::Intake, layout.intake_per_cylinder), (Service::Exhaust, layout.exhaust_per_cylinder)];
    let of_cylinder = move |cylinder| {
        counts.into_iter().flat_map(move |(service, count)| (1..=count).map(move |n| (cylinder, service, n)))
    };
    (1..=layout.cylinders).flat_map(of_cylinder)
}

/// Draws all ports; nothing where the profile limits nothing of them.
pub(super) fn draw(flow: &mut Flow, input: &WorksheetInput<'_>, wanted: &Wanted<'_>) {
    for (cylinder, service, index) in ports(input.layout) {
        let name = port_name(cylinder, service, index, input.say());
        let blocks = blocks(input, wanted, service, &name);
        let Some(first) = blocks.first() else { continue };
        flow.gap(5.0);
        flow.ensure(HEAD + first.least_height());
        draw_head(flow, &name);
        for block in &blocks {
            block.draw(flow);
        }
    }
}

fn blocks(input: &WorksheetInput<'_>, wanted: &Wanted<'_>, service: Service, name: &str) -> Vec<Block> {
    let service = Some(service);
    let say = input.say();
    let block = |title, entries| Block { title: say.text(title), of: Some(name.to_owned()), entries };
    let parts = OF_PORT.iter().map(|part| block(part.title, part.entries(wanted, service, input.units)));
    let rest = others(&OF_PORT, Scope::Port, wanted, service, input.units);
    parts.chain([block("blank-part-further", rest)]).filter(|block| !block.entries.is_empty()).collect()
}

fn draw_head(flow: &mut Flow, name: &str) {
    let (top, right) = (flow.y, flow.right());
    flow.canvas().line(Pen::new(Ink::Black, 0.8), &[(LEFT, top), (right, top)]);
    let middle = top + 1.0 + BOX / 2.0;
    let base = middle + NAME.cap_height() / 2.0;
    flow.canvas().structure.open_heading(2);
    flow.canvas().text(NAME.face, NAME.size, NAME.ink, (LEFT, base), name);
    flow.canvas().structure.close();
    let label = Style::LABEL;
    let mut left = right;
    let say = flow.say();
    for (words, width) in [(say.text("blank-name-date"), 52.0), (say.text("blank-valve-tag"), 30.0)] {
        left -= width;
        write_box(flow, (left, top + 1.0), width);
        left -= label.width(words) + 1.6;
        flow.canvas().structure.open(Tag::Paragraph);
        flow.canvas().text(label.face, label.size, label.ink, (left, base), words);
        flow.canvas().structure.close();
        left -= 4.0;
    }
    flow.y = top + HEAD;
}
