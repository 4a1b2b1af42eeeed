//! How many heads there are, what became of them, and what is to be borne in mind.

use headproof_line::ENOUGH_GROUPS;
use headproof_texts::Say;
use headproof_wire::Stage;
use headproof_wire::statistics::{
    CharacteristicStatistics, HeadCounts, Selection, Share, StageCounts, Statistics,
};

use super::amounts::{bare_index, level, share};
use super::codes::standing_out;
use super::words::{by_chance, name, rule_set};
use crate::cautions;
use crate::dates::moment;
use crate::flow::Flow;
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::words::{disposition, sentence, stage};

/// Width of what a line is about.
const ABOUT: f32 = 42.0;
/// So many characteristics of least capability are named.
const WORST: usize = 3;

/// Draws it.
pub(super) fn draw(flow: &mut Flow, statistics: &Statistics) {
    let say = flow.say();
    let columns = vec![
        Column::new(say.text("line-column-of-heads"), ABOUT, Align::Left).naming(),
        Column::new(say.text("line-column-says"), flow.measure() - ABOUT, Align::Left),
    ];
    let line = |(about, text): (&'static str, String)| {
        Line::new(vec![Cell::Text(about.to_owned()), Cell::Text(text)])
    };
    let lines = facts(statistics, say).into_iter().map(line).collect();
    let caption = say.text("line-heading");
    let table = Table { columns, lines, caption: caption.to_owned(), note_column: 1, place: Place::PAGE };
    flow.heading(caption, table.least_height());
    table.draw(flow);
    let cautions = [
        ("line-caution-about-control", "line-caution-control"),
        ("line-caution-about-places", "line-caution-places"),
        ("line-caution-about-limits", "line-caution-limits"),
        ("line-caution-about-manual", "line-caution-manual"),
    ];
    flow.heading(say.text("line-cautions"), 12.0);
    let cautions = cautions.map(|(about, text)| (say.text(about), say.text(text).to_owned()));
    cautions::draw_items(flow, &cautions);
}

/// What is told, each with what it is about.
fn facts(statistics: &Statistics, say: Say) -> Vec<(&'static str, String)> {
    let heads = &statistics.heads;
    let mut facts = vec![(say.text("line-heads-counted"), counted(heads, say))];
    if heads.counted > 0 {
        facts.push((say.text("label-disposition"), dispositions(heads, say)));
    }
    let of = |id, one: &Option<Share>| {
        let one = one.as_ref()?;
        let values = [("share", share(one, say).into()), ("count", one.count.into()), ("of", one.of.into())];
        Some((say.text(id), say.with("line-share", &values)))
    };
    facts.extend(of("line-first-pass-yield", &heads.first_pass_yield));
    facts.extend(of("line-concession-rate", &heads.concession_rate));
    facts.push((say.text("line-not-counted"), not_counted(heads, say)));
    facts.push((say.text("line-in-control"), control(statistics, say)));
    facts.extend(worst(statistics, say));
    facts.extend(outstanding(statistics, say));
    facts.push((say.text("line-selection"), selection(&statistics.selection, say)));
    let how = [
        ("confidence", level(statistics.confidence, say).into()),
        ("rules", rule_set(statistics.run_rules, say).into()),
    ];
    facts.push((say.text("line-how"), say.with("line-how-says", &how)));
    facts
}

fn counted(heads: &HeadCounts, say: Say) -> String {
    let when =
        |time: &Option<String>| time.as_deref().map_or_else(|| "–".to_owned(), |time| moment(time, say));
    match (&heads.measured_from, &heads.measured_to) {
        (None, None) => heads.counted.to_string(),
        (from, to) => {
            let values =
                [("count", heads.counted.into()), ("from", when(from).into()), ("to", when(to).into())];
            say.with("line-heads-measured", &values)
        }
    }
}

/// What became of the heads, of each stage by itself where there are several.
fn dispositions(heads: &HeadCounts, say: Say) -> String {
    let of = |of: &StageCounts| {
        let values = [("stage", sentence(stage(of.stage, say)).into()), ("says", counts(of, say).into())];
        say.with("line-of-stage", &values)
    };
    let said: Vec<String> = heads.by_stage.iter().map(of).collect();
    said.join("; ")
}

fn counts(heads: &StageCounts, say: Say) -> String {
    let counts = [
        ("accept", heads.accept),
        ("rework", heads.rework),
        ("incomplete", heads.incomplete),
        ("reject", heads.reject),
    ];
    let of = |(code, count): (&str, u64)| {
        say.with(
            "heads-of-disposition",
            &[("count", count.into()), ("disposition", disposition(code, say).into())],
        )
    };
    counts.map(of).join(" · ")
}

fn not_counted(heads: &HeadCounts, say: Say) -> String {
    let values = [
        ("superseded", heads.superseded.into()),
        ("without", heads.without_values.into()),
        ("left-out", heads.values_left_out.into()),
    ];
    say.with("line-not-counted-says", &values)
}

/// What stands out of benches, cutters, gauges and operators, where any were posted.
fn outstanding(statistics: &Statistics, say: Say) -> Option<(&'static str, String)> {
    if statistics.characteristics.iter().all(|of| of.groups.is_empty()) {
        return None;
    }
    let found = standing_out(statistics, say);
    let said =
        if found.is_empty() { say.text("line-stands-out-none").to_owned() } else { found.join(" · ") };
    Some((say.text("line-stands-out"), said))
}

/// How many charts signal.
fn control(statistics: &Statistics, say: Say) -> String {
    let charts = statistics.characteristics.iter().filter_map(|of| of.chart.as_ref());
    let (all, signalling) = charts.fold((0_u64, 0_u64), |(all, signalling), chart| {
        (all + 1, signalling + u64::from(chart.signal_count > 0))
    });
    let values = [
        ("signalling", signalling.into()),
        ("charts", all.into()),
        ("chance", by_chance(statistics.run_rules).into()),
    ];
    let said = say.with("line-in-control-says", &values);
    let fewest = u64::from(ENOUGH_GROUPS);
    if all > 0 && statistics.heads.counted < fewest {
        return format!("{said} {}", say.with("line-few-heads", &[("fewest", fewest.into())]));
    }
    said
}

/// Where the process can do the least; sets as received say nothing of it.
fn worst(statistics: &Statistics, say: Say) -> Option<(&'static str, String)> {
    let with =
        |of: &'_ CharacteristicStatistics| of.capability.as_ref().map(|capability| capability.ppk.value);
    let mut ranked: Vec<(&CharacteristicStatistics, f64)> =
        of_the_work(statistics).filter_map(|of| Some((of, with(of)?))).collect();
    ranked.sort_by(|(_, one), (_, other)| one.total_cmp(other));
    let named: Vec<String> = ranked
        .into_iter()
        .take(WORST)
        .map(|(of, ppk)| {
            let name = name(&of.characteristic, of.service, say);
            format!("{name}, {}: {}", stage(of.stage, say), bare_index(ppk, say))
        })
        .collect();
    (!named.is_empty()).then(|| (say.text("line-least-ppk"), named.join(" · ")))
}

/// What was measured of the work: sets as received say nothing of it.
pub(super) fn of_the_work(statistics: &Statistics) -> impl Iterator<Item = &CharacteristicStatistics> {
    statistics.characteristics.iter().filter(|of| of.stage != Stage::AsReceived)
}

/// What was asked for.
pub(super) fn selection(selection: &Selection, say: Say) -> String {
    let Selection { batch, from, to, stage: of_stage, profile, bench, cutter, operator, characteristic } =
        selection;
    let batch = batch.map(|batch| batch.to_string());
    let time = |time: &Option<String>| time.as_deref().map(|time| moment(time, say));
    let asked = [
        ("line-selection-batch", batch),
        ("line-selection-from", time(from)),
        ("line-selection-to", time(to)),
        ("line-selection-stage", of_stage.map(|of| stage(of, say).to_owned())),
        ("line-selection-profile", profile.clone()),
        ("line-selection-bench", bench.clone()),
        ("line-selection-cutter", cutter.clone()),
        ("line-selection-operator", operator.clone()),
        ("line-selection-characteristic", characteristic.as_deref().map(|id| say.title(id).into_owned())),
    ];
    let said: Vec<String> =
        asked.into_iter().filter_map(|(id, value)| Some(say.with(id, &[("value", value?.into())]))).collect();
    if said.is_empty() { say.text("line-selection-all").to_owned() } else { said.join(" · ") }
}
