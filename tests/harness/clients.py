"""Clients as shop systems are: they post small heads, ask again with the same key when there was no answer, sign, and
read what was made. What they were told goes into a history."""

import hashlib
import itertools
import json
import math
import random
import threading
import time
from collections import Counter, deque
from collections.abc import Iterator
from dataclasses import dataclass, field

import httpx

from harness.documents import limit, small_profile, small_set
from harness.history import History
from harness.problems import INSIDE
from harness.shop import TERMINAL, Shop

# What a client waits for an answer before it asks somebody else.
ANSWER = 10.0
# What it bears altogether, with everything that is made to fail meanwhile.
PATIENCE = 180.0
LINES = 5
# Not now: what is asked for too often, and what cannot be kept just now. Each says when to come again.
LATER = (429, 503)
# How many jobs of a client are under way at the same time.
AT_ONCE = 4


def small_head(serial: str) -> bytes:
    """A head whose sheet is quickly drawn."""
    measured = small_set(intake={"seat": {"widths": [1.42, 1.45, 1.40, 1.44]}})
    measured["head"]["serial"] = serial
    profile = small_profile(limit("seat-width", lower=1.2, upper=1.8))
    return json.dumps({"measurement_set": measured, "profile": profile}).encode()


def is_batch(number: int) -> bool:
    return number % 25 == 3


@dataclass
class Common:
    """What the clients of one load share. Without `keyed` none has an idempotency key: then one that had no answer asks
    no more. Otherwise every twentieth job is posted so. A client rests for `pause` seconds after a job."""

    addresses: list[str]
    total: int
    signer: str
    keyed: bool = True
    pause: float = 0.0
    posted: int = 0
    # How many may be posted for now.
    allowed: float = math.inf
    history: History = field(default_factory=History)
    # Clients that wait at this moment to hear whether what they posted was accepted.
    posting: set[str] = field(default_factory=set)
    # What clients bore: connections refused, answers lost, and times that the service said no for now.
    borne: Counter = field(default_factory=Counter)
    stopped: threading.Event = field(default_factory=threading.Event)
    _numbers: Iterator[int] = field(default_factory=itertools.count)

    def take(self) -> int | None:
        """The next number, until there are jobs enough; waits while no more may be posted for now."""
        while self.posted >= min(self.allowed, self.total) and not self.stopped.is_set():
            if self.posted >= self.total:
                return None
            time.sleep(0.01)
        if self.stopped.is_set():
            return None
        number = next(self._numbers)
        self.posted += LINES if is_batch(number) else 1
        return number


class Client(threading.Thread):
    """One client: it posts one job or batch after the other, and follows each to its end."""

    def __init__(self, load: Common, chance: random.Random):
        super().__init__(daemon=True)
        self.load, self.chance, self.history = load, chance, load.history
        self.failed: BaseException | None = None
        self.open: deque[str] = deque()

    def run(self) -> None:
        self.shops = [Shop(address) for address in self.load.addresses]
        for shop in self.shops:
            shop.http.timeout = ANSWER
        try:
            while (number := self.load.take()) is not None:
                self.one(number)
                while len(self.open) >= AT_ONCE:
                    self.follow(self.open.popleft())
                self.load.stopped.wait(self.load.pause)
            while self.open:
                self.follow(self.open.popleft())
        except BaseException as error:
            self.failed = error
        finally:
            for shop in self.shops:
                shop.http.close()

    def one(self, number: int) -> None:
        keyed = self.load.keyed and number % 20 != 7
        if is_batch(number):
            jobs = self.batch(number, keyed)
        else:
            jobs = [job] if (job := self.job(number, keyed)) else []
        if jobs and number % 10 == 5:
            self.sign(jobs[0], f"sign-{number}", keyed)
        self.open += [job["id"] for job in jobs]

    def job(self, number: int, keyed: bool) -> dict | None:
        key = f"job-{number}"
        answer = self.post("/v1/jobs", small_head(f"LOAD-{number}"), "application/json", key, keyed)
        if answer is None:
            self.history.give_up(key)
            return None
        self.history.accept(key, answer["id"])
        if keyed and self.chance.random() < 0.1:
            # As if the answer had been lost on its way.
            again = self.post("/v1/jobs", small_head(f"LOAD-{number}"), "application/json", key, keyed)
            self.history.accept(key, again["id"])
        return answer

    def batch(self, number: int, keyed: bool) -> list[dict]:
        key = f"batch-{number}"
        body = b"\n".join(small_head(f"LOAD-{number}-{line}") for line in range(LINES))
        answer = self.post("/v1/batches", body, "application/x-ndjson", key, keyed)
        jobs = self.jobs(answer["links"]["jobs"]) if answer else []
        for line in range(LINES):
            if jobs:
                self.history.accept(f"{key}/{line}", jobs[line]["id"])
            else:
                self.history.give_up(f"{key}/{line}")
        return jobs

    def jobs(self, path: str) -> list[dict]:
        """Those of a batch; one page holds them all."""
        answer, _ = self.insist(lambda shop: shop.get(path))
        if answer.status_code != 200 or len(answer.json()) != LINES:
            self.history.object_to(f"{path}: {answer.status_code} {answer.text[:300]}")
            return []
        return answer.json()

    def sign(self, job: dict, key: str, keyed: bool) -> None:
        path = f"/v1/jobs/{job['id']}/sign-offs"
        headers = {"If-Match": f'"{job["evaluation_digest"]}"', "Authorization": f"Bearer {self.load.signer}"}
        headers |= {"Idempotency-Key": key} if keyed else {}
        answer, lost = self.insist(lambda shop: shop.http.post(path, json={"meaning": "inspected"}, headers=headers))
        if answer.status_code == 202:
            self.history.signed(key, job["id"], answer.json()["code"])
        elif answer.status_code == 409 and lost and not keyed:
            # It was signed, and the answer was lost.
            listed, _ = self.insist(lambda shop: shop.get(path))
            self.history.signed(key, job["id"], listed.json()[0]["code"])
        else:
            self.history.object_to(f"{path}: {answer.status_code} {answer.text[:300]}")

    def follow(self, job: str) -> None:
        """Waits until it is over, and reads its sheet."""
        deadline, state = time.monotonic() + PATIENCE, None
        while state not in TERMINAL and time.monotonic() < deadline:
            answer, _ = self.insist(lambda shop: shop.get(f"/v1/jobs/{job}", Prefer="wait=2"))
            if answer.status_code != 200:
                self.history.object_to(f"job {job}: {answer.status_code} {answer.text[:300]}")
                return
            state = answer.json()["state"]
            self.history.saw(job, state)
        if state == "done":
            sheet, _ = self.insist(lambda shop: shop.get(f"/v1/jobs/{job}/sheet"))
            note_sheet(self.history, job, sheet)

    def post(self, path: str, body: bytes, kind: str, key: str, keyed: bool) -> dict | None:
        """What was accepted, or nothing where nobody knows and there is no key to ask again with."""
        headers = {"Idempotency_Key": key} if keyed else {}
        self.load.posting.add(key)
        answer, _ = self.insist(lambda shop: shop.post_text(path, body, kind, **headers), once=not keyed)
        self.load.posting.discard(key)
        if answer is not None and answer.status_code != 202:
            self.history.object_to(f"{path}: {answer.status_code} {answer.text[:300]}")
            return None
        return answer and answer.json()

    def insist(self, send, once: bool = False) -> tuple[httpx.Response | None, bool]:
        """Asks one api or another until there is an answer; says whether an earlier one may have been lost."""
        deadline, lost = time.monotonic() + PATIENCE, False
        while time.monotonic() < deadline:
            try:
                answer = send(self.chance.choice(self.shops))
            except httpx.ConnectError:
                self.load.borne["refused"] += 1
            except httpx.TransportError:
                self.load.borne["lost"] += 1
                lost = True
            else:
                if answer.status_code not in LATER and not is_under_way(answer):
                    return answer, lost
                self.load.borne[str(answer.status_code)] += 1
                lost = True
                if "retry-after" not in answer.headers or INSIDE.search(answer.text):
                    self.history.object_to(f"{answer.headers} {answer.text}")
            if once and lost:
                return None, lost
            time.sleep(self.chance.uniform(0.02, 0.2))
        raise AssertionError(f"no answer for {PATIENCE:.0f} s")


def is_under_way(answer: httpx.Response) -> bool:
    """The same key is being answered at this moment: ask again."""
    return answer.status_code == 409 and answer.json()["type"] == "/problems/still-running"


def note_sheet(history: History, job: str, answer: httpx.Response) -> None:
    if answer.status_code != 200:
        history.object_to(f"the sheet of job {job}: {answer.status_code} {answer.text[:300]}")
        return
    history.read(job, answer.headers["etag"], hashlib.sha256(answer.content).hexdigest())
