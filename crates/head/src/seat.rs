//! The seat of a port.

use headproof_quantity::{Angle, AngleDim, LengthDim};

use crate::{Reading, State};

/// A seat as measured.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Seat {
    /// Angle of the seat face, from the plane square to the valve axis.
    pub seat_angle: Option<Reading<AngleDim>>,
    /// Angle of the top cut.
    pub top_angle: Option<Reading<AngleDim>>,
    /// Angle of the throat cut.
    pub throat_angle: Option<Reading<AngleDim>>,
    /// Inner diameter of the seat face.
    pub inner_diameter: Option<Reading<LengthDim>>,
    /// Outer diameter of the seat face.
    pub outer_diameter: Option<Reading<LengthDim>>,
    /// Width on the face at equally spaced clock positions.
    pub widths: Vec<Reading<LengthDim>>,
    /// Runout.
    pub runout: Option<Dial>,
    /// The insert, when the seat is one.
    pub insert: Option<Insert>,
    /// Throat diameter.
    pub throat_diameter: Option<Reading<LengthDim>>,
    /// Deepest pit.
    pub pit: Option<Pit>,
}

/// Dial readings once round.
#[derive(Debug, Clone, PartialEq)]
pub struct Dial {
    /// How the plunger stood.
    pub direction: DialDirection,
    /// The readings.
    pub readings: Vec<Reading<LengthDim>>,
    /// Where they were taken, one angle for each; equally spaced where none are given.
    pub angles: Option<Vec<Angle>>,
}

/// How a dial's plunger stands to a seat or face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum DialDirection {
    /// Square to the face.
    Square,
    /// Square to the valve axis.
    Radial,
    /// Along the valve axis.
    Axial,
}

/// A seat insert.
#[derive(Debug, Clone, PartialEq)]
pub struct Insert {
    /// Does it sit tight?
    pub fit: Option<InsertFit>,
    /// What it is made of.
    pub material: Option<InsertMaterial>,
    /// Outer diameter.
    pub diameter: Option<Reading<LengthDim>>,
    /// Diameter of its counterbore.
    pub counterbore_diameter: Option<Reading<LengthDim>>,
    /// Depth of its counterbore.
    pub depth: Option<Reading<LengthDim>>,
    /// Wall left between insert and water or chamber.
    pub wall_left: Option<Reading<LengthDim>>,
}

/// How an insert sits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum InsertFit {
    /// Tight.
    Tight,
    /// Loose: it must be replaced.
    Loose,
}

/// What an insert is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum InsertMaterial {
    /// Cast or sintered iron.
    Iron,
    /// Steel.
    Steel,
    /// Cobalt or nickel alloy.
    HardAlloy,
    /// Beryllium copper: its dust is toxic.
    BerylliumCopper,
}

/// The deepest pit of a seat.
#[derive(Debug, Clone, PartialEq)]
pub struct Pit {
    /// Depth square to the face.
    pub depth: Reading<LengthDim>,
    /// Does it lie inside the final contact band?
    pub inside_band: bool,
}

impl Insert {
    /// Loose inserts count as bad, tight ones as good.
    #[must_use]
    pub fn state(&self) -> Option<State> {
        self.fit.map(|fit| match fit {
            InsertFit::Tight => State::Good,
            InsertFit::Loose => State::Bad,
        })
    }
}
