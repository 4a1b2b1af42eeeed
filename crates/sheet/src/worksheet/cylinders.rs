//! A line per cylinder, and what all of them share.

use headproof_judge::{Characteristic, Scope};
use headproof_quantity::Kind;
use headproof_wire::{CompressionTerms, Layout};

use crate::canvas::{Ink, Pen};
use crate::flow::{Flow, LEFT};
use crate::format::sign;
use crate::identity::reading_text;
use crate::text::{Style, wrap};

use super::WorksheetInput;
use super::bounds::{Bounds, Word};
use super::entry::{BAND, BOX, Block, Entry, Field, draw_band, write_box};
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
        let name = if sign.is_empty() { row.title.to_owned() } else { format!("{}, {sign}", row.title) };
        Self { name, bounds: wanted.bounds(row.id.as_str(), None) }
    }

    /// Its limits, a text for each use.
    fn figures(&self) -> Vec<String> {
        let Some(bounds) = &self.bounds else { return Vec::new() };
        let mut texts: Vec<String> = Vec::new();
        for (word, pair) in bounds.lines() {
            texts.extend((word == Word::AsReceived).then(|| "as received:".to_owned()));
            let signed = [("≥", &pair.lower), ("≤", &pair.upper)];
            let limits = signed.iter().filter_map(|(sign, n)| n.as_ref().map(|n| format!("{sign}\u{A0}{n}")));
            texts.push(limits.collect::<Vec<_>>().join(" "));
        }
        texts.extend(bounds.nominal.as_ref().map(|nominal| format!("nominal {nominal}")));
        texts
    }

    /// Its head: name and limits, line by line.
    fn head(&self, width: f32) -> Vec<(Style, String)> {
        let figures = self.figures().into_iter().map(|text| (Style::TABLE, text));
        let texts = std::iter::once((self.style(), self.name.clone())).chain(figures);
        texts
            .flat_map(|(style, text)| {
                let lines: Vec<String> = wrap(style, width, &text).into_iter().map(str::to_owned).collect();
                lines.into_iter().map(move |line| (style, line))
            })
            .collect()
    }

    fn style(&self) -> Style {
        let required = self.bounds.as_ref().is_some_and(|bounds| bounds.required);
        if required { Style::TABLE_STRONG } else { Style::TABLE }
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
    let shared =
        Block { title: "All cylinders".into(), of: None, entries: shared(input, wanted, needs_terms) };
    if columns.is_empty() && shared.entries.is_empty() {
        return;
    }
    flow.heading("Cylinders", if columns.is_empty() { shared.least_height() } else { BAND + 30.0 });
    if !columns.is_empty() {
        draw_table(flow, input.layout, &columns);
    }
    if !shared.entries.is_empty() {
        flow.gap(1.0);
        shared.draw(flow);
    }
}

fn draw_table(flow: &mut Flow, layout: &Layout, columns: &[Column]) {
    draw_band(flow, "Each cylinder", None);
    let width = (flow.measure() - NUMBER + GAP) / columns.len() as f32;
    draw_names(flow, columns, width);
    for cylinder in 1..=layout.cylinders {
        if flow.ensure(ROW) {
            flow.paragraph(Style::STRONG, LEFT, flow.measure(), "Cylinders (continued)");
            draw_names(flow, columns, width);
        }
        let style = Style::STRONG;
        let text = format!("Cylinder {cylinder}");
        let at = (LEFT, flow.y + (BOX + style.cap_height()) / 2.0);
        flow.canvas().text(style.face, style.size, style.ink, at, &text);
        for n in 0..columns.len() {
            let at = (LEFT + NUMBER + n as f32 * width, flow.y);
            write_box(flow, at, width - GAP);
        }
        flow.y += ROW;
    }
}

fn draw_names(flow: &mut Flow, columns: &[Column], width: f32) {
    let heads: Vec<_> = columns.iter().map(|column| column.head(width - GAP)).collect();
    let leading = Style::TABLE.leading();
    for (n, head) in heads.iter().enumerate() {
        let x = LEFT + NUMBER + n as f32 * width;
        for (line, (style, text)) in head.iter().enumerate() {
            let base = flow.y + 0.6 + line as f32 * leading + style.ascent();
            flow.canvas().text(style.face, style.size, style.ink, (x, base), text);
        }
    }
    flow.y += heads.iter().map(Vec::len).max().unwrap_or(0) as f32 * leading + 1.6;
    let (y, right) = (flow.y, flow.right());
    flow.canvas().line(Pen::new(Ink::Black, 0.5), &[(LEFT, y), (right, y)]);
    flow.y += 0.6;
}

/// What is read or compared for all cylinders together.
fn shared(input: &WorksheetInput<'_>, wanted: &Wanted<'_>, terms: bool) -> Vec<Entry> {
    let mut entries = Vec::new();
    if terms {
        let units = [Kind::Length, Kind::Volume].map(|kind| sign(input.units.unit(kind)));
        entries.push(Entry {
            name: format!("Terms of the compression ratio, {}", units.join(", ")),
            note: Some("deck: piston + below, − proud; piston: + dish, − dome".into()),
            bounds: None,
            field: Field::Strip(known_terms(input.layout.compression.as_ref())),
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
fn known_terms(terms: Option<&CompressionTerms>) -> Vec<(String, Option<String>)> {
    let given = terms.cloned().unwrap_or_default();
    let terms = [
        ("bore", given.bore),
        ("stroke", given.stroke),
        ("gasket bore", given.gasket_bore),
        ("gasket, pressed", given.gasket_thickness),
        ("deck clearance", given.deck_clearance),
        ("piston volume", given.piston_volume),
        ("pre-chamber", given.prechamber),
        ("crevice", given.crevice),
    ];
    terms
        .into_iter()
        .map(|(name, known)| {
            (name.to_owned(), known.as_ref().map(|reading| reading_text(reading, crate::english())))
        })
        .collect()
}
