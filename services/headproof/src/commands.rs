//! The commands.

mod attached;
pub(crate) mod audit;
pub(crate) mod backup;
pub(crate) mod batch;
mod bound;
pub(crate) mod certificates;
pub(crate) mod convert;
pub(crate) mod demo;
pub(crate) mod describe;
pub(crate) mod evaluate;
pub(crate) mod examples;
pub(crate) mod fetch;
mod files;
mod first_start;
pub(crate) mod gauge_study;
pub(crate) mod keys;
pub(crate) mod pages;
pub(crate) mod plan;
mod progress;
mod renderer;
pub(crate) mod serve;
pub(crate) mod service;
pub(crate) mod statistics;
pub(crate) mod submit;
pub(crate) mod verify;
pub(crate) mod wait;
pub(crate) mod worksheet;
