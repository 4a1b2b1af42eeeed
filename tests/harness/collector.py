"""A small collector of traces: OpenTelemetry Protocol over HTTP, decoded by opentelemetry-proto."""

import threading
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from opentelemetry.proto.collector.trace.v1.trace_service_pb2 import (
    ExportTraceServiceRequest,
    ExportTraceServiceResponse,
)

from harness.program import until


class Span:
    """What is looked at of a span."""

    def __init__(self, span, resource):
        self.name, self.kind = span.name, span.kind
        self.trace, self.id, self.parent = span.trace_id.hex(), span.span_id.hex(), span.parent_span_id.hex()
        self.resource = {one.key: one.value.string_value for one in resource.attributes}
        self.attributes = {one.key: one.value for one in span.attributes}
        self.events = [event.name for event in span.events]


class Collector:
    """Takes spans on a port of the loopback; answers with a status."""

    def __init__(self, status: int = 200):
        self.spans: list[Span] = []
        self.requests = 0
        collector = self

        class Handler(BaseHTTPRequestHandler):
            protocol_version = "HTTP/1.1"

            def do_POST(self):
                body = self.rfile.read(int(self.headers["Content-Length"]))
                collector.requests += 1
                assert (self.path, self.headers["Content-Type"]) == ("/v1/traces", "application/x-protobuf")
                if status == 200:
                    collector.take(ExportTraceServiceRequest.FromString(body))
                answer = ExportTraceServiceResponse().SerializeToString()
                self.send_response(status)
                self.send_header("Content-Type", "application/x-protobuf")
                self.send_header("Content-Length", str(len(answer)))
                self.end_headers()
                self.wfile.write(answer)

            def log_message(self, *_):
                pass

        self.server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.address = f"http://127.0.0.1:{self.server.server_port}"
        self.thread = threading.Thread(target=self.server.serve_forever)
        self.thread.start()

    def take(self, request: ExportTraceServiceRequest) -> None:
        for of_resource in request.resource_spans:
            for of_scope in of_resource.scope_spans:
                self.spans += [Span(span, of_resource.resource) for span in of_scope.spans]

    def __enter__(self) -> "Collector":
        return self

    def __exit__(self, *_) -> None:
        self.server.shutdown()
        self.thread.join()
        self.server.server_close()

    def named(self, name: str, **wished: str) -> Span:
        """The one span of that name that is as wished, once it is there."""

        def look() -> list[Span]:
            of_name = [span for span in self.spans if span.name == name]
            return [span for span in of_name if all(getattr(span, key) == is_ for key, is_ in wished.items())]

        found = until(look, f"the span {name}")
        assert len(found) == 1, found
        return found[0]
