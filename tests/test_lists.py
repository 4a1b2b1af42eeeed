"""Long lists: what is wanted of them, page by page, each member once and in order."""

import base64
import json
import threading

import pytest

from harness.access import KEYS, UNKNOWN, first_key, make_key_here
from harness.batches import small_lines
from harness.clients import small_head
from harness.counts import count
from harness.problems import check_problem
from harness.program import until
from harness.repeating import keyed_lines
from harness.shop import Shop

COMMAND = "api"


@pytest.fixture(scope="module")
def settings():
    return KEYS


@pytest.fixture(scope="module")
def posted(shop):
    """Jobs of one head and of others, in a batch and alone; ids in the order in which they were accepted."""
    jobs = [shop.submit(json.loads(small_head(serial))) for serial in ("LIST-A", "LIST-B", "LIST-A")]
    batch = keyed_lines(shop, b"\n".join([*small_lines("LIST", 4), small_head("LIST-B")])).json()
    alone = [shop.submit(json.loads(small_head("LIST-Ü & / ?#%")))]
    off = shop.post(f"{jobs[1]['links']['self']}/cancel", None)
    assert off.status_code == 200
    return {"alone": [job["id"] for job in jobs + alone], "batch": batch, "off": jobs[1]["id"]}


def ids(members: list[dict]) -> list[str]:
    return [member["id"] for member in members]


def ask(shop: Shop, path: str, **query: object) -> list[str]:
    response = shop.http.get(path, params=query)
    assert response.status_code == 200, response.text
    return ids(response.json())


def test_all_are_listed_the_oldest_first(shop, posted):
    of_batch = ids(shop.jobs(posted["batch"]))
    everything = ask(shop, "/v1/jobs")
    assert everything == [*posted["alone"][:3], *of_batch, posted["alone"][3]]
    [first] = [job for job in shop.get("/v1/jobs").json() if job["id"] == everything[0]]
    assert first == shop.get(first["links"]["self"]).json()


def test_by_head_state_and_batch(shop, posted):
    first, second, third, strange = posted["alone"]
    batch = posted["batch"]["id"]
    of_batch = ids(shop.jobs(posted["batch"]))
    assert ask(shop, "/v1/jobs", head="LIST-A") == [first, third]
    assert ask(shop, "/v1/jobs", head="LIST-B") == [second, of_batch[-1]]
    assert ask(shop, "/v1/jobs", head="LIST-Ü & / ?#%") == [strange]
    assert ask(shop, "/v1/jobs", head="list-a") == ask(shop, "/v1/jobs", head="nobody's") == []
    assert ask(shop, "/v1/jobs", state="cancelled") == [second]
    assert ask(shop, "/v1/jobs", state="done") == []
    assert ask(shop, "/v1/jobs", batch=batch) == of_batch
    assert ask(shop, "/v1/jobs", batch=UNKNOWN) == []
    assert ask(shop, "/v1/jobs", batch=batch, head="LIST-B", state="queued") == [of_batch[-1]]
    assert ask(shop, "/v1/jobs", batch=batch, head="LIST-A") == []


@pytest.mark.parametrize("most", [1, 2, 3, 7, 8, 9, 1000])
def test_pages_of_any_length_give_each_once(shop, posted, most):
    expected = ask(shop, "/v1/jobs")
    assert len(expected) == 9
    assert ids(shop.all_pages(f"/v1/jobs?limit={most}")) == expected
    first = shop.get(f"/v1/jobs?limit={most}")
    assert len(first.json()) == min(most, 9)
    assert ("link" in first.headers) == (most <= 9), "there is a next page as long as they are full"


def test_the_next_page_is_of_the_same_wish(shop, posted):
    wish = f"/v1/jobs?batch={posted['batch']['id']}&state=queued&limit=2"
    link = shop.get(wish).links["next"]["url"]
    assert link.startswith(f"{wish}&cursor=") and link.count("cursor=") == 1
    assert ids(shop.all_pages(wish)) == ids(shop.jobs(posted["batch"]))
    strange = shop.http.get("/v1/jobs", params={"head": "LIST-Ü & / ?#%", "limit": 1})
    following = shop.get(strange.links["next"]["url"])
    assert following.status_code == 200 and following.json() == []


@pytest.mark.parametrize("path", ["/v1/jobs", "/v1/batches", f"/v1/webhooks/{UNKNOWN}/deliveries"])
@pytest.mark.parametrize(
    "query",
    ["limit=0", "limit=1001", "limit=-1", "limit=", "limit=ten", "limit=1.5", "limit=99999999999999999999"]
    + ["cursor=", "cursor=nonsense", "cursor=AAAA", "cursor=%00", "cursor=" + "A" * 4000],
)
def test_limits_and_cursors_that_make_no_sense_are_refused(shop, path, query):
    check_problem(shop.get(f"{path}?{query}"), 400, "bad-request")


@pytest.mark.parametrize("query", ["state=made", "state=DONE", "state=", "batch=abc", "batch="])
def test_wishes_that_make_no_sense_are_refused(shop, query):
    check_problem(shop.get(f"/v1/jobs?{query}"), 400, "bad-request")


def test_a_cursor_of_another_shop_shows_nothing_of_it(service, shop, posted):
    with Shop(service.address, make_key_here(service.store, "other", "submit", "read")) as other:
        mine = other.submit(json.loads(small_head("LIST-A")))["id"]
        link = shop.get("/v1/jobs?limit=1").links["next"]["url"]
        assert ids(other.get(link).json()) == [mine]
        assert ask(other, "/v1/jobs", batch=posted["batch"]["id"]) == []
        assert ask(other, "/v1/jobs", head="LIST-A") == [mine]
        assert other.get("/v1/batches").json() == []


def test_a_made_up_cursor_is_only_a_place(shop, posted):
    """Before all, and after all."""
    for moment, expected in ((0, ask(shop, "/v1/jobs")), (2**42, [])):
        cursor = base64.urlsafe_b64encode(moment.to_bytes(8, "big") + bytes(16)).decode().rstrip("=")
        assert ask(shop, "/v1/jobs", cursor=cursor) == expected
    for moment in (2**62, -(2**62), 2**63 - 1):
        cursor = base64.urlsafe_b64encode(moment.to_bytes(8, "big", signed=True) + bytes(16)).decode().rstrip("=")
        check_problem(shop.get(f"/v1/jobs?cursor={cursor}"), 400, "bad-request")


def test_batches_are_listed_page_by_page_as_well(shop, posted):
    more = [keyed_lines(shop, small_head(f"LIST-BATCH-{number}")).json()["id"] for number in range(4)]
    expected = [posted["batch"]["id"], *more]
    for most in (1, 2, 5, 6):
        assert ids(shop.all_pages(f"/v1/batches?limit={most}")) == expected
    one = shop.get("/v1/batches?limit=1").json()[0]
    assert one == shop.get(posted["batch"]["links"]["self"]).json()


def test_while_others_are_posted_none_is_left_out_and_none_is_there_twice(start, tmp_path):
    """Several post at once; somebody turns the pages meanwhile, as long as there are more to come."""
    program = start("api", store=tmp_path / "store", **KEYS)
    token, many = first_key(program), count(12, 200)
    accepted: list[list[str]] = [[], [], []]

    def post(of: int) -> None:
        with Shop(program.address, token) as shop:
            for number in range(many):
                accepted[of].append(shop.submit(json.loads(small_head(f"MEANWHILE-{of}-{number}")))["id"])

    posters = [threading.Thread(target=post, args=(of,)) for of in range(3)]
    with Shop(program.address, token) as shop:
        for poster in posters:
            poster.start()
        walks = []
        until(lambda: shop.get("/v1/jobs").json(), "the first")
        while any(poster.is_alive() for poster in posters):
            before = {job for jobs in accepted for job in jobs}
            walks.append((before, ids(shop.all_pages("/v1/jobs?limit=3"))))
        for poster in posters:
            poster.join(60)
        everything = ids(shop.all_pages("/v1/jobs?limit=3"))
    assert len(everything) == len(set(everything)) == 3 * many
    assert set(everything) == {job for jobs in accepted for job in jobs}
    for jobs in accepted:
        assert [job for job in everything if job in set(jobs)] == jobs, "in the order in which they were accepted"
    assert walks
    for before, seen in walks:
        assert len(seen) == len(set(seen)) and before <= set(seen)
        assert seen == [job for job in everything if job in set(seen)]
