//! What kind of head it is: its train, its cylinders and the terms of its compression ratio.

use headproof_quantity::{LengthDim, VolumeDim};

use crate::{PortId, Reading, Service};

/// The layout of a head.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Where the camshaft is.
    pub camshaft: Camshaft,
    /// What sits between cam and tip.
    pub lifter: Lifter,
    /// How many cylinders the head covers.
    pub cylinders: u8,
    /// Intake valves per cylinder.
    pub intake_per_cylinder: u8,
    /// Exhaust valves per cylinder.
    pub exhaust_per_cylinder: u8,
    /// Terms of the compression ratio.
    pub compression: CompressionTerms,
}

/// Where the camshaft is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Camshaft {
    /// In the block, by pushrods.
    Pushrod,
    /// In the head.
    Overhead,
}

/// What sits between cam and tip.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Lifter {
    /// Lash set by a screw.
    Adjustable,
    /// Takes up its own lash within a band.
    Hydraulic,
    /// Bucket with a lash shim.
    BucketWithShim,
}

/// What the compression ratio is made of, beside the chamber.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CompressionTerms {
    /// Cylinder bore.
    pub bore: Option<Reading<LengthDim>>,
    /// Stroke.
    pub stroke: Option<Reading<LengthDim>>,
    /// Bore of the head gasket.
    pub gasket_bore: Option<Reading<LengthDim>>,
    /// Compressed thickness of the head gasket.
    pub gasket_thickness: Option<Reading<LengthDim>>,
    /// Piston below the block deck at top dead centre: + below, − proud.
    pub deck_clearance: Option<Reading<LengthDim>>,
    /// Volume of the piston crown: + dish, − dome.
    pub piston_volume: Option<Reading<VolumeDim>>,
    /// Pre-chamber, when the chamber reading leaves it out.
    pub prechamber: Option<Reading<VolumeDim>>,
    /// Crevice above the top ring.
    pub crevice: Option<Reading<VolumeDim>>,
}

impl Layout {
    /// Every port the head has, in the order cylinder, service, index.
    pub fn ports(&self) -> impl Iterator<Item = PortId> {
        let counts =
            [(Service::Intake, self.intake_per_cylinder), (Service::Exhaust, self.exhaust_per_cylinder)];
        (1..=self.cylinders).flat_map(move |cylinder| {
            counts.into_iter().flat_map(move |(service, count)| {
                (1..=count).map(move |index| PortId { cylinder, service, index })
            })
        })
    }

    /// Does the head have this port?
    #[must_use]
    pub const fn has(&self, port: PortId) -> bool {
        let count = match port.service {
            Service::Intake => self.intake_per_cylinder,
            Service::Exhaust => self.exhaust_per_cylinder,
        };
        1 <= port.cylinder && port.cylinder <= self.cylinders && 1 <= port.index && port.index <= count
    }
}
