//! The gauges behind the readings.

use headproof_quantity::Kind;
use headproof_wire::{MeasurementSet, Measures};

use crate::flow::{Flow, LEFT};
use crate::format::{as_written, plain, sign};
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::text::Style;

/// Draws the table of instruments.
pub(crate) fn draw(flow: &mut Flow, set: &MeasurementSet) {
    let say = flow.say();
    let columns = vec![
        Column::new(say.text("column-instrument"), 30.0, Align::Left),
        Column::new(say.text("column-kind"), flow.measure() - 146.0, Align::Left),
        Column::new(say.text("column-measures"), 22.0, Align::Left),
        Column::new(say.text("column-unit"), 12.0, Align::Left),
        Column::new(say.text("column-uncertainty-of-reading"), 20.0, Align::Point),
        Column::new("k", 10.0, Align::Right),
        Column::new(say.text("column-shared-error"), 14.0, Align::Right),
        Column::new(say.text("column-resolution"), 18.0, Align::Point),
        Column::new(say.text("column-calibration"), 20.0, Align::Snug),
    ];
    let lines = set.instruments.iter().map(|instrument| {
        let (word, kind) = measures(instrument.measures);
        Line::new(vec![
            Cell::Text(instrument.id.clone()),
            Cell::Text(instrument.description.clone()),
            Cell::Text(say.text(word).to_owned()),
            Cell::Text(sign(set.units.unit(kind)).to_owned()),
            Cell::Text(as_written(instrument.expanded_uncertainty, say)),
            Cell::Text(as_written(instrument.coverage_factor, say)),
            Cell::Text(percent_of(instrument.correlation.unwrap_or(0.0))),
            Cell::figure(instrument.resolution.map(|amount| as_written(amount, say))),
            Cell::Text(match &instrument.calibration_due {
                Some(due) => say.day(due).into_owned(),
                None => say.text("calibration-not-stated").to_owned(),
            }),
        ])
    });
    let caption = say.text("instruments").to_owned();
    let table = Table { columns, lines: lines.collect(), caption, note_column: 0, place: Place::PAGE };
    flow.heading(&table.caption, table.least_height());
    if table.lines.is_empty() {
        flow.paragraph(Style::BODY, LEFT, flow.measure(), say.text("instruments-none"));
    } else {
        table.draw(flow);
    }
}

/// A share in whole per cent; a dash for none.
fn percent_of(share: f64) -> String {
    if share > 0.0 { format!("{} %", plain(100.0 * share, 0)) } else { "–".to_owned() }
}

/// The message that says what an instrument measures, and the kind of its amounts.
const fn measures(measures: Measures) -> (&'static str, Kind) {
    match measures {
        Measures::Length => ("measures-lengths", Kind::Length),
        Measures::Angle => ("measures-angles", Kind::Angle),
        Measures::Force => ("measures-forces", Kind::Force),
        Measures::Volume => ("measures-volumes", Kind::Volume),
        Measures::Pressure => ("measures-pressures", Kind::Pressure),
        Measures::Roughness => ("measures-roughness", Kind::Roughness),
        Measures::Temperature => ("measures-temperatures", Kind::Temperature),
        Measures::Time => ("measures-durations", Kind::Time),
    }
}
