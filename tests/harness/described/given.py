"""Something of every kind in a service, for made-up cases to begin from."""

import json

from harness.access import enter, make_key
from harness.documents import demo_profile, request
from harness.places import OPENAPI
from harness.shop import Shop


def examples(kind: str) -> list[dict]:
    """The published examples of a kind."""
    found = sorted((OPENAPI / "examples").glob(f"*.{kind}.json"))
    assert found, kind
    return [json.loads(path.read_text()) for path in found]


def message(signer: Shop) -> dict:
    """A receiver that nobody is at, and a message to it."""
    made = signer.post("/v1/webhooks", {"url": "http://127.0.0.1:9/events", "events": ["job.done"]})
    assert made.status_code == 201, made.text
    receiver = made.json()["webhook"]["id"]
    path = f"/v1/webhooks/{receiver}"
    tried = signer.post(f"{path}/test", {})
    assert tried.is_success, tried.text
    return {"id": receiver, "message": signer.get(f"{path}/deliveries").json()[0]["id"]}


def make_given(shop: Shop, signer: Shop, person: str) -> dict:
    """Makes it, as a shop and as somebody who may do everything; what hooks.py reads."""
    jobs = examples("job-request")
    lines = [json.dumps(posted) for posted in jobs]
    # A serial that no made-up job has: of those the newest alone can be signed.
    job = signer.done(signer.submit(request(serial="KEPT-1", workshop=examples("plan-request")[0]["workshop"])))
    batch = signer.done(signer.submit_batch([lines[0].encode()]))
    signed = signer.sign(job, "inspected")
    assert signed.status_code == 202, signed.text
    sign_off = signer.done(signed.json())
    sheet = signer.fetch(sign_off["links"]["signed_sheet"])
    profile = demo_profile()
    assert signer.post("/v1/profiles", profile).status_code in (200, 201)
    told = message(signer)
    ours = [key["id"] for key in shop.get("/v1/keys").json()]
    return {
        "ours": [*ours, person],
        "ids": {
            "/v1/jobs/{id}": {"id": job["id"]},
            "/v1/batches/{id}": {"id": batch["id"]},
            "/v1/sign-offs/{id}": {"id": sign_off["code"]},
            "/v1/people/{id}": {"id": enter(shop)["id"]},
            "/v1/keys/{id}": {"id": make_key(shop, "read")["key"]["id"]},
            "/v1/profiles/{id}": {"id": profile["id"], "revision": profile["revision"]},
            "/v1/webhooks/{id}/deliveries/{message}": told,
            "/v1/webhooks/{id}": {"id": told["id"]},
            "/v1/schemas/{name}": {"name": "measurement-set"},
            "/problems/{name}": {"name": "not-found"},
        },
        "bodies": {
            "/v1/jobs": jobs,
            "/v1/batches": ["\n".join(lines), lines[0]],
            "/v1/evaluate": examples("evaluate-request"),
            "/v1/plan": examples("plan-request")[:1],
            "/v1/worksheet": examples("worksheet-request"),
            "/v1/profiles": examples("target-profile"),
            "/v1/verify": [sheet.decode("latin-1")],
            "/v1/jobs/{id}/sign-offs": [{"meaning": "inspected"}],
        },
        "headers": {"/v1/jobs/{id}/sign-offs": {"If-Match": f'"{job["evaluation_digest"]}"'}},
    }
