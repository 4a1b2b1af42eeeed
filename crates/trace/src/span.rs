//! Where spans of the log and traces meet.

use tracing::Span;

use crate::TraceParent;

/// Makes a span that has just been made, and has a field `trace_id`, part of a trace: of the one it is done for, else of
/// a new one. Returns the place of the span itself, for whatever is done for it in turn.
pub fn join(span: &Span, done_for: Option<TraceParent>) -> TraceParent {
    let place = recorded(span, done_for)
        .unwrap_or_else(|| done_for.map_or_else(TraceParent::begin, TraceParent::next));
    span.record("trace_id", tracing::field::display(place.trace_id()));
    place
}

/// The place of a span that is recorded, or was left out on purpose, by OpenTelemetry.
#[cfg(feature = "telemetry")]
fn recorded(span: &Span, done_for: Option<TraceParent>) -> Option<TraceParent> {
    use std::num::{NonZeroU64, NonZeroU128};

    use opentelemetry::Context;
    use opentelemetry::trace::{SpanContext, SpanId, TraceContextExt, TraceFlags, TraceId, TraceState};
    use tracing_opentelemetry::OpenTelemetrySpanExt;

    if let Some(parent) = done_for {
        let (trace, above) = (TraceId::from(parent.trace().get()), SpanId::from(parent.parent().get()));
        let flags = if parent.is_sampled() { TraceFlags::SAMPLED } else { TraceFlags::default() };
        let remote = SpanContext::new(trace, above, flags, true, TraceState::default());
        // Without a collector nobody listens: then there is nothing to be done.
        span.set_parent(Context::new().with_remote_span_context(remote)).ok()?;
    }
    let context = span.context();
    let place = context.span().span_context().clone();
    let number = |bytes: [u8; 16]| NonZeroU128::new(u128::from_be_bytes(bytes));
    let trace = number(place.trace_id().to_bytes())?;
    let own = NonZeroU64::new(u64::from_be_bytes(place.span_id().to_bytes()))?;
    Some(TraceParent::new(trace, own, place.is_sampled()))
}

#[cfg(not(feature = "telemetry"))]
fn recorded(_: &Span, _: Option<TraceParent>) -> Option<TraceParent> {
    None
}

#[cfg(test)]
mod tests {
    use super::*;

    const HEADER: &str = "00-4bf92f3577b34da6a3ce929d0e0e4736-00f067aa0ba902b7-01";

    fn span() -> Span {
        tracing::info_span!("work", trace_id = tracing::field::Empty)
    }

    #[test]
    fn without_a_collector_a_trace_goes_on_all_the_same() {
        let parent = TraceParent::read(HEADER);
        let place = join(&span(), parent);
        assert_eq!(Some(place.trace()), parent.map(|parent| parent.trace()));
        assert_ne!(Some(place.parent()), parent.map(|parent| parent.parent()));
        assert_ne!(join(&span(), None).trace(), place.trace());
    }

    #[cfg(feature = "telemetry")]
    #[test]
    fn with_a_collector_the_place_is_that_of_the_recorded_span() {
        use opentelemetry::trace::{TraceContextExt, TracerProvider};
        use opentelemetry_sdk::trace::SdkTracerProvider;
        use tracing_opentelemetry::OpenTelemetrySpanExt;
        use tracing_subscriber::layer::SubscriberExt;

        let provider = SdkTracerProvider::builder().build();
        let layer = tracing_opentelemetry::layer().with_tracer(provider.tracer("test"));
        tracing::subscriber::with_default(tracing_subscriber::registry().with(layer), || {
            for (parent, sampled) in [(TraceParent::read(HEADER), true), (None, true)] {
                let span = span();
                let place = join(&span, parent);
                let known = span.context().span().span_context().clone();
                let header = format!("00-{}-{}-01", known.trace_id(), known.span_id());
                assert_eq!((place.to_string(), place.is_sampled()), (header, sampled));
                assert!(parent.is_none_or(|parent| parent.trace() == place.trace()));
                assert!(parent.is_none_or(|parent| parent.parent() != place.parent()));
            }
            let left_out = TraceParent::read(&HEADER.replace("-01", "-00"));
            let place = join(&span(), left_out);
            assert_eq!(Some(place.trace()), left_out.map(|parent| parent.trace()));
            assert!(!place.is_sampled());
        });
    }
}
