//! Renderers: processes that make pages, so that a document that takes unbounded time or memory can be refused.
//!
//! A thread cannot be killed, and an allocation that fails ends its process. So pages are made in processes of their
//! own, which the worker starts when it needs them, uses again and again, and kills when they overstep their bounds.

mod duty;
mod frame;
mod memory;
mod message;
mod pool;
mod process;

pub use duty::render_until_end_of_input;
pub(crate) use message::Request;
pub use pool::Bounds;
pub(crate) use pool::Renderers;
pub use process::RendererCommand;
