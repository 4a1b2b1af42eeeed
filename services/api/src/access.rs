//! Who asks, and what they may do.

mod admit;
mod guesses;
mod keys;
mod quota;
mod secret;
mod tokens;

use std::future::{Ready, ready};
use std::marker::PhantomData;
use std::sync::Arc;

use actix_web::dev::Payload;
use actix_web::{FromRequest, HttpMessage, HttpRequest};
use headproof_client::ClientError;
use headproof_store::{By, ShopId, Who};
use headproof_wire::Scope;
use uuid::Uuid;

pub(crate) use self::admit::admit;
pub(crate) use self::guesses::Guesses;
pub(crate) use self::keys::Keys;
pub(crate) use self::quota::{Quotas, RATE_LIMIT, RATE_LIMIT_POLICY};
pub(crate) use self::secret::scopes;
pub use self::secret::{KeySecret, KeyWish};
pub(crate) use self::tokens::Tokens;
pub use self::tokens::{Algorithm, IdentityProvider};
use crate::{ApiError, ProblemKind};

/// Who is let in.
#[derive(Debug, Clone)]
pub enum Access {
    /// Whoever shows a key, or a token of the identity provider where there is one.
    Keys(Option<IdentityProvider>),
    /// Anybody, as one and the same shop, to all but sign: for trying out, on this machine only.
    Open(ShopId),
}

/// Whoever made a request.
#[derive(Debug, Clone)]
pub(crate) struct Caller {
    /// Whose data they may see.
    pub(crate) shop: ShopId,
    /// Who they are to the audit trail.
    pub(crate) who: Who,
    /// What they may do.
    pub(crate) scopes: Vec<Scope>,
    /// The person who asks, where it is one.
    pub(crate) person: Option<Uuid>,
}

impl Caller {
    fn may(&self, scope: Scope) -> bool {
        self.scopes.contains(&scope)
    }

    /// By whom and by which request something is done.
    pub(crate) fn by(&self, http: &HttpRequest) -> By {
        By { who: self.who.clone(), request: Some(crate::present::request_id(http)) }
    }
}

/// How callers are known; shared by all threads.
#[derive(Clone)]
pub(crate) struct Gate {
    pub(crate) open: Option<ShopId>,
    pub(crate) keys: Keys,
    pub(crate) tokens: Option<Arc<Tokens>>,
    pub(crate) guesses: Arc<Guesses>,
}

impl Gate {
    pub(crate) fn new(access: Access, store: headproof_store::Store) -> Result<Self, ClientError> {
        let (open, provider) = match access {
            Access::Keys(provider) => (None, provider),
            Access::Open(shop) => (Some(shop), None),
        };
        let tokens = provider.map(|provider| Tokens::new(provider, store.clone())).transpose()?.map(Arc::new);
        Ok(Self { open, keys: Keys::new(store), tokens, guesses: Arc::new(Guesses::new()) })
    }
}

/// A scope as a type, so that what a handler asks for stands in its signature.
pub(crate) trait Asked {
    const SCOPE: Scope;
}

macro_rules! asked {
    ($($name:ident),*) => {$(
        pub(crate) struct $name;
        impl Asked for $name {
            const SCOPE: Scope = Scope::$name;
        }
    )*};
}
asked!(Submit, Read, Sign, Admin);

/// A caller who may do what is asked. Everything a handler does, it does as this caller.
pub(crate) struct May<S>(pub(crate) Caller, pub(crate) PhantomData<S>);

impl<S: Asked> FromRequest for May<S> {
    type Error = ApiError;
    type Future = Ready<Result<Self, ApiError>>;

    fn from_request(request: &HttpRequest, _: &mut Payload) -> Self::Future {
        let caller = request.extensions().get::<Caller>().cloned();
        ready(match caller {
            Some(caller) if caller.may(S::SCOPE) => Ok(Self(caller, PhantomData)),
            Some(_) => {
                let detail = format!("this key does not have the scope {}", S::SCOPE.word());
                Err(ApiError::because(ProblemKind::Forbidden, detail))
            }
            None => Err(ApiError::new(ProblemKind::Unauthenticated)),
        })
    }
}
