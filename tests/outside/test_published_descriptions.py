"""The published descriptions, checked by other people's validators."""

import json
import subprocess
import sys
from pathlib import Path

import pytest
from openapi_spec_validator import validate
from openapi_spec_validator.validation.exceptions import OpenAPIValidationError

from harness.counts import reached
from harness.documents import HEADS, put, request, take
from harness.places import OPENAPI

DESCRIPTION = OPENAPI / "openapi.json"
SCHEMAS = sorted((OPENAPI / "schemas").glob("*.schema.json"))
KINDS = ["measurement-set", "target-profile", "evaluation", "rework-plan", "job-request", "worksheet-request"]
EXAMPLES = [(kind, path) for kind in KINDS for path in sorted((OPENAPI / "examples").glob(f"*.{kind}.json"))]


def check_jsonschema(*arguments: object) -> subprocess.CompletedProcess:
    command = [sys.executable, "-m", "check_jsonschema", *map(str, arguments)]
    return subprocess.run(command, capture_output=True, text=True, timeout=120)


def test_there_is_something_to_check():
    assert len(SCHEMAS) >= 5
    for kind in KINDS:
        assert sum(kind == of for of, _ in EXAMPLES) >= 3, kind
    reached("published documents checked", f"1 description, {len(SCHEMAS)} schemas, {len(EXAMPLES)} examples")


def test_the_description_is_valid_openapi_3_1():
    description = json.loads(DESCRIPTION.read_text())
    assert description["openapi"].startswith("3.1")
    validate(description)


def test_a_broken_description_is_found_out():
    description = json.loads(DESCRIPTION.read_text())
    with pytest.raises(OpenAPIValidationError):
        validate(take(description, "/info/title"))


def test_every_operation_says_what_it_is_and_how_it_is_refused():
    description = json.loads(DESCRIPTION.read_text())
    for path, item in description["paths"].items():
        for method, operation in item.items():
            assert operation.get("summary") or operation.get("description"), (method, path)
            assert operation["operationId"] and operation["tags"], (method, path)
            content = operation.get("requestBody", {}).get("content", {})
            if method == "post" and content and "application/pdf" not in content:
                assert "422" in operation["responses"], path
            if operation.get("security") != []:
                assert {"401", "403", "429"} <= set(operation["responses"]), path
            if "{" in path:
                assert "404" in operation["responses"], path


def test_the_schemas_are_valid_json_schema_2020_12():
    for path in SCHEMAS:
        assert json.loads(path.read_text())["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    finished = check_jsonschema("--check-metaschema", *SCHEMAS)
    assert finished.returncode == 0, finished.stdout + finished.stderr


def test_a_broken_schema_is_found_out(tmp_path):
    broken = put(json.loads(SCHEMAS[0].read_text()), "/$defs", 3)
    path = tmp_path / "broken.schema.json"
    path.write_text(json.dumps(broken))
    assert check_jsonschema("--check-metaschema", path).returncode == 1


def schema_of(kind: str) -> Path:
    return OPENAPI / "schemas" / f"{kind}.schema.json"


@pytest.mark.parametrize("kind", KINDS)
def test_every_example_is_valid_by_its_schema(kind):
    paths = [path for of, path in EXAMPLES if of == kind]
    finished = check_jsonschema("--schemafile", schema_of(kind), *paths)
    assert finished.returncode == 0, finished.stdout + finished.stderr


BREAKS = {
    "a field too many": lambda document: put(document, "/colour", "red"),
    "a field missing": lambda document: take(document, f"/{next(iter(document))}"),
    "a wrong type": lambda document: put(document, f"/{next(iter(document))}", [1]),
}


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("change", BREAKS)
def test_a_broken_example_is_found_out(tmp_path, kind, change):
    if kind in ("evaluation", "rework-plan") and change == "a field too many":
        # What the service answers may grow: its readers must not be strict.
        change = "a wrong type"
    document = json.loads(next(path for of, path in EXAMPLES if of == kind).read_text())
    path = tmp_path / "broken.json"
    path.write_text(json.dumps(BREAKS[change](document)))
    finished = check_jsonschema("--schemafile", schema_of(kind), path)
    assert finished.returncode == 1, finished.stdout + finished.stderr


def test_answers_of_the_service_are_valid_by_their_schemas(shop, tmp_path):
    problem = tmp_path / "problem.json"
    problem.write_text(shop.post_text("/v1/jobs", "{}").text)
    finished = check_jsonschema("--schemafile", schema_of("problem"), problem)
    assert finished.returncode == 0, finished.stdout + finished.stderr
    paths = []
    for head in HEADS:
        path = tmp_path / f"{head}.json"
        path.write_bytes(shop.fetch(shop.submit(request(head))["links"]["evaluation"]))
        paths.append(path)
    finished = check_jsonschema("--schemafile", schema_of("evaluation"), *paths)
    assert finished.returncode == 0, finished.stdout + finished.stderr
