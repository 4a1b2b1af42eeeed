//! Which head it is, and who measured it when.

use headproof_quantity::{Ratio, TemperatureDim};
use time::OffsetDateTime;

use crate::Reading;

/// Which head.
#[derive(Debug, Clone, PartialEq)]
pub struct HeadIdentity {
    /// Serial or the shop's own reference.
    pub serial: String,
    /// Family of engines it belongs to.
    pub engine_family: Option<String>,
    /// Casting mark.
    pub casting: Option<String>,
    /// What it is cast of.
    pub material: Material,
    /// Known or suspected to have been overheated.
    pub overheated: bool,
    /// Welded before.
    pub welded: bool,
    /// Brinell hardness, a pure number here.
    pub hardness: Option<Ratio>,
}

/// What a head is cast of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Material {
    /// Grey or ductile iron.
    CastIron,
    /// Aluminium alloy.
    Aluminium,
}

/// For whom.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Customer {
    /// Name as it shall stand on the sheet.
    pub name: String,
    /// Their own reference.
    pub reference: Option<String>,
}

/// The circumstances of measuring.
#[derive(Debug, Clone, PartialEq)]
pub struct JobNote {
    /// The shop's job number.
    pub number: String,
    /// When in the job.
    pub stage: Stage,
    /// Who measured.
    pub measured_by: String,
    /// When it was measured: calibration is judged at this time.
    pub measured_at: OffsetDateTime,
    /// Code of the bench.
    pub bench: Option<String>,
    /// Code of the cutter.
    pub cutter: Option<String>,
    /// Code of the operator.
    pub operator: Option<String>,
    /// Temperature of the head while measured.
    pub temperature: Option<Reading<TemperatureDim>>,
}

/// When in the job a set was measured.
// In the order they come in: an earlier stage is the lesser one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Stage {
    /// Before any work: wear limits apply.
    AsReceived,
    /// After work, before hand-over: build limits apply.
    AfterRework,
    /// As handed over: build limits apply.
    Final,
}
