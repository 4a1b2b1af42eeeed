//! From documents to the domain, with every fault located, and from the domain back.

mod block;
mod enums;
mod evaluation;
mod port;
mod profile;
mod set;
mod text;

pub use evaluation::evaluation_document;
pub use profile::target_profile;
pub use set::measurement_set;
