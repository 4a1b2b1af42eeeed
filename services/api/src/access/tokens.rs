//! Tokens of the shop system's own identity provider: OpenID Connect, signed JSON Web Tokens (RFC 7519, RFC 9068).

use std::time::{Duration, Instant};

use headproof_client::{ClientError, body_up_to, outgoing};
use headproof_store::{ShopId, Store, Who};
use headproof_wire::Scope;
pub use jsonwebtoken::Algorithm;
use jsonwebtoken::jwk::JwkSet;
use jsonwebtoken::{DecodingKey, Validation, decode, decode_header};
use serde::Deserialize;
use tokio::sync::Mutex;

use super::Caller;
use crate::ApiError;

/// How far two clocks may differ.
const SKEW: Duration = Duration::from_secs(60);
/// How long fetched keys are used before they are fetched anew.
const FRESH: Duration = Duration::from_secs(600);
/// A token that names a key nobody knows has them fetched anew, but not oftener than this.
const AT_MOST_EACH: Duration = Duration::from_secs(30);
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

/// What a token says.
#[derive(Debug, Deserialize)]
struct Claims {
    sub: String,
    #[serde(default)]
    scope: String,
    #[serde(flatten)]
    others: serde_json::Map<String, serde_json::Value>,
}

/// The keys of the provider.
struct Cached {
    keys: JwkSet,
    fetched: Instant,
}

/// Knows tokens.
pub(crate) struct Tokens {
    provider: IdentityProvider,
    validation: Validation,
    http: reqwest::Client,
    store: Store,
    cached: Mutex<Option<Cached>>,
}

impl Tokens {
    pub(super) fn new(provider: IdentityProvider, store: Store) -> Result<Self, ClientError> {
        let mut validation = Validation::new(provider.algorithm);
        validation.set_issuer(&[&provider.issuer]);
        validation.set_audience(&[&provider.audience]);
        validation.set_required_spec_claims(&["exp", "iss", "aud", "sub"]);
        validation.validate_nbf = true;
        validation.leeway = SKEW.as_secs();
        Ok(Self { provider, validation, http: outgoing(PATIENCE)?, store, cached: Mutex::new(None) })
    }

    /// Who shows this token; none where it is not good.
    pub(super) async fn caller(&self, token: &str) -> Result<Option<Caller>, ApiError> {
        let Some(claims) = self.claims(token).await? else { return Ok(None) };
        let shop = claims.others.get(&self.provider.shop_claim).and_then(serde_json::Value::as_str);
        let Some(shop) = shop.and_then(ShopId::named) else {
            tracing::info!("a token names no shop");
            return Ok(None);
        };
        let person = self.store.person_of_subject(&shop, &claims.sub).await?;
        let mut scopes: Vec<Scope> = claims.scope.split_ascii_whitespace().filter_map(scope_of).collect();
        if person.is_none() {
            scopes.retain(|scope| *scope != Scope::Sign);
        }
        let name = person.as_ref().map_or_else(|| claims.sub.clone(), |person| person.name.clone());
        Ok(Some(Caller {
            shop,
            who: Who { kind: "token".to_owned(), id: claims.sub, name },
            scopes,
            person: person.map(|person| person.id),
        }))
    }

    async fn claims(&self, token: &str) -> Result<Option<Claims>, ApiError> {
        let Ok(header) = decode_header(token) else { return Ok(None) };
        if header.alg != self.provider.algorithm {
            return Ok(None);
        }
        let Some(key) = self.key(header.kid.as_deref()).await? else { return Ok(None) };
        match decode::<Claims>(token, &key, &self.validation) {
            Ok(token) => Ok(Some(token.claims)),
            Err(error) => {
                tracing::info!(%error, "a token was refused");
                Ok(None)
            }
        }
    }

    /// The key a token says it is signed with. A key set of one key needs no name for it.
    async fn key(&self, name: Option<&str>) -> Result<Option<DecodingKey>, ApiError> {
        let mut cached = self.cached.lock().await;
        let age = cached.as_ref().map(|cached| cached.fetched.elapsed());
        let known = cached.as_ref().is_some_and(|cached| find(&cached.keys, name).is_some());
        if age.is_none_or(|age| age > FRESH || (!known && age > AT_MOST_EACH)) {
            match self.fetch().await {
                Ok(keys) => *cached = Some(Cached { keys, fetched: Instant::now() }),
                // With those it has, it goes on; without any, it cannot tell who asks.
                Err(error) if cached.is_some() => {
                    tracing::error!(%error, "the keys of the identity provider could not be fetched anew");
                }
                Err(error) => {
                    tracing::error!(%error, "the keys of the identity provider could not be fetched");
                    return Err(ApiError::new(crate::ProblemKind::Unavailable));
                }
            }
        }
        Ok(cached.as_ref().and_then(|cached| find(&cached.keys, name)))
    }

    async fn fetch(&self) -> Result<JwkSet, ClientError> {
        let response = self.http.get(&self.provider.keys_url).send().await?;
        let bytes = body_up_to(response, LARGEST).await?;
        serde_json::from_slice(&bytes).map_err(|error| ClientError::Unexpected(error.to_string()))
    }
}

fn find(keys: &JwkSet, name: Option<&str>) -> Option<DecodingKey> {
    let jwk = match (name, keys.keys.as_slice()) {
        (Some(name), _) => keys.find(name),
        (None, [only]) => Some(only),
        (None, _) => None,
    };
    DecodingKey::from_jwk(jwk?).ok()
}

/// `submit`, or `headproof:submit` where the provider serves others as well.
fn scope_of(word: &str) -> Option<Scope> {
    Scope::of(word.strip_prefix("headproof:").unwrap_or(word))
}
