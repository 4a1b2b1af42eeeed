//! What is counted of requests. Without a recorder in the process nothing is.

use std::time::Instant;

use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::Method;
use actix_web::middleware::Next;
use headproof_wire::Tally;
use metrics::{counter, gauge, histogram};

/// Counts a request when its answer begins; what follows of a long body is not timed.
pub(crate) async fn metered(
    request: ServiceRequest,
    next: Next<impl MessageBody + 'static>,
) -> actix_web::Result<ServiceResponse<impl MessageBody>> {
    let _here = InFlight::new();
    let begun = Instant::now();
    let method = word(request.method());
    // Never the address itself: there is no end of those.
    let route = request.match_pattern().unwrap_or_else(|| "unmatched".to_owned());
    let answer = next.call(request).await;
    let status = match &answer {
        Ok(response) => response.status(),
        Err(error) => error.as_response_error().status_code(),
    };
    let labels =
        [("method", method.to_owned()), ("route", route.clone()), ("status", status.as_str().to_owned())];
    counter!("headproof_http_requests_total", &labels).increment(1);
    histogram!("headproof_http_request_duration_seconds", "route" => route).record(begun.elapsed());
    answer
}

/// A method by its name; all that nobody knows by one, as there is no end of those either.
const fn word(method: &Method) -> &'static str {
    match *method {
        Method::GET => "GET",
        Method::HEAD => "HEAD",
        Method::POST => "POST",
        Method::PUT => "PUT",
        Method::PATCH => "PATCH",
        Method::DELETE => "DELETE",
        Method::OPTIONS => "OPTIONS",
        _ => "other",
    }
}

/// A request that is not answered yet, for as long as this lives: also one whose client has gone.
struct InFlight;

impl InFlight {
    fn new() -> Self {
        gauge!("headproof_requests_in_flight").increment(1);
        Self
    }
}

impl Drop for InFlight {
    fn drop(&mut self) {
        gauge!("headproof_requests_in_flight").decrement(1);
    }
}

/// Counts a job that is on disk, and the rows of its evaluation.
pub(crate) fn accepted(disposition: &str, tally: &Tally) {
    counter!("headproof_jobs_accepted_total", "disposition" => disposition.to_owned()).increment(1);
    for (verdict, rows) in [
        ("conforms", tally.conforms),
        ("does-not-conform", tally.does_not_conform),
        ("not-proven", tally.not_proven),
        ("not-measured", tally.not_measured),
        ("no-limit", tally.no_limit),
    ] {
        counter!("headproof_verdicts_total", "verdict" => verdict).increment(rows.into());
    }
}

/// Counts a line of a batch that was refused.
pub(crate) fn refused() {
    counter!("headproof_lines_refused_total").increment(1);
}
