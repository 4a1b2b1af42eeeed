"""Schemathesis over a description of a running service."""

import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path

from harness.counts import LONG
from harness.places import ROOT

SEED = 20260301
CONFIGURATIONS = ("schemathesis.toml",) if LONG else ("schemathesis.toml", "short.toml")
# A body in a failure may be a whole head.
LONGEST_LINE = 500


@dataclass(frozen=True)
class MadeUp:
    """How a run ended: its exit code, what it said, and its report."""

    code: int
    said: str
    report: dict


def make_up(directory: Path, description: str, address: str, key: str, given: Path, *arguments: object) -> MadeUp:
    """Holds the service at an address against a description; `given` is what hooks.py reads."""
    report, configuration = directory / "report.json", directory / "schemathesis.toml"
    configuration.write_text("".join(Path(__file__).with_name(name).read_text() for name in CONFIGURATIONS))
    command = [
        *(sys.executable, "-m", "schemathesis.cli", "--config-file", configuration),
        *("run", description, "--url", address, "--header", f"Authorization: Bearer {key}", "--seed", SEED),
        *("--generation-database", "none", "--continue-on-failure", "--warnings", "off", "--no-color"),
        *("--report", "json", "--report-json-path", report, *arguments),
    ]
    environment = {name: value for name, value in os.environ.items() if not name.lower().endswith("_proxy")}
    environment |= {"GIVEN": str(given), "SCHEMATHESIS_HOOKS": "harness.described.hooks", "PYTHONHASHSEED": "0"}
    environment |= {"PYTHONPATH": str(ROOT / "tests"), "PYTHONDONTWRITEBYTECODE": "1"}
    finished = subprocess.run(
        [str(word) for word in command],
        cwd=directory,
        env=environment,
        capture_output=True,
        text=True,
        timeout=3 * 3600,
    )
    said = "\n".join(line[:LONGEST_LINE] for line in (finished.stdout + finished.stderr).splitlines())
    assert report.is_file(), said
    return MadeUp(finished.returncode, said, json.loads(report.read_text()))
