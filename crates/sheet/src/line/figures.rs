//! Histograms and control charts of those characteristics that want looking at first.

use headproof_wire::Stage;
use headproof_wire::statistics::{CharacteristicStatistics, ControlChart, Statistics};

use super::block::Block;
use super::signs::{self, Sign};
use crate::canvas::{Ink, Pen};
use crate::flow::{Flow, LEFT};
use crate::structure::Tag;
use crate::text::{Style, wrap};

/// So many have figures.
const MOST: usize = 24;
/// Height that what the points and lines mean takes at the most.
const KEY: f32 = 20.0;

/// Draws them.
pub(super) fn draw(flow: &mut Flow, statistics: &Statistics) {
    let say = flow.say();
    let ranked = ranked(statistics);
    let title = say.text("line-figures");
    let blocks: Vec<Block<'_>> =
        ranked.iter().take(MOST).map(|(of, chart)| Block::new(of, chart, statistics, say)).collect();
    let Some(first) = blocks.first() else {
        flow.heading(title, Style::BODY.leading());
        flow.paragraph(Style::BODY, LEFT, flow.measure(), say.text("line-figures-none"));
        return;
    };
    let left = ranked.len().saturating_sub(MOST);
    let text = say.with("line-figures-left-out", &[("shown", MOST.into()), ("count", left.into())]);
    let lines = if left > 0 { wrap(Style::BODY, flow.measure(), &text).len() } else { 0 };
    let before = lines as f32 * Style::BODY.leading() + KEY;
    // Its words alone say nothing: the first figures stand below them.
    flow.heading(title, before + first.height(flow.measure()));
    if left > 0 {
        flow.paragraph(Style::BODY, LEFT, flow.measure(), &text);
        flow.y += 1.0;
    }
    draw_key(flow);
    for block in &blocks {
        if flow.is_overfull() {
            break;
        }
        block.draw(flow);
    }
}

/// What the points and lines mean.
fn draw_key(flow: &mut Flow) {
    const ROOM: f32 = 4.0;
    let (say, style) = (flow.say(), Style::SMALL);
    flow.canvas().structure.open(Tag::List);
    for (sign, id) in [
        (Some(Sign::InRun), "line-key-run"),
        (Some(Sign::Signal), "line-key-signal"),
        (None, "line-key-lines"),
    ] {
        let text = say.text(id);
        let width = flow.measure() - ROOM;
        flow.ensure(wrap(style, width, text).len() as f32 * style.leading());
        let middle = flow.y + style.ascent() - style.cap_height() / 2.0;
        match sign {
            Some(sign) => signs::draw(flow.canvas(), sign, (LEFT + 1.4, middle)),
            None => {
                let pen = Pen::new(Ink::Black, 0.7).dashed(1.4, 0.9);
                flow.canvas().line(pen, &[(LEFT, middle), (LEFT + 2.9, middle)]);
            }
        }
        flow.canvas().structure.begin_bare_item();
        flow.paragraph(style, LEFT + ROOM, width, text);
        flow.canvas().structure.end_item();
    }
    flow.canvas().structure.close();
    flow.y += 1.0;
}

/// Those with a chart: where it signals first, then by what the process can do, the least first. Sets as received come
/// last: they say nothing of the work.
fn ranked(statistics: &Statistics) -> Vec<(&CharacteristicStatistics, &ControlChart)> {
    let mut ranked: Vec<_> =
        statistics.characteristics.iter().filter_map(|of| Some((of, of.chart.as_ref()?))).collect();
    let ppk = |of: &CharacteristicStatistics| of.capability.as_ref().map_or(f64::INFINITY, |of| of.ppk.value);
    ranked.sort_by(|(one, chart), (other, others)| {
        let received = |of: &CharacteristicStatistics| of.stage == Stage::AsReceived;
        let signals = (others.signal_count > 0).cmp(&(chart.signal_count > 0));
        received(one).cmp(&received(other)).then(signals).then(ppk(one).total_cmp(&ppk(other)))
    });
    ranked
}
