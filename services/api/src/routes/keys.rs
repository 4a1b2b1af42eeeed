//! Keys: made, listed, revoked.

use actix_web::http::header::LOCATION;
use actix_web::{HttpRequest, HttpResponse, web};
use headproof_store::Made;
use headproof_wire::{Fault, Key, KeyRequest, MadeKey, Problem, Scope};
use time::format_description::well_known::Rfc3339;
use time::{OffsetDateTime, UtcOffset};
use uuid::Uuid;

use super::jobs::parse;
use crate::access::{Admin, KeySecret, KeyWish, May};
use crate::body::Posted;
use crate::once::once;
use crate::{ApiError, ApiState, ProblemKind, present};

/// Make a key. Its secret is in the answer, and nowhere else.
#[utoipa::path(
    post,
    path = "/v1/keys",
    tag = "Access",
    request_body = KeyRequest,
    responses(
        (status = 201, description = "Made", body = MadeKey, headers(("Location" = String))),
        (status = 409, description = "A request of the same Idempotency-Key has made it", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Every fault of the document", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn make(
    state: web::Data<ApiState>,
    May(caller, ..): May<Admin>,
    http: HttpRequest,
    request: Posted<KeyRequest>,
) -> Result<HttpResponse, ApiError> {
    let wish = wish(&state, &caller.shop, request.checked()?).await?;
    let (secret, new) = KeySecret::new(wish).map_err(|error| ApiError::internal(&error))?;
    let once = once(&http, "keys")?;
    let record = match state.store.keep_key(&caller.shop, new, &caller.by(&http), once.as_ref()).await? {
        Made::New(record) => record,
        Made::Before(record) => {
            let detail = format!("key {}", record.content.id);
            return Err(ApiError::because(ProblemKind::AlreadyMade, detail));
        }
    };
    let made = MadeKey { secret: secret.text(), key: present::key(&record)? };
    Ok(HttpResponse::Created()
        .insert_header((LOCATION, format!("/v1/keys/{}", made.key.id)))
        .insert_header(("Cache-Control", "no-store"))
        .json(made))
}

/// What is asked for, if it makes sense.
async fn wish(
    state: &ApiState,
    shop: &headproof_store::ShopId,
    request: KeyRequest,
) -> Result<KeyWish, ApiError> {
    let KeyRequest { label, scopes, person, expires_at } = request;
    let mut faults = Vec::new();
    let mut fault = |pointer: &str, detail: &str| {
        faults.push(Fault::new(pointer.to_owned(), detail.to_owned(), None));
    };
    let expires_at = expires_at.and_then(|text| {
        // The last hours of the last year that has four digits are none in UTC.
        let end = OffsetDateTime::parse(&text, &Rfc3339).ok();
        let end = end.and_then(|end| end.checked_to_offset(UtcOffset::UTC));
        if end.is_none_or(|end| end <= OffsetDateTime::now_utc()) {
            fault("/expires_at", "is no time to come (RFC 3339)");
        }
        end
    });
    let person = person.and_then(|text| {
        let id = Uuid::try_parse(&text).ok();
        if id.is_none() {
            fault("/person", "is no id of a person");
        }
        id
    });
    match person {
        None if scopes.contains(&Scope::Sign) => fault("/person", "is needed: only a person signs"),
        Some(id) => {
            let known = state.store.person(shop, id).await?;
            if known.is_none_or(|person| person.left_at.is_some()) {
                fault("/person", "is nobody who signs");
            }
        }
        None => {}
    }
    if faults.is_empty() {
        Ok(KeyWish { label, scopes, person, expires_at })
    } else {
        Err(ApiError::faults(faults))
    }
}

/// All keys of the shop, without their secrets.
#[utoipa::path(get, path = "/v1/keys", tag = "Access", responses((status = 200, description = "The keys", body = Vec<Key>)))]
pub(crate) async fn list(
    state: web::Data<ApiState>,
    May(caller, ..): May<Admin>,
) -> Result<HttpResponse, ApiError> {
    let keys = state.store.keys(&caller.shop).await?;
    Ok(HttpResponse::Ok().json(keys.iter().map(present::key).collect::<Result<Vec<_>, _>>()?))
}

/// Revoke a key. Here it opens nothing from now on; in other processes within half a minute.
#[utoipa::path(
    delete,
    path = "/v1/keys/{id}",
    tag = "Access",
    params(("id" = Uuid, Path)),
    responses(
        (status = 204, description = "It opens nothing any longer"),
        (status = 404, description = "No such key", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn revoke(
    state: web::Data<ApiState>,
    May(caller, ..): May<Admin>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    if !state.store.revoke_key(&caller.shop, parse(&id)?, &caller.by(&http)).await? {
        return Err(ApiError::new(ProblemKind::NotFound));
    }
    state.gate.keys.forget();
    Ok(HttpResponse::NoContent().finish())
}
