//! Tokens of the shop system's own identity provider: OpenID Connect, signed JSON Web Tokens (RFC 7519, RFC 9068).

mod verifier;

use std::sync::{Arc, PoisonError, RwLock};
use std::time::{Duration, Instant};

use headproof_client::{ClientError, body_up_to, outgoing};
use headproof_store::{ShopId, Store, Who};
use headproof_wire::Scope;
pub use jsonwebtoken::Algorithm;
use jsonwebtoken::jwk::{JwkSet, PublicKeyUse};
use jsonwebtoken::{DecodingKey, Validation, decode, decode_header};
use tokio::sync::Mutex;

use super::Caller;
use crate::{ApiError, ProblemKind};

/// How far two clocks may differ.
const SKEW: Duration = Duration::from_secs(60);
/// How long fetched keys are used before they are fetched anew.
const FRESH: Duration = Duration::from_secs(600);
/// A token that names a key nobody knows has them fetched anew, but not oftener than this.
const AT_MOST_EACH: Duration = Duration::from_secs(30);
/// After a failure it may be asked anew this soon.
const AFTER_FAILURE: Duration = Duration::from_secs(3);
/// How long to wait for the provider.
const PATIENCE: Duration = Duration::from_secs(5);
/// No key set is larger.
const LARGEST: usize = 1 << 20;

/// An identity provider whose tokens are taken.
#[derive(Debug, Clone)]
pub struct IdentityProvider {
    /// Who it is: `iss` of its tokens.
    pub issuer: String,
    /// Who this service is to it: one of `aud` of its tokens.
    pub audience: String,
    /// Where its keys are (JSON Web Key Set, RFC 7517).
    pub keys_url: String,
    /// The one algorithm its tokens are signed with; whatever a token itself says of that.
    pub algorithm: Algorithm,
    /// The claim that names the shop.
    pub shop_claim: String,
}

/// What a token says, by the names of its claims.
type Claims = serde_json::Map<String, serde_json::Value>;

/// The keys of the provider, as far as they are known.
#[derive(Debug, Clone, Default)]
struct Known {
    keys: Option<JwkSet>,
    fetched: Option<Instant>,
    /// When the provider was asked last, and whether it failed then.
    asked: Option<Instant>,
    failed: bool,
}

impl Known {
    fn is_fresh(&self) -> bool {
        self.fetched.is_some_and(|fetched| fetched.elapsed() < FRESH)
    }

    /// May the provider be asked: because what is known grew old, or because a token names a key that is not among it?
    fn may_be_asked_again(&self, is_known: bool) -> bool {
        let pause = if self.failed && !is_known { AFTER_FAILURE } else { AT_MOST_EACH };
        let paused = self.asked.is_none_or(|asked| asked.elapsed() >= pause);
        paused && !(is_known && self.is_fresh())
    }
}

/// Knows tokens.
pub(crate) struct Tokens {
    provider: IdentityProvider,
    validation: Validation,
    http: reqwest::Client,
    store: Store,
    known: RwLock<Arc<Known>>,
    /// Held by whoever asks the provider.
    turn: Mutex<()>,
}

impl Tokens {
    pub(super) fn new(provider: IdentityProvider, store: Store) -> Result<Self, ClientError> {
        verifier::install();
        let mut validation = Validation::new(provider.algorithm);
        validation.set_issuer(&[&provider.issuer]);
        validation.set_audience(&[&provider.audience]);
        validation.set_required_spec_claims(&["exp", "iss", "aud", "sub"]);
        validation.validate_nbf = true;
        validation.leeway = SKEW.as_secs();
        Ok(Self {
            provider,
            validation,
            http: outgoing(PATIENCE)?,
            store,
            known: RwLock::default(),
            turn: Mutex::default(),
        })
    }

    /// Who shows this token; none where it is not good.
    pub(super) async fn caller(self: &Arc<Self>, token: &str) -> Result<Option<Caller>, ApiError> {
        let Some(claims) = self.claims(token).await? else { return Ok(None) };
        let text = |claim: &str| claims.get(claim).and_then(serde_json::Value::as_str);
        let shop = text(&self.provider.shop_claim).and_then(ShopId::named);
        let (Some(shop), Some(subject)) = (shop, text("sub")) else {
            tracing::debug!("a token names no shop");
            return Ok(None);
        };
        let person = self.store.person_of_subject(&shop, subject).await?;
        let scopes = text("scope").unwrap_or_default().split_ascii_whitespace();
        let mut scopes: Vec<Scope> = scopes.filter_map(scope_of).collect();
        if person.is_none() {
            scopes.retain(|scope| *scope != Scope::Sign);
        }
        let name = person.as_ref().map_or(subject, |person| &person.name);
        let who = Who { kind: "token".to_owned(), id: subject.to_owned(), name: name.to_owned() };
        Ok(Some(Caller { shop, who, scopes, person: person.map(|person| person.id) }))
    }

    async fn claims(self: &Arc<Self>, token: &str) -> Result<Option<Claims>, ApiError> {
        let Ok(header) = decode_header(token) else { return Ok(None) };
        // Nothing that may be critical is known here (RFC 7515, 4.1.11).
        if header.alg != self.provider.algorithm || header.crit.is_some() {
            return Ok(None);
        }
        let Some(key) = self.key(header.kid.as_deref()).await? else { return Ok(None) };
        match decode::<Claims>(token, &key, &self.validation) {
            Ok(token) => Ok(Some(token.claims)),
            Err(error) => {
                tracing::debug!(%error, "a token was refused");
                Ok(None)
            }
        }
    }

    /// The key a token says it is signed with. A key set of one key needs no name for it.
    ///
    /// A key that is known is never waited for: the provider is asked anew meanwhile.
    async fn key(self: &Arc<Self>, name: Option<&str>) -> Result<Option<DecodingKey>, ApiError> {
        let known = self.known();
        if let Some(found) = find(&known.keys, name) {
            if known.may_be_asked_again(true) {
                let this = Arc::clone(self);
                tokio::spawn(async move { this.fetch_anew(true).await });
            }
            return Ok(Some(found));
        }
        self.fetch_anew(false).await;
        let known = self.known();
        match find(&known.keys, name) {
            None if known.keys.is_none() => Err(ApiError::new(ProblemKind::Unavailable)),
            found => Ok(found),
        }
    }

    fn known(&self) -> Arc<Known> {
        Arc::clone(&self.known.read().unwrap_or_else(PoisonError::into_inner))
    }

    /// Fetches the keys, unless somebody did while this one waited for their turn. When that fails, it goes on with those
    /// it has; without any, it cannot tell who asks.
    async fn fetch_anew(&self, is_known: bool) {
        let _turn = self.turn.lock().await;
        if !self.known().may_be_asked_again(is_known) {
            return;
        }
        let fetched = self.fetch().await;
        if let Err(error) = &fetched {
            tracing::error!(%error, "the keys of the identity provider could not be fetched");
        }
        let now = Instant::now();
        let new = match fetched {
            Ok(keys) => Known { keys: Some(keys), fetched: Some(now), asked: Some(now), failed: false },
            Err(_) => Known { asked: Some(now), failed: true, ..Known::clone(&self.known()) },
        };
        *self.known.write().unwrap_or_else(PoisonError::into_inner) = Arc::new(new);
    }

    async fn fetch(&self) -> Result<JwkSet, ClientError> {
        let response = self.http.get(&self.provider.keys_url).send().await?;
        let bytes = body_up_to(response, LARGEST).await?;
        serde_json::from_slice(&bytes).map_err(|error| ClientError::Unexpected(error.to_string()))
    }
}

fn find(keys: &Option<JwkSet>, name: Option<&str>) -> Option<DecodingKey> {
    let keys = keys.as_ref()?;
    let jwk = match (name, keys.keys.as_slice()) {
        (Some(name), _) => keys.find(name),
        (None, [only]) => Some(only),
        (None, _) => None,
    };
    // A key for something else signs no tokens (RFC 7517, 4.2).
    let jwk = jwk?;
    let for_signatures = jwk.common.public_key_use.as_ref().is_none_or(|of| *of == PublicKeyUse::Signature);
    for_signatures.then(|| DecodingKey::from_jwk(jwk).ok())?
}

/// `submit`, or `headproof:submit` where the provider serves others as well.
fn scope_of(word: &str) -> Option<Scope> {
    Scope::of(word.strip_prefix("headproof:").unwrap_or(word))
}
