//! The figures of one characteristic and the words under them.

use headproof_texts::Say;
use headproof_wire::statistics::{CharacteristicStatistics, ControlChart, Statistics};

use super::amounts::Amounts;
use super::words::{title, under};
use super::{chart, histogram};
use crate::flow::{Flow, LEFT};
use crate::text::{Style, wrap};

/// Height of the figures.
const HEIGHT: f32 = 51.0;
/// The share of the width that the histogram has, and the air beside it.
const HISTOGRAM: f32 = 0.34;
const GUTTER: f32 = 4.0;
/// Words are kept with their figures up to this height.
const WORDS: f32 = 40.0;
/// Air above all, and around the figures.
const GAP: f32 = 4.0;
const AIR: f32 = 1.0;

const NAME: Style = Style::STRONG.sized(9.0);
const SAID: Style = Style::SMALL;

/// The figures of a characteristic, ready to be drawn.
pub(super) struct Block<'a> {
    of: &'a CharacteristicStatistics,
    chart: &'a ControlChart,
    amounts: Amounts,
    name: String,
    words: Vec<String>,
}

impl<'a> Block<'a> {
    /// Of a characteristic and its chart.
    pub(super) fn new(
        of: &'a CharacteristicStatistics,
        chart: &'a ControlChart,
        statistics: &Statistics,
        say: Say,
    ) -> Self {
        let amounts = Amounts::of(of, say);
        let words = under(of, chart, statistics, &amounts, say);
        Self { of, chart, amounts, name: title(of, say), words }
    }

    /// Height of what stands together on a page.
    pub(super) fn height(&self, measure: f32) -> f32 {
        let names = wrap(NAME, measure, &self.name).len() as f32;
        let lines: usize = self.words.iter().map(|text| wrap(SAID, measure, text).len()).sum();
        let said = (lines as f32 * SAID.leading()).min(WORDS);
        GAP + names * NAME.leading() + 2.0 * AIR + HEIGHT + said
    }

    /// Draws them.
    pub(super) fn draw(&self, flow: &mut Flow) {
        let (say, measure) = (flow.say(), flow.measure());
        flow.gap(GAP);
        flow.ensure(self.height(measure) - GAP);
        flow.mark(1, &self.name);
        flow.canvas().structure.open_heading(3);
        flow.paragraph(NAME, LEFT, measure, &self.name);
        flow.canvas().structure.close();
        flow.y += AIR;
        let y = flow.y;
        let left = measure * HISTOGRAM;
        histogram::draw(flow.canvas(), (LEFT, y), (left, HEIGHT), self.of, &self.amounts, say);
        let (x, width) = (LEFT + left + GUTTER, measure - left - GUTTER);
        chart::draw(flow.canvas(), (x, y), (width, HEIGHT), self.chart, &self.amounts, say);
        flow.y += HEIGHT + AIR;
        for text in &self.words {
            flow.paragraph(SAID, LEFT, measure, text);
        }
    }
}
