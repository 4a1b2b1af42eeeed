//! Does the valve seal?

use headproof_quantity::{PressureDim, TemperatureDim, TimeDim, VolumeDim};

use crate::Reading;

/// What was tried.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Leak {
    /// Vacuum or pressure decay.
    pub decay: Option<Decay>,
    /// Did it hold for as long as it had to?
    pub held: Option<bool>,
    /// Solvent seen to seep past the valve.
    pub seep: Option<bool>,
}

/// A decay test. Pressures are sizes relative to the atmosphere, above it or below it.
#[derive(Debug, Clone, PartialEq)]
pub struct Decay {
    /// At the start.
    pub start: Reading<PressureDim>,
    /// At the end.
    pub end: Reading<PressureDim>,
    /// In between.
    pub duration: Reading<TimeDim>,
    /// Closed volume, hose and gauge included.
    pub volume: Option<Reading<VolumeDim>>,
    /// Of the air under test, at the start.
    pub start_temperature: Option<Reading<TemperatureDim>>,
    /// Of the air under test, at the end.
    pub end_temperature: Option<Reading<TemperatureDim>>,
    /// Pressure of the atmosphere during the test.
    pub atmosphere: Option<Reading<PressureDim>>,
    /// Where it was applied.
    pub side: LeakSide,
    /// Vacuum pulls the valve shut, pressure from the port pushes it open.
    pub vacuum: bool,
    /// Was the valve held by its spring?
    pub spring_fitted: bool,
    /// Was the guide sealed off?
    pub guide_sealed: bool,
}

/// Which side of the valve.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LeakSide {
    /// In the port.
    Port,
    /// In the chamber.
    Chamber,
}
