//! People who sign, and the certificates they sign with.

use actix_web::http::header::LOCATION;
use actix_web::{HttpRequest, HttpResponse, web};
use headproof_store::{NewPerson, PersonRecord, ShopId};
use headproof_wire::{Person, PersonRequest, Problem};
use uuid::Uuid;

use super::jobs::parse;
use crate::access::{Admin, May, Read};
use crate::body::Posted;
use crate::certificates::{certificate_for, own_as_pem};
use crate::once::once;
use crate::{ApiError, ApiState, ProblemKind, present};

/// Enter a person who signs. They get a certificate under the shop's own; a key that speaks for them is made with
/// `/v1/keys`.
#[utoipa::path(
    post,
    path = "/v1/people",
    tag = "Access",
    request_body = PersonRequest,
    responses(
        (status = 201, description = "Entered", body = Person, headers(("Location" = String))),
        (status = 409, description = "Tokens of that subject speak for somebody else", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Every fault of the document", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn enter(
    state: web::Data<ApiState>,
    May(caller, ..): May<Admin>,
    http: HttpRequest,
    request: Posted<PersonRequest>,
) -> Result<HttpResponse, ApiError> {
    let PersonRequest { name, role, subject } = request.checked()?;
    let id = Uuid::now_v7();
    let certificate = certificate_for(&state, &caller, &http, (&name, &role)).await?;
    let person = NewPerson { name, role, subject };
    let (by, once) = (caller.by(&http), once(&http, "people")?);
    let entered = state.store.enter_person(&caller.shop, id, person, certificate, &by, once.as_ref()).await?;
    let entered = entered.into_inner();
    let id = entered.id;
    tracing::info!(person = %id, "a person was entered");
    let person = shown(&state, &caller.shop, &entered).await?;
    Ok(HttpResponse::Created().insert_header((LOCATION, format!("/v1/people/{id}"))).json(person))
}

/// Everybody who signs, or did.
#[utoipa::path(get, path = "/v1/people", tag = "Access", responses((status = 200, description = "The people", body = Vec<Person>)))]
pub(crate) async fn list(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
) -> Result<HttpResponse, ApiError> {
    let mut all = Vec::new();
    for person in state.store.people(&caller.shop).await? {
        all.push(shown(&state, &caller.shop, &person).await?);
    }
    Ok(HttpResponse::Ok().json(all))
}

/// One person.
#[utoipa::path(
    get,
    path = "/v1/people/{id}",
    tag = "Access",
    params(("id" = Uuid, Path)),
    responses(
        (status = 200, description = "The person", body = Person),
        (status = 404, description = "No such person", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn show(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let person = state.store.person(&caller.shop, parse(&id)?).await?;
    let person = person.ok_or_else(|| ApiError::new(ProblemKind::NotFound))?;
    Ok(HttpResponse::Ok().json(shown(&state, &caller.shop, &person).await?))
}

/// A person signs no longer. Their keys are revoked; what they have signed stays signed.
#[utoipa::path(
    delete,
    path = "/v1/people/{id}",
    tag = "Access",
    params(("id" = Uuid, Path)),
    responses(
        (status = 204, description = "They sign no longer"),
        (status = 404, description = "No such person", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn leave(
    state: web::Data<ApiState>,
    May(caller, ..): May<Admin>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    if !state.store.person_leaves(&caller.shop, parse(&id)?, &caller.by(&http)).await? {
        return Err(ApiError::new(ProblemKind::NotFound));
    }
    state.gate.keys.forget();
    Ok(HttpResponse::NoContent().finish())
}

/// The certificates that vouch for the people of this shop, as PEM (RFC 7468): give them to whoever shall be able to
/// check signatures.
#[utoipa::path(
    get,
    path = "/v1/certificates",
    tag = "Sign-off",
    responses((status = 200, description = "The newest first", body = String, content_type = "application/pem-certificate-chain"))
)]
pub(crate) async fn certificates(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
) -> Result<HttpResponse, ApiError> {
    let records = state.store.shop_certificates(&caller.shop).await?;
    let all = own_as_pem(&records).map_err(|error| ApiError::internal(&error))?;
    Ok(HttpResponse::Ok().content_type("application/pem-certificate-chain").body(all))
}

async fn shown(state: &ApiState, shop: &ShopId, person: &PersonRecord) -> Result<Person, ApiError> {
    let certificate = state.store.certificate(shop, Some(person.id)).await?;
    present::person(person, certificate.map(|certificate| certificate.content.fingerprint))
}
