//! Who and what, the code, how to fill it in, the instruments, the order of the bench, and the cautions.

use headproof_quantity::Kind;
use headproof_wire::{Material, Stage};

use crate::SheetError;
use crate::canvas::{Ink, Pen};
use crate::flow::{Flow, LEFT};
use crate::format::sign;
use crate::structure::{Heads, Tag};
use crate::text::{Style, wrap};
use crate::words::{layout, material, stage};

use super::cautions;
use super::code;
use super::deck::carries_camshaft;
use super::entry::{BOX, tick_boxes, write_box};
use super::parts::{
    ASSEMBLY, CAM_BORES, CONTACT, DECK, GUIDE, LEAK, SEAT, SPRINGS, TESTS, VALVE, wants_grid,
};
use super::wanted::Wanted;
use super::{WorksheetInput, profile_names};

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
    let code = code::square_code(input)?;
    let beside = code.edge().max(BESIDE);
    let (top, right) = (flow.y, flow.right());
    let width = flow.measure() - beside - 4.0;
    let say = input.say();
    let [id, revision] = profile_names(input);
    let profile = say.with("blank-profile-named", &[("title", (&input.profile.title).into()), id, revision]);
    flow.paragraph(Style::LABEL.sized(8.0), LEFT, width, say.text("blank-for-readings"));
    flow.y += 0.6;
    flow.canvas().structure.open_heading(1);
    flow.paragraph(Style::HEADING.sized(17.0), LEFT, width, say.text("blank-title"));
    flow.canvas().structure.close();
    flow.y += 1.0;
    let kinds = [Kind::Length, Kind::Angle, Kind::Force, Kind::Volume, Kind::Pressure, Kind::Roughness];
    let units = kinds.map(|kind| sign(input.units.unit(kind))).join(", ");
    for (label, value) in [
        (say.text("label-target-profile"), profile),
        (say.text("label-layout"), layout(input.layout, say)),
        (say.text("blank-units"), units),
        (say.text("label-profile-digest"), input.profile_digest.to_owned()),
    ] {
        flow.canvas().structure.begin_item();
        flow.paragraph(Style::LABEL, LEFT, width, label);
        flow.canvas().structure.begin_body();
        flow.paragraph(Style::BODY.fitted(&value, width, 6.6), LEFT, width, &value);
        flow.canvas().structure.end_item();
        flow.y += 0.7;
    }
    flow.paragraph(Style::BODY, LEFT, width, say.text("blank-how-to-fill-in"));
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

/// The words below the code: what it ties this paper to.
fn beneath(input: &WorksheetInput<'_>) -> Vec<String> {
    let (layout, say) = (input.layout, input.say());
    let valves = layout.intake_per_cylinder + layout.exhaust_per_cylinder;
    let [id, revision] = profile_names(input);
    let mut lines = vec![
        say.with("blank-code-profile", &[id]),
        say.with("blank-code-revision", &[revision]),
        say.with("cylinders-of-valves", &[("cylinders", layout.cylinders.into()), ("valves", valves.into())]),
    ];
    lines.extend(input.job_number.map(|number| say.with("blank-code-job", &[("number", number.into())])));
    lines.extend(input.head_serial.map(|serial| say.with("blank-code-head", &[("serial", serial.into())])));
    lines
}

/// One labelled box, over so many columns.
struct Blank {
    label: &'static str,
    known: Option<String>,
    columns: usize,
}

fn blank(label: &'static str, columns: usize) -> Blank {
    Blank { label, known: None, columns }
}

/// Boxes for who, when and which; what is known is printed into them.
fn draw_fields(flow: &mut Flow, input: &WorksheetInput<'_>) {
    let say = input.say();
    let known = |label: &'static str, value: Option<&str>, columns| Blank {
        known: value.map(str::to_owned),
        ..blank(label, columns)
    };
    let rows = [
        vec![
            known(say.text("label-head-serial"), input.head_serial, 2),
            known(say.text("label-job-number"), input.job_number, 1),
            blank(say.text("label-engine-family"), 1),
        ],
        vec![
            blank(say.text("label-customer"), 2),
            blank(say.text("label-customer-reference"), 1),
            blank(say.text("label-casting"), 1),
        ],
        vec![
            blank(say.text("label-measured-by"), 1),
            blank(say.text("blank-date-and-time"), 1),
            blank(say.text("blank-head-temperature"), 1),
            blank(say.text("label-bench-cutter-operator"), 1),
        ],
    ];
    for row in rows {
        draw_blanks(flow, &row);
    }
    let (measure, y) = (flow.measure(), flow.y + 0.6);
    let half = measure / 2.0;
    let stages = [Stage::AsReceived, Stage::AfterRework, Stage::Final].map(|one| stage(one, say));
    tick_boxes(flow, (LEFT, y), half, &stages);
    let [iron, aluminium] = [Material::CastIron, Material::Aluminium].map(|one| material(one, say));
    let states = [iron, aluminium, say.text("material-overheated"), say.text("blank-welded")];
    tick_boxes(flow, (LEFT + half, y), half, &states);
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
        flow.canvas().text(label.face, label.size, label.ink, at, blank.label);
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
/// profile asks for are left out. Each is the name of a message.
fn order(input: &WorksheetInput<'_>, wanted: &Wanted<'_>) -> Vec<&'static str> {
    let cam = CAM_BORES.is_wanted(wanted) || (carries_camshaft(input) && wants_grid(wanted));
    let steps = [
        (true, "blank-order-clean"),
        (TESTS.is_wanted(wanted), "blank-order-tests"),
        (cam, "blank-order-cam-bores"),
        (DECK.is_wanted(wanted) || wants_grid(wanted), "blank-order-deck"),
        (GUIDE.is_wanted(wanted), "blank-order-guides"),
        (VALVE.is_wanted(wanted), "blank-order-valves"),
        (SEAT.is_wanted(wanted), "blank-order-seats"),
        (CONTACT.is_wanted(wanted), "blank-order-contact"),
        (ASSEMBLY.is_wanted(wanted), "blank-order-heights"),
        (
            wanted.is_wanted("chamber-volume", None) || wanted.is_wanted("chamber-spread", None),
            "blank-order-chambers",
        ),
        (SPRINGS.is_wanted(wanted), "blank-order-springs"),
        (LEAK.is_wanted(wanted), "blank-order-leak-test"),
    ];
    steps.into_iter().filter(|(applies, _)| *applies).map(|(_, step)| step).collect()
}

fn draw_order(flow: &mut Flow, input: &WorksheetInput<'_>, wanted: &Wanted<'_>) {
    let (steps, say) = (order(input, wanted), input.say());
    let lines = steps.len().div_ceil(2);
    let row = BOX + 0.9;
    flow.heading(say.text("blank-order"), lines as f32 * row);
    let half = flow.measure() / 2.0;
    let (top, style) = (flow.y, Style::BODY);
    for (n, step) in steps.iter().enumerate() {
        let x = LEFT + (n / lines.max(1)) as f32 * half;
        let y = top + (n % lines.max(1)) as f32 * row;
        write_box(flow, (x, y), BOX);
        let text = format!("{}. {}", n + 1, say.text(step));
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

/// Columns of the table of instruments: the messages of their heads, and their shares of the width.
const OF_INSTRUMENT: [(&str, f32); 7] = [
    ("blank-instrument-id", 0.22),
    ("column-kind", 0.25),
    ("blank-instrument-measures", 0.14),
    ("column-uncertainty-of-reading", 0.12),
    ("blank-instrument-coverage", 0.06),
    ("column-resolution", 0.09),
    ("column-calibration", 0.12),
];

/// The gauges, to be named where they are used.
fn draw_instruments(flow: &mut Flow, input: &WorksheetInput<'_>) {
    let (row, say) = (BOX + 0.8, input.say());
    flow.heading(say.text("instruments"), Style::LABEL.leading() + 3.0 * row);
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
    let text = say.with("blank-note-uncertainty", &[("length", length.into())]);
    flow.paragraph(Style::SMALL, LEFT, flow.measure(), &text);
    let (y, right) = (flow.y + 0.8, flow.right());
    flow.canvas().line(Pen::new(Ink::Pale, 0.25), &[(LEFT, y), (right, y)]);
    flow.y = y;
}

/// Left edge and width of each column, and the message of its head.
fn instrument_columns(measure: f32) -> impl Iterator<Item = (f32, f32, &'static str)> {
    let mut x = LEFT;
    OF_INSTRUMENT.into_iter().map(move |(name, share)| {
        let (left, width) = (x, (measure + 1.0) * share);
        x += width;
        (left, width - 1.0, name)
    })
}

fn draw_instrument_names(flow: &mut Flow) {
    let (label, say) = (Style::LABEL, flow.say());
    let base = flow.y + label.ascent();
    flow.canvas().structure.open(Tag::Row);
    for (x, width, name) in instrument_columns(flow.measure()) {
        let name = say.text(name);
        let style = label.fitted(name, width, 5.0);
        flow.canvas().structure.open(Tag::Header(Heads::Below, 1));
        flow.canvas().text(style.face, style.size, style.ink, (x, base), name);
        flow.canvas().structure.close();
    }
    flow.canvas().structure.close();
    flow.y += label.leading();
}
