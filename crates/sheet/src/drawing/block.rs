//! The drawings of one port beside each other, with its bars.

use headproof_texts::Say;
use headproof_wire::PortRows;

use super::bars::Bars;
use super::caption::Caption;
use super::polar::{self, RunoutPolar};
use super::ring::{self, ContactRing};
use super::section::{self, SeatSection};
use super::spring::{self, SpringLine};
use super::{Figure, Posted};
use crate::SheetInput;
use crate::flow::{Flow, LEFT};
use crate::structure::Tag;

/// Widths of the drawings; that of the section takes what a wider page has more.
const SECTION: f32 = 59.0;
const ROUND: f32 = 36.0;
const SPRING: f32 = 37.0;
const GUTTER: f32 = 3.0;
/// All four beside each other.
const ALL: f32 = SECTION + 2.0 * ROUND + SPRING + 3.0 * GUTTER;
/// Between drawings and bars, and after both.
const BETWEEN: f32 = 2.0;
const AFTER: f32 = 2.6;

/// The kinds of drawings, from the left.
const KINDS: usize = 4;

/// The drawings of one port, laid out but not yet drawn.
pub(crate) struct PortFigures {
    /// Kind, width and drawing.
    figures: Vec<(usize, f32, Box<dyn Figure>)>,
    bars: Bars,
    measure: f32,
}

/// Widths of the kinds on a page.
fn widths(measure: f32) -> [f32; KINDS] {
    [SECTION + measure - ALL, ROUND, ROUND, SPRING]
}

/// What the strokes in the drawings of some ports mean: only of the kinds that they have.
pub(crate) struct Key(Vec<(f32, Caption)>);

impl Key {
    /// For some ports.
    pub(crate) fn of(ports: &[PortFigures], measure: f32, say: Say) -> Self {
        let is_used =
            |kind: usize| ports.iter().any(|port| port.figures.iter().any(|figure| figure.0 == kind));
        let keys = [section::key(say), ring::key(say), polar::key(say), spring::key(say)];
        let columns = keys.into_iter().zip(widths(measure)).enumerate();
        Self(columns.filter(|(kind, _)| is_used(*kind)).map(|(_, (key, width))| (width, key)).collect())
    }

    /// Height it takes.
    pub(crate) fn height(&self) -> f32 {
        self.0.iter().map(|(width, key)| key.height(*width)).fold(0.0, f32::max)
    }

    /// Draws it where the flow stands; it must have room there.
    pub(crate) fn draw(&self, flow: &mut Flow) {
        let mut x = LEFT;
        for (width, key) in &self.0 {
            let at = (x, flow.y);
            key.draw(flow.canvas(), at, *width);
            x += width + GUTTER;
        }
        flow.y += self.height();
    }
}

impl PortFigures {
    /// Of those that its readings allow.
    pub(crate) fn of(input: &SheetInput<'_>, judged: &PortRows, measure: f32) -> Self {
        let posted = Posted::of(input, (judged.cylinder, judged.service, judged.index));
        let units = &input.set.units;
        let made: [Option<Box<dyn Figure>>; KINDS] = [
            SeatSection::of(&posted, judged, units).map(|figure| Box::new(figure) as _),
            ContactRing::of(&posted, judged, units).map(|figure| Box::new(figure) as _),
            RunoutPolar::of(&posted, judged, units).map(|figure| Box::new(figure) as _),
            SpringLine::of(&posted, judged, units).map(|figure| Box::new(figure) as _),
        ];
        let figures = made
            .into_iter()
            .zip(widths(measure))
            .enumerate()
            .filter_map(|(kind, (figure, width))| Some((kind, width, figure?)))
            .collect();
        Self { figures, bars: Bars::of_rows(&judged.rows, input.evaluation, input.say()), measure }
    }

    fn figures_width(&self) -> f32 {
        self.figures.iter().map(|(_, width, _)| width + GUTTER).sum()
    }

    fn figures_height(&self) -> f32 {
        self.figures.iter().map(|(_, width, figure)| figure.height(*width)).fold(0.0, f32::max)
    }

    /// What the drawings leave beside them.
    fn rest(&self) -> f32 {
        self.measure - self.figures_width()
    }

    /// Do the bars find room beside the drawings, and are no higher there?
    fn bars_beside(&self) -> bool {
        let rest = self.rest();
        !Bars::need_more_than(rest) && self.bars.height(rest) <= self.figures_height().max(1.0)
    }

    /// Height of all of it; nothing when there is nothing to draw.
    pub(crate) fn height(&self) -> f32 {
        let figures = self.figures_height();
        let bars = if self.bars_beside() { 0.0 } else { self.bars.height(self.measure) };
        match (figures > 0.0, bars > 0.0) {
            (false, false) => 0.0,
            (true, true) => figures + BETWEEN + bars + AFTER,
            _ => figures + bars + AFTER,
        }
    }

    /// Draws it where the flow stands; it must have room there.
    pub(crate) fn draw(&self, flow: &mut Flow) {
        let (top, beside) = (flow.y, self.bars_beside());
        let mut x = LEFT;
        for (_, width, figure) in &self.figures {
            flow.canvas().structure.open(Tag::Figure);
            figure.draw(flow.canvas(), (x, top), *width);
            flow.canvas().structure.close();
            x += width + GUTTER;
        }
        let (at, width) = if beside {
            ((x, top), self.rest())
        } else if self.figures.is_empty() {
            ((LEFT, top), self.measure)
        } else {
            ((LEFT, top + self.figures_height() + BETWEEN), self.measure)
        };
        self.bars.draw(flow.canvas(), at, width);
        flow.y = top + self.height();
    }
}
