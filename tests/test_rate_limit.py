"""How much one key may ask for: draft-ietf-httpapi-ratelimit-headers (from memory)."""

import re
import time

import pytest

from harness.access import KEYS, first_key, with_key
from harness.documents import request
from harness.problems import check_problem
from harness.program import until
from harness.shop import Shop

QUOTA, WINDOW = 6, 3


@pytest.fixture
def program(start):
    return start("api", api_requests=QUOTA, api_requests_seconds=WINDOW, **KEYS)


def standing(response) -> tuple[int, int]:
    """What is left, and for how long; the policy is the one that is configured."""
    assert response.headers["ratelimit-policy"] == f'"default";q={QUOTA};w={WINDOW}'
    found = re.fullmatch(r'"default";r=(\d+);t=(\d+)', response.headers["ratelimit"])
    left, seconds = map(int, found.groups())
    assert 0 <= left < QUOTA and 1 <= seconds <= WINDOW
    return left, seconds


def test_each_answer_says_what_is_left_until_nothing_is(program):
    with Shop(program.address, first_key(program)) as shop:
        answers = [
            shop.get("/v1/profiles"),
            shop.get("/v1/jobs/nothing"),
            shop.get("/nowhere"),
            shop.post_text("/v1/jobs", "{", "application/json"),
            shop.http.request("BREW", "/v1/jobs"),
            shop.post("/v1/evaluate", request()),
        ]
        assert [answer.status_code for answer in answers] == [200, 404, 404, 400, 405, 200]
        assert [standing(answer)[0] for answer in answers] == [5, 4, 3, 2, 1, 0]
        for method, path in (("GET", "/v1/profiles"), ("POST", "/v1/jobs"), ("GET", "/nowhere")):
            late = shop.http.request(method, path)
            check_problem(late, 429, "quota-exceeded")
            assert standing(late)[0] == 0
            assert int(late.headers["retry-after"]) == standing(late)[1]


def test_who_waits_as_long_as_is_said_may_ask_again(program):
    with Shop(program.address, first_key(program)) as shop:
        answers = [shop.get("/v1/profiles") for _ in range(QUOTA + 1)]
        assert [answer.status_code for answer in answers] == [200] * QUOTA + [429]
        time.sleep(int(answers[-1].headers["retry-after"]))
        again = shop.get("/v1/profiles")
        assert (again.status_code, standing(again)) == (200, (QUOTA - 1, WINDOW))


def test_what_one_key_has_asked_for_is_nothing_to_another(program):
    with Shop(program.address, first_key(program)) as shop, with_key(shop, "read") as reader:
        assert standing(reader.get("/v1/profiles"))[0] == QUOTA - 1
        until(lambda: shop.get("/v1/profiles").status_code == 429, "the quota of one key to be used up")
        assert reader.get("/v1/profiles").status_code == 200
        forbidden = reader.get("/v1/keys")
        check_problem(forbidden, 403, "forbidden")
        standing(forbidden)


def test_who_is_not_known_and_what_is_for_all_have_no_quota(program):
    with Shop(program.address) as stranger:
        for _ in range(2 * QUOTA):
            health = stranger.get("/livez")
            assert health.status_code == 200 and "ratelimit" not in health.headers
        refused = stranger.get("/v1/profiles")
        assert refused.status_code == 401
        assert "ratelimit" not in refused.headers and "ratelimit-policy" not in refused.headers


def test_without_a_limit_nothing_is_said_of_one(start):
    program = start("api", api_requests=0)
    with Shop(program.address) as shop:
        answers = [shop.get("/v1/profiles") for _ in range(50)]
    assert {answer.status_code for answer in answers} == {200}
    assert all("ratelimit" not in answer.headers for answer in answers)


def test_the_usual_quota_is_one_nobody_notices(start):
    with Shop(start("api").address) as shop:
        answer = shop.get("/v1/profiles")
    assert answer.headers["ratelimit-policy"] == '"default";q=12000;w=60'
    assert answer.headers["ratelimit"] == '"default";r=11999;t=60'
