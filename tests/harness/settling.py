"""After a run: waits until nothing is under way, reads all once more from every api, and looks into the store."""

import hashlib
import json
from collections import Counter
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from harness import database as sqlite
from harness.clients import note_sheet
from harness.fleet import Fleet
from harness.history import History, Stored
from harness.program import run, until
from harness.shop import Shop

OPEN = "SELECT count(*) FROM task WHERE state IN ('queued', 'running')"
TASKS = "SELECT owner_id, kind, state FROM task"
ARTIFACTS = "SELECT owner_id, kind, sha256 FROM artifact"


class SqliteStore:
    """The store in one directory."""

    def __init__(self, directory: Path):
        self.directory = directory

    def query(self, statement: str) -> list[tuple]:
        return sqlite.query(self.directory, statement)

    def files(self) -> list[bytes]:
        visible = sqlite.visible_files(self.directory)
        return [(self.directory / "artifacts" / name).read_bytes() for name in visible]


class PostgresStore:
    """The store of a database and a bucket."""

    def __init__(self, database, objects, bucket: str):
        self.database, self.objects, self.bucket = database, objects, bucket

    def query(self, statement: str) -> list[tuple]:
        return self.database.query(statement)

    def files(self) -> list[bytes]:
        return [self.objects.get(self.bucket, key) for key in self.objects.keys(self.bucket)]


def look_again(history: History, address: str, jobs: list[str]) -> None:
    with Shop(address) as shop:
        for job in jobs:
            answer = shop.get(f"/v1/jobs/{job}")
            if answer.status_code != 200:
                history.object_to(f"job {job}: {answer.status_code} {answer.text[:300]}")
                continue
            history.saw(job, answer.json()["state"])
            if answer.json()["state"] == "done":
                note_sheet(history, job, shop.get(f"/v1/jobs/{job}/sheet"))


def come_to_rest(fleet: Fleet, history: History, store: SqliteStore | PostgresStore, patience: float = 300) -> None:
    """Everything is healed by now."""
    until(lambda: int(store.query(OPEN)[0][0]) == 0, "the rest", patience, pause=0.2)
    jobs = sorted(history.jobs)
    parts = [(address, jobs[part::2]) for address in fleet.addresses for part in range(2)]
    with ThreadPoolExecutor(4) as pool:
        list(pool.map(lambda part: look_again(history, *part), parts))
    settings = {**fleet.settings, "store_dir": fleet.store}
    verified = run("audit", "verify", "--shop", "open", settings=settings)
    if verified.returncode != 0:
        history.object_to(f"audit verify: {verified.returncode} {verified.stderr.decode()[:500]}")
    exported = run("audit", "export", "--shop", "open", settings=settings)
    assert exported.returncode == 0, exported.stderr
    history.audit = [json.loads(line) for line in exported.stdout.splitlines()]
    files = Counter(hashlib.sha256(content).hexdigest() for content in store.files())
    history.stored = Stored(store.query(TASKS), store.query(ARTIFACTS), files)
