"""How much is tried: little in tests/run, much in tests/long; and what was reached, for the summary."""

import os

LONG = os.environ.get("HEADPROOF_COUNTS") == "long"
REACHED: dict[str, str] = {}


def count(short: int, long: int) -> int:
    return long if LONG else short


def reached(what: str, figure: object) -> None:
    """Notes a figure that the summary prints."""
    REACHED[what] = str(figure)
