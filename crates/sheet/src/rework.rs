//! The rework plan: pages of their own, made to be read at arm's length at the bench.
//!
//! First what the plan comes to and how good it is, then the steps in the order of the bench, then what
//! becomes of each port, then what fights each other where there is no plan. Nothing here carries the mark
//! of a verdict: whatever stands for after the work is worked out, not measured.

mod conflicts;
mod drawing;
mod extras;
mod ports;
mod section;
mod steps;
mod summary;
mod words;

use headproof_texts::Say;
use headproof_wire::ReworkPlan;

use crate::SheetInput;
use crate::canvas::Ink;
use crate::face::Face;
use crate::flow::{Flow, LEFT};
use crate::format::InUnit;
use crate::input::PlanInput;
use crate::text::{Style, wrap};
use crate::words::{Subject, sentence};

/// Running text at the bench.
const TEXT: Style = Style::new(Face::Narrow, 9.6);
/// Text that matters more.
const STRONG: Style = Style::new(Face::NarrowBold, 9.6);
/// Names of ports and of what steps are on.
const NAME: Style = Style::new(Face::Bold, 11.0);
/// How many times larger than usual tables are printed.
const LARGER: f32 = 1.2;

/// What the pages of this part are made from.
struct Part<'a> {
    input: &'a SheetInput<'a>,
    plan: &'a ReworkPlan,
    digest: &'a str,
    length: InUnit,
}

impl Part<'_> {
    /// Says things in the language of the sheet.
    fn say(&self) -> Say {
        self.input.say()
    }

    /// The name of a subject for people.
    fn subject(&self, subject: &str) -> String {
        match subject {
            "head" => self.say().text("plan-head-as-a-whole").to_owned(),
            _ => match Subject::of(subject) {
                Some(known) => known.name(self.say()),
                None => sentence(subject),
            },
        }
    }
}

/// Draws the whole part, on pages of its own.
pub(crate) fn draw(flow: &mut Flow, input: &SheetInput<'_>, plan: PlanInput<'_>) {
    let part = Part {
        input,
        plan: plan.plan,
        digest: plan.digest,
        length: InUnit::length(&input.set.units, input.say()),
    };
    // Over every page of this part.
    flow.begin_part(part.say().text("plan-strip"));
    flow.mark(0, part.say().text("plan-title"));
    summary::draw(flow, &part);
    steps::draw(flow, &part);
    ports::draw(flow, &part);
    conflicts::draw(flow, &part);
    flow.end_part();
}

/// A paragraph after a dash.
fn draw_item(flow: &mut Flow, x: f32, width: f32, text: &str) {
    const DASH: f32 = 4.0;
    flow.ensure(wrap(TEXT, width - DASH, text).len() as f32 * TEXT.leading());
    let at = (x, flow.y + TEXT.ascent());
    flow.canvas().structure.begin_item();
    flow.canvas().text(TEXT.face, TEXT.size, TEXT.ink, at, "–");
    flow.canvas().structure.begin_body();
    flow.paragraph(TEXT, x + DASH, width - DASH, text);
    flow.canvas().structure.end_item();
    flow.y += 0.6;
}

fn item_height(width: f32, text: &str) -> f32 {
    wrap(TEXT, width - 4.0, text).len() as f32 * TEXT.leading() + 0.6
}

/// What something is about, at the left, and a text beside it.
fn draw_about(flow: &mut Flow, about: &str, text: &str) {
    const ABOUT: f32 = 38.0;
    let width = flow.measure() - ABOUT;
    let label = wrap(STRONG, ABOUT - 2.0, about);
    let lines = wrap(TEXT, width, text).len().max(label.len());
    flow.ensure(lines as f32 * TEXT.leading());
    let (top, page) = (flow.y, flow.pages_before());
    flow.canvas().structure.begin_item();
    for (n, line) in label.iter().enumerate() {
        let at = (LEFT, top + STRONG.ascent() + n as f32 * STRONG.leading());
        flow.canvas().text(STRONG.face, STRONG.size, Ink::Black, at, line);
    }
    flow.canvas().structure.begin_body();
    flow.paragraph(TEXT, LEFT + ABOUT, width, text);
    flow.canvas().structure.end_item();
    if flow.pages_before() == page {
        flow.y = flow.y.max(top + label.len() as f32 * STRONG.leading());
    }
    flow.y += 1.2;
}
