//! The figures of one characteristic and the words under them.

use headproof_wire::statistics::{CharacteristicStatistics, ControlChart, Statistics};

use super::amounts::Amounts;
use super::words::{title, under};
use super::{chart, histogram};
use crate::flow::{Flow, LEFT};
use crate::text::{Style, wrap};

/// Height of the figures.
pub(super) const HEIGHT: f32 = 51.0;
/// The share of the width that the histogram has, and the air beside it.
const HISTOGRAM: f32 = 0.34;
const GUTTER: f32 = 4.0;
/// Words are kept with their figures up to this height.
const WORDS: f32 = 40.0;

const NAME: Style = Style::STRONG.sized(9.0);
const SAID: Style = Style::SMALL;

/// Draws them, together with the figures' heading on one page.
pub(super) fn draw(
    flow: &mut Flow,
    of: &CharacteristicStatistics,
    chart: &ControlChart,
    statistics: &Statistics,
) {
    let (say, measure) = (flow.say(), flow.measure());
    let amounts = Amounts::of(of, say);
    let words = under(of, chart, statistics, &amounts, say);
    let name = title(of, say);
    let name_lines = wrap(NAME, measure, &name).len() as f32;
    let lines: usize = words.iter().map(|text| wrap(SAID, measure, text).len()).sum();
    let said = (lines as f32 * SAID.leading()).min(WORDS);
    flow.gap(4.0);
    flow.ensure(name_lines * NAME.leading() + 1.0 + HEIGHT + 1.0 + said);
    flow.mark(1, &name);
    flow.canvas().structure.open_heading(3);
    flow.paragraph(NAME, LEFT, measure, &name);
    flow.canvas().structure.close();
    flow.y += 1.0;
    let y = flow.y;
    let left = measure * HISTOGRAM;
    histogram::draw(flow.canvas(), (LEFT, y), (left, HEIGHT), of, &amounts, say);
    let (x, width) = (LEFT + left + GUTTER, measure - left - GUTTER);
    chart::draw(flow.canvas(), (x, y), (width, HEIGHT), chart, &amounts, say);
    flow.y += HEIGHT + 1.0;
    for text in &words {
        flow.paragraph(SAID, LEFT, measure, text);
    }
}
