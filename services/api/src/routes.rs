//! The routes.

pub(crate) mod audit;
pub(crate) mod batches;
pub(crate) mod documents;
pub(crate) mod evaluate;
pub(crate) mod gauge_studies;
pub(crate) mod health;
pub(crate) mod jobs;
pub(crate) mod keys;
pub(crate) mod people;
pub(crate) mod plan;
pub(crate) mod profiles;
pub(crate) mod sign_offs;
pub(crate) mod statistics;
pub(crate) mod verify;
pub(crate) mod webhooks;
pub(crate) mod worksheet;

use actix_web::http::header::ALLOW;
use actix_web::middleware::Compress;
use actix_web::web::{self, ServiceConfig};
use actix_web::{HttpResponse, Resource, ResponseError, Route, guard};
use utoipa_swagger_ui::{Config, SwaggerUi};

use crate::{ApiError, ProblemKind};

/// Registers every route.
pub(crate) fn configure(config: &mut ServiceConfig) {
    // An ETag names bytes (RFC 9110, 8.8.3): what has one goes out as it is kept.
    config
        .service(read("/v1/jobs/{id}/evaluation", get().to(jobs::evaluation)))
        .service(read("/v1/jobs/{id}/plan", get().to(jobs::plan)))
        .service(read("/v1/jobs/{id}/measurement-set", get().to(jobs::measurement_set)))
        .service(read("/v1/jobs/{id}/profile", get().to(jobs::judged_by)))
        .service(read("/v1/jobs/{id}/sheet", get().to(jobs::sheet)))
        .service(read("/v1/sign-offs/{id}/sheet", get().to(sign_offs::sheet)))
        .service(read("/v1/batches/{id}/report", get().to(batches::report)))
        .service(read("/v1/batches/{id}/sheets", get().to(batches::sheets)))
        .service(read("/v1/profiles/{id}/{revision}", get().to(profiles::show)))
        .service(read("/openapi.json", get().to(documents::openapi)))
        .service(read("/v1/schemas/{name}", get().to(documents::show_schema)))
        // Its pages are deflated already.
        .service(write("/v1/worksheet", web::post().to(worksheet::make)));
    // An empty prefix takes every other address, so this stands last.
    let compressed = web::scope("")
        .wrap(Compress::default())
        .service(read("/livez", get().to(health::alive)))
        .service(read("/readyz", get().to(health::ready)))
        .service(write("/v1/evaluate", web::post().to(evaluate::evaluate)))
        .service(write("/v1/plan", web::post().to(plan::make)))
        .service(write("/v1/gauge-studies", web::post().to(gauge_studies::evaluate)))
        .service(
            resource("/v1/jobs", "GET, HEAD, POST")
                .route(web::post().to(jobs::submit))
                .route(get().to(jobs::list)),
        )
        .service(write("/v1/jobs/{id}/cancel", web::post().to(jobs::cancel)))
        .service(read("/v1/jobs/{id}", get().to(jobs::status)))
        .service(
            resource("/v1/batches", "GET, HEAD, POST")
                .route(web::post().to(batches::submit))
                .route(get().to(batches::list)),
        )
        .service(write("/v1/batches/{id}/cancel", web::post().to(batches::cancel)))
        .service(read("/v1/batches/{id}/lines", get().to(batches::lines)))
        .service(read("/v1/batches/{id}", get().to(batches::status)))
        .service(
            resource("/v1/profiles", "GET, HEAD, POST")
                .route(web::post().to(profiles::store))
                .route(get().to(profiles::list)),
        )
        .service(
            resource("/v1/jobs/{id}/sign-offs", "GET, HEAD, POST")
                .route(web::post().to(sign_offs::sign))
                .route(get().to(sign_offs::of_job)),
        )
        .service(read("/v1/sign-offs/{id}", get().to(sign_offs::show)))
        .service(write("/v1/verify", web::post().to(verify::verify)))
        .service(read("/v1/certificates", get().to(people::certificates)))
        .service(
            resource("/v1/people", "GET, HEAD, POST")
                .route(web::post().to(people::enter))
                .route(get().to(people::list)),
        )
        .service(
            resource("/v1/people/{id}", "DELETE, GET, HEAD")
                .route(web::delete().to(people::leave))
                .route(get().to(people::show)),
        )
        .service(
            resource("/v1/keys", "GET, HEAD, POST")
                .route(web::post().to(keys::make))
                .route(get().to(keys::list)),
        )
        .service(resource("/v1/keys/{id}", "DELETE").route(web::delete().to(keys::revoke)))
        .service(
            resource("/v1/webhooks", "GET, HEAD, POST")
                .route(web::post().to(webhooks::enter))
                .route(get().to(webhooks::list)),
        )
        .service(
            resource("/v1/webhooks/{id}", "DELETE, GET, HEAD")
                .route(web::delete().to(webhooks::remove))
                .route(get().to(webhooks::show)),
        )
        .service(write("/v1/webhooks/{id}/secret", web::post().to(webhooks::renew_secret)))
        .service(write("/v1/webhooks/{id}/enable", web::post().to(webhooks::enable)))
        .service(write("/v1/webhooks/{id}/test", web::post().to(webhooks::test)))
        .service(read("/v1/webhooks/{id}/deliveries", get().to(webhooks::deliveries)))
        .service(write("/v1/webhooks/{id}/deliveries/again", web::post().to(webhooks::again)))
        .service(write("/v1/webhooks/{id}/deliveries/{message}/again", web::post().to(webhooks::one_again)))
        .service(read("/v1/statistics", get().to(statistics::statistics)))
        .service(read("/v1/audit", get().to(audit::export)))
        .service(read("/v1/schemas", get().to(documents::list_schemas)))
        .service(read("/v1/characteristics", get().to(documents::characteristics)))
        .service(read("/problems/{name}", get().to(documents::explain_problem)))
        .service(web::redirect("/docs", "/docs/"))
        .service(SwaggerUi::new("/docs/{_:.*}").config(Config::from("/openapi.json")));
    config.service(compressed);
}

/// GET, and HEAD as GET without its body.
fn get() -> Route {
    web::route().guard(guard::Any(guard::Get()).or(guard::Head()))
}

fn read(path: &str, route: Route) -> Resource {
    resource(path, "GET, HEAD").route(route)
}

fn write(path: &str, route: Route) -> Resource {
    resource(path, "POST").route(route)
}

/// A resource that names what it allows when it is asked for something else (RFC 9110, 15.5.6).
fn resource(path: &str, allow: &'static str) -> Resource {
    web::resource(path).default_service(web::to(move || async move {
        let mut response: HttpResponse = ApiError::new(ProblemKind::MethodNotAllowed).error_response();
        response.headers_mut().insert(ALLOW, actix_web::http::header::HeaderValue::from_static(allow));
        response
    }))
}
