//! What fails most: bars by characteristic and by port, with the line of their sum.

use headproof_texts::Say;
use headproof_wire::Stage;
use headproof_wire::statistics::Statistics;

use super::axis::Axis;
use super::plot::{BELOW, Frame, TICK};
use super::words::name;
use crate::canvas::{Canvas, Ink, Pen};
use crate::drawing::{Spot, TITLE_HEIGHT, draw_title};
use crate::flow::{Flow, LEFT};
use crate::format::number;
use crate::structure::Tag;
use crate::text::{Style, clipped};
use crate::words::{port_name, sentence, stage as stage_word};

/// So many bars are drawn; the others are one more.
const MOST: usize = 12;
/// From bar to bar, and the height of a bar.
const LINE: f32 = 4.0;
const HIGH: f32 = 2.4;
/// Room for the name of a stage.
const STAGE: f32 = 5.0;
/// Room for counts and sums.
const COUNT: f32 = 9.5;
const SUM: f32 = 11.0;
/// Share of the width that the figure by characteristic has, the air beside it, and the shares that names have.
const LARGE: f32 = 0.62;
const GUTTER: f32 = 6.0;
const NAMES: [f32; 2] = [0.43, 0.40];

const NAME: Style = Style::SMALL;
const BAR: Pen = Pen::new(Ink::Black, 0.35);
const SUMS: Pen = Pen::new(Ink::Black, 0.7);

/// A bar.
#[derive(Debug, Clone, PartialEq)]
struct Bar {
    name: String,
    count: u64,
    share: f64,
    cumulative: f64,
}

/// Draws both figures of each stage beside each other.
pub(super) fn draw(flow: &mut Flow, statistics: &Statistics) {
    let (say, measure) = (flow.say(), flow.measure());
    let title = say.text("line-pareto");
    let stages: Vec<(Stage, [Vec<Bar>; 2])> = [Stage::AsReceived, Stage::AfterRework, Stage::Final]
        .into_iter()
        .map(|stage| (stage, bars(statistics, stage, say)))
        .filter(|(_, bars)| bars.iter().any(|bars| !bars.is_empty()))
        .collect();
    let Some((_, bars)) = stages.first() else {
        flow.heading(title, Style::BODY.leading());
        flow.paragraph(Style::BODY, LEFT, measure, say.text("line-pareto-none"));
        return;
    };
    flow.heading(title, STAGE + height(bars) + 2.0 * Style::SMALL.leading());
    flow.paragraph(Style::SMALL.ink(Ink::Grey), LEFT, measure, say.text("line-pareto-key"));
    for (stage, bars) in &stages {
        flow.ensure(STAGE + height(bars));
        flow.y += 1.0;
        flow.paragraph(Style::LABEL, LEFT, measure, &sentence(stage_word(*stage, say)));
        draw_stage(flow, bars);
    }
}

/// Bars by characteristic and by port of a stage.
fn bars(statistics: &Statistics, stage: Stage, say: Say) -> [Vec<Bar>; 2] {
    let characteristics = statistics.failures.iter().filter(|of| of.stage == stage).map(|failure| {
        let name = name(&failure.characteristic, failure.service, say);
        Bar { name, count: failure.count, share: failure.share, cumulative: failure.cumulative }
    });
    let ports = statistics.failing_ports.iter().filter(|of| of.stage == stage).map(|port| Bar {
        name: port_name(port.cylinder, port.service, port.index, say),
        count: port.count,
        share: port.share,
        cumulative: port.cumulative,
    });
    [first(characteristics.collect(), say), first(ports.collect(), say)]
}

/// Of the figures of a stage.
fn height(bars: &[Vec<Bar>; 2]) -> f32 {
    let deepest = bars.iter().map(Vec::len).max().unwrap_or(0);
    TITLE_HEIGHT + deepest as f32 * LINE + BELOW + 1.0
}

fn draw_stage(flow: &mut Flow, bars: &[Vec<Bar>; 2]) {
    let (say, measure, y) = (flow.say(), flow.measure(), flow.y);
    let large = measure * LARGE;
    let boxes = [(LEFT, large), (LEFT + large + GUTTER, measure - large - GUTTER)];
    let titles = ["line-pareto-characteristics", "line-pareto-ports"];
    for (((bars, (x, width)), names), id) in bars.iter().zip(boxes).zip(NAMES).zip(titles) {
        if !bars.is_empty() {
            draw_bars(flow.canvas(), (x, y), (width, width * names), bars, (say.text(id), say));
        }
    }
    flow.y += height(bars);
}

/// The first of them, and the others as one.
fn first(mut bars: Vec<Bar>, say: Say) -> Vec<Bar> {
    if bars.len() > MOST + 1 {
        let others = bars.split_off(MOST);
        bars.push(Bar {
            name: say.with("line-pareto-others", &[("count", others.len().into())]),
            count: others.iter().map(|bar| bar.count).sum(),
            share: others.iter().map(|bar| bar.share).sum(),
            cumulative: others.last().map_or(1.0, |bar| bar.cumulative),
        });
    }
    bars
}

fn draw_bars(
    canvas: &mut Canvas,
    at: Spot,
    (width, names): (f32, f32),
    bars: &[Bar],
    (title, say): (&str, Say),
) {
    canvas.structure.open(Tag::Figure);
    let top = draw_title(canvas, at, width, title);
    let corner = (at.0 + names + COUNT, top);
    let frame = Frame { corner, size: (width - names - COUNT - SUM, bars.len() as f32 * LINE) };
    let per_cent = Axis::between(0.0, 100.0, 2);
    let mut sums = Vec::with_capacity(bars.len());
    for (n, bar) in bars.iter().enumerate() {
        let middle = top + (n as f32 + 0.5) * LINE;
        let base = middle + NAME.cap_height() / 2.0;
        let sum = format!("{}\u{A0}%", number(bar.cumulative * 100.0, 1, say));
        canvas.structure.describe(&say.with(
            "line-pareto-bar",
            &[("name", (&bar.name).into()), ("count", bar.count.into()), ("sum", (&sum).into())],
        ));
        let style = NAME.fitted(&bar.name, names - 1.0, 5.0);
        let name = clipped(style, names - 1.0, &bar.name);
        canvas.text(style.face, style.size, style.ink, (at.0, base), &name);
        draw_right(canvas, (frame.corner.0 - 1.6, base), COUNT - 1.8, &bar.count.to_string());
        draw_right(canvas, (at.0 + width, base), SUM - 1.6, &sum);
        let right = frame.x(per_cent.place(bar.share * 100.0));
        let size = (right - frame.corner.0, HIGH);
        canvas.rectangle(Some(Ink::Pale), Some(BAR), (frame.corner.0, middle - HIGH / 2.0), size);
        sums.push((frame.x(per_cent.place(bar.cumulative * 100.0)), middle));
    }
    canvas.line(BAR, &[frame.corner, (frame.corner.0, frame.bottom())]);
    canvas.line(SUMS, &sums);
    for spot in sums {
        canvas.circle(Some(Ink::Black), None, spot, 0.6);
    }
    frame.draw_below(canvas, &per_cent, say);
    let unit = (frame.right() + 1.6, frame.bottom() + 1.3 + TICK.cap_height());
    canvas.text(TICK.face, TICK.size, TICK.ink, unit, "%");
    canvas.structure.close();
}

/// Writes a figure that ends at a spot.
fn draw_right(canvas: &mut Canvas, (x, base): Spot, width: f32, text: &str) {
    let style = NAME.fitted(text, width, 3.5);
    canvas.text(style.face, style.size, style.ink, (x - style.width(text), base), text);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn many_bars_end_in_one_of_all_others() {
        let say = crate::english();
        let bar = |n: u64| Bar {
            name: n.to_string(),
            count: 100 - n,
            share: 0.01,
            cumulative: 0.01 * (n + 1) as f64,
        };
        let of = |count: u64| first((0..count).map(bar).collect(), say);
        assert_eq!(of(13).len(), 13);
        let many = of(20);
        assert_eq!(many.len(), 13);
        let last = &many[12];
        assert_eq!(last.count, (12..20).map(|n| 100 - n).sum::<u64>());
        assert!((last.cumulative - 0.2).abs() < 1e-12 && (last.share - 0.08).abs() < 1e-12, "{last:?}");
        assert!(last.name.contains('8'), "{last:?}");
        assert!(of(0).is_empty());
    }
}
