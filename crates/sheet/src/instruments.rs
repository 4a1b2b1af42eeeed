//! The gauges behind the readings.

use headproof_quantity::Kind;
use headproof_wire::{MeasurementSet, Measures};

use crate::flow::{Flow, LEFT};
use crate::format::{as_written, plain, sign};
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::text::Style;

/// Draws the table of instruments.
pub(crate) fn draw(flow: &mut Flow, set: &MeasurementSet) {
    let columns = vec![
        Column::new("Instrument", 30.0, Align::Left),
        Column::new("Kind", flow.measure() - 146.0, Align::Left),
        Column::new("Measures", 22.0, Align::Left),
        Column::new("Unit", 12.0, Align::Left),
        Column::new("U of one reading", 20.0, Align::Point),
        Column::new("k", 10.0, Align::Right),
        Column::new("Shared error", 14.0, Align::Right),
        Column::new("Resolution", 18.0, Align::Point),
        Column::new("Calibration holds until", 20.0, Align::Snug),
    ];
    let lines = set.instruments.iter().map(|instrument| {
        let (word, kind) = measures(instrument.measures);
        Line::new(vec![
            Cell::Text(instrument.id.clone()),
            Cell::Text(instrument.description.clone()),
            Cell::Text(word.to_owned()),
            Cell::Text(sign(set.units.unit(kind)).to_owned()),
            Cell::Text(as_written(instrument.expanded_uncertainty, crate::english())),
            Cell::Text(as_written(instrument.coverage_factor, crate::english())),
            Cell::Text(percent_of(instrument.correlation.unwrap_or(0.0))),
            Cell::figure(instrument.resolution.map(|amount| as_written(amount, crate::english()))),
            Cell::Text(instrument.calibration_due.clone().unwrap_or_else(|| "not stated".to_owned())),
        ])
    });
    let caption = "Instruments".to_owned();
    let table = Table { columns, lines: lines.collect(), caption, note_column: 0, place: Place::PAGE };
    flow.heading("Instruments", table.least_height());
    if table.lines.is_empty() {
        flow.paragraph(Style::BODY, LEFT, flow.measure(), "No instrument was named.");
    } else {
        table.draw(flow);
    }
}

/// A share in whole per cent; a dash for none.
fn percent_of(share: f64) -> String {
    if share > 0.0 { format!("{} %", plain(100.0 * share, 0)) } else { "–".to_owned() }
}

const fn measures(measures: Measures) -> (&'static str, Kind) {
    match measures {
        Measures::Length => ("lengths", Kind::Length),
        Measures::Angle => ("angles", Kind::Angle),
        Measures::Force => ("forces", Kind::Force),
        Measures::Volume => ("volumes", Kind::Volume),
        Measures::Pressure => ("pressures", Kind::Pressure),
        Measures::Roughness => ("roughness", Kind::Roughness),
        Measures::Temperature => ("temperatures", Kind::Temperature),
        Measures::Time => ("durations", Kind::Time),
    }
}
