"""Whoever shows no key is told the same by everything."""

import pytest

from harness.access import KEYS, UNKNOWN, check_unknown, filled, operations
from harness.problems import check_problem
from harness.shop import as_it_stands


@pytest.fixture(scope="module")
def settings():
    return KEYS


def test_every_operation_asks_for_a_key_unless_it_is_said_to_be_for_all(stranger, unknown):
    asked = 0
    for method, path, operation in operations(stranger.get("/openapi.json").json()):
        response = stranger.http.request(method, filled(path))
        if operation.get("security") == []:
            assert response.status_code in (200, 404), (path, response.text)
        else:
            assert check_unknown(response) == unknown, (method, path)
            asked += 1
    assert asked >= 25


def test_what_is_for_all_is_said_to_be(shop):
    description = shop.get("/openapi.json").json()
    assert description["security"] == [{"key": []}]
    open_paths = {path for _, path, operation in operations(description) if operation.get("security") == []}
    assert open_paths == {
        "/livez",
        "/readyz",
        "/openapi.json",
        "/problems/{name}",
        "/v1/schemas",
        "/v1/schemas/{name}",
        "/v1/characteristics",
    }
    for method, path, operation in operations(description):
        if path not in open_paths:
            assert {"401", "403", "429"} <= set(operation["responses"]), (method, path)


@pytest.mark.parametrize("method", ["GET", "POST", "PUT", "PATCH", "DELETE", "OPTIONS", "TRACE", "PROPFIND", "X"])
@pytest.mark.parametrize("path", ["/v1/jobs", "/v1/keys", f"/v1/jobs/{UNKNOWN}", "/nowhere"])
def test_no_method_goes_round_the_door(stranger, unknown, method, path):
    assert check_unknown(stranger.http.request(method, path)) == unknown


def test_a_head_request_is_answered_like_a_get_without_its_body(stranger, unknown):
    response = stranger.http.head("/v1/profiles")
    assert (response.status_code, response.content) == (401, b"")
    assert response.headers["www-authenticate"] == "Bearer"
    assert response.headers["content-type"] == "application/problem+json"


PATHS = ["/", "/v1", "/v2/jobs", "//v1/keys", "/v1//keys", "/v1/keys/", "/%76%31/keys", "/v1/keys?a=/docs/"]
PATHS += ["/livez/", "/LIVEZ", "/livez;/v1/keys", "/v1/keys;/livez", "/docsx", "/v1/schemasx", "/%00", "*"]
PATHS += ["/v1/schemas%2f..%2fkeys", "/v1/./keys", "/x/../v1/keys", "http://127.0.0.1/v1/keys", "/v1/keys#/docs/"]


@pytest.mark.parametrize("path", PATHS)
def test_no_address_goes_round_the_door(service, unknown, path):
    assert check_unknown(as_it_stands(service.address, path)) == unknown


@pytest.mark.parametrize("open_part", ["/docs", "/problems", "/v1/schemas"])
@pytest.mark.parametrize("way", ["/../{}keys", "/%2e%2e/{}keys", "/..%2f{}keys", "/x/../../{}keys", "//{}keys"])
def test_what_is_for_all_leads_to_nothing_else(service, open_part, way):
    response = as_it_stands(service.address, open_part + way.format("" if "v1" in open_part else "v1/"))
    check_problem(response, 404, "not-found")
