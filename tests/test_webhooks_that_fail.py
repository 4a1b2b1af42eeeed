"""Receivers that are not well: messages come again, and nobody else waits for them."""

import calendar
import json
import time

import pytest

from harness.clients import small_head
from harness.database import change
from harness.listening import SETTINGS, Listener, deliveries, send, until_dead
from harness.problems import check_problem
from harness.program import until
from harness.shop import Shop

# Tries of one message, as the specification has them in its example: ten.
TRIES = 10


@pytest.fixture(scope="module")
def settings():
    return SETTINGS


@pytest.fixture
def entered(shop, listener):
    """The webhook of the listener."""
    webhook = listener.subscribe(shop)
    yield webhook
    shop.delete(f"/v1/webhooks/{webhook['id']}")


def head(serial: str) -> dict:
    return json.loads(small_head(serial))


def look(shop: Shop, webhook: dict) -> dict:
    return shop.get(f"/v1/webhooks/{webhook['id']}").json()


def only(shop: Shop, webhook: dict, state: str) -> dict:
    """The only message, once it is in this state."""
    [one] = until(lambda: deliveries(shop, webhook, state), f"the message to be {state}")
    return one


def test_a_message_comes_again_as_the_same(shop, listener, entered):
    listener.answers = [500]
    send(shop, entered)
    first, second = listener.wait(2)
    assert (first.id, first.body) == (second.id, second.body)
    assert second.genuine(entered["secret"]) and second.headers["x-request-id"] == first.headers["x-request-id"]
    told = only(shop, entered, "delivered")
    assert (told["attempts"], told["status"]) == (2, 204) and told["finished_at"]
    assert "failing_since" not in look(shop, entered) and "reason" not in look(shop, entered)


@pytest.mark.parametrize("status", [300, 301, 302, 307, 308, 400, 401, 404, 429, 500, 503])
def test_whatever_is_no_success_is_a_failure_and_no_redirect_is_followed(shop, status):
    elsewhere, listener = Listener(), Listener()
    listener.always = (status, {"Location": elsewhere.url})
    webhook = listener.subscribe(shop)
    send(shop, webhook)
    listener.wait(1)
    until(lambda: "failing_since" in look(shop, webhook), "the failure to be noted")
    [told] = deliveries(shop, webhook)
    assert told["status"] == status and str(status) in told["reason"] and told["state"] != "delivered"
    assert shop.delete(f"/v1/webhooks/{webhook['id']}").status_code == 204
    listener.close()
    elsewhere.close()
    assert elsewhere.came == []


@pytest.mark.parametrize("seconds", [3, 3600])
def test_whoever_says_when_to_come_again_is_left_alone_until_then(shop, listener, entered, seconds):
    listener.answers = [(503, {"Retry-After": str(seconds)})]
    send(shop, entered)
    [first] = listener.wait(1)
    if seconds == 3:
        again = listener.wait(2)[1]
        assert again.at - first.at >= 3
        return
    told = until(lambda: [one for one in deliveries(shop, entered) if one.get("next_try")], "the next try")[0]
    at = time.strptime(told["next_try"].partition(".")[0].rstrip("Z"), "%Y-%m-%dT%H:%M:%S")
    assert abs(calendar.timegm(at) - first.at - seconds) < 30


def test_whoever_is_gone_is_told_nothing_more_until_it_is_enabled(shop, listener, entered):
    listener.answers = [410]
    send(shop, entered)
    dead = only(shop, entered, "dead")
    assert (dead["status"], dead["attempts"]) == (410, 1)
    found = until(lambda: (one := look(shop, entered))["enabled"] is False and one, "it to be disabled")
    assert "410" in found["reason"]
    shop.done(shop.submit(head("GONE-1")))
    time.sleep(0.3)
    assert len(listener.came) == 1
    enabled = shop.post(f"/v1/webhooks/{entered['id']}/enable", None)
    assert enabled.json()["enabled"] is True and "reason" not in enabled.json()
    shop.done(shop.submit(head("GONE-2")))
    until(lambda: "GONE-2" in str(listener.came[-1].body), "the next event")


def test_after_all_tries_it_is_given_up_and_sent_again_when_asked_to(shop, listener, entered):
    listener.always = 500
    send(shop, entered)
    dead = until_dead(shop, entered)
    assert (dead["attempts"], dead["status"], len(listener.came)) == (TRIES, 500, TRIES)
    assert len({one.id for one in listener.came}) == 1 and dead["reason"] == "the answer was 500"
    listener.always = 204
    again = shop.post(f"/v1/webhooks/{entered['id']}/deliveries/again", None)
    assert (again.status_code, again.json()) == (202, {"messages": 1})
    shop.post(f"/v1/webhooks/{entered['id']}/enable", None)
    delivered = only(shop, entered, "delivered")
    assert delivered["id"] == dead["id"] and listener.came[-1].id == listener.came[0].id
    # One that got through can be had once more, by its name only.
    assert shop.post(f"/v1/webhooks/{entered['id']}/deliveries/again", None).json() == {"messages": 0}
    path = f"/v1/webhooks/{entered['id']}/deliveries/{delivered['id']}/again"
    assert shop.post(path, None).json() == {"messages": 1}
    assert len(listener.wait(TRIES + 2)) == TRIES + 2
    until(lambda: deliveries(shop, entered, "delivered"), "the delivery to be noted")
    other = path.replace(delivered["id"], entered["id"])
    check_problem(shop.post(other, None), 404, "not-found")


def test_a_receiver_that_does_not_answer_delays_no_other(shop, listener, entered):
    slow = Listener()
    slow.hold.clear()
    webhook = slow.subscribe(shop)
    for _ in range(6):
        send(shop, webhook)
    slow.wait(1, "messages at the slow one")
    begun = time.monotonic()
    for _ in range(20):
        send(shop, entered)
    listener.wait(20)
    assert time.monotonic() - begun < 10, "the slow one has 15 s"
    assert len({one.id for one in slow.came}) <= 4, "only some at a time"
    slow.close()
    assert shop.delete(f"/v1/webhooks/{webhook['id']}").status_code == 204


def test_a_receiver_that_is_not_there_is_a_failure_without_its_inside(shop):
    gone = Listener()
    gone.close()
    webhook = gone.subscribe(shop)
    send(shop, webhook)
    told = until(lambda: [one for one in deliveries(shop, webhook) if "reason" in one], "the failure")[0]
    assert told["reason"] == "no answer" and "status" not in told
    assert shop.delete(f"/v1/webhooks/{webhook['id']}").status_code == 204


def test_when_the_worker_dies_in_the_middle_another_delivers(start, tmp_path):
    """It was sent and perhaps understood; nobody knows. So it comes again."""
    store, listener = tmp_path / "store", Listener()
    api, first = start("api", store=store, **SETTINGS), start("worker", store=store, **SETTINGS)
    with Shop(api.address) as shop:
        webhook = listener.subscribe(shop)
        listener.hold.clear()
        send(shop, webhook)
        listener.wait(1)
        first.kill()
        listener.hold.set()
        assert [one["state"] for one in deliveries(shop, webhook)] == ["running"]
        end_leases(store)
        start("worker", store=store, **SETTINGS)
        delivered = only(shop, webhook, "delivered")
    assert delivered["attempts"] == 2
    assert len(listener.came) == 2 and len({one.id for one in listener.came}) == 1
    listener.close()


def end_leases(store) -> None:
    """A delivery is another worker's after a minute: here the minute is put behind it."""
    change(store, ("UPDATE delivery SET lease_until = 1 WHERE state = 'running'", ()))
