//! Why a request did not give what was asked for.

use std::io;

use headproof_wire::Problem;

/// Why a request did not give what was asked for.
#[derive(Debug, thiserror::Error)]
pub enum ClientError {
    /// No answer.
    #[error("the service did not answer: {0}")]
    Transport(#[from] reqwest::Error),
    /// The service refused.
    #[error("{status} {title}: {detail}", status = .0.status, title = .0.title, detail = .0.detail.as_deref().unwrap_or(""))]
    Problem(Box<Problem>),
    /// An answer that is none of the service's.
    #[error("unexpected answer: {0}")]
    Unexpected(String),
    /// It took longer than the caller wanted to wait.
    #[error("{0} is still not finished")]
    TimedOut(String),
    /// What is to be sent cannot be read, or what was received cannot be written.
    #[error("{what}: {cause}")]
    File {
        /// The name of the file, or what else it is.
        what: String,
        /// What went wrong.
        cause: io::Error,
    },
    /// Something that cannot be asked for.
    #[error("{0}")]
    Usage(&'static str),
}

impl ClientError {
    pub(crate) fn file(what: impl Into<String>, cause: io::Error) -> Self {
        Self::File { what: what.into(), cause }
    }
}
