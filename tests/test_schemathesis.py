"""What the published description promises, held against the running program by cases made up from it (Schemathesis)."""

import json

import pytest

from harness.access import KEYS, SCOPES, enter, make_key, operations
from harness.counts import count, reached
from harness.described.given import make_given
from harness.described.run import make_up
from harness.shop import Shop
from harness.webhooks import ALLOWED

EXAMPLES = count(4, 60)
CASES = count(400, 5_000)
FAULTS = (
    "Undocumented status code",
    "Undocumented Content-Type",
    "Response violates schema",
    "API accepts requests without authentication",
)
PHASES = ("examples", "coverage", "fuzzing", "stateful")


@pytest.fixture(scope="module")
def settings():
    return KEYS | ALLOWED


@pytest.fixture(scope="module")
def held_against(shop, service, tmp_path_factory):
    """Holds the service against a description, with a key that may do everything, of a person who may sign."""
    person = enter(shop)["id"]
    secret = make_key(shop, *SCOPES, person=person)["secret"]
    given = tmp_path_factory.mktemp("given") / "given.json"
    with Shop(service.address, secret) as signer:
        given.write_text(json.dumps(make_given(shop, signer, person)))
        # A header that is none ends the connection, and the HTTP library logs that as an error.
        service.expected_errors.append("invalid Header provided")
        yield lambda description, *arguments: make_up(
            tmp_path_factory.mktemp("report"), description, service.address, secret, given, *arguments
        )
        assert signer.get("/v1/keys").status_code == 200


def test_the_program_does_what_its_description_says(shop, held_against, tmp_path):
    description = shop.get("/openapi.json")
    described = operations(description.json())
    # From a file: of an address that it reads the description from, Schemathesis does not try that address.
    path = tmp_path / "openapi.json"
    path.write_bytes(description.content)
    made_up = held_against(str(path), "--max-examples", EXAMPLES)
    assert made_up.code == 0, made_up.said[-40_000:]
    assert made_up.report["operations"]["tested"] == len(described), made_up.report["operations"]
    assert {name: phase["status"] for name, phase in made_up.report["phases"].items()} == dict.fromkeys(
        PHASES, "success"
    )
    cases = made_up.report["test_cases"]["generated"]
    assert cases >= CASES
    reached("cases made up from the description", cases)


def test_a_description_that_is_not_kept_to_is_found_out(shop, held_against, tmp_path):
    description = shop.get("/openapi.json").json()
    people, person = (description["paths"][path] for path in ("/v1/people", "/v1/people/{id}"))
    del person["get"]["responses"]["404"]
    content = people["get"]["responses"]["200"]["content"]
    content["text/plain"] = content.pop("application/json")
    description["components"]["schemas"]["Person"]["properties"]["name"]["type"] = "integer"
    # It is answered without a key, whatever this says.
    del description["paths"]["/livez"]["get"]["security"]
    path = tmp_path / "broken.json"
    path.write_text(json.dumps(description))
    only = ("--include-path-regex", "^/(v1/people|livez)", "--phases", "examples,coverage", "--max-examples", 2)
    made_up = held_against(str(path), *only)
    assert made_up.code == 1, made_up.said
    for told in FAULTS:
        assert told in made_up.said, made_up.said[-20_000:]
