"""Every row that is worked out of readings, once or more: readings of invented parts, and a model in numpy."""

from harness.models import Case
from harness.worked_rows import (
    chambers,
    decks,
    guides,
    inserts,
    leaks,
    seats,
    springs,
    turns,
)

_PARTS = (seats, turns, inserts, guides, springs, leaks, chambers, decks)
CASES: dict[str, Case] = {name: case for part in _PARTS for name, case in part.CASES.items()}
