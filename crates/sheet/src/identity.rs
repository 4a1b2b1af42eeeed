//! Which head, for whom, measured when, where and by whom, against what.

use headproof_quantity::Kind;
use headproof_texts::Say;
use headproof_wire::{MeasurementSet, Reading};

use crate::SheetInput;
use crate::canvas::{Ink, Pen};
use crate::dates::moment;
use crate::flow::{Flow, LEFT};
use crate::format::{as_written, sign};
use crate::text::{Style, wrap};
use crate::words::{layout, material, profile_name, stage};

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
    let say = input.say();
    let mut fields = Vec::new();
    let mut add = |label, value: &str, columns| {
        fields.push(Field { label: say.text(label), value: value.to_owned(), columns, style: VALUE });
    };
    let given = |text: &Option<String>| text.clone().unwrap_or_else(|| "–".to_owned());
    let customer = set.customer.as_ref();
    add("label-customer", customer.map_or("–", |customer| customer.name.as_str()), 2);
    add("label-customer-reference", &given(&customer.and_then(|customer| customer.reference.clone())), 1);
    add("label-stage", stage(set.job.stage, say), 1);
    add("label-head-serial", &set.head.serial, 2);
    add("label-job-number", &set.job.number, 1);
    add("label-engine-family", &given(&set.head.engine_family), 1);
    add("label-layout", &layout(&set.layout, say), 2);
    add("label-casting", &given(&set.head.casting), 1);
    add("label-material", &material_words(set, say), 1);
    add("label-measured-by", &set.job.measured_by, 1);
    add("label-measured-at", &moment(&set.job.measured_at, say), 1);
    add("label-bench-cutter-operator", &codes(set), 1);
    add("label-head-temperature", &temperature(set, say), 1);
    let name = profile_name(&profile.id, &profile.revision, say);
    add("label-target-profile", &format!("{} – {name}", profile.title), 2);
    add("label-units", &units(set), 2);
    let digests = [
        ("label-evaluation-digest", Some(input.evaluation_digest)),
        ("label-measurement-set-digest", input.evaluation.measurement_set_digest.as_deref()),
        ("label-profile-digest", input.evaluation.profile.digest.as_deref()),
    ];
    for (label, digest) in digests {
        if let Some(digest) = digest {
            let style = VALUE.fitted(digest, 85.0, 5.5);
            fields.push(Field { label: say.text(label), value: digest.to_owned(), columns: 2, style });
        }
    }
    fields
}

/// The material with what is known of it, one after the other.
fn material_words(set: &MeasurementSet, say: Say) -> String {
    let mut words = vec![material(set.head.material, say).to_owned()];
    let past = [(set.head.overheated, "material-overheated"), (set.head.welded, "material-welded")];
    words.extend(past.iter().filter(|(is, _)| *is).map(|(_, word)| say.text(word).to_owned()));
    words.extend(set.head.hardness.map(|hardness| format!("{} HB", as_written(hardness, say))));
    words.join(", ")
}

fn codes(set: &MeasurementSet) -> String {
    let code = |code: &Option<String>| code.clone().unwrap_or_else(|| "–".to_owned());
    format!("{}, {}, {}", code(&set.job.bench), code(&set.job.cutter), code(&set.job.operator))
}

fn temperature(set: &MeasurementSet, say: Say) -> String {
    set.job
        .temperature
        .as_ref()
        .map_or_else(|| "–".to_owned(), |reading| format!("{} °C", reading_text(reading, say)))
}

/// A reading as it was written down; repeats one after the other.
pub(crate) fn reading_text(reading: &Reading, say: Say) -> String {
    match reading {
        Reading::Plain(number) => as_written(*number, say),
        Reading::Detailed(detail) => match (&detail.value, &detail.repeats) {
            (Some(value), _) => as_written(*value, say),
            (None, Some(repeats)) => {
                repeats.iter().map(|n| as_written(*n, say)).collect::<Vec<_>>().join("; ")
            }
            (None, None) => "–".to_owned(),
        },
    }
}

fn units(set: &MeasurementSet) -> String {
    let kinds = [Kind::Length, Kind::Angle, Kind::Force, Kind::Volume, Kind::Pressure, Kind::Roughness];
    kinds.map(|kind| sign(set.units.unit(kind))).join(", ")
}
