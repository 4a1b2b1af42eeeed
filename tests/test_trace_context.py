"""The trace of every request is in the log: W3C Trace Context (Recommendation of 23 November 2021)."""

import http.client
import re

import pytest

from harness.access import fresh_address
from harness.documents import request
from harness.program import PATIENCE, until
from harness.shop import Shop

# Examples of the Recommendation, 3.2.3 (from memory).
TRACE, PARENT = "4bf92f3577b34da6a3ce929d0e0e4736", "00f067aa0ba902b7"
SAMPLED, NOT_SAMPLED = f"00-{TRACE}-{PARENT}-01", f"00-{TRACE}-{PARENT}-00"

# 3.2.2: what a service must not go on with.
INVALID = {
    "nothing": "",
    "other words": "nonsense",
    "version ff": f"ff-{TRACE}-{PARENT}-01",
    "capitals in the version": f"0A-{TRACE}-{PARENT}-01",
    "one digit of version": f"0-{TRACE}-{PARENT}-01",
    "trace of zeros": f"00-{'0' * 32}-{PARENT}-01",
    "parent of zeros": f"00-{TRACE}-{'0' * 16}-01",
    "capitals in the trace": f"00-{TRACE.upper()}-{PARENT}-01",
    "capitals in the parent": f"00-{TRACE}-{PARENT.upper()}-01",
    "short trace": f"00-{TRACE[1:]}-{PARENT}-01",
    "long trace": f"00-{TRACE}0-{PARENT}-01",
    "short parent": f"00-{TRACE}-{PARENT[1:]}-01",
    "one digit of flags": f"00-{TRACE}-{PARENT}-1",
    "no hex in the flags": f"00-{TRACE}-{PARENT}-0g",
    "no flags": f"00-{TRACE}-{PARENT}",
    "more in version 00": f"{SAMPLED}-more",
    "a dash in version 00": f"{SAMPLED}-",
    "a later version that goes on without a dash": f"cc{SAMPLED[2:]}.more",
}
VALID = {
    "sampled": SAMPLED,
    "not sampled": NOT_SAMPLED,
    "all flags": f"00-{TRACE}-{PARENT}-ff",
    "later version": f"cc{SAMPLED[2:]}",
    "later version that says more": f"cc{SAMPLED[2:]}-what-the-future-will-be-like",
}


def trace_of(service, headers: list[tuple[str, str]]) -> str:
    """The trace that the log names for a request with these headers."""
    where = service.address.removeprefix("http://")
    connection = http.client.HTTPConnection(where, timeout=PATIENCE, source_address=(fresh_address(), 0))
    connection.putrequest("GET", "/v1/profiles")
    # A refusal stands in the log by itself, if there are not many from there.
    connection.putheader("Authorization", "Bearer nonsense")
    for name, value in headers:
        connection.putheader(name, value)
    connection.endheaders()
    response = connection.getresponse()
    response.read()
    connection.close()
    assert "traceparent" not in response.headers and "traceresponse" not in response.headers
    name = response.headers["x-request-id"]

    def look() -> str | None:
        for entry in service.log_entries():
            for span in entry.get("spans", []):
                if span.get("request_id") == name:
                    return span["trace_id"]
        return None

    return until(look, "the request in the log")


@pytest.fixture(scope="module")
def begun():
    """Traces that have begun here."""
    return set()


@pytest.mark.parametrize("header", VALID.values(), ids=VALID)
def test_a_valid_trace_goes_on(service, header):
    assert trace_of(service, [("traceparent", header)]) == TRACE
    assert trace_of(service, [("TraceParent", header)]) == TRACE


@pytest.mark.parametrize("header", INVALID.values(), ids=INVALID)
def test_with_an_invalid_one_another_begins(service, begun, header):
    trace = trace_of(service, [("traceparent", header)])
    assert re.fullmatch("[0-9a-f]{32}", trace) and trace not in (TRACE, "0" * 32)
    assert trace not in begun
    begun.add(trace)


def test_without_one_or_with_two_another_begins(service, begun):
    for headers in ([], [("traceparent", SAMPLED)] * 2, [("traceparent", SAMPLED), ("traceparent", NOT_SAMPLED)]):
        trace = trace_of(service, headers)
        assert re.fullmatch("[0-9a-f]{32}", trace) and trace != TRACE
        assert trace not in begun
        begun.add(trace)


def test_a_task_has_a_trace_in_the_log(service, shop):
    job = shop.done(shop.submit(request()))
    [trace] = until(
        lambda: [
            span["trace_id"]
            for entry in service.log_entries()
            for span in entry.get("spans", [])
            if span.get("owner") == job["id"] and entry["fields"].get("message") == "task done"
        ],
        "the task in the log",
    )
    assert re.fullmatch("[0-9a-f]{32}", trace)
