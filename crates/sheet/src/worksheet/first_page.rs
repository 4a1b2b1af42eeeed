//! Who and what, the code, how to fill it in, the instruments, the order of the bench, and the cautions.

use headproof_quantity::Kind;

use crate::SheetError;
use crate::canvas::{Ink, Pen};
use crate::flow::{Flow, LEFT};
use crate::format::sign;
use crate::structure::{Heads, Tag};
use crate::text::{Style, wrap};
use crate::words::layout;

use super::WorksheetInput;
use super::cautions;
use super::code::{self, Code};
use super::deck::carries_camshaft;
use super::entry::{BOX, tick_boxes, write_box};
use super::parts::{
    ASSEMBLY, CAM_BORES, CONTACT, DECK, GUIDE, LEAK, SEAT, SPRINGS, TESTS, VALVE, wants_grid,
};
use super::wanted::Wanted;

const COLUMNS: usize = 4;
const GAP: f32 = 2.0;
/// Narrowest column beside the title: that of the code and what stands below it.
const BESIDE: f32 = 40.0;
/// Lines of the table of instruments: more than most benches use on one head (common practice, no source).
const INSTRUMENTS: usize = 7;

/// Draws it.
///
/// # Errors
/// That of [`Code::of`].
pub(super) fn draw(
    flow: &mut Flow,
    input: &WorksheetInput<'_>,
    wanted: &Wanted<'_>,
) -> Result<(), SheetError> {
    draw_title(flow, input)?;
    draw_fields(flow, input);
    draw_instruments(flow, input);
    cautions::draw(flow, input, wanted);
    draw_order(flow, input, wanted);
    Ok(())
}

/// Title and identity at the left, the code with its words at the right.
fn draw_title(flow: &mut Flow, input: &WorksheetInput<'_>) -> Result<(), SheetError> {
    let code = Code::of(input)?;
    let beside = code.edge().max(BESIDE);
    let (top, right) = (flow.y, flow.right());
    let width = flow.measure() - beside - 4.0;
    let profile = input.profile;
    flow.paragraph(Style::LABEL.sized(8.0), LEFT, width, "Blank, for readings by hand");
    flow.y += 0.6;
    flow.canvas().structure.open_heading(1);
    flow.paragraph(Style::HEADING.sized(17.0), LEFT, width, "Bench worksheet");
    flow.canvas().structure.close();
    flow.y += 1.0;
    let kinds = [Kind::Length, Kind::Angle, Kind::Force, Kind::Volume, Kind::Pressure, Kind::Roughness];
    let units = kinds.map(|kind| sign(input.units.unit(kind))).join(", ");
    for (label, value) in [
        ("Target profile", format!("{} – {} revision {}", profile.title, profile.id, profile.revision)),
        ("Layout", layout(input.layout, input.say())),
        ("Units of this worksheet", units),
        ("SHA-256 of the profile", input.profile_digest.to_owned()),
    ] {
        flow.canvas().structure.begin_item();
        flow.paragraph(Style::LABEL, LEFT, width, label);
        flow.canvas().structure.begin_body();
        flow.paragraph(Style::BODY.fitted(&value, width, 6.6), LEFT, width, &value);
        flow.canvas().structure.end_item();
        flow.y += 0.7;
    }
    flow.paragraph(Style::BODY, LEFT, width, HOW);
    let left = flow.y;
    flow.y = top;
    flow.canvas().structure.open(Tag::Figure);
    flow.canvas().structure.describe(&code::text(input));
    code.draw(flow.canvas(), (right - beside, top));
    flow.canvas().structure.close();
    flow.y += code.edge() + 0.4;
    for line in beneath(input) {
        flow.canvas().structure.open(Tag::Paragraph);
        for text in wrap(Style::LABEL, beside, &line) {
            let style = Style::LABEL.ink(Ink::Black);
            let at = (right - beside, flow.y + style.ascent());
            flow.canvas().text(style.face, style.size, style.ink, at, text);
            flow.y += style.leading();
        }
        flow.canvas().structure.close();
    }
    flow.y = flow.y.max(left) + 1.5;
    Ok(())
}

const HOW: &str = "One box, one reading, as the gauge shows it, in the unit beside its name. What is printed bold has to \
                   be measured. An empty box says: not measured. Strike a wrong reading through once, write the right \
                   one beside it and sign. Positions round a seat or face go clockwise, seen from the chamber; mark where 12:00 is.";

/// The words below the code: what it ties this paper to.
fn beneath(input: &WorksheetInput<'_>) -> Vec<String> {
    let layout = input.layout;
    let valves = layout.intake_per_cylinder + layout.exhaust_per_cylinder;
    let mut lines = vec![
        format!("Profile {}", input.profile.id),
        format!("Revision {}", input.profile.revision),
        input.say().with(
            "cylinders-of-valves",
            &[("cylinders", layout.cylinders.into()), ("valves", valves.into())],
        ),
    ];
    lines.extend(input.job_number.map(|number| format!("Job {number}")));
    lines.extend(input.head_serial.map(|serial| format!("Head {serial}")));
    lines
}

/// One labelled box, over so many columns.
struct Blank {
    label: String,
    known: Option<String>,
    columns: usize,
}

fn blank(label: &str, columns: usize) -> Blank {
    Blank { label: label.to_owned(), known: None, columns }
}

/// Boxes for who, when and which; what is known is printed into them.
fn draw_fields(flow: &mut Flow, input: &WorksheetInput<'_>) {
    let known = |label: &str, value: Option<&str>, columns| Blank {
        known: value.map(str::to_owned),
        ..blank(label, columns)
    };
    let rows = [
        vec![
            known("Head serial", input.head_serial, 2),
            known("Job number", input.job_number, 1),
            blank("Engine family", 1),
        ],
        vec![blank("Customer", 2), blank("Customer's reference", 1), blank("Casting", 1)],
        vec![
            blank("Measured by", 1),
            blank("Date and time", 1),
            blank("Temperature of the head, °C", 1),
            blank("Bench, cutter, operator", 1),
        ],
    ];
    for row in rows {
        draw_blanks(flow, &row);
    }
    let (measure, y) = (flow.measure(), flow.y + 0.6);
    let half = measure / 2.0;
    tick_boxes(flow, (LEFT, y), half, &["as received", "after rework", "final"]);
    tick_boxes(flow, (LEFT + half, y), half, &["cast iron", "aluminium", "overheated", "welded"]);
    flow.y += BOX + 1.2;
}

fn draw_blanks(flow: &mut Flow, row: &[Blank]) {
    let (label, value) = (Style::LABEL, Style::STRONG);
    let column = (flow.measure() + GAP) / COLUMNS as f32;
    let wrapped = |blank: &Blank| -> Vec<String> {
        let width = column * blank.columns as f32 - GAP - 2.0;
        let known = blank.known.as_deref().unwrap_or_default();
        wrap(value.fitted(known, width, 6.6), width, known).into_iter().map(str::to_owned).collect()
    };
    let deepest = row.iter().map(|blank| wrapped(blank).len()).max().unwrap_or(1);
    let height = BOX.max(deepest as f32 * value.leading() + 1.6);
    flow.ensure(label.leading() + height + 0.8);
    let mut x = LEFT;
    for blank in row {
        let width = column * blank.columns as f32 - GAP;
        let at = (x, flow.y + label.ascent());
        flow.canvas().structure.begin_item();
        flow.canvas().text(label.face, label.size, label.ink, at, &blank.label);
        flow.canvas().structure.begin_body();
        let top = flow.y + label.leading();
        match &blank.known {
            None => write_box(flow, (x, top), width),
            Some(known) => {
                let style = value.fitted(known, width - 2.0, 6.6);
                for (n, line) in wrapped(blank).iter().enumerate() {
                    let at = (x, top + 0.8 + n as f32 * value.leading() + style.ascent());
                    flow.canvas().text(style.face, style.size, style.ink, at, line);
                }
            }
        }
        flow.canvas().structure.end_item();
        x += width + GAP;
    }
    flow.y += label.leading() + height + 0.8;
}

/// The steps of measuring in the order of the bench (common practice, no source); those that nothing of the
/// profile asks for are left out.
fn order(input: &WorksheetInput<'_>, wanted: &Wanted<'_>) -> Vec<&'static str> {
    let cam = CAM_BORES.is_wanted(wanted) || (carries_camshaft(input) && wants_grid(wanted));
    let steps = [
        (true, "Clean. Tag each valve: it stays with its seat."),
        (TESTS.is_wanted(wanted), "Crack test, then pressure test: before any other work is paid for."),
        (cam, "Cam bores: a warped deck is not cut before they are known."),
        (
            DECK.is_wanted(wanted) || wants_grid(wanted),
            "Deck: heights or straightedge, roughness, thickness.",
        ),
        (GUIDE.is_wanted(wanted), "Guides and stems. After work on a guide its seat is read anew."),
        (VALVE.is_wanted(wanted), "Valves: face, margin, tip, groove, neck."),
        (SEAT.is_wanted(wanted), "Seats: on a pilot that fits the guide."),
        (CONTACT.is_wanted(wanted), "Contact band: marking compound, light pressure, no turning."),
        (ASSEMBLY.is_wanted(wanted), "Heights: valve closed on its own seat."),
        (wanted.is_wanted("chamber-volume", None) || wanted.is_wanted("chamber-spread", None), "Chambers."),
        (SPRINGS.is_wanted(wanted), "Springs: each in its place, outer and inner apart."),
        (LEAK.is_wanted(wanted), "Leak test, last: washed and assembled."),
    ];
    steps.into_iter().filter(|(applies, _)| *applies).map(|(_, step)| step).collect()
}

fn draw_order(flow: &mut Flow, input: &WorksheetInput<'_>, wanted: &Wanted<'_>) {
    let steps = order(input, wanted);
    let lines = steps.len().div_ceil(2);
    let row = BOX + 0.9;
    flow.heading("Order of the bench", lines as f32 * row);
    let half = flow.measure() / 2.0;
    let (top, style) = (flow.y, Style::BODY);
    for (n, step) in steps.iter().enumerate() {
        let x = LEFT + (n / lines.max(1)) as f32 * half;
        let y = top + (n % lines.max(1)) as f32 * row;
        write_box(flow, (x, y), BOX);
        let text = format!("{}. {step}", n + 1);
        let width = half - BOX - 4.0;
        let wrapped = wrap(style, width, &text);
        let above = (BOX - wrapped.len() as f32 * style.leading()) / 2.0;
        flow.canvas().structure.begin_bare_item();
        for (n, line) in wrapped.iter().enumerate() {
            let at = (x + BOX + 1.5, y + above + n as f32 * style.leading() + style.ascent());
            flow.canvas().text(style.face, style.size, style.ink, at, line);
        }
        flow.canvas().structure.end_item();
    }
    flow.y = top + lines as f32 * row;
}

/// Columns of the table of instruments with their shares of the width.
const OF_INSTRUMENT: [(&str, f32); 7] = [
    ("Instrument (its id)", 0.22),
    ("Kind", 0.25),
    ("Measures, unit", 0.14),
    ("U of one reading", 0.12),
    ("k", 0.06),
    ("Resolution", 0.09),
    ("Calibration holds until", 0.12),
];

/// The gauges, to be named where they are used.
fn draw_instruments(flow: &mut Flow, input: &WorksheetInput<'_>) {
    let row = BOX + 0.8;
    flow.heading("Instruments", Style::LABEL.leading() + 3.0 * row);
    flow.canvas().structure.open(Tag::Table);
    draw_instrument_names(flow);
    for _ in 0..INSTRUMENTS {
        if flow.ensure(row) {
            flow.canvas().structure.open(Tag::Artifact);
            draw_instrument_names(flow);
            flow.canvas().structure.close();
        }
        let y = flow.y;
        flow.canvas().structure.open(Tag::Row);
        for (x, width, _) in instrument_columns(flow.measure()) {
            flow.canvas().structure.open(Tag::Cell(1));
            flow.canvas().structure.close();
            write_box(flow, (x, y), width);
        }
        flow.canvas().structure.close();
        flow.y += row;
    }
    flow.canvas().structure.close();
    let length = sign(input.units.unit(Kind::Length));
    let text = format!(
        "U: expanded uncertainty with its coverage factor k, in the units above ({length} for lengths). Name the \
         instrument in the band over what it read."
    );
    flow.paragraph(Style::SMALL, LEFT, flow.measure(), &text);
    let (y, right) = (flow.y + 0.8, flow.right());
    flow.canvas().line(Pen::new(Ink::Pale, 0.25), &[(LEFT, y), (right, y)]);
    flow.y = y;
}

/// Left edge, width and name of each column.
fn instrument_columns(measure: f32) -> impl Iterator<Item = (f32, f32, &'static str)> {
    let mut x = LEFT;
    OF_INSTRUMENT.into_iter().map(move |(name, share)| {
        let (left, width) = (x, (measure + 1.0) * share);
        x += width;
        (left, width - 1.0, name)
    })
}

fn draw_instrument_names(flow: &mut Flow) {
    let label = Style::LABEL;
    let base = flow.y + label.ascent();
    flow.canvas().structure.open(Tag::Row);
    for (x, width, name) in instrument_columns(flow.measure()) {
        let style = label.fitted(name, width, 5.0);
        flow.canvas().structure.open(Tag::Header(Heads::Below, 1));
        flow.canvas().text(style.face, style.size, style.ink, (x, base), name);
        flow.canvas().structure.close();
    }
    flow.canvas().structure.close();
    flow.y += label.leading();
}
