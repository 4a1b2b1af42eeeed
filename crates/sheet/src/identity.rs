//! Which head, for whom, measured when, where and by whom, against what.

use headproof_quantity::Kind;
use headproof_wire::{MeasurementSet, Reading};
use time::OffsetDateTime;
use time::format_description::well_known::Rfc3339;
use time::macros::format_description;

use crate::SheetInput;
use crate::canvas::{Ink, Pen};
use crate::flow::{Flow, LEFT};
use crate::format::{as_written, sign};
use crate::text::{Style, wrap};
use crate::words::{layout, material, stage};

const COLUMNS: usize = 4;
const VALUE: Style = Style::BODY;
const GUTTER: f32 = 3.0;
/// A value of more lines gets more columns.
const MOST_LINES: usize = 2;
const AFTER: f32 = 0.9;

/// One labelled value and over how many columns it stands.
struct Field {
    label: &'static str,
    value: String,
    columns: usize,
    style: Style,
}

impl Field {
    fn lines(&self, column: f32) -> Vec<&str> {
        wrap(self.style, column * self.columns as f32 - GUTTER, &self.value)
    }
}

/// The block, laid out but not yet drawn.
pub(crate) struct Identity {
    rows: Vec<Vec<Field>>,
    column: f32,
}

impl Identity {
    /// Lays out the identity of one head over a width.
    pub(crate) fn new(input: &SheetInput<'_>, measure: f32) -> Self {
        let mut rows: Vec<Vec<Field>> = Vec::new();
        let column = measure / COLUMNS as f32;
        for mut field in fields(input) {
            while field.columns < COLUMNS && field.lines(column).len() > MOST_LINES {
                field.columns *= 2;
            }
            let taken = |row: &Vec<Field>| row.iter().map(|field| field.columns).sum::<usize>();
            match rows.last_mut() {
                Some(row) if taken(row) + field.columns <= COLUMNS => row.push(field),
                _ => rows.push(vec![field]),
            }
        }
        Self { rows, column }
    }

    fn row_height(&self, row: &[Field]) -> f32 {
        let deepest = row.iter().map(|field| field.lines(self.column).len()).max().unwrap_or(1);
        Style::LABEL.leading() + deepest as f32 * VALUE.leading() + AFTER
    }

    /// Height it takes.
    pub(crate) fn height(&self) -> f32 {
        5.0 + self.rows.iter().map(|row| self.row_height(row)).sum::<f32>()
    }

    /// Draws it.
    pub(crate) fn draw(&self, flow: &mut Flow) {
        flow.gap(4.0);
        let (y, right) = (flow.y, flow.right());
        flow.canvas().line(Pen::new(Ink::Black, 0.5), &[(LEFT, y), (right, y)]);
        flow.y += 1.0;
        for row in &self.rows {
            flow.ensure(self.row_height(row));
            let mut x = LEFT;
            for field in row {
                let label = Style::LABEL;
                let base = flow.y + label.ascent();
                flow.canvas().structure.begin_item();
                flow.canvas().text(label.face, label.size, label.ink, (x, base), field.label);
                flow.canvas().structure.begin_body();
                for (n, line) in field.lines(self.column).iter().enumerate() {
                    let base = flow.y + label.leading() + n as f32 * VALUE.leading() + VALUE.ascent();
                    let style = field.style;
                    flow.canvas().text(style.face, style.size, style.ink, (x, base), line);
                }
                flow.canvas().structure.end_item();
                x += self.column * field.columns as f32;
            }
            flow.y += self.row_height(row);
        }
    }
}

fn fields(input: &SheetInput<'_>) -> Vec<Field> {
    let SheetInput { set, profile, .. } = input;
    let mut fields = Vec::new();
    let mut add = |label, value: &str, columns| {
        fields.push(Field { label, value: value.to_owned(), columns, style: VALUE });
    };
    let given = |text: &Option<String>| text.clone().unwrap_or_else(|| "–".to_owned());
    let customer = set.customer.as_ref();
    add("Customer", customer.map_or("–", |customer| customer.name.as_str()), 2);
    add("Customer's reference", &given(&customer.and_then(|customer| customer.reference.clone())), 1);
    add("Stage", stage(set.job.stage, input.say()), 1);
    add("Head serial", &set.head.serial, 2);
    add("Job number", &set.job.number, 1);
    add("Engine family", &given(&set.head.engine_family), 1);
    add("Layout", &layout(&set.layout, input.say()), 2);
    add("Casting", &given(&set.head.casting), 1);
    add("Material", &material_words(set), 1);
    add("Measured by", &set.job.measured_by, 1);
    add("Measured at", &moment(&set.job.measured_at), 1);
    add("Bench, cutter, operator", &codes(set), 1);
    add("Temperature of the head", &temperature(set), 1);
    add("Target profile", &format!("{} – {} revision {}", profile.title, profile.id, profile.revision), 2);
    add("Units of this sheet", &units(set), 2);
    let digests = [
        ("SHA-256 of the evaluation", Some(input.evaluation_digest)),
        ("SHA-256 of the measurement set", input.evaluation.measurement_set_digest.as_deref()),
        ("SHA-256 of the profile", input.evaluation.profile.digest.as_deref()),
    ];
    for (label, digest) in digests {
        if let Some(digest) = digest {
            let style = VALUE.fitted(digest, 85.0, 5.5);
            fields.push(Field { label, value: digest.to_owned(), columns: 2, style });
        }
    }
    fields
}

fn material_words(set: &MeasurementSet) -> String {
    let mut words = material(set.head.material, crate::english()).to_owned();
    if set.head.overheated {
        words.push_str(", overheated");
    }
    if set.head.welded {
        words.push_str(", welded before");
    }
    if let Some(hardness) = set.head.hardness {
        words.push_str(&format!(", {} HB", as_written(hardness, crate::english())));
    }
    words
}

fn codes(set: &MeasurementSet) -> String {
    let code = |code: &Option<String>| code.clone().unwrap_or_else(|| "–".to_owned());
    format!("{}, {}, {}", code(&set.job.bench), code(&set.job.cutter), code(&set.job.operator))
}

fn temperature(set: &MeasurementSet) -> String {
    set.job
        .temperature
        .as_ref()
        .map_or_else(|| "–".to_owned(), |reading| format!("{} °C", reading_text(reading)))
}

/// A reading as it was written down; repeats one after the other.
pub(crate) fn reading_text(reading: &Reading) -> String {
    match reading {
        Reading::Plain(number) => as_written(*number, crate::english()),
        Reading::Detailed(detail) => match (&detail.value, &detail.repeats) {
            (Some(value), _) => as_written(*value, crate::english()),
            (None, Some(repeats)) => {
                repeats.iter().map(|n| as_written(*n, crate::english())).collect::<Vec<_>>().join("; ")
            }
            (None, None) => "–".to_owned(),
        },
    }
}

fn units(set: &MeasurementSet) -> String {
    let kinds = [Kind::Length, Kind::Angle, Kind::Force, Kind::Volume, Kind::Pressure, Kind::Roughness];
    kinds.map(|kind| sign(set.units.unit(kind))).join(", ")
}

/// A moment for people: its own local time with its offset.
pub(crate) fn moment(text: &str) -> String {
    let shape = format_description!(
        "[year]-[month]-[day] [hour]:[minute] [offset_hour sign:mandatory]:[offset_minute]"
    );
    OffsetDateTime::parse(text, &Rfc3339)
        .ok()
        .and_then(|moment| moment.format(shape).ok())
        .unwrap_or_else(|| text.to_owned())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_moment_keeps_its_own_offset() {
        assert_eq!(moment("2026-03-01T09:05:30+05:30"), "2026-03-01 09:05 +05:30");
        assert_eq!(moment("2026-03-01T09:05:30Z"), "2026-03-01 09:05 +00:00");
        assert_eq!(moment("some day"), "some day");
    }
}
