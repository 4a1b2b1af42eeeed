//! The commands.

mod bound;
pub(crate) mod demo;
pub(crate) mod describe;
pub(crate) mod evaluate;
pub(crate) mod examples;
mod files;
pub(crate) mod pages;
pub(crate) mod plan;
mod renderer;
pub(crate) mod serve;
pub(crate) mod worksheet;
