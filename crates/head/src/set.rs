//! A whole head, measured once.

use headproof_quantity::{PressureDim, TemperatureDim, TimeDim};

use crate::{
    CamBores, Chamber, Customer, Deck, DieselParts, HeadIdentity, Instruments, JobNote, Layout, Port, PortId,
    Reading,
};

/// One head, at one time, in one stage.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasurementSet {
    /// In which unit its lengths were written; here they are millimetres all the same.
    pub lengths: LengthUnit,
    /// Which head.
    pub head: HeadIdentity,
    /// For whom.
    pub customer: Option<Customer>,
    /// When, where and by whom.
    pub job: JobNote,
    /// What kind of head.
    pub layout: Layout,
    /// With which gauges.
    pub instruments: Instruments,
    /// Its deck.
    pub deck: Deck,
    /// Its cam bores.
    pub cam_bores: Option<CamBores>,
    /// What stands out of a diesel deck.
    pub diesel: Vec<DieselParts>,
    /// Its chambers.
    pub chambers: Vec<Chamber>,
    /// Its ports, each at most once.
    pub ports: Vec<Port>,
    /// Tests of the head as a whole.
    pub tests: HeadTests,
}

/// A unit that lengths are written in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LengthUnit {
    /// Millimetre.
    Millimetre,
    /// Inch.
    Inch,
}

/// Tests of the head as a whole.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct HeadTests {
    /// Crack test.
    pub crack: Option<CrackTest>,
    /// Pressure test of the water jacket.
    pub pressure: Option<PressureTest>,
}

/// A crack test.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CrackTest {
    /// How it was done.
    pub method: String,
    /// Was a crack found?
    pub crack_found: bool,
    /// Where.
    pub note: Option<String>,
}

/// A pressure test of the water jacket.
#[derive(Debug, Clone, PartialEq)]
pub struct PressureTest {
    /// Air, water …
    pub medium: String,
    /// At what pressure above the atmosphere.
    pub pressure: Reading<PressureDim>,
    /// At what temperature: some cracks open only hot.
    pub temperature: Option<Reading<TemperatureDim>>,
    /// For how long.
    pub duration: Option<Reading<TimeDim>>,
    /// Did it hold?
    pub held: bool,
}

impl MeasurementSet {
    /// The port with that address, when it was measured.
    #[must_use]
    pub fn port(&self, id: PortId) -> Option<&Port> {
        self.ports.iter().find(|port| port.id == id)
    }
}
