//! Timestamps: RFC 3161, updated by RFC 5816.

mod request;
mod structure;
mod token;

pub(crate) use request::{request, token_of_response};
pub use token::Timestamp;
pub(crate) use token::significant;
