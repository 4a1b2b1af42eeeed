"""What Schemathesis has to be told of this service; it loads this file itself."""

import json
import os
import zlib
from pathlib import Path

import schemathesis
from schemathesis.core.parameters import ParameterLocation
from schemathesis.generation.meta import TestPhase
from urllib3.connection import HTTPConnection

from harness.access import UNKNOWN, fresh_address

# What the test has made before: ids, by the beginning of the paths they belong to, and bodies, by the path they go to.
GIVEN = json.loads(Path(os.environ["GIVEN"]).read_text())
# Without this key and its person, all that follows would be refused.
OURS = set(GIVEN["ours"])


def from_elsewhere(self, *arguments, request=HTTPConnection.request, **more):
    """Every request comes from an address of its own: whoever shows bad keys too often from one is put off (429), and
    here that is a check, not a guess."""
    self.close()
    self.source_address = (fresh_address(), 0)
    return request(self, *arguments, **more)


HTTPConnection.request = from_elsewhere


@schemathesis.serializer("application/x-ndjson")
def lines(_, value: object) -> bytes:
    return str(value).encode()


@schemathesis.serializer("application/pdf")
def file(_, value: object) -> bytes:
    """A file, each byte of which is a character of Latin-1 here."""
    return str(value).encode("latin-1", "replace")


@schemathesis.deserializer("application/pdf")
def pdf(_, response) -> str:
    assert response.content.startswith(b"%PDF-"), response.content[:20]
    return response.content.decode("latin-1")


@schemathesis.deserializer("application/x-ndjson", "application/pem-certificate-chain")
def text(_, response) -> str:
    return response.content.decode()


@schemathesis.hook
def before_call(_, case, kwargs) -> None:
    """Neither our key nor our person is taken away: they get the ids of nobody."""
    if case.method.upper() == "DELETE" and OURS & set(map(str, case.path_parameters.values())):
        case.path_parameters = {"id": UNKNOWN}


@schemathesis.hook
def map_case(context, case):
    """Most documents that a schema allows are refused for what it cannot say, and most ids are unknown: of every three
    good cases two get a document or ids that the service takes. Where one case follows from another it keeps the ids: they
    are of what the other made, or of nobody."""
    if case.meta is None or case.meta.generation.mode.is_negative:
        return case
    dice = zlib.crc32(repr((case.path_parameters, case.body)).encode())
    if dice % 3 == 0:
        return case
    ids = known_ids(case.operation.path)
    follows = case.meta.phase.name == TestPhase.STATEFUL
    if ids and not follows and not case.meta.is_negative_at(ParameterLocation.PATH):
        case.path_parameters = dict(ids)
    bodies = GIVEN["bodies"].get(case.operation.path)
    if bodies and case.method.upper() == "POST" and case.media_type == media_type(case.operation):
        case.body = bodies[dice % len(bodies)]
    return case


@schemathesis.hook
def before_add_examples(context, examples: list) -> None:
    """Every operation is called with what the service takes at least once."""
    operation = context.operation
    ids = known_ids(operation.path)
    common = {"path_parameters": dict(ids)} if ids else {}
    if operation.method.upper() == "GET":
        examples.append(operation.Case(**common))
    for body in GIVEN["bodies"].get(operation.path, []) if operation.method.upper() == "POST" else []:
        more = {"headers": GIVEN["headers"][operation.path]} if operation.path in GIVEN["headers"] else {}
        examples.append(operation.Case(body=body, media_type=media_type(operation), **common, **more))


def media_type(operation) -> str:
    """The one of the bodies that are given."""
    lines = "application/x-ndjson"
    types = list(operation.get_request_payload_content_types())
    return lines if lines in types else types[0]


def known_ids(path: str) -> dict | None:
    """The path parameters that name something which is there."""
    return next((ids for beginning, ids in GIVEN["ids"].items() if path.startswith(beginning)), None)
