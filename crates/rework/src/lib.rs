//! The least rework that brings a whole head inside its limits, and its proof.
//!
//! For each port the smallest sink of its valve, then the smallest top and throat cuts, that meet every limit
//! at once; over the whole head the deck, the chambers, equal protrusion and one shelf of shims and parts. The
//! plan is the optimum of a linear program with whole numbers, aims inside the zone in which each value is
//! proved to conform, and holds when every cut by hand misses its stop as far as the shop says it may. It is
//! proved by applying it to the measurement set and judging the result again with the same judge.
//!
//! Nothing here knows a text format, a database, a clock or the environment.

mod affine;
mod apply;
mod case;
mod cones;
mod conflict;
mod course;
mod cure;
mod deck;
mod facts;
mod grid;
mod head_rules;
mod heights;
mod moved;
mod plan;
mod port_model;
mod present;
mod proof;
mod search;
mod solver;
mod steps;
mod weights;

pub use plan::plan;
pub use solver::Effort;
