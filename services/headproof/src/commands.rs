//! The commands.

mod attached;
pub(crate) mod audit;
mod bound;
pub(crate) mod certificates;
pub(crate) mod convert;
pub(crate) mod demo;
pub(crate) mod describe;
pub(crate) mod evaluate;
pub(crate) mod examples;
mod files;
mod first_start;
pub(crate) mod keys;
pub(crate) mod pages;
pub(crate) mod plan;
mod renderer;
pub(crate) mod serve;
pub(crate) mod verify;
pub(crate) mod worksheet;
