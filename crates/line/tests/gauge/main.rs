//! Gauge studies, from outside.

mod common;
mod crossed;
mod properties;
mod reference;
