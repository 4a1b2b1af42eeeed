//! What crosses the wire: the versioned documents, their schemas, and the way into and out of the domain.
//!
//! A document is read in one typed pass; only when that fails a second pass collects every fault with its
//! JSON Pointer. Units are turned into exact quantities here and nowhere else.

mod access;
mod batch;
mod convert;
mod evaluation;
pub mod examples;
pub mod gauge_study;
mod job;
mod observations;
mod phrase;
mod plan;
mod pointer;
mod port;
mod problem;
mod profile;
mod read;
mod reading;
mod schema;
mod set;
mod sign_off;
pub mod statistics;
mod units;
mod verification;
mod webhook;
mod workshop;

pub use access::{Key, KeyRequest, MadeKey, Person, PersonRequest, Scope};
pub use batch::{Batch, BatchLine, BatchProgress, LineOutcome};
pub use convert::{
    Gathered, default_workshop, earlier_faults, evaluation_document, gauge_study_document, measurement_set,
    plan_document, set_document, sign_off_faults, signals_of_head, statistics_document, target_profile,
    worksheet_faults, workshop,
};
pub use evaluation::{
    Contribution, CylinderRows, Evaluation, Finding, PortRows, ProfileRef, ReasonLine, Row, Tally,
};
pub use job::{
    Characteristic, EvaluateRequest, FileBytes, Job, JobRequest, Language, Links, Paper, PlanRequest,
    Priority, SheetOptions, StoredProfile, TaskState, WorksheetRequest,
};
pub use observations::{ObservationsError, read_observations, write_observations};
pub use phrase::{Phrase, PhraseValue};
pub use plan::{
    BeyondPlan, FeedEffect, FeedMoves, FittedShims, MeasureAgain, NewPart, PlanBound, PlanConflict, PlanCut,
    PlanDeckCut, PlanEffect, PlanSearch, PlanStep, PlanTarget, PlanTotals, PlanWay, PortPlan, Prediction,
    ReworkPlan, SeatWork,
};
pub use pointer::At;
pub use port::{
    Assembly, Bores, Contact, ContactMark, Decay, Dial, DialDirection, Guide, Insert, InsertFit,
    InsertMaterial, Leak, LeakSide, LoadPoint, Pit, Port, RecessionDatum, Rocking, Seat, Service, Spring,
    SpringPack, State, StemDiameters, StemSeal, Valve, Winding,
};
pub use problem::{Fault, MOST_FAULTS, Problem};
pub use profile::{
    DecisionRule, IfOutside, Limit, LimitUse, ProfileSelector, SignOffRule, TargetProfile, Window,
};
pub use read::{ReadError, read};
pub use reading::{Reading, ReadingDetail};
pub use schema::{Document, SCHEMAS, schema};
pub use set::{
    CamBores, Camshaft, Chamber, CompressionTerms, CrackTest, Customer, Deck, DeckHeight, DeckHeights,
    DieselParts, FeelerDirection, FeelerLine, HeadIdentity, HeadTests, Instrument, JobNote, Layout, Lifter,
    Material, MeasurementSet, Measures, NamedReading, PressureTest, Stage,
};
pub use sign_off::{
    Checkpoint, Concession, EarlierSignOff, Meaning, SIGN_OFF_FORMAT, SignOff, SignOffRequest, SignOffStatus,
    Signer,
};
pub use units::{ForceUnit, LengthUnit, PressureUnit, RoughnessUnit, Units, VolumeUnit};
pub use verification::{Authenticity, LaterJob, SignatureSeen, Verification};
pub use webhook::{
    Delivery, DeliveryState, HeadSignal, MadeWebhook, SentAgain, Webhook, WebhookData, WebhookEvent,
    WebhookMessage, WebhookRequest,
};
pub use workshop::{
    Costs, Cutter, DeckWork, FormBlade, Objective, ShimStock, SpareInsert, SpareSpring, SpareValve,
    SpringLoad, Workshop,
};
