"""Whoever wants to is told when a control chart signals with the newest head."""

import json
import random

import numpy as np
import pytest
from standardwebhooks.webhooks import Webhook

from harness.documents import request
from harness.listening import SETTINGS, Listener, deliveries
from harness.program import until
from harness.repeating import fresh_key, keyed
from harness.shop import Shop

EVENT = "chart.signal"
PROFILE = request()["profile"]["id"]
START = 1_780_000_000
# So many that hold: with another seed chance may break a rule.
HOLDING, SEED = 30, 7
FAR = 0.3


@pytest.fixture(scope="module")
def settings():
    return SETTINGS


def posted(stage: str, number: int, draw: random.Random, off: float = 0.0) -> dict:
    """A head with drawn recessions, one every six hours; those of its intake ports are off by so much, in mm."""
    document = request(serial=f"CHART-{stage}-{number:03}")
    job = document["measurement_set"]["job"]
    job |= {"stage": stage, "measured_at": f"{np.datetime64(START + number * 6 * 3600, 's')}Z"}
    for port in document["measurement_set"]["ports"]:
        aim = 0.55 + (off if port["service"] == "intake" else 0.0)
        port["assembly"]["recession"] = round(draw.gauss(aim, 0.03), 4)
    return document


def post_holding(shop: Shop, stage: str, count: int) -> random.Random:
    """Posts so many heads that hold, and waits for all; what to draw further ones with."""
    draw = random.Random(SEED)
    lines = [json.dumps(posted(stage, number, draw)).encode() for number in range(count)]
    shop.done(shop.submit_batch(lines))
    return draw


def from_statistics(shop: Shop, stage: str, serial: str) -> list[dict]:
    """What the statistics of the same heads say of signals with this one."""
    answer = shop.get(f"/v1/statistics?profile={PROFILE}&stage={stage}").json()
    found = []
    for entry in answer["characteristics"]:
        signals = entry.get("chart", {}).get("signals", [])
        for signal in (one for one in signals if one["head"] == serial):
            [point] = [one for one in entry["chart"][signal["track"]] if one["head"] == serial]
            found.append(
                {name: entry[name] for name in ("characteristic", "service", "unit") if name in entry}
                | {name: signal[name] for name in ("rule", "track")}
                | {name: point[name] for name in ("value", "lower", "upper")}
            )
    return found


def test_one_far_out_is_told_of_once_and_none_that_hold(shop, listener):
    webhook, other = listener.subscribe(shop, EVENT), Listener()
    others = other.subscribe(shop, "job.failed")
    draw = post_holding(shop, "after-rework", HOLDING)
    # What is told is queued before a job is done.
    assert deliveries(shop, webhook) == []
    far, key = posted("after-rework", HOLDING, draw, FAR), fresh_key()
    answer = keyed(shop, "/v1/jobs", far, key)
    job = shop.done(answer.json())
    [came] = listener.wait(1)
    assert came.genuine(webhook["secret"])
    assert Webhook(webhook["secret"]).verify(came.body, came.headers) == came.event
    assert came.event["type"] == EVENT
    data, serial = came.event["data"], f"CHART-after-rework-{HOLDING:03}"
    signals = data.pop("signals")
    assert data == {
        "id": job["id"],
        "link": f"/v1/statistics?profile={PROFILE}&stage=after-rework",
        "request_id": answer.headers["x-request-id"],
        "head_serial": serial,
        "stage": "after-rework",
        "profile": PROFILE,
    }
    [beyond] = [one for one in signals if one["rule"] == "one-point-beyond-three-sigma"]
    assert (beyond["characteristic"], beyond["service"]) == ("recession", "intake")
    assert (beyond["track"], beyond["unit"]) == ("location", "mm")
    values = [one["assembly"]["recession"] for one in far["measurement_set"]["ports"] if one["service"] == "intake"]
    assert beyond["value"] == pytest.approx(np.mean(values), abs=1e-4)
    assert beyond["lower"] < 0.55 < beyond["upper"] < beyond["value"]

    def in_order(told: list[dict]) -> list[str]:
        return sorted(json.dumps(one, sort_keys=True) for one in told)

    assert in_order(signals) == in_order(from_statistics(shop, "after-rework", serial))

    # Posted again it is the same job, and a head that was measured before it holds still.
    assert shop.done(keyed(shop, "/v1/jobs", far, key).json())["id"] == job["id"]
    early = posted("after-rework", HOLDING + 1, draw)
    early["measurement_set"]["job"]["measured_at"] = far["measurement_set"]["job"]["measured_at"].replace("Z", "+02:00")
    shop.done(shop.submit(early))
    [told] = deliveries(shop, webhook)
    assert (told["event"], told["subject"]) == (EVENT, job["id"])
    assert deliveries(shop, others) == [] == other.came

    # A correction takes its place; a message that is sent again says that nothing signals any more.
    until(lambda: deliveries(shop, webhook, "delivered"), "the delivery to be noted")
    shop.done(shop.submit(posted("after-rework", HOLDING, draw)))
    again = shop.post(f"/v1/webhooks/{webhook['id']}/deliveries/{told['id']}/again", None)
    assert again.status_code == 202, again.text
    second = listener.wait(2)[1]
    assert second.id == came.id and second.genuine(webhook["secret"])
    assert second.event["data"] == data | {"signals": []}
    assert len(deliveries(shop, webhook)) == 1
    for one in (webhook, others):
        assert shop.delete(f"/v1/webhooks/{one['id']}").status_code == 204
    other.close()


def test_a_chart_of_fewer_than_twenty_heads_gives_no_alarm(shop, listener):
    # Without a list it is told of everything.
    webhook = listener.subscribe(shop)
    draw = post_holding(shop, "final", 18)
    shop.done(shop.submit(posted("final", 18, draw, FAR)))
    assert from_statistics(shop, "final", "CHART-final-018")
    assert not [one for one in deliveries(shop, webhook) if one["event"] == EVENT]
    twentieth = shop.done(shop.submit(posted("final", 19, draw, FAR)))
    [told] = [one for one in deliveries(shop, webhook) if one["event"] == EVENT]
    assert told["subject"] == twentieth["id"]
    until(lambda: listener.of(EVENT), "the message")
    assert shop.delete(f"/v1/webhooks/{webhook['id']}").status_code == 204
