"""What the program has to say while its database or its files are away, and how soon."""

import re
import time
from concurrent.futures import ThreadPoolExecutor

from harness.clients import small_head
from harness.problems import check_problem
from harness.program import until
from harness.shop import Shop

# A client of a shop system does not wait longer for a no.
QUICK = 8.0
# After whatever was away is back, the program has to have found out.
BACK = 20.0
# Beyond what no problem may show: where the store is, and what it speaks.
PLACES = re.compile(r"postgres|127\.0\.0\.1|localhost|s3|bucket|connection|socket|pool|timed? ?out|sql", re.IGNORECASE)


def quickly(ask, within: float = QUICK):
    begun = time.monotonic()
    answer = ask()
    took = time.monotonic() - begun
    assert took < within, f"{answer.status_code} after {took:.1f} s"
    return answer


def check_unavailable(answer) -> None:
    """503, when to ask again, and nothing of the inside."""
    check_problem(answer, 503, "unavailable")
    assert int(answer.headers["retry-after"]) >= 1
    assert not PLACES.search(answer.text), answer.text


def post(shop: Shop, serial: str):
    return shop.post_text("/v1/jobs", small_head(serial), Idempotency_Key=f"key of {serial}")


def accepted(shop: Shop, serial: str) -> dict:
    answer = post(shop, serial)
    assert answer.status_code == 202, answer.text
    return answer.json()


def check_away(shop: Shop, job: dict | None = None) -> None:
    """It lives and is not ready; whatever needs the database is refused soon, also when many ask at once."""
    asked = [
        lambda: shop.get("/readyz"),
        lambda: post(shop, "AWAY"),
        lambda: shop.get("/v1/profiles"),
    ]
    if job is not None:
        this = job["links"]["self"]
        asked += [
            lambda: shop.get(this),
            lambda: shop.get(this, Prefer="wait=30"),
            lambda: shop.get(f"{this}/evaluation"),
            lambda: shop.get(f"{this}/sheet"),
        ]
    with ThreadPoolExecutor(len(asked)) as pool:
        answers = [pool.submit(quickly, ask) for ask in asked]
        while not all(answer.done() for answer in answers):
            assert quickly(lambda: shop.get("/livez"), 1.0).status_code == 200
            time.sleep(0.1)
    for answer in answers:
        check_unavailable(answer.result())
    assert quickly(lambda: shop.get("/livez"), 1.0).status_code == 200


def check_back(shop: Shop, *jobs: dict) -> float:
    """It is ready again by itself, has kept what it accepted, and takes more; returns how long it took, in seconds."""
    begun = time.monotonic()
    until(lambda: shop.get("/readyz").status_code == 200, "it to be ready again", BACK, pause=0.1)
    took = time.monotonic() - begun
    for job in (*jobs, accepted(shop, f"BACK-{time.monotonic()}")):
        assert shop.fetch(shop.done(job)["links"]["sheet"]).startswith(b"%PDF-")
    return took
