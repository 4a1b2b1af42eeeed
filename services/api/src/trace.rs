//! The trace of a request (W3C Trace Context): the caller's own, else one that begins here.

use actix_web::body::MessageBody;
use actix_web::dev::{ServiceRequest, ServiceResponse};
use actix_web::http::header::HeaderMap;
use actix_web::{Error, HttpMessage};
use headproof_trace::{TraceParent, join};
use tracing::Span;
use tracing_actix_web::{DefaultRootSpanBuilder, RootSpanBuilder, root_span};

/// Makes the span of each request, with the trace it belongs to.
pub(crate) struct RequestSpan;

impl RootSpanBuilder for RequestSpan {
    fn on_request_start(request: &ServiceRequest) -> Span {
        let span = root_span!(request);
        let place = join(&span, told(request.headers()));
        request.extensions_mut().insert(place);
        span
    }

    fn on_request_end<B: MessageBody>(span: Span, outcome: &Result<ServiceResponse<B>, Error>) {
        DefaultRootSpanBuilder::on_request_end(span, outcome);
    }
}

/// What the caller says; of two headers neither can be believed.
fn told(headers: &HeaderMap) -> Option<TraceParent> {
    let mut all = headers.get_all("traceparent");
    let (told, more) = (all.next()?, all.next());
    if more.is_some() { None } else { TraceParent::read(told.to_str().ok()?) }
}

#[cfg(test)]
mod tests {
    use actix_web::http::header::{HeaderName, HeaderValue};
    use actix_web::test::TestRequest;

    use super::*;
    use crate::present::trace_parent;

    /// From the Recommendation, 3.2.3 (from memory).
    const EXAMPLE: &str = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01";

    fn headers(values: &[&str]) -> HeaderMap {
        let named =
            |value: &&str| (HeaderName::from_static("traceparent"), HeaderValue::from_str(value).unwrap());
        values.iter().map(named).collect()
    }

    #[test]
    fn one_header_is_believed_if_it_is_valid() {
        assert_eq!(told(&headers(&[EXAMPLE])).map(|told| told.to_string()).as_deref(), Some(EXAMPLE));
        for values in [&[][..], &[EXAMPLE, EXAMPLE], &["", EXAMPLE], &["nonsense"], &["00-é"]] {
            assert_eq!(told(&headers(values)), None, "{values:?}");
        }
    }

    #[test]
    fn what_is_handed_on_is_in_the_trace_of_the_request() {
        let request = TestRequest::get().insert_header(("traceparent", EXAMPLE)).to_srv_request();
        let place = join(&Span::none(), told(request.headers()));
        request.extensions_mut().insert(place);
        let handed_on = trace_parent(request.request());
        let read = TraceParent::read(&handed_on);
        let told = TraceParent::read(EXAMPLE);
        assert_eq!(read.map(|place| place.trace_id()), told.map(|place| place.trace_id()));
        assert_ne!(handed_on, EXAMPLE);
    }
}
