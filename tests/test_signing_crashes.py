"""kill -9 around signing: what was signed stays signed, and no sheet is made twice."""

import random
import threading
import time
from collections import Counter

import httpx

from harness.counts import count, reached
from harness.database import check_artifacts, check_integrity, query
from harness.program import run, until
from harness.shop import Shop
from harness.signatures import hanko_accepts
from harness.signing import Signer, posted

HEAD = "generator-3cyl-6v"


class Signing(threading.Thread):
    """Posts heads and signs them until the service is gone; remembers what was answered."""

    def __init__(self, address: str, secret: str, name: str):
        super().__init__(name=name, daemon=True)
        self.address, self.secret = address, secret
        self.accepted: list[dict] = []
        self.unexpected: list[str] = []

    def run(self) -> None:
        with Shop(self.address) as shop:
            signer = Signer.known(shop, self.secret)
            try:
                for number in range(1000):
                    job = shop.submit(posted(HEAD, f"{self.name}-{number}"))
                    for meaning in ("inspected", "released"):
                        answer = signer.ask(job, meaning)
                        if answer.status_code == 202:
                            self.accepted.append(answer.json())
                        else:
                            self.unexpected.append(answer.text)
            except httpx.TransportError:
                return


def test_what_was_answered_survives_any_number_of_crashes(start, tmp_path):
    chance = random.Random(20261126)
    store, rounds = tmp_path / "store", count(4, 40)
    settings = {"worker_tasks": 2, "worker_lease_seconds": 3, "store_max_attempts": 20}
    accepted: list[dict] = []
    secret, caught = None, 0
    for number in range(rounds):
        program = start(store=store, **settings)
        if secret is None:
            with Shop(program.address) as shop:
                secret = Signer(shop).secret
        posters = [Signing(program.address, secret, f"CRASH-{number}-{letter}") for letter in "AB"]
        for poster in posters:
            poster.start()
        until(lambda: any(poster.accepted for poster in posters), "a sign-off", pause=0.002)  # noqa: B023
        time.sleep(chance.uniform(0, 0.4))
        if number % 2:
            until(lambda: at_work(store), "a signed sheet under way", pause=0.0005)
            time.sleep(chance.uniform(0, 0.05))
        program.kill()
        for poster in posters:
            poster.join(30)
            assert not poster.is_alive() and not poster.unexpected, poster.unexpected
            accepted += poster.accepted
        caught += at_work(store) > 0
        check_integrity(store)
        assert run("audit", "verify", "--shop", "open", settings={"store_dir": store}).returncode == 0
    assert caught, "no crash fell into the making of a signed sheet"

    program = start(store=store, **settings)
    with Shop(program.address) as shop:
        trust = shop.fetch("/v1/certificates")
        for answer in accepted:
            done = shop.done(answer)
            assert (done["sign_off"], done["code"]) == (answer["sign_off"], answer["code"])
            sheet = shop.fetch(done["links"]["signed_sheet"])
            said = shop.post_text("/v1/verify", sheet, "application/pdf").json()
            assert (said["authenticity"], said["sign_off"]) == ("genuine", answer["sign_off"])
        assert hanko_accepts(sheet, trust)
        left = "SELECT 1 FROM task WHERE state IN ('queued', 'running')"
        until(lambda: not query(store, left), "the rest", 300)
    program.stop()
    check_integrity(store)
    check_artifacts(store)
    signed = {identity for (identity,) in query(store, "SELECT id FROM sign_off")}
    assert {answer["sign_off"]["id"] for answer in accepted} <= signed
    tasks = Counter(owner for (owner,) in query(store, "SELECT owner_id FROM task WHERE kind = 'signed-sheet'"))
    assert tasks == Counter(signed), "one task and one sheet of each"
    entries = query(store, "SELECT CAST(line AS TEXT) FROM audit")
    assert sum('"what":"signed"' in line for (line,) in entries) == len(signed)
    assert sum('"to":"signed-sheet ' in line and '"rendered"' in line for (line,) in entries) == len(signed)
    assert run("audit", "verify", "--shop", "open", settings={"store_dir": store}).returncode == 0
    reached("kill -9 while signing", f"{rounds} crashes, {caught} of them into a signed sheet; {len(accepted)} kept")


def at_work(store) -> int:
    return query(store, "SELECT count(*) FROM task WHERE kind = 'signed-sheet' AND state = 'running'")[0][0]
