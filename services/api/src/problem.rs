//! Every way a request can fail: one table of kinds, one answer (RFC 9457).

use actix_web::http::StatusCode;
use actix_web::http::header::{CONTENT_TYPE, HeaderValue, RETRY_AFTER, WWW_AUTHENTICATE};
use actix_web::{HttpResponse, ResponseError};
use headproof_store::Error as StoreError;
use headproof_wire::{Fault, Problem, ReadError};

/// Seconds after which trying again makes sense.
const RETRY_SECONDS: u64 = 2;

/// The kinds of problems. Each has a stable address under `/problems/`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ProblemKind {
    /// The body is no JSON.
    NotJson,
    /// The body is JSON with faults.
    InvalidDocument,
    /// The body is too large.
    TooLarge,
    /// The body is of another media type.
    UnsupportedMediaType,
    /// Nobody knows who asks.
    Unauthenticated,
    /// Who asks may not do that.
    Forbidden,
    /// A caller asked too often, or too many tried to be known from there.
    QuotaExceeded,
    /// It has to be said which evaluation is signed.
    PreconditionRequired,
    /// What is there is not what the client wants.
    PreconditionFailed,
    /// Another evaluation than the one that was named is the one to sign.
    StaleRevision,
    /// The same person has said the same of the same evaluation.
    AlreadySigned,
    /// The certificate of who signs is not valid now.
    CertificateNotValid,
    /// Tokens of that subject speak for somebody else.
    SubjectTaken,
    /// The same key came with another request.
    IdempotencyKeyReused,
    /// Another request of the same key is at it.
    StillRunning,
    /// The key of this request has made something whose secret is shown once only.
    AlreadyMade,
    /// What is to be called off is over.
    AlreadyOver,
    /// Too much of the shop waits.
    QueueFull,
    /// There is no such thing.
    NotFound,
    /// It was disposed of.
    Gone,
    /// The thing does not do that.
    MethodNotAllowed,
    /// The client does not take what there is.
    NotAcceptable,
    /// The sheet or report is not there yet.
    NotReady,
    /// The sheet or report could not be made.
    RenderingFailed,
    /// That profile revision exists with other content.
    ProfileRevisionTaken,
    /// The request makes no sense in another way.
    BadRequest,
    /// The service cannot take it just now.
    Unavailable,
    /// Something went wrong here.
    Internal,
}

impl ProblemKind {
    /// All kinds.
    pub const ALL: [Self; 28] = [
        Self::NotJson,
        Self::InvalidDocument,
        Self::TooLarge,
        Self::UnsupportedMediaType,
        Self::Unauthenticated,
        Self::Forbidden,
        Self::QuotaExceeded,
        Self::PreconditionRequired,
        Self::PreconditionFailed,
        Self::StaleRevision,
        Self::AlreadySigned,
        Self::CertificateNotValid,
        Self::SubjectTaken,
        Self::IdempotencyKeyReused,
        Self::StillRunning,
        Self::AlreadyMade,
        Self::AlreadyOver,
        Self::QueueFull,
        Self::NotFound,
        Self::Gone,
        Self::MethodNotAllowed,
        Self::NotAcceptable,
        Self::NotReady,
        Self::RenderingFailed,
        Self::ProfileRevisionTaken,
        Self::BadRequest,
        Self::Unavailable,
        Self::Internal,
    ];

    /// Name, title, status, and what to do.
    #[must_use]
    pub const fn entry(self) -> (&'static str, &'static str, u16, &'static str) {
        match self {
            Self::NotJson => ("not-json", "The body is not JSON", 400, "Send one JSON document in UTF-8."),
            Self::InvalidDocument => (
                "invalid-document",
                "The document has faults",
                422,
                "Correct every fault listed under errors.",
            ),
            Self::TooLarge => ("too-large", "The body is too large", 413, "Send less at once."),
            Self::UnsupportedMediaType => (
                "unsupported-media-type",
                "The media type is not supported",
                415,
                "Send the media type named in detail.",
            ),
            Self::Unauthenticated => (
                "unauthenticated",
                "Who asks is not known",
                401,
                "Send a key that is good: Authorization: Bearer hp_…",
            ),
            Self::Forbidden => {
                ("forbidden", "This key may not do that", 403, "Ask with a key that has the scope.")
            }
            Self::QuotaExceeded => {
                ("quota-exceeded", "Too many requests", 429, "Ask again after Retry-After seconds.")
            }
            Self::PreconditionRequired => (
                "precondition-required",
                "It has to be said what is signed",
                428,
                "Read the evaluation and send its ETag as If-Match.",
            ),
            Self::PreconditionFailed => (
                "precondition-failed",
                "It is not the one that is wanted",
                412,
                "Read it without If-Match, and see its ETag.",
            ),
            Self::StaleRevision => (
                "stale-revision",
                "That is not the evaluation to sign",
                412,
                "Read the newest revision of the job, and sign that.",
            ),
            Self::AlreadySigned => (
                "already-signed",
                "The same person has signed this before",
                409,
                "Look at the sign-offs of the job.",
            ),
            Self::CertificateNotValid => (
                "certificate-not-valid",
                "The certificate of who signs is not valid now",
                409,
                "Bring a certificate that is: headproof certificate bring.",
            ),
            Self::SubjectTaken => (
                "subject-taken",
                "That subject speaks for another person",
                409,
                "Say that the other person left, or name another subject.",
            ),
            Self::IdempotencyKeyReused => (
                "idempotency-key-reused",
                "The key came with another request before",
                422,
                "Send a new Idempotency-Key with a new request, and the old one only with the same body.",
            ),
            Self::StillRunning => (
                "still-running",
                "Another request is at it",
                409,
                "Send the same again after Retry-After seconds.",
            ),
            Self::AlreadyMade => (
                "already-made",
                "The first request of this key has made it",
                409,
                "A secret is shown once. If the first answer is lost, revoke what detail names and make another.",
            ),
            Self::AlreadyOver => ("already-over", "It is over", 409, "Look at its state."),
            Self::QueueFull => (
                "queue-full",
                "Too much work waits",
                429,
                "Send the same again after Retry-After seconds, when some of it is done.",
            ),
            Self::Gone => (
                "gone",
                "It was disposed of",
                410,
                "Its documents are gone for good; the audit trail says when.",
            ),
            Self::NotFound => ("not-found", "There is no such resource", 404, "Check the address."),
            Self::MethodNotAllowed => (
                "method-not-allowed",
                "The resource does not allow this method",
                405,
                "See the Allow header.",
            ),
            Self::NotAcceptable => (
                "not-acceptable",
                "It is not of a kind you take",
                406,
                "Name the media type that detail names in Accept.",
            ),
            Self::NotReady => {
                ("not-ready", "It is not made yet", 404, "Ask again after Retry-After seconds.")
            }
            Self::RenderingFailed => {
                ("rendering-failed", "It could not be made", 404, "See detail for the reason.")
            }
            Self::ProfileRevisionTaken => (
                "profile-revision-taken",
                "That revision exists with other content",
                409,
                "A revision never changes: store it under a new revision.",
            ),
            Self::BadRequest => ("bad-request", "The request makes no sense", 400, "See detail."),
            Self::Unavailable => (
                "unavailable",
                "The service cannot take this now",
                503,
                "Try again after Retry-After seconds.",
            ),
            Self::Internal => (
                "internal",
                "Something went wrong here",
                500,
                "Give the X-Request-Id of the answer to whoever runs this.",
            ),
        }
    }
}

/// A refusal or failure on its way to the client.
#[derive(Debug, thiserror::Error)]
#[error("{}", .kind.entry().1)]
pub struct ApiError {
    kind: ProblemKind,
    detail: Option<String>,
    faults: Vec<Fault>,
}

impl ApiError {
    /// A problem of a kind.
    #[must_use]
    pub const fn new(kind: ProblemKind) -> Self {
        Self { kind, detail: None, faults: Vec::new() }
    }

    /// The same with what happened this time.
    #[must_use]
    pub fn because(kind: ProblemKind, detail: impl Into<String>) -> Self {
        Self { detail: Some(detail.into()), ..Self::new(kind) }
    }

    /// A document with these faults.
    #[must_use]
    pub fn faults(faults: Vec<Fault>) -> Self {
        let detail = match faults.len() {
            1 => "1 fault".to_owned(),
            count => format!("{count} faults"),
        };
        Self { faults, ..Self::because(ProblemKind::InvalidDocument, detail) }
    }

    /// Something the client learns nothing of; the log does.
    pub fn internal(error: &dyn std::error::Error) -> Self {
        tracing::error!(error = %Chain(error), "internal error");
        Self::new(ProblemKind::Internal)
    }

    /// Whether it is no doing of who asks.
    pub(crate) const fn is_ours(&self) -> bool {
        self.kind.entry().2 >= 500
    }

    /// The problem details.
    #[must_use]
    pub fn problem(self) -> Problem {
        let (name, title, status, _) = self.kind.entry();
        Problem {
            kind: format!("/problems/{name}"),
            title: title.to_owned(),
            status,
            detail: self.detail,
            errors: self.faults,
        }
    }
}

/// An error with what caused it.
struct Chain<'a>(&'a dyn std::error::Error);

impl std::fmt::Display for Chain<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}", self.0)?;
        let mut source = self.0.source();
        while let Some(error) = source {
            write!(f, ": {error}")?;
            source = error.source();
        }
        Ok(())
    }
}

impl From<ReadError> for ApiError {
    fn from(error: ReadError) -> Self {
        match error {
            ReadError::NotJson(detail) => Self::because(ProblemKind::NotJson, detail),
            ReadError::Faults(faults) => Self::faults(faults),
        }
    }
}

impl From<StoreError> for ApiError {
    fn from(error: StoreError) -> Self {
        match &error {
            StoreError::Conflict { id, revision, .. } => {
                Self::because(ProblemKind::ProfileRevisionTaken, format!("profile {id} revision {revision}"))
            }
            StoreError::NotEarlier(job) => Self::faults(vec![Fault::new(
                "/follows".into(),
                "names no earlier job of this head".into(),
                Some(job.to_string().into()),
            )]),
            StoreError::NoSuchJob => Self::new(ProblemKind::NotFound),
            StoreError::NoSigner => {
                Self::because(ProblemKind::Forbidden, "this key speaks for nobody who signs")
            }
            StoreError::AlreadySigned => Self::new(ProblemKind::AlreadySigned),
            StoreError::SubjectTaken => Self::new(ProblemKind::SubjectTaken),
            StoreError::KeyReused => Self::new(ProblemKind::IdempotencyKeyReused),
            StoreError::StillRunning => Self::new(ProblemKind::StillRunning),
            StoreError::AlreadyOver => Self::new(ProblemKind::AlreadyOver),
            StoreError::Full(_) | StoreError::Busy(_) | StoreError::Away(_) => {
                tracing::error!(error = %Chain(&error), "the store cannot take more now");
                Self::new(ProblemKind::Unavailable)
            }
            _ => Self::internal(&error),
        }
    }
}

impl ResponseError for ApiError {
    fn status_code(&self) -> StatusCode {
        StatusCode::from_u16(self.kind.entry().2).unwrap_or(StatusCode::INTERNAL_SERVER_ERROR)
    }

    fn error_response(&self) -> HttpResponse {
        let problem =
            Self { kind: self.kind, detail: self.detail.clone(), faults: self.faults.clone() }.problem();
        let mut response = HttpResponse::build(self.status_code());
        if matches!(
            self.kind,
            ProblemKind::Unavailable
                | ProblemKind::NotReady
                | ProblemKind::StillRunning
                | ProblemKind::QueueFull
        ) {
            response.insert_header((RETRY_AFTER, HeaderValue::from(RETRY_SECONDS)));
        }
        if self.kind == ProblemKind::Unauthenticated {
            response.insert_header((WWW_AUTHENTICATE, "Bearer"));
        }
        // What the door says of it to the audit trail.
        response.extensions_mut().insert(self.kind);
        response
            .insert_header((CONTENT_TYPE, "application/problem+json"))
            .body(serde_json::to_vec(&problem).unwrap_or_default())
    }
}
