//! The HTTP interface of headproof: routes, access, problem details, limits. It holds no state of
//! its own but the turns in which plans are made and worksheets drawn, keys it looked up not long ago, how often who
//! has failed to be known, and how often who has asked.
//!
//! A handler loads, validates, performs and presents; the judging is `judge`'s, the planning `rework`'s, the
//! keeping `store`'s.

mod accept;
mod access;
mod backlog;
mod batch;
mod body;
mod certificates;
mod judging;
mod metered;
mod once;
mod openapi;
mod paging;
mod planning;
mod present;
mod problem;
mod routes;
mod server;
mod shed;
mod signing;
mod state;
mod survey;
mod tagged;
mod tidy;
mod trace;
mod turns;
mod webhooks;
mod worksheets;

pub use access::{Access, Algorithm, IdentityProvider, KeySecret, KeyWish};
pub use certificates::{kept, own_as_pem};
pub use openapi::document as openapi_document;
pub use problem::{ApiError, ProblemKind};
pub use server::{Bound, bind};
pub use state::{ApiState, Limits, ReleaseRules, Signatures, Wake, operator};
pub use webhooks::Webhooks;
