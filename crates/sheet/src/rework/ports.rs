//! What becomes of each port with work: its amounts before and after, its seat in section, and what keeps
//! the work from being less.

use headproof_texts::Say;
use headproof_wire::{FeedEffect, FeedMoves, PlanEffect, PortPlan};

use super::drawing::{self, FRAME};
use super::section::Section;
use super::{NAME, Part, STRONG, TEXT, draw_item, extras, item_height, words};
use crate::canvas::{Ink, Pen};
use crate::flow::{Flow, LEFT};
use crate::format::InUnit;
use crate::said::said;
use crate::structure::Tag;
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::text::wrap;
use crate::words::{sentence, with_unit};

/// Between the drawing and what stands beside it.
const GUTTER: f32 = 5.0;
const HEAD: f32 = 7.2;

/// Draws every port with work.
pub(super) fn draw(flow: &mut Flow, part: &Part<'_>) {
    let measure = flow.measure();
    let ports = part.plan.ports.iter().filter(|port| port.status == "planned");
    let mut blocks = ports.map(|port| Block::new(part, port, measure)).peekable();
    let Some(first) = blocks.peek() else { return };
    let how = part.say().text("plan-ports-how");
    let with = wrap(TEXT, measure, how).len() as f32 * TEXT.leading() + 2.0 + first.height();
    flow.heading(part.say().text("plan-ports-with-work"), with.min(flow.full_room() - 12.0));
    flow.paragraph(TEXT, LEFT, measure, how);
    flow.y += 2.0;
    for block in blocks {
        block.draw(flow);
    }
}

/// One port, laid out but not yet drawn.
struct Block<'a> {
    part: &'a Part<'a>,
    port: &'a PortPlan,
    done: String,
    binds: Vec<String>,
    effects: Table,
    section: Option<Section>,
    feeds: Option<Table>,
    measure: f32,
}

impl<'a> Block<'a> {
    fn new(part: &'a Part<'a>, port: &'a PortPlan, measure: f32) -> Self {
        let section = port.seat.as_ref().and_then(|work| Section::of(part, port, work));
        // Beside the drawing there is room for the feeds; without one nobody needs them.
        let feeds = port.feed_effect.as_ref().filter(|_| section.is_some());
        Self {
            part,
            port,
            done: sentence(&extras::of_port(part, port).join("; ")),
            binds: port
                .binds
                .iter()
                .map(|bound| said(&bound.text, bound.says.as_ref(), part.say()))
                .collect(),
            effects: effects_table(part, port, measure),
            section,
            feeds: feeds.map(|feeds| feeds_table(part, feeds, measure)),
            measure,
        }
    }

    /// Left edge and width of what stands beside the drawing, or of what takes the whole width.
    fn side(&self) -> (f32, f32) {
        match self.section {
            Some(_) => (LEFT + FRAME.0 + GUTTER, self.measure - FRAME.0 - GUTTER),
            None => (LEFT, self.measure),
        }
    }

    fn side_height(&self) -> f32 {
        let (_, width) = self.side();
        let binds: f32 = self.binds.iter().map(|bound| item_height(width, bound)).sum();
        let heading = if self.binds.is_empty() { 0.0 } else { STRONG.leading() };
        binds + heading + self.feeds.as_ref().map_or(0.0, |table| table.height() + 3.0)
    }

    fn figure_height(&self) -> f32 {
        let drawing = if self.section.is_some() { FRAME.1 } else { 0.0 };
        drawing.max(self.side_height())
    }

    fn above_height(&self) -> f32 {
        let done = wrap(TEXT, self.measure, &self.done).len() as f32 * TEXT.leading();
        HEAD + done + 1.0
    }

    fn table_height(&self) -> f32 {
        if self.effects.lines.is_empty() { 0.0 } else { self.effects.height() + 2.0 }
    }

    fn height(&self) -> f32 {
        self.above_height() + self.table_height() + self.figure_height() + 2.6
    }

    fn draw(&self, flow: &mut Flow) {
        let whole = self.height();
        let least = self.above_height() + self.effects.least_height();
        flow.ensure(if whole <= flow.full_room() { whole } else { least });
        self.draw_head(flow);
        if !self.done.is_empty() {
            flow.paragraph(TEXT, LEFT, self.measure, &self.done);
            flow.y += 1.0;
        }
        if !self.effects.lines.is_empty() {
            self.effects.draw(flow);
            flow.y += 2.0;
        }
        self.draw_figure(flow);
        flow.y += 2.6;
    }

    fn draw_head(&self, flow: &mut Flow) {
        let (top, right) = (flow.y, flow.right());
        flow.canvas().line(Pen::new(Ink::Black, 0.8), &[(LEFT, top), (right, top)]);
        let base = top + 3.6 + NAME.cap_height() / 2.0;
        let sink = sink_words(&self.part.length, self.port.sink, self.part.say());
        let name = words::name_of(self.port, self.part.say());
        let room = self.measure - STRONG.width(&sink) - 4.0;
        let style = NAME.fitted(&name, room, 5.0);
        flow.canvas().structure.open_heading(4);
        flow.canvas().text(style.face, style.size, style.ink, (LEFT, base), &name);
        flow.canvas().structure.close();
        let at = (right - STRONG.width(&sink), base);
        flow.canvas().structure.open(Tag::Paragraph);
        flow.canvas().text(STRONG.face, STRONG.size, STRONG.ink, at, &sink);
        flow.canvas().structure.close();
        flow.y += HEAD;
    }

    /// The drawing with the bounds and the feeds beside it; what does not fit beside it goes below.
    fn draw_figure(&self, flow: &mut Flow) {
        let beside = self.side_height() <= flow.full_room();
        flow.ensure(if beside { self.figure_height() } else { FRAME.1 });
        let top = flow.y;
        if let Some(section) = &self.section {
            flow.canvas().structure.open(Tag::Figure);
            flow.canvas().structure.describe(&words::name_of(self.port, self.part.say()));
            flow.canvas().structure.describe(&self.done);
            drawing::draw(flow.canvas(), section, &self.part.length, (LEFT, top), self.part.say());
            flow.canvas().structure.close();
        }
        let (left, width) = if beside { self.side() } else { (LEFT, self.measure) };
        if !beside && self.section.is_some() {
            flow.y = top + FRAME.1 + 2.0;
        }
        if let Some(feeds) = &self.feeds {
            feeds.draw(flow);
            flow.y += 3.0;
        }
        if !self.binds.is_empty() {
            flow.paragraph(STRONG, left, width, self.part.say().text("plan-what-binds"));
            for bound in &self.binds {
                draw_item(flow, left, width, bound);
            }
        }
        if beside {
            flow.y = flow.y.max(top + self.figure_height());
        }
    }
}

fn sink_words(length: &InUnit, sink: f64, say: Say) -> String {
    let amount = [("amount", length.with_unit(sink.abs()).into())];
    if length.plain(sink) == length.plain(0.0) {
        say.text("plan-valve-as-high").to_owned()
    } else if sink < 0.0 {
        say.with("plan-valve-higher", &amount)
    } else {
        say.with("plan-valve-sinks", &amount)
    }
}

fn effects_table(part: &Part<'_>, port: &PortPlan, measure: f32) -> Table {
    const FIGURE: f32 = 22.0;
    let say = part.say();
    let figure = |head: &str| Column::new(head, FIGURE, Align::Point);
    let columns = vec![
        Column::new(say.text("rows-characteristic"), measure - 5.0 * FIGURE, Align::Snug),
        figure(say.text("plan-column-now")),
        figure(say.text("plan-column-aim")),
        figure(say.text("plan-column-off-by")),
        figure(say.text("plan-column-aim-least")),
        figure(say.text("plan-column-aim-greatest")),
    ];
    let line = |effect: &PlanEffect| {
        let unit = InUnit::of(&effect.unit, &part.input.set.units, say);
        let name = with_unit(&effect.characteristic, &unit.sign, say);
        let or_dash =
            |amount: Option<f64>| Cell::Text(amount.map_or_else(|| "–".to_owned(), |a| unit.plain(a)));
        Line::new(vec![
            Cell::Text(name),
            or_dash(effect.before),
            Cell::Text(unit.plain(effect.after)),
            Cell::Text(format!("± {}", unit.plain(effect.tolerance))),
            or_dash(effect.least),
            or_dash(effect.greatest),
        ])
    };
    let lines = port.effects.iter().map(line).collect();
    let place = Place { left: LEFT, larger: 1.1 };
    Table { columns, lines, caption: words::name_of(port, say), note_column: 0, place }
}

/// What a further 0.1 mm of feed does.
fn feeds_table(part: &Part<'_>, feeds: &FeedEffect, measure: f32) -> Table {
    const STEP: f64 = 0.1;
    let left = LEFT + FRAME.0 + GUTTER;
    let width = measure - FRAME.0 - GUTTER;
    let say = part.say();
    let figure = |head: &str| Column::new(head, (width - 17.0) / 4.0, Align::Point);
    let more = say.with("plan-column-more-feed", &[("step", part.length.with_unit(STEP).into())]);
    let columns = vec![
        Column::new(more, 17.0, Align::Left),
        figure(say.text("plan-column-outer")),
        figure(say.text("plan-column-inner")),
        figure(say.text("plan-column-width")),
        figure(say.text("plan-column-sinks-by")),
    ];
    let line = |(cutter, moves): (&str, FeedMoves)| {
        let amounts = [moves.outer_diameter, moves.inner_diameter, moves.width, moves.sink];
        let name = std::iter::once(Cell::Text(words::cut(cutter, say)));
        Line::new(name.chain(amounts.map(|amount| Cell::Text(part.length.signed(amount)))).collect())
    };
    let lines = [("seat", feeds.seat), ("top", feeds.top), ("throat", feeds.throat)].map(line).into();
    Table { columns, lines, caption: String::new(), note_column: 0, place: Place { left, larger: 1.0 } }
}
