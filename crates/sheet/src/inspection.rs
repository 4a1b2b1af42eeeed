//! The inspection sheet of one head.

use crate::attach::record;
use crate::canvas::Canvas;
use crate::chrome::Chrome;
use crate::document::{Document, Mark, Placed, write_with};
use crate::flow::{Flow, LEFT, MAX_PAGES};
use crate::input::paper_size;
use crate::sources::Sources;
use crate::structure::Tree;
use crate::text::Style;
use crate::unshown::{self, Rendered};
use crate::words::{disposition, profile_name, short_digest, stage};
use crate::{
    SheetError, SheetInput, SignOffInput, cautions, changes, first_page, instruments, rework, sign_off,
    tables,
};

/// The pages of one head, without what stands on every page.
pub(crate) struct Pages {
    /// The pages.
    pub(crate) canvases: Vec<Canvas>,
    /// What they say.
    pub(crate) tree: Tree,
    /// Their bookmarks.
    pub(crate) marks: Vec<Mark>,
    /// What stands on each of them.
    pub(crate) chrome: Chrome,
    /// Where a signature is seen.
    pub(crate) signed_at: Option<Placed>,
}

/// The inspection sheet of one head, as a PDF.
///
/// The verdict comes first, then who signed it off where somebody did, then the reasons, the doubts on the data, who and what, and the plan view;
/// then the cautions that apply, the rework plan and what changed since an earlier stage where there are such, and every
/// judged row. The documents it was made
/// from are attached to it. With a sign-off it has a field with room for the signature, which is filled in later.
/// The same input gives the same bytes, wherever and whenever it is rendered by the same
/// [`crate::RENDERER`].
///
/// # Units
/// Amounts are printed in the units of the measurement set.
///
/// # Errors
/// [`SheetError::TooLarge`] when it would fill more than 400 pages; the others are faults of the program, one for a
/// sign-off without a time or with an address of more than 2300 bytes among them.
pub fn inspection_sheet(input: &SheetInput<'_>) -> Result<Rendered, SheetError> {
    let size = paper_size(input.look.paper);
    let Pages { mut canvases, tree, marks, chrome, signed_at } = lay_out(input)?;
    let pages = canvases.len();
    for (n, canvas) in canvases.iter_mut().enumerate() {
        chrome.stamp(canvas, size, n + 1, pages);
    }
    let document = Document {
        title: input.say().with(
            "sheet-title",
            &[("head", (&input.set.head.serial).into()), ("job", (&input.set.job.number).into())],
        ),
        language: input.say().language(),
        size,
        canvases,
        tree,
        bookmarks: marks,
        // A signed file is dated by its signature.
        moments: std::iter::once(input.set.job.measured_at.as_str())
            .chain(input.sign_off.map(|sign_off| sign_off.record.signed_at.as_str()))
            .collect(),
        identity: identity(input).collect(),
        signature: input
            .sign_off
            .zip(signed_at)
            .map(|(sign_off, place)| sign_off::signature(sign_off, place, input.say())),
    };
    write_with(document, &record(input, None).collect::<Vec<_>>())
}

/// The digests of what a sheet is made from.
pub(crate) fn identity<'a>(input: &SheetInput<'a>) -> impl Iterator<Item = &'a str> + use<'a> {
    let earlier = input.earlier.map(|earlier| earlier.digest);
    // The address is none of the record's: another server has another one.
    let sign_off = input.sign_off.map(|sign_off| [sign_off.digest, sign_off.address]);
    std::iter::once(input.evaluation_digest)
        .chain(input.plan.map(|plan| plan.digest))
        .chain(earlier)
        .chain(sign_off.into_iter().flatten())
}

/// More lines than a page of any paper holds, in the smallest type.
pub(crate) const MOST_LINES: usize = 150;

/// How many lines a head takes at the least: what cannot fit is refused before anything is laid out.
fn least_lines(input: &SheetInput<'_>) -> usize {
    let evaluation = input.evaluation;
    let cylinders = evaluation.cylinders.iter().map(|cylinder| cylinder.rows.len());
    let ports = evaluation.ports.iter().map(|port| port.rows.len());
    let rows = evaluation.head.len() + cylinders.chain(ports).sum::<usize>();
    let steps = input.plan.map_or(0, |plan| plan.plan.steps.len() + plan.plan.beyond.len());
    let signed = input.sign_off.map_or(0, |SignOffInput { record, .. }| {
        record.concessions.len() + record.beside.len() + record.supersedes.len()
    });
    rows + evaluation.reasons.len() + evaluation.findings.len() + input.set.instruments.len() + steps + signed
}

/// Lays out one head.
pub(crate) fn lay_out(input: &SheetInput<'_>) -> Result<Pages, SheetError> {
    let size = paper_size(input.look.paper);
    let too_large = || {
        let what = format!("the sheet of head {}", input.set.head.serial);
        SheetError::TooLarge { what, limit: MAX_PAGES }
    };
    if least_lines(input) > MAX_PAGES * MOST_LINES {
        return Err(too_large());
    }
    let measure = crate::flow::measure_of(size.0);
    let chrome = chrome(input, measure);
    let say = input.say();
    let mut flow = Flow::new(size, chrome.head(measure), chrome.foot(measure), MAX_PAGES, say);
    let sources = Sources::of(input.profile, input.evaluation);
    let disposition = disposition(&input.evaluation.disposition, say);
    flow.mark(0, &say.with("bookmark-disposition", &[("disposition", disposition.into())]));
    let signed_at = first_page::draw(&mut flow, input)?;
    cautions::draw(&mut flow, input);
    if let Some(plan) = input.plan {
        rework::draw(&mut flow, input, plan);
    }
    if let Some(earlier) = input.earlier {
        changes::draw(&mut flow, input, earlier);
    }
    tables::draw(&mut flow, input, &sources);
    instruments::draw(&mut flow, input.set);
    sources.draw(&mut flow);
    sign_off::draw(&mut flow, input);
    if let Some(notice) = chrome.notice.as_deref().filter(|_| chrome.notice_is_cut(measure)) {
        flow.heading(say.text("notice-of-profile"), Style::BODY.leading());
        flow.paragraph(Style::BODY, LEFT, measure, notice);
    }
    unshown::draw(&mut flow, &chrome, unshown::Kept::Attached);
    let marks = flow.take_marks();
    let (canvases, tree, overflowed) = flow.finish();
    if overflowed {
        return Err(too_large());
    }
    Ok(Pages { canvases, tree, marks, chrome, signed_at })
}

fn chrome(input: &SheetInput<'_>, measure: f32) -> Chrome {
    let digest = short_digest(input.evaluation_digest);
    let (profile, say) = (&input.evaluation.profile, input.say());
    Chrome {
        fields: vec![
            (say.text("label-head"), input.set.head.serial.clone(), 0.0),
            (say.text("label-job"), input.set.job.number.clone(), 32.0),
            (say.text("label-stage"), stage(input.set.job.stage, say).to_owned(), 21.0),
            (say.text("label-profile"), profile_name(&profile.id, &profile.revision, say), 42.0),
            (say.text("label-record"), digest, 23.0),
        ],
        notice: input.profile.notice.clone(),
        closing: match input.sign_off {
            Some(sign_off) => sign_off::closing(sign_off, Chrome::closing_room(measure), say).into(),
            None if input.plan.is_some() => say.text("sheet-closing-with-plan").into(),
            None => say.text("sheet-closing").into(),
        },
        say,
    }
}
