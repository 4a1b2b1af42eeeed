//! What the process can do: a line for each characteristic.

use headproof_texts::Say;
use headproof_wire::Service;
use headproof_wire::statistics::{CharacteristicStatistics, Statistics};

use super::amounts::{Amounts, index};
use super::words::{method, no_cpk, profile};
use crate::canvas::Ink;
use crate::flow::{Flow, LEFT};
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::text::Style;
use crate::words::{sentence, stage};

/// What stands before a line whose chart signals, and whose values are not normal.
const SIGNALS: &str = "▲";
const NOT_NORMAL: &str = "◇";
const NOTHING: &str = "–";

/// Draws the table.
pub(super) fn draw(flow: &mut Flow, statistics: &Statistics) {
    let say = flow.say();
    let caption = say.text("line-capability");
    let lines = lines(statistics, say);
    if lines.is_empty() {
        flow.heading(caption, Style::BODY.leading());
        flow.paragraph(Style::BODY, LEFT, flow.measure(), say.text("line-capability-none"));
        return;
    }
    let columns = columns(flow.measure(), say);
    let table = Table { columns, lines, caption: caption.to_owned(), note_column: 1, place: Place::PAGE };
    flow.heading(caption, 14.0 + table.least_height());
    let confidence = super::amounts::level(statistics.confidence, say);
    let key = say.with(
        "line-capability-key",
        &[("signals", SIGNALS.into()), ("not-normal", NOT_NORMAL.into()), ("confidence", confidence.into())],
    );
    flow.paragraph(Style::SMALL.ink(Ink::Grey), LEFT, flow.measure(), &key);
    flow.y += 1.0;
    table.draw(flow);
}

fn columns(measure: f32, say: Say) -> Vec<Column> {
    let mut columns = vec![
        Column::new(say.text("line-column-signs"), 7.4, Align::Left),
        Column::new(say.text("rows-characteristic"), 0.0, Align::Snug).naming(),
        Column::new(say.text("line-column-ports"), 10.2, Align::Left),
        Column::new(say.text("rows-lower"), 12.4, Align::Point),
        Column::new(say.text("rows-upper"), 12.4, Align::Point),
        Column::new("n", 10.4, Align::Right),
        Column::new(say.text("line-column-mean"), 13.6, Align::Point),
        Column::new("s", 12.0, Align::Point),
        Column::new(say.text("line-column-least"), 12.4, Align::Point),
        Column::new(say.text("line-column-greatest"), 12.4, Align::Point),
        Column::new("Cpk", 21.4, Align::Right),
        Column::new("Ppk", 21.4, Align::Right),
    ];
    let taken: f32 = columns.iter().map(|column| column.width).sum();
    columns[1].width = measure - taken;
    columns
}

/// The lines, those of a stage and a profile below one another.
fn lines(statistics: &Statistics, say: Say) -> Vec<Line> {
    let shown: Vec<&CharacteristicStatistics> =
        statistics.characteristics.iter().filter(|of| of.n > 0).collect();
    let mut parts: Vec<(&CharacteristicStatistics, Vec<Line>)> = Vec::new();
    for of in shown {
        let made = line(of, say);
        let same = |(first, _): &&mut (&CharacteristicStatistics, _)| {
            first.stage == of.stage && first.profile == of.profile
        };
        match parts.iter_mut().find(same) {
            Some((_, lines)) => lines.push(made),
            None => parts.push((of, vec![made])),
        }
    }
    let with_band = |(of, lines): (&CharacteristicStatistics, Vec<Line>)| {
        let name = format!("{} · {}", sentence(stage(of.stage, say)), profile(of, say));
        std::iter::once(Line::band(name)).chain(lines)
    };
    parts.into_iter().flat_map(with_band).collect()
}

fn line(of: &CharacteristicStatistics, say: Say) -> Line {
    let amounts = Amounts::of(of, say);
    let signals = of.chart.as_ref().is_some_and(|chart| chart.signal_count > 0);
    let signs = [(signals, SIGNALS), (of.normality.outcome == "not-normal", NOT_NORMAL)];
    let signs: Vec<&str> = signs.into_iter().filter(|(is_so, _)| *is_so).map(|(_, sign)| sign).collect();
    let figure = |amount: Option<f64>, print: &dyn Fn(f64) -> String| {
        Cell::Text(amount.map_or_else(|| NOTHING.to_owned(), print))
    };
    let value = |amount| figure(amount, &|amount| amounts.value(amount));
    let capability = of.capability.as_ref();
    let cpk = capability.and_then(|capability| capability.cpk.as_ref());
    let service = of.service.map(|service| {
        say.text(match service {
            Service::Intake => "service-intake-short",
            Service::Exhaust => "service-exhaust-short",
        })
    });
    let cells = vec![
        Cell::Text(signs.concat()),
        Cell::Text(name(of, &amounts, say)),
        Cell::Text(service.unwrap_or(NOTHING).to_owned()),
        value(of.lower),
        value(of.upper),
        Cell::Text(of.n.to_string()),
        figure(of.mean, &|mean| amounts.mean(mean)),
        figure(of.s, &|s| amounts.s(s)),
        value(of.min),
        value(of.max),
        Cell::Text(cpk.map_or_else(|| NOTHING.to_owned(), |cpk| index(cpk, say))),
        Cell::Text(capability.map_or_else(|| NOTHING.to_owned(), |capability| index(&capability.ppk, say))),
    ];
    Line { note: Some(note(of, say)), flagged: signals, ..Line::new(cells) }
}

/// Its title and unit; a unit does not stand on a line alone.
fn name(of: &CharacteristicStatistics, amounts: &Amounts, say: Say) -> String {
    let title = say.title(&of.characteristic);
    if amounts.unit.is_empty() { title.into_owned() } else { format!("{title},\u{A0}{}", amounts.unit) }
}

/// The rest of what is to be said of it.
fn note(of: &CharacteristicStatistics, say: Say) -> String {
    let mut said = Vec::new();
    if let Some(capability) = &of.capability {
        let both = [("Cp", &capability.cp), ("Pp", &capability.pp)];
        let named = both
            .into_iter()
            .filter_map(|(name, of)| Some(format!("{name}\u{A0}{}", index(of.as_ref()?, say))));
        said.extend(named);
    }
    said.push(method(of, say).to_owned());
    said.extend(of.capability.as_ref().and_then(|capability| no_cpk(capability, say)).map(str::to_owned));
    match (&of.chart, of.no_chart.as_deref()) {
        (Some(chart), _) => {
            said.push(say.with("line-chart-signals", &[("count", chart.signal_count.into())]))
        }
        (None, Some("sizes-differ")) => said.push(say.text("line-no-chart-sizes-differ").to_owned()),
        (None, _) => said.push(say.text("line-no-chart").to_owned()),
    }
    if of.normality.outcome == "not-normal" {
        said.push(say.text("line-note-not-normal").to_owned());
    }
    said.join(" · ")
}
