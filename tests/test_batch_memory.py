"""A batch is taken in and given out piece by piece: four times the lines take no more memory."""

import json

from harness.batches import small_lines
from harness.clients import small_head
from harness.counts import count, reached
from harness.repeating import keyed_lines
from harness.shop import Shop

MEBI = 1024 * 1024
LINES = count(200, 5_000)
# What is judged at once is not always as large, and a store keeps more in its caches as it grows.
SLACK = 24 * MEBI


def peak(start, tmp_path, many: int) -> int:
    """The most memory of an api that takes in so many lines and gives all of them out."""
    program = start("api", store=tmp_path / f"store-{many}")
    # Long enough for bodies to matter: some 8 KiB a line.
    filling = {"client_reference": "r" * 60, "sheet": {"language": "en"}}
    lines = [json.dumps(json.loads(line) | filling).encode() + b" " * 6000 for line in small_lines("MEMORY", many)]
    with Shop(program.address) as shop:
        shop.submit(json.loads(small_head("WARM")))
        shop.http.timeout = 600
        answer = keyed_lines(shop, b"\n".join(lines))
        assert answer.status_code == 202, answer.text
        batch = answer.json()
        assert batch["progress"]["accepted"] == many
        assert shop.fetch(batch["links"]["lines"]).count(b"\n") == many
        assert shop.fetch(batch["links"]["archive"]).startswith(b"PK")
        held = program.peak_memory()
    program.stop()
    return held


def test_four_times_the_lines_take_about_the_same_memory(start, tmp_path):
    few, many = peak(start, tmp_path, LINES), peak(start, tmp_path, 4 * LINES)
    reached("peak memory of an api", f"{few // MEBI} MiB for {LINES} lines, {many // MEBI} MiB for {4 * LINES}")
    assert many < few + SLACK
