"""Bodies of batches in every form, and what a store holds of them."""

import gzip
import json
from pathlib import Path

from harness.clients import small_head
from harness.database import query


def small_lines(name: str, count: int) -> list[bytes]:
    """Heads whose sheets are quickly drawn, each with a serial of its own."""
    return [small_head(f"{name}-{number:05}") for number in range(1, count + 1)]


def as_array(lines: list[bytes]) -> bytes:
    return b"[" + b",\n".join(lines) + b"]"


def serials(name: str, count: int) -> list[str]:
    return [json.loads(line)["measurement_set"]["head"]["serial"] for line in small_lines(name, count)]


def packed(body: bytes) -> bytes:
    return gzip.compress(body, mtime=0)


def stored_lines(store: Path) -> list[int]:
    """The numbers of all lines that became jobs, in a store with one batch."""
    return [line for (line,) in query(store, "SELECT line FROM job WHERE batch_id IS NOT NULL ORDER BY line")]
