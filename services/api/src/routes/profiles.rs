//! Profiles: stored once, never changed.

use actix_web::http::header::LOCATION;
use actix_web::{HttpRequest, HttpResponse, web};
use headproof_store::{NewProfile, PutProfile};
use headproof_wire::{At, Problem, StoredProfile, TargetProfile, target_profile};

use crate::access::{Admin, May, Read};
use crate::body::Posted;
use crate::judging::canonical;
use crate::once::once;
use crate::tagged::tagged;
use crate::{ApiError, ApiState, ProblemKind, present};

/// Store a profile revision. The same content again is fine; other content is refused.
#[utoipa::path(
    post,
    path = "/v1/profiles",
    tag = "Profiles",
    request_body = TargetProfile,
    responses(
        (status = 200, description = "It was there already", body = StoredProfile),
        (status = 201, description = "Stored", body = StoredProfile, headers(("Location" = String))),
        (status = 409, description = "That revision exists with other content", body = Problem, content_type = "application/problem+json"),
        (status = 422, description = "Every fault of the document", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn store(
    state: web::Data<ApiState>,
    May(caller, ..): May<Admin>,
    http: HttpRequest,
    profile: Posted<TargetProfile>,
) -> Result<HttpResponse, ApiError> {
    let Posted(profile) = profile;
    target_profile(&profile, &At::Root).map_err(ApiError::faults)?;
    let document = canonical(&profile)?;
    let digest = headproof_seal::digest(&document);
    let new = NewProfile { id: profile.id.clone(), revision: profile.revision.clone(), document, digest };
    let once = once(&http, "profiles")?;
    let put = state.store.put_profile(&caller.shop, new, &caller.by(&http), once.as_ref()).await?;
    let record = state.store.profile(&caller.shop, &profile.id, &profile.revision).await?;
    let record = record.ok_or_else(|| ApiError::new(ProblemKind::NotFound))?;
    let stored = present::profile(&record.summary)?;
    let mut response = match put {
        PutProfile::Stored => HttpResponse::Created(),
        PutProfile::AlreadyThere => HttpResponse::Ok(),
    };
    Ok(response.insert_header((LOCATION, stored.link.clone())).json(stored))
}

/// Every stored profile revision.
#[utoipa::path(get, path = "/v1/profiles", tag = "Profiles", responses((status = 200, description = "The profiles", body = Vec<StoredProfile>)))]
pub(crate) async fn list(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
) -> Result<HttpResponse, ApiError> {
    let profiles = state.store.profiles(&caller.shop).await?;
    let profiles = profiles.iter().map(present::profile).collect::<Result<Vec<_>, _>>()?;
    Ok(HttpResponse::Ok().json(profiles))
}

/// One profile revision; its ETag is its SHA-256 digest.
#[utoipa::path(
    get,
    path = "/v1/profiles/{id}/{revision}",
    tag = "Profiles",
    params(("id" = String, Path), ("revision" = String, Path)),
    responses(
        (status = 200, description = "The profile", body = TargetProfile, headers(("ETag" = String))),
        (status = 304, description = "The profile you have"),
        (status = 404, description = "No such profile", body = Problem, content_type = "application/problem+json"),
    )
)]
pub(crate) async fn show(
    state: web::Data<ApiState>,
    May(caller, ..): May<Read>,
    http: HttpRequest,
    path: web::Path<(String, String)>,
) -> Result<HttpResponse, ApiError> {
    let (id, revision) = path.into_inner();
    let profile = state.store.profile(&caller.shop, &id, &revision).await?;
    let profile = profile.ok_or_else(|| ApiError::new(ProblemKind::NotFound))?;
    tagged(&http, &profile.summary.digest, "application/json", profile.document)
}
