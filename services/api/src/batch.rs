//! Batches: taken in piece by piece, given out piece by piece. However many heads there are, the memory is that of
//! some.

mod archive;
mod intake;
mod lines;
mod listing;
mod spool;

pub(crate) use archive::archive;
pub(crate) use intake::{TakenIn, take_in};
pub(crate) use lines::Form;
pub(crate) use listing::lines;
pub(crate) use spool::{Spool, Spooled};
