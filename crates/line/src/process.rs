//! Is a process holding? Control charts, their constants and run rules; what fails most.

mod chart;
mod constants;
mod degrees;
mod pareto;
mod rules;
mod spread;
mod subgroup;
mod watcher;
mod yields;

pub use chart::{Chart, ChartError, ChartKind, ENOUGH_GROUPS, Point, Reference, chart};
pub use constants::{ChartFactors, c4, chart_factors, d2, d3};
pub use pareto::{Pareto, ParetoRow};
pub use rules::{RuleSet, RunRule, Signal, Track, signals};
pub use spread::{SigmaEstimator, WithinGroups};
pub use subgroup::Subgroup;
pub use watcher::Watcher;
pub use yields::{Outcomes, Proportion, wilson};
