//! The documents of the trade: what was measured on a head, what it is held against, and what came of it.
//!
//! Plain values without behaviour of their own beyond keeping themselves consistent. Nothing here knows a
//! text format, a database, a clock or the environment; the sums live in `metrology`, the judgement in
//! `judge`.

mod contact;
mod deck;
mod evaluation;
mod guide;
mod identity;
mod instrument;
mod layout;
mod leak;
mod phrase;
mod place;
mod plan;
mod port;
mod profile;
mod reading;
mod seat;
mod set;
mod spring;
mod valve;
mod workshop;

pub use contact::{Contact, ContactMark};
pub use deck::{
    CamBores, Chamber, Deck, DeckHeight, DieselParts, FeelerDirection, FeelerLine, NamedReading, State,
};
pub use evaluation::{
    Cause, CauseOf, Contribution, Disposition, Evaluation, Finding, FindingCode, FindingPart, Measured,
    MissingCause, PortRows, Reason, Row, Severity, Tally, Verdict,
};
pub use guide::{Bores, Guide, Rocking, StemSeal};
pub use identity::{Customer, HeadIdentity, JobNote, Material, Stage};
pub use instrument::{Instrument, InstrumentIndex, Instruments};
pub use layout::{Camshaft, CompressionTerms, Layout, Lifter};
pub use leak::{Decay, Leak, LeakSide};
pub use phrase::{Phrase, PhraseValue};
pub use place::{Edge, Place, PortId, Position, Service, Subject};
pub use plan::{
    Assumption, Bound, Conflict, Cut, CutKind, DeckCut, Effect, FeedEffect, FeedMoves, NewPart, Outcome,
    Plan, PortPlan, PortStatus, Proof, Search, SeatWork, Step, StepCaution, Target, Totals, Way, Work,
};
pub use port::{Assembly, Port, RecessionDatum};
pub use profile::{CharacteristicId, DecisionRule, IfOutside, Limit, LimitUse, ProfileError, TargetProfile};
pub use reading::{Reading, ReadingError};
pub use seat::{Dial, DialDirection, Insert, InsertFit, InsertMaterial, Pit, Seat};
pub use set::{CrackTest, HeadTests, LengthUnit, MeasurementSet, PressureTest};
pub use spring::{LoadPoint, Spring, SpringPack, Winding};
pub use valve::{StemDiameters, Valve};
pub use workshop::{
    Blade, Costs, Cutter, DeckWork, Objective, Part, SpareInsert, SpareSpring, SpareValve, Spares, Stock,
    Workshop,
};
