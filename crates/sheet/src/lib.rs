//! Pages for the shop: the inspection sheet of one head, with its rework plan where there is one, the report of
//! a batch of them, with their sheets or as an index of many, and the blank worksheet for the bench.
//!
//! Everything on a page comes from the measurement set, the profile, the evaluation and the plan; nothing is
//! judged or planned here. A page states its record's digest, so that paper and record can be held against each other.
//! The same input gives the same bytes; so does it with the same given typefaces, where it needs them ([`use_typefaces`]).

mod attach;
mod batch;
mod batch_index;
mod canvas;
mod cautions;
mod changes;
mod chrome;
mod content;
mod dates;
mod deflate;
mod document;
mod drawing;
mod embed;
mod error;
mod face;
mod failures;
mod first_page;
mod flow;
mod format;
mod identity;
mod input;
mod inspection;
mod instruments;
mod line;
mod marks;
mod observations;
mod overview;
mod plan_view;
mod reasons;
mod rework;
mod rows;
mod said;
mod sign_off;
mod sources;
mod square_code;
mod structure;
mod subset;
mod table;
mod tables;
mod text;
mod typefaces;
mod unshown;
mod verdict_block;
mod words;
#[cfg(feature = "workload")]
#[doc(hidden)]
pub mod workload;
mod worksheet;

pub use batch::batch_report;
pub use batch_index::batch_index;
pub use error::SheetError;
pub use input::{
    BatchInput, EarlierInput, IndexInput, PlanInput, Record, SheetInput, SignOffInput, StatisticsInput,
};
pub use inspection::inspection_sheet;
pub use line::statistics_report;
pub use overview::HeadInIndex;
pub use typefaces::{Typeface, TypefaceError, use_typefaces};
pub use unshown::Rendered;
pub use worksheet::{WorksheetInput, worksheet};

/// English, for tests of what stands on a page.
#[cfg(test)]
pub(crate) fn english() -> headproof_texts::Say {
    headproof_texts::Say::of(headproof_texts::Language::English)
}

/// Names this edition of the layout; it changes whenever the same input gives other bytes.
pub const RENDERER: &str = concat!("headproof-sheet ", env!("CARGO_PKG_VERSION"), " layout 4");
