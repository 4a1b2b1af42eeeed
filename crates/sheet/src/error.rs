//! What can go wrong while pages are made.

/// Why a document could not be made.
#[derive(Debug, thiserror::Error)]
pub enum SheetError {
    /// The record is so long that nobody would read it on paper. Split the set or the batch.
    #[error("{what} would fill more than {limit} pages; split it")]
    TooLarge {
        /// Which document.
        what: String,
        /// The greatest number of pages.
        limit: usize,
    },
    /// A typeface could not be cut down to the characters in use: a fault of this program.
    #[error("typeface {face} cannot be embedded: {reason}")]
    Typeface {
        /// Its name.
        face: &'static str,
        /// Why.
        reason: String,
    },
    /// The finished pages could not be put into a document: a fault of this program.
    #[error("the document cannot be written: {0}")]
    Write(String),
}
