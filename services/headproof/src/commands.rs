//! The commands.

pub(crate) mod demo;
pub(crate) mod describe;
pub(crate) mod evaluate;
pub(crate) mod examples;
pub(crate) mod serve;
