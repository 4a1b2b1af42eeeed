//! The store as its users see it, on real files, with a clock that is moved by hand.

mod artifacts;
mod bench;
mod jobs;
mod keys;
mod open;
mod profiles;
mod queue;
mod schedule;
mod sign_offs;
