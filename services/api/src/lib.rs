//! The HTTP interface of headproof: routes, problem details, limits. It holds no state of
//! its own but the turns in which plans are made and worksheets drawn.
//!
//! A handler loads, validates, performs and presents; the judging is `judge`'s, the planning `rework`'s, the
//! keeping `store`'s.

mod body;
mod judging;
mod openapi;
mod planning;
mod present;
mod problem;
mod routes;
mod server;
mod state;
mod tidy;
mod turns;
mod worksheets;

pub use openapi::document as openapi_document;
pub use problem::{ApiError, ProblemKind};
pub use server::{Bound, bind};
pub use state::{ApiState, Limits, Wake};
