//! Webhooks: addresses that are told of events.

use actix_web::http::header::{CACHE_CONTROL, LOCATION};
use actix_web::{HttpRequest, HttpResponse, web};
use headproof_store::{DeliveryState, Made, Place, ReceiverRecord, ShopId};
use headproof_wire::{Delivery, MadeWebhook, Problem, SentAgain, Webhook, WebhookRequest};
use uuid::Uuid;

use super::jobs::parse;
use crate::access::{Admin, May};
use crate::body::Posted;
use crate::once::once;
use crate::webhooks::{events_kept, new_secret, shown, shown_delivery, url_fault};
use crate::{ApiError, ApiState, ProblemKind, paging, present};

/// Enter an address to be told of events (Standard Webhooks 1.0.0). Messages come at least once each and in no order; the
/// answer shows, this once, what they are signed with.
#[utoipa::path(
    post,
    path = "/v1/webhooks",
    tag = "Webhooks",
    request_body = WebhookRequest,
    responses(
        (status = 201, description = "Entered", body = MadeWebhook, headers(("Location" = String))),
        (status = 409, description = "A request of the same Idempotency-Key has entered it", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Every fault of the document; an address that may not be called", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn enter(
    state: web::Data<ApiState>,
    May(caller, ..): May<Admin>,
    http: HttpRequest,
    request: Posted<WebhookRequest>,
) -> Result<HttpResponse, ApiError> {
    let request = request.checked()?;
    url_fault(&state, &request.url)?;
    let (by, once, id) = (caller.by(&http), once(&http, "webhooks")?, Uuid::now_v7());
    let (secret, wrapped) = new_secret(&state, id)?;
    let receiver = headproof_store::NewReceiver {
        url: request.url,
        description: request.description.unwrap_or_default(),
        events: events_kept(request.events.as_deref()),
        secret: wrapped,
    };
    let record = match state.store.enter_receiver(&caller.shop, id, receiver, &by, once.as_ref()).await? {
        Made::New(record) => record,
        Made::Before(record) => {
            return Err(ApiError::because(ProblemKind::AlreadyMade, format!("webhook {}", record.id)));
        }
    };
    let webhook = shown(&record)?;
    Ok(HttpResponse::Created()
        .insert_header((LOCATION, webhook.links.this.clone()))
        .insert_header((CACHE_CONTROL, "no-store"))
        .json(MadeWebhook { secret, webhook }))
}

/// All addresses that are told of events.
#[utoipa::path(get, path = "/v1/webhooks", tag = "Webhooks", responses((status = 200, description = "The addresses", body = Vec<Webhook>)))]
pub(crate) async fn list(
    state: web::Data<ApiState>,
    May(caller, ..): May<Admin>,
) -> Result<HttpResponse, ApiError> {
    let all = state.store.receivers(&caller.shop).await?;
    Ok(HttpResponse::Ok().json(all.iter().map(shown).collect::<Result<Vec<_>, _>>()?))
}

/// An address, and how it is doing.
#[utoipa::path(
    get,
    path = "/v1/webhooks/{id}",
    tag = "Webhooks",
    params(("id" = Uuid, Path)),
    responses(
        (status = 200, description = "The address", body = Webhook),
        (status = 404, description = "No such address", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn show(
    state: web::Data<ApiState>,
    May(caller, ..): May<Admin>,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let record = find(&state, &caller.shop, parse(&id)?).await?;
    Ok(HttpResponse::Ok().json(shown(&record)?))
}

/// Remove an address, and what it was still to be told.
#[utoipa::path(
    delete,
    path = "/v1/webhooks/{id}",
    tag = "Webhooks",
    params(("id" = Uuid, Path)),
    responses(
        (status = 204, description = "It is told nothing any longer"),
        (status = 404, description = "No such address", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn remove(
    state: web::Data<ApiState>,
    May(caller, ..): May<Admin>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let removed = state.store.remove_receiver(&caller.shop, parse(&id)?, &caller.by(&http)).await?;
    there(removed)?;
    Ok(HttpResponse::NoContent().finish())
}

/// Give an address a new secret. For a day messages are signed with the one before it as well.
#[utoipa::path(
    post,
    path = "/v1/webhooks/{id}/secret",
    tag = "Webhooks",
    params(("id" = Uuid, Path)),
    responses(
        (status = 200, description = "The new secret", body = MadeWebhook),
        (status = 404, description = "No such address", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn renew_secret(
    state: web::Data<ApiState>,
    May(caller, ..): May<Admin>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let id = parse(&id)?;
    let (secret, wrapped) = new_secret(&state, id)?;
    let overlap = state.webhooks.overlap;
    let by = caller.by(&http);
    there(state.store.renew_receiver_secret(&caller.shop, id, &wrapped, overlap, &by).await?)?;
    let webhook = shown(&find(&state, &caller.shop, id).await?)?;
    Ok(HttpResponse::Ok().insert_header((CACHE_CONTROL, "no-store")).json(MadeWebhook { secret, webhook }))
}

/// Tell an address again that was disabled, because it failed for days or said that it is gone.
#[utoipa::path(
    post,
    path = "/v1/webhooks/{id}/enable",
    tag = "Webhooks",
    params(("id" = Uuid, Path)),
    responses(
        (status = 200, description = "It is told of events", body = Webhook),
        (status = 404, description = "No such address", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn enable(
    state: web::Data<ApiState>,
    May(caller, ..): May<Admin>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let id = parse(&id)?;
    there(state.store.enable_receiver(&caller.shop, id, &caller.by(&http)).await?)?;
    Ok(HttpResponse::Ok().json(shown(&find(&state, &caller.shop, id).await?)?))
}

/// Send an address a message that tells of nothing (`webhook.test`), to see whether it gets through.
#[utoipa::path(
    post,
    path = "/v1/webhooks/{id}/test",
    tag = "Webhooks",
    params(("id" = Uuid, Path)),
    responses(
        (status = 202, description = "It will be sent", body = SentAgain),
        (status = 404, description = "No such address", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn test(
    state: web::Data<ApiState>,
    May(caller, ..): May<Admin>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let origin = present::origin(&http);
    let event = headproof_wire::WebhookEvent::Test.as_str();
    let sent = state.store.send_to(&caller.shop, parse(&id)?, event, &origin).await?;
    there(sent.is_some())?;
    Ok(HttpResponse::Accepted().json(SentAgain { messages: 1 }))
}

/// What was sent to an address and what is still to be, the oldest first, page by page.
#[utoipa::path(
    get,
    path = "/v1/webhooks/{id}/deliveries",
    tag = "Webhooks",
    params(
        ("id" = Uuid, Path),
        ("state" = Option<headproof_wire::DeliveryState>, Query, description = "Only those in this state"),
        ("limit" = Option<u32>, Query, description = "Members of a page, from 1 to 1000; 100 where nothing is said", minimum = 1, maximum = 1000),
        ("cursor" = Option<String>, Query, description = "Of the address in Link"),
    ),
    responses(
        (status = 200, description = "The messages", body = Vec<Delivery>, headers(("Link" = String, description = "rel=next"))),
        (status = 400, description = "A parameter that makes no sense", body = Problem, content_type = "application/problem+json"),
        (status = 404, description = "No such address", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn deliveries(
    state: web::Data<ApiState>,
    May(caller, ..): May<Admin>,
    http: HttpRequest,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let page = paging::page(&http)?;
    let wished = paging::parameter(&http, "state")?;
    let bad = || ApiError::because(ProblemKind::BadRequest, "there is no such state");
    let wished = wished.map(|name| DeliveryState::parse(&name).ok_or_else(bad)).transpose()?;
    let record = find(&state, &caller.shop, parse(&id)?).await?;
    let found = state.store.deliveries(&caller.shop, record.id, wished, page).await?;
    let last = found.last().map(|one| Place { at: one.message.occurred_at, id: one.message.id });
    let found = found.iter().map(shown_delivery).collect::<Result<Vec<_>, _>>()?;
    Ok(paging::answer(&http, page, found, last))
}

/// Send all messages again that were given up.
#[utoipa::path(
    post,
    path = "/v1/webhooks/{id}/deliveries/again",
    tag = "Webhooks",
    params(("id" = Uuid, Path)),
    responses(
        (status = 202, description = "They will be sent", body = SentAgain),
        (status = 404, description = "No such address", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn again(
    state: web::Data<ApiState>,
    May(caller, ..): May<Admin>,
    id: web::Path<String>,
) -> Result<HttpResponse, ApiError> {
    let record = find(&state, &caller.shop, parse(&id)?).await?;
    let messages = state.store.send_again(&caller.shop, record.id, None).await?;
    Ok(HttpResponse::Accepted().json(SentAgain { messages }))
}

/// Send one message again that was given up or got through.
#[utoipa::path(
    post,
    path = "/v1/webhooks/{id}/deliveries/{message}/again",
    tag = "Webhooks",
    params(("id" = Uuid, Path), ("message" = Uuid, Path)),
    responses(
        (status = 202, description = "It will be sent", body = SentAgain),
        (status = 404, description = "No such address, or no such message that is over", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn one_again(
    state: web::Data<ApiState>,
    May(caller, ..): May<Admin>,
    path: web::Path<(String, String)>,
) -> Result<HttpResponse, ApiError> {
    let (id, message) = path.into_inner();
    let messages = state.store.send_again(&caller.shop, parse(&id)?, Some(parse(&message)?)).await?;
    there(messages == 1)?;
    Ok(HttpResponse::Accepted().json(SentAgain { messages }))
}

async fn find(state: &ApiState, shop: &ShopId, id: Uuid) -> Result<ReceiverRecord, ApiError> {
    state.store.receiver(shop, id).await?.ok_or_else(|| ApiError::new(ProblemKind::NotFound))
}

fn there(is: bool) -> Result<(), ApiError> {
    if is { Ok(()) } else { Err(ApiError::new(ProblemKind::NotFound)) }
}
