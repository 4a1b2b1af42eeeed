//! A line per cylinder, and what all of them share.

use headproof_judge::{Characteristic, Scope};
use headproof_quantity::Kind;
use headproof_texts::Say;
use headproof_wire::{CompressionTerms, Layout, Reading};

use crate::canvas::{Ink, Pen};
use crate::flow::{Flow, LEFT, continued};
use crate::format::sign;
use crate::identity::reading_text;
use crate::structure::{Heads, Tag};
use crate::text::{Style, wrap};
use crate::words::cylinder_name;

use super::WorksheetInput;
use super::bounds::{Bounds, Word};
use super::entry::{BAND, BOX, Block, Entry, Field, draw_band, with_whole_words, write_box};
use super::wanted::Wanted;

/// Width of the cylinder's number.
const NUMBER: f32 = 24.0;
const ROW: f32 = BOX + 0.9;
const GAP: f32 = 2.0;

/// One column of the table.
struct Column {
    name: String,
    bounds: Option<Bounds>,
}

impl Column {
    fn of(row: &Characteristic, input: &WorksheetInput<'_>, wanted: &Wanted<'_>) -> Self {
        let sign = sign(input.units.unit(row.kind()));
        let title = input.say().title(row.id.as_str());
        let name = if sign.is_empty() { title.into_owned() } else { format!("{title}, {sign}") };
        Self { name, bounds: wanted.bounds(row.id.as_str(), None) }
    }

    /// Its limits, a text for each use.
    fn figures(&self, say: Say) -> Vec<String> {
        let Some(bounds) = &self.bounds else { return Vec::new() };
        let mut texts: Vec<String> = Vec::new();
        for (word, pair) in bounds.lines() {
            texts.extend((word == Word::AsReceived).then(|| say.text("blank-as-received").to_owned()));
            let signed = [("≥", &pair.lower), ("≤", &pair.upper)];
            let limits = signed.iter().filter_map(|(sign, n)| n.as_ref().map(|n| format!("{sign}\u{A0}{n}")));
            texts.push(limits.collect::<Vec<_>>().join(" "));
        }
        let nominal = bounds.nominal.as_ref();
        texts.extend(nominal.map(|amount| say.with("blank-nominal-amount", &[("amount", amount.into())])));
        texts
    }

    /// Its head: name and limits, line by line.
    fn head(&self, width: f32, say: Say) -> Vec<(Style, String)> {
        let figures = self.figures(say).into_iter().map(|text| (Style::TABLE, text));
        let texts = std::iter::once((self.style(width), self.name.clone())).chain(figures);
        texts
            .flat_map(|(style, text)| {
                let lines: Vec<String> = wrap(style, width, &text).into_iter().map(str::to_owned).collect();
                lines.into_iter().map(move |line| (style, line))
            })
            .collect()
    }

    fn style(&self, width: f32) -> Style {
        let required = self.bounds.as_ref().is_some_and(|bounds| bounds.required);
        with_whole_words(if required { Style::TABLE_STRONG } else { Style::TABLE }, width, &self.name)
    }
}

/// Draws them, where the profile limits something of a cylinder or compares cylinders.
pub(super) fn draw(flow: &mut Flow, input: &WorksheetInput<'_>, wanted: &Wanted<'_>) {
    let of_chamber = ["chamber-spread", "compression-ratio", "compression-ratio-spread"];
    let needs_volume = of_chamber.iter().any(|id| wanted.is_wanted(id, None));
    let needs_terms = of_chamber.iter().skip(1).any(|id| wanted.is_wanted(id, None));
    let rows = headproof_judge::table().filter(|row| row.scope() == Scope::Cylinder).filter(|row| {
        let id = row.id.as_str();
        wanted.is_limited(id, None) || (id == "chamber-volume" && needs_volume)
    });
    let columns: Vec<Column> = rows.map(|row| Column::of(row, input, wanted)).collect();
    let say = input.say();
    let shared = Block {
        title: say.text("blank-all-cylinders"),
        of: None,
        entries: shared(input, wanted, needs_terms),
    };
    if columns.is_empty() && shared.entries.is_empty() {
        return;
    }
    flow.heading(
        say.text("rows-cylinders"),
        if columns.is_empty() { shared.least_height() } else { BAND + 30.0 },
    );
    if !columns.is_empty() {
        draw_table(flow, input.layout, &columns);
    }
    if !shared.entries.is_empty() {
        flow.gap(1.0);
        shared.draw(flow);
    }
}

fn draw_table(flow: &mut Flow, layout: &Layout, columns: &[Column]) {
    let say = flow.say();
    draw_band(flow, say.text("blank-each-cylinder"), None);
    let width = (flow.measure() - NUMBER + GAP) / columns.len() as f32;
    flow.canvas().structure.open(Tag::Table);
    draw_names(flow, columns, width);
    for cylinder in 1..=layout.cylinders {
        if flow.ensure(ROW) {
            let again = continued(say.text("rows-cylinders"), say);
            flow.continued(LEFT, flow.measure(), &again);
            flow.canvas().structure.open(Tag::Artifact);
            draw_names(flow, columns, width);
            flow.canvas().structure.close();
        }
        flow.canvas().structure.open(Tag::Row);
        flow.canvas().structure.open(Tag::Header(Heads::Beside, 1));
        let style = Style::STRONG;
        let text = cylinder_name(cylinder, say);
        let at = (LEFT, flow.y + (BOX + style.cap_height()) / 2.0);
        flow.canvas().text(style.face, style.size, style.ink, at, &text);
        flow.canvas().structure.close();
        for n in 0..columns.len() {
            flow.canvas().structure.open(Tag::Cell(1));
            flow.canvas().structure.close();
            let at = (LEFT + NUMBER + n as f32 * width, flow.y);
            write_box(flow, at, width - GAP);
        }
        flow.canvas().structure.close();
        flow.y += ROW;
    }
    flow.canvas().structure.close();
}

fn draw_names(flow: &mut Flow, columns: &[Column], width: f32) {
    let say = flow.say();
    let heads: Vec<_> = columns.iter().map(|column| column.head(width - GAP, say)).collect();
    let leading = Style::TABLE.leading();
    flow.canvas().structure.open(Tag::Row);
    // Nothing stands over the numbers.
    flow.canvas().structure.open(Tag::Cell(1));
    flow.canvas().structure.close();
    for (n, head) in heads.iter().enumerate() {
        let x = LEFT + NUMBER + n as f32 * width;
        flow.canvas().structure.open(Tag::Header(Heads::Below, 1));
        for (line, (style, text)) in head.iter().enumerate() {
            let base = flow.y + 0.6 + line as f32 * leading + style.ascent();
            flow.canvas().text(style.face, style.size, style.ink, (x, base), text);
        }
        flow.canvas().structure.close();
    }
    flow.canvas().structure.close();
    flow.y += heads.iter().map(Vec::len).max().unwrap_or(0) as f32 * leading + 1.6;
    let (y, right) = (flow.y, flow.right());
    flow.canvas().line(Pen::new(Ink::Black, 0.5), &[(LEFT, y), (right, y)]);
    flow.y += 0.6;
}

/// What is read or compared for all cylinders together.
fn shared(input: &WorksheetInput<'_>, wanted: &Wanted<'_>, terms: bool) -> Vec<Entry> {
    let (mut entries, say) = (Vec::new(), input.say());
    if terms {
        let units = [Kind::Length, Kind::Volume].map(|kind| sign(input.units.unit(kind)));
        entries.push(Entry {
            name: format!("{}, {}", say.text("blank-compression-terms"), units.join(", ")),
            note: Some(say.text("blank-note-compression")),
            bounds: None,
            field: Field::Strip(known_terms(input.layout.compression.as_ref(), say)),
        });
    }
    for id in ["chamber-spread", "compression-ratio-spread"] {
        if let Some(bounds) = wanted.bounds(id, None)
            && let Some(row) = headproof_judge::characteristic(id)
        {
            let Column { name, .. } = Column::of(row, input, wanted);
            entries.push(Entry { name, note: None, bounds: Some(bounds), field: Field::One });
        }
    }
    entries
}

/// The terms with what the layout says of them.
fn known_terms(terms: Option<&CompressionTerms>, say: Say) -> Vec<(String, Option<String>)> {
    let given = terms.cloned().unwrap_or_default();
    let terms = [
        ("blank-term-bore", given.bore),
        ("blank-term-stroke", given.stroke),
        ("blank-term-gasket-bore", given.gasket_bore),
        ("blank-term-gasket-thickness", given.gasket_thickness),
        ("blank-term-deck-clearance", given.deck_clearance),
        ("blank-term-piston-volume", given.piston_volume),
        ("blank-term-prechamber", given.prechamber),
        ("blank-term-crevice", given.crevice),
    ];
    let text = |reading: &Reading| reading_text(reading, say);
    terms.into_iter().map(|(name, known)| (say.text(name).to_owned(), known.as_ref().map(text))).collect()
}
