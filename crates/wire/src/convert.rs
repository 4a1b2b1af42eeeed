//! From documents to the domain, with every fault located, and from the domain back.

mod block;
mod earlier;
mod enums;
mod evaluation;
mod gauge_study;
mod phrases;
mod plan;
mod port;
mod profile;
mod set;
mod sign_off;
mod statistics;
mod text;
mod worksheet;
mod workshop;
mod written;

pub use earlier::earlier_faults;
pub use evaluation::evaluation_document;
pub use gauge_study::gauge_study_document;
pub(crate) use gauge_study::gauge_study_faults;
pub use plan::plan_document;
pub use profile::target_profile;
pub use set::measurement_set;
pub use sign_off::sign_off_faults;
pub(crate) use sign_off::text_faults;
pub use statistics::{Gathered, signals_of_head, statistics_document};
pub(crate) use text::{LONGEST, texts_in};
pub use worksheet::worksheet_faults;
pub use workshop::{default_workshop, workshop};
pub use written::set_document;
