//! What can go wrong with certificates, keys and signatures.

/// A result of this crate.
pub type Result<T, E = Error> = std::result::Result<T, E>;

/// A certificate, a key or a signature cannot be read, used or made.
///
/// No message holds any part of a key, a password or a secret.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Error {
    /// Bytes that are no certificate, or one that cannot be used for this.
    #[error("certificate: {0}")]
    Certificate(String),
    /// No private key, one of another kind than is known, or one that belongs to another certificate.
    #[error("key: {0}")]
    Key(String),
    /// The password is missing or wrong.
    #[error("the password is missing or wrong")]
    Password,
    /// A name that cannot stand in a certificate.
    #[error("name: {0}")]
    Name(&'static str),
    /// An identity that cannot issue a certificate now.
    #[error("authority: {0}")]
    Authority(&'static str),
    /// The text or the secret does not open what was locked.
    #[error("the secret is not the one that locked this, or no secret at all")]
    Secret,
    /// A file without a place for a signature.
    #[error("no place for a signature: {0}")]
    Placeholder(&'static str),
    /// The place for the signature is too small.
    #[error("the signature takes {needed} bytes; the file has room for {room}")]
    Room {
        /// Bytes of the signature.
        needed: usize,
        /// Bytes there is room for.
        room: usize,
    },
    /// An answer of a timestamping authority that cannot be used.
    #[error("timestamp: {0}")]
    Timestamp(String),
    /// The system gave no random bytes.
    #[error("the system gave no random bytes")]
    Random,
    /// Something could not be written as DER, which is a fault of the program.
    #[error("not to be written as DER: {0}")]
    Encoding(String),
}

impl From<der::Error> for Error {
    fn from(error: der::Error) -> Self {
        Self::Encoding(error.to_string())
    }
}
