"""The store's own files, looked at from outside."""

import hashlib
import sqlite3
from contextlib import closing
from pathlib import Path


def query(store: Path, statement: str, *values: object) -> list[tuple]:
    """Reads from the database without disturbing whoever writes."""
    with closing(
        sqlite3.connect(f"file:{store}/headproof.sqlite3?mode=ro", uri=True, timeout=10)
    ) as database:
        return database.execute(statement, values).fetchall()


def change(store: Path, *statements: tuple[str, tuple]) -> None:
    with closing(sqlite3.connect(store / "headproof.sqlite3", timeout=10)) as database, database:
        for statement, values in statements:
            database.execute(statement, values)


def spoil_evaluation(store: Path, job: str) -> None:
    """Damages the stored evaluation of a job, which the database itself refuses until its guard is gone."""
    change(
        store,
        ("DROP TRIGGER IF EXISTS evaluation_is_immutable", ()),
        ("UPDATE evaluation SET document = ? WHERE job_id = ?", (b'{"format":"spoilt"}', job)),
    )


def visible_files(store: Path) -> set[str]:
    return {path.name for path in (store / "artifacts").iterdir() if not path.name.startswith(".")}


def check_integrity(store: Path) -> None:
    assert query(store, "PRAGMA integrity_check") == [("ok",)]
    assert query(store, "PRAGMA foreign_key_check") == []


def check_artifacts(store: Path) -> None:
    """Every task that is done has exactly one artifact, whose file is whole; no other task has any."""
    done = query(store, "SELECT owner_id, kind FROM task WHERE state = 'done' ORDER BY 1, 2")
    named = query(store, "SELECT owner_id, kind FROM artifact ORDER BY 1, 2")
    assert done == named
    for path, size, digest in query(store, "SELECT path, size, sha256 FROM artifact"):
        content = (store / "artifacts" / path).read_bytes()
        assert (len(content), hashlib.sha256(content).hexdigest()) == (size, digest), path
        assert content.startswith(b"%PDF-1.") and content.rstrip().endswith(b"%%EOF"), path
