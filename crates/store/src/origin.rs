//! Where work comes from, and how soon it is done.

/// The request that brought something.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Origin {
    /// Its id in the log.
    pub request_id: String,
    /// What continues its trace: a `traceparent` (W3C Trace Context).
    pub trace_parent: Option<String>,
}

/// How soon the sheet of a job is made, among those of the same shop.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Priority {
    /// Before all others.
    Urgent,
    /// In its turn.
    #[default]
    Normal,
    /// When nothing else waits.
    Bulk,
}

impl Priority {
    pub(crate) const fn rank(self) -> i64 {
        match self {
            Self::Urgent => 1,
            Self::Normal => 0,
            Self::Bulk => -1,
        }
    }
}
