"""What happened in a run, as clients, readers and the store itself saw it, and what must be true of it.

Threads write into one history while the run goes on; `history_checks.faults` looks at it in the end and says
everything that is wrong."""

import threading
from collections import Counter, defaultdict
from dataclasses import dataclass, field

from harness.shop import TERMINAL


@dataclass
class SignOff:
    """An accepted sign-off: whoever asked, by what key, for which job, and the code of the record."""

    key: str
    job: str
    code: str


@dataclass
class Delivery:
    """What a webhook receiver got."""

    id: str
    kind: str
    about: str
    genuine: bool
    body: str


@dataclass
class Stored:
    """What the store holds in the end: tasks as (owner, kind, state), artifacts as (owner, kind, sha256), and the
    digests of all files or objects there are."""

    tasks: list[tuple[str, str, str]] = field(default_factory=list)
    artifacts: list[tuple[str, str, str]] = field(default_factory=list)
    files: Counter = field(default_factory=Counter)


@dataclass
class History:
    """All of it. A key is an idempotency key; jobs are named by their ids."""

    accepted: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    given_up: set[str] = field(default_factory=set)
    shops: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    states: dict[str, list[str]] = field(default_factory=lambda: defaultdict(list))
    sheets: dict[str, set[tuple[str, str]]] = field(default_factory=lambda: defaultdict(set))
    sign_offs: list[SignOff] = field(default_factory=list)
    unexpected: list[str] = field(default_factory=list)
    audit: list[dict] = field(default_factory=list)
    stored: Stored | None = None
    subscribed: dict[str, str] = field(default_factory=dict)
    deliveries: list[Delivery] = field(default_factory=list)
    finished: set[str] = field(default_factory=set)
    lock: threading.Lock = field(default_factory=threading.Lock, repr=False)

    def accept(self, key: str, job: str, shop: str = "open") -> None:
        """A 202 named this job."""
        with self.lock:
            self.accepted[key].append(job)
            self.shops[job].add(shop)

    def give_up(self, key: str) -> None:
        """Whoever posted this had no answer, and asks no more: it may be there or not, but not twice."""
        with self.lock:
            self.given_up.add(key)

    def saw(self, job: str, state: str) -> None:
        with self.lock:
            self.states[job].append(state)
            if state in TERMINAL:
                self.finished.add(job)

    def read(self, job: str, tag: str, digest: str) -> None:
        """A sheet was read: its ETag and the SHA-256 of its bytes."""
        with self.lock:
            self.sheets[job].add((tag, digest))

    def signed(self, key: str, job: str, code: str) -> None:
        with self.lock:
            self.sign_offs.append(SignOff(key, job, code))

    def object_to(self, words: str) -> None:
        """An answer that no client should ever get."""
        with self.lock:
            self.unexpected.append(words)

    @property
    def jobs(self) -> set[str]:
        with self.lock:
            return {job for jobs in self.accepted.values() for job in jobs}
