//! Every statement, by topic. Nothing outside this module knows a table.

pub(crate) mod artifacts;
pub(crate) mod audit;
pub(crate) mod batches;
pub(crate) mod certificates;
pub(crate) mod deliveries;
pub(crate) mod disposals;
pub(crate) mod jobs;
pub(crate) mod keys;
pub(crate) mod observations;
pub(crate) mod people;
pub(crate) mod profiles;
pub(crate) mod queue;
pub(crate) mod receivers;
pub(crate) mod repeated;
pub(crate) mod sign_offs;

use crate::{Origin, Priority, ShopId};

/// What all rows of one request have in common.
pub(crate) struct Submission<'a> {
    pub(crate) shop: &'a ShopId,
    pub(crate) origin: &'a Origin,
    pub(crate) priority: Priority,
    pub(crate) now: i64,
    pub(crate) max_attempts: u32,
}
