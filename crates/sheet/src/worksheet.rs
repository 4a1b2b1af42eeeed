//! The blank worksheet of a head: the tables of its inspection sheet, with room to write the readings by hand.

mod bounds;
mod cautions;
mod code;
mod cylinders;
mod deck;
mod entry;
mod first_page;
mod parts;
mod ports;
mod wanted;

use headproof_texts::{Arg, Say};
use headproof_wire::{Layout, SheetOptions, TargetProfile, Units};

use crate::SheetError;
use crate::chrome::Chrome;
use crate::document::{Document, write};
use crate::flow::{Flow, LEFT, MAX_PAGES, measure_of};
use crate::input::paper_size;
use crate::text::Style;
use crate::unshown::{self, Rendered};
use crate::words::short_digest;

use self::wanted::Wanted;

/// What a blank worksheet is made from.
#[derive(Debug, Clone, Copy)]
pub struct WorksheetInput<'a> {
    /// What kind of head.
    pub layout: &'a Layout,
    /// The limits to be printed.
    pub profile: &'a TargetProfile,
    /// SHA-256 of the profile's canonical form, in hex: it ties the paper to this very profile.
    pub profile_digest: &'a str,
    /// The units of the worksheet and of the layout's terms of the compression ratio.
    pub units: &'a Units,
    /// Serial of the head, where it is known.
    pub head_serial: Option<&'a str>,
    /// The shop's job number, where there is one.
    pub job_number: Option<&'a str>,
    /// Paper and language.
    pub look: SheetOptions,
}

impl WorksheetInput<'_> {
    /// Says things in the language of the worksheet.
    pub(crate) fn say(&self) -> Say {
        Say::of(self.look.language.into())
    }
}

/// The blank worksheet of a head layout and a profile, as a PDF.
///
/// First who and what, with a code that ties the paper to profile, layout and job; then how to fill it in, the
/// instruments, the order of the bench and the cautions; then, for the head, each cylinder and each port, every
/// characteristic that the profile limits with its limits and a box to write in, and boxes for the readings it is
/// worked out from. Boxes are at least 8 mm high. The same input gives the same bytes.
///
/// # Units
/// Limits are printed in the units asked for, converted where the profile states others.
///
/// # Errors
/// [`SheetError::TooLarge`] when it would fill more than 400 pages; the others are faults of the program.
pub fn worksheet(input: &WorksheetInput<'_>) -> Result<Rendered, SheetError> {
    let size = paper_size(input.look.paper);
    let chrome = chrome(input);
    let measure = measure_of(size.0);
    let say = input.say();
    let mut flow = Flow::new(size, chrome.head(measure), chrome.foot(measure), MAX_PAGES, say);
    let wanted = Wanted::of(input);
    first_page::draw(&mut flow, input, &wanted)?;
    deck::draw(&mut flow, input, &wanted);
    cylinders::draw(&mut flow, input, &wanted);
    ports::draw(&mut flow, input, &wanted);
    if let Some(notice) = chrome.notice.as_deref().filter(|_| chrome.notice_is_cut(measure)) {
        flow.heading(say.text("notice-of-profile"), Style::BODY.leading());
        flow.paragraph(Style::BODY, LEFT, measure, notice);
    }
    unshown::draw(&mut flow, &chrome, unshown::Kept::Posted);
    let (mut canvases, tree, overflowed) = flow.finish();
    if overflowed {
        let what = format!("the worksheet for profile {}", input.profile.id);
        return Err(SheetError::TooLarge { what, limit: MAX_PAGES });
    }
    let pages = canvases.len();
    for (n, canvas) in canvases.iter_mut().enumerate() {
        chrome.stamp(canvas, size, n + 1, pages);
    }
    let text = code::text(input);
    let title = say.with("blank-document", &profile_names(input));
    let identity = vec!["worksheet", &text];
    write(Document {
        title,
        language: say.language(),
        size,
        canvases,
        tree,
        bookmarks: Vec::new(),
        moments: Vec::new(),
        identity,
        signature: None,
    })
}

/// What a profile is called by.
fn profile_names<'a>(input: &WorksheetInput<'a>) -> [(&'static str, Arg<'a>); 2] {
    [("id", input.profile.id.as_str().into()), ("revision", input.profile.revision.as_str().into())]
}

/// What stands on every page: pages of a worksheet get apart at the bench.
fn chrome(input: &WorksheetInput<'_>) -> Chrome {
    let (profile, say) = (input.profile, input.say());
    Chrome {
        fields: vec![
            (say.text("label-head"), input.head_serial.unwrap_or_default().to_owned(), 0.0),
            (say.text("label-job"), input.job_number.unwrap_or_default().to_owned(), 34.0),
            (say.text("label-profile"), say.with("profile-name", &profile_names(input)), 46.0),
            (say.text("blank-profile-digest"), short_digest(input.profile_digest), 25.0),
        ],
        notice: profile.notice.clone(),
        closing: say.text("blank-closing").into(),
        say,
    }
}
