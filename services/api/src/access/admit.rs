//! The door: before anything else of a request is looked at, it is known who asks.

use std::net::IpAddr;

use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::header::{AUTHORIZATION, HOST, RETRY_AFTER};
use actix_web::middleware::Next;
use actix_web::{HttpMessage, ResponseError, web};
use headproof_store::{By, Event, Happening, Who};
use headproof_wire::Scope;

use super::{Caller, Gate};
use crate::access::KeySecret;
use crate::{ApiError, ApiState, ProblemKind};

/// What is answered to anybody: whether the service lives, and what describes it; with all below what ends in a slash.
const FOR_ALL: [&str; 9] = [
    "/livez",
    "/readyz",
    "/openapi.json",
    "/docs",
    "/docs/",
    "/problems/",
    "/v1/schemas",
    "/v1/schemas/",
    "/v1/characteristics",
];

/// Lets a request in whose caller is known, and tells the handlers who it is.
pub(crate) async fn admit(
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> actix_web::Result<ServiceResponse<impl MessageBody>> {
    if is_for_all(request.path()) {
        return Ok(next.call(request).await?.map_into_left_body());
    }
    let state = request.app_data::<web::Data<ApiState>>().cloned();
    let Some(state) = state else { return Err(ApiError::new(ProblemKind::Internal).into()) };
    let caller = match known(&state.gate, &request).await {
        Ok(caller) => caller,
        Err(Refused { error, wait }) => {
            let mut response = error.error_response();
            if let Some(wait) = wait {
                response.headers_mut().insert(RETRY_AFTER, wait.into());
            }
            return Ok(request.into_response(response).map_into_right_body());
        }
    };
    let standing = state.quotas.take(&caller);
    if let Some(standing) = standing.filter(|standing| standing.is_over) {
        let mut response = ApiError::new(ProblemKind::QuotaExceeded).error_response();
        standing.tell(response.headers_mut());
        response.headers_mut().insert(RETRY_AFTER, standing.wait().into());
        return Ok(request.into_response(response).map_into_right_body());
    }
    request.extensions_mut().insert(caller.clone());
    let what = format!("{} {}", request.method(), request.path());
    let mut response = next.call(request).await?;
    if let Some(standing) = standing {
        standing.tell(response.headers_mut());
    }
    if let Some(kind) = refusal(&response) {
        record(&state, &caller, &caller.by(response.request()), what, kind).await;
    }
    Ok(response.map_into_left_body())
}

fn is_for_all(path: &str) -> bool {
    FOR_ALL.iter().any(|open| path == *open || (open.ends_with('/') && path.starts_with(open)))
}

/// Why nobody was let in.
struct Refused {
    error: ApiError,
    /// Seconds to wait.
    wait: Option<u64>,
}

impl From<ApiError> for Refused {
    fn from(error: ApiError) -> Self {
        Self { error, wait: None }
    }
}

/// Who asks. Whatever is wrong with what they show, they are told the same.
async fn known(gate: &Gate, request: &ServiceRequest) -> Result<Caller, Refused> {
    let mut all = request.headers().get_all(AUTHORIZATION);
    let (shown, more) = (all.next(), all.next());
    if let (None, Some(shop)) = (shown, &gate.open) {
        if !is_of_this_machine(request) {
            let detail = "without a key, only this machine is served, and asked by its own name";
            return Err(ApiError::because(ProblemKind::Forbidden, detail).into());
        }
        let who = Who { kind: "open".to_owned(), id: String::new(), name: "anybody".to_owned() };
        let scopes = vec![Scope::Submit, Scope::Read, Scope::Admin];
        return Ok(Caller { shop: shop.clone(), who, scopes, person: None });
    }
    let Some(shown) = shown else { return Err(ApiError::new(ProblemKind::Unauthenticated).into()) };
    // Of two, somebody before us may have looked at the other.
    let caller = match bearer(shown.as_bytes()).filter(|_| more.is_none()) {
        Some(text) => match (KeySecret::read(text), &gate.tokens) {
            (Some(key), _) => gate.keys.caller(&key).await?,
            (None, Some(tokens)) => tokens.caller(text).await?,
            (None, None) => None,
        },
        None => None,
    };
    if let Some(caller) = caller {
        return Ok(caller);
    }
    let from = request.peer_addr().map(|address| address.ip());
    match gate.guesses.failed(from) {
        Ok(()) => {
            tracing::warn!(?from, "a key or token was refused");
            Err(ApiError::new(ProblemKind::Unauthenticated).into())
        }
        Err(wait) => {
            let error = ApiError::new(ProblemKind::QuotaExceeded);
            Err(Refused { error, wait: Some(wait.as_secs() + 1) })
        }
    }
}

/// Was this machine asked by its own name? A page of the web can have its own name lead here, and would be let in with
/// whoever looks at it.
fn is_of_this_machine(request: &ServiceRequest) -> bool {
    let host = request.headers().get(HOST).and_then(|host| host.to_str().ok());
    let host = host.or_else(|| request.uri().authority().map(|authority| authority.as_str()));
    host.is_some_and(is_loopback)
}

fn is_loopback(host: &str) -> bool {
    let name = match host.strip_prefix('[').and_then(|rest| rest.split_once(']')) {
        Some((address, _)) => address,
        None => host.split(':').next().unwrap_or_default(),
    };
    name.eq_ignore_ascii_case("localhost")
        || name.parse::<IpAddr>().is_ok_and(|address| address.is_loopback())
}

/// What stands behind `Bearer` (RFC 6750, 2.1; the word in any case, RFC 9110, 11.1).
fn bearer(value: &[u8]) -> Option<&str> {
    let (scheme, rest) = std::str::from_utf8(value).ok()?.split_once(' ')?;
    scheme.eq_ignore_ascii_case("bearer").then(|| rest.trim())
}

/// Was somebody refused who is known: for want of a scope, or a sign-off?
fn refusal<B>(response: &ServiceResponse<B>) -> Option<ProblemKind> {
    let kind = *response.response().extensions().get::<ProblemKind>()?;
    let request = response.request();
    let of_sign_off = request.method() == "POST" && request.path().ends_with("/sign-offs");
    (kind == ProblemKind::Forbidden || (of_sign_off && response.status().is_client_error())).then_some(kind)
}

async fn record(state: &ApiState, caller: &Caller, by: &By, what: String, kind: ProblemKind) {
    let note = Some(kind.entry().0.to_owned());
    let refused = Happening { note, ..by.did(Event::Refused, what.chars().take(200).collect()) };
    if let Err(error) = state.store.record(&caller.shop, refused).await {
        tracing::error!(%error, "a refusal could not be recorded");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn only_health_and_descriptions_are_for_all() {
        for path in ["/livez", "/docs", "/docs/index.html", "/problems/not-json", "/v1/schemas/workshop"] {
            assert!(is_for_all(path), "{path}");
        }
        for path in
            ["/", "", "/v1/jobs", "/livez/", "/livezz", "/v1/schemasx", "/docsx", "/V1/schemas", "//docs/"]
        {
            assert!(!is_for_all(path), "{path}");
        }
    }

    #[test]
    fn a_name_that_somebody_else_gave_this_machine_is_none_of_its_own() {
        for host in ["localhost", "LOCALHOST:8080", "127.0.0.1:80", "127.8.9.1", "[::1]:8080"] {
            assert!(is_loopback(host), "{host}");
        }
        for host in
            ["", "localhost.example", "127.0.0.1.example:80", "192.0.2.1", "[2001:db8::1]:80", "[::1", "::1"]
        {
            assert!(!is_loopback(host), "{host}");
        }
    }

    #[test]
    fn a_bearer_is_read_in_any_case() {
        assert_eq!(bearer(b"bearer  abc "), Some("abc"));
        for value in [&b"Basic abc"[..], b"Bearer", b"Bearerabc", b"\xFF abc", b""] {
            assert_eq!(bearer(value), None);
        }
    }
}
