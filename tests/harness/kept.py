"""What a shop keeps, and where."""

import json
from types import SimpleNamespace

from harness.access import UNKNOWN, enter, make_key
from harness.documents import demo_profile, request
from harness.shop import Shop

NO_CODE = "AAAA-AAAA-AAAA-AAAA"


def one_of_everything(shop: Shop) -> SimpleNamespace:
    """One of everything, kept by a shop."""
    profile = demo_profile() | {"id": "house", "revision": "1"}
    assert shop.post("/v1/profiles", profile).status_code == 201
    person = enter(shop, "Anton Geheim", subject="demo|1")
    key = make_key(shop, "submit", "read", "sign", person=person["id"], label="a secret label")
    job = shop.submit(request(serial="SECRET-1"))
    with Shop(str(shop.http.base_url), key["secret"]) as signer:
        signed = signer.sign(job)
    assert signed.status_code == 202, signed.text
    batch = shop.submit_batch([json.dumps(request(serial=f"SECRET-{number}")).encode() for number in (2, 3)])
    webhook = shop.post("/v1/webhooks", {"url": "https://hooks.geheim.invalid/secret", "events": ["job.failed"]})
    assert webhook.status_code == 201, webhook.text
    finished = shop.done(job), shop.done(batch), shop.done(signed.json())
    return SimpleNamespace(
        profile=profile,
        person=person,
        key=key,
        job=finished[0],
        batch=finished[1],
        signed=finished[2],
        webhook=webhook.json()["webhook"],
    )


def addresses(kept: SimpleNamespace) -> list[tuple[str, str]]:
    """Every address of what is kept, with the same of something unknown."""
    job, signed, batch = kept.job["id"], kept.signed["sign_off"]["id"], kept.batch["id"]
    parts = ("", "/evaluation", "/measurement-set", "/profile", "/plan", "/sheet", "/sign-offs")
    named = [(f"/v1/jobs/{{}}{part}", job) for part in parts]
    named += [(f"/v1/sign-offs/{{}}{part}", signed) for part in ("", "/sheet")]
    named += [(f"/v1/batches/{{}}{part}", batch) for part in ("", "/lines", "/report", "/sheets")]
    named += [(f"/v1/webhooks/{{}}{part}", kept.webhook["id"]) for part in ("", "/deliveries")]
    named += [("/v1/people/{}", kept.person["id"])]
    pairs = [(path.format(known), path.format(UNKNOWN)) for path, known in named]
    code = kept.signed["code"]
    assert len(code) == len(NO_CODE)
    pairs += [(f"/v1/sign-offs/{code}{part}", f"/v1/sign-offs/{NO_CODE}{part}") for part in ("", "/sheet")]
    return pairs + [("/v1/profiles/house/1", "/v1/profiles/nobody/1")]
