//! The routes.

pub(crate) mod batches;
pub(crate) mod documents;
pub(crate) mod evaluate;
pub(crate) mod health;
pub(crate) mod jobs;
pub(crate) mod profiles;

use actix_web::web::{self, PayloadConfig, ServiceConfig};
use utoipa_swagger_ui::{Config, SwaggerUi};

use crate::state::Limits;

/// Registers every route.
pub(crate) fn configure(config: &mut ServiceConfig, limits: Limits) {
    config.app_data(PayloadConfig::new(limits.document_bytes));
    config
        .service(health::alive)
        .service(health::ready)
        .service(evaluate::evaluate)
        .service(jobs::submit)
        .service(jobs::status)
        .service(jobs::evaluation)
        .service(jobs::measurement_set)
        .service(jobs::judged_by)
        .service(jobs::sheet)
        .service(
            web::resource("/v1/batches")
                .app_data(PayloadConfig::new(limits.batch_bytes))
                .route(web::post().to(batches::submit)),
        )
        .service(batches::status)
        .service(batches::report)
        .service(profiles::store)
        .service(profiles::list)
        .service(profiles::show)
        .service(documents::openapi)
        .service(documents::list_schemas)
        .service(documents::show_schema)
        .service(documents::characteristics)
        .service(documents::explain_problem)
        .service(SwaggerUi::new("/docs/{_:.*}").config(Config::from("/openapi.json")));
}
