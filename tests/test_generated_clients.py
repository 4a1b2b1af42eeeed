"""Clients that are generated from the published description: it is taken whole, and a shop system can work with them."""

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

from harness.access import KEYS, make_key
from harness.places import OPENAPI, ROOT

CLIENTS = ROOT / "tests" / "clients"
TOOLS = CLIENTS / "node_modules"
DESCRIPTION = OPENAPI / "openapi.json"
REQUEST = OPENAPI / "examples" / "generator-3cyl-6v.job-request.json"


@pytest.fixture(scope="module")
def settings():
    return KEYS


def call(directory: Path, *command: object) -> str:
    """Runs a tool there; whatever it says is shown when it fails."""
    finished = subprocess.run(
        [str(word) for word in command],
        cwd=directory,
        env={name: value for name, value in os.environ.items() if not name.lower().endswith("_proxy")},
        capture_output=True,
        text=True,
        timeout=300,
    )
    assert finished.returncode == 0, finished.stdout + finished.stderr
    return finished.stdout


@pytest.fixture(scope="module")
def in_python(tmp_path_factory):
    """A package that was generated, and the shop system beside it."""
    directory = tmp_path_factory.mktemp("python")
    shutil.copy(CLIENTS / "post_a_head.py", directory)
    said = call(
        directory,
        *(sys.executable, "-m", "openapi_python_client", "generate", "--path", DESCRIPTION, "--meta", "none"),
        *("--output-path", "headproof_client", "--config", CLIENTS / "generator.yaml", "--fail-on-warning"),
    )
    assert "warning" not in said.lower(), said
    return directory, (sys.executable, "post_a_head.py")


@pytest.fixture(scope="module")
def in_typescript(tmp_path_factory):
    """Types that were generated, checked and compiled with the shop system that uses them."""
    assert (TOOLS / ".bin" / "tsc").exists(), f"{TOOLS} is not there: tests/run installs it"
    directory = tmp_path_factory.mktemp("typescript")
    for name in ("post_a_head.ts", "package.json", "tsconfig.json"):
        shutil.copy(CLIENTS / name, directory)
    (directory / "node_modules").symlink_to(TOOLS)
    call(directory, TOOLS / ".bin" / "openapi-typescript", DESCRIPTION, "--output", "headproof.d.ts")
    call(directory, TOOLS / ".bin" / "tsc")
    return directory, ("node", "made/post_a_head.js")


def test_the_types_of_the_python_client_fit(in_python):
    """Of the generated package only what it offers is looked at, not how it is written."""
    directory, _ = in_python
    call(directory, sys.executable, "-m", "mypy", "--strict", "--follow-imports=silent", "post_a_head.py")


@pytest.mark.parametrize("client", ["in_python", "in_typescript"])
def test_a_generated_client_posts_a_head_and_gets_its_sheet(shop, service, request, client):
    directory, command = request.getfixturevalue(client)
    key, sheet = directory / "key", directory / "sheet.pdf"
    key.write_text(make_key(shop, "submit", "read")["secret"])
    told = json.loads(call(directory, *command, service.address, key, REQUEST, f"{client}-1", sheet))
    assert told["state"] == "done" and told["disposition"] == "accept"
    assert len(set(told["jobs"])) == 1, "the head was posted under one key: it is one job"
    job = shop.get(f"/v1/jobs/{told['jobs'][0]}").json()
    assert sheet.read_bytes() == shop.fetch(job["links"]["sheet"])


def test_what_is_read_into_the_python_types_comes_out_again(in_python):
    directory, _ = in_python
    examples = {"Evaluation": "evaluation", "ReworkPlan": "rework-plan", "JobRequest": "job-request"}
    examples |= {"GaugeStudyRequest": "gauge-study", "GaugeStudy": "gauge-study-result", "Statistics": "statistics"}
    script = (
        "import json, sys; from headproof_client import models\n"
        "for name, path in zip(sys.argv[1::2], sys.argv[2::2]):\n"
        "    document = json.load(open(path))\n"
        "    assert getattr(models, name).from_dict(document).to_dict() == document, path\n"
    )
    named = [
        word
        for name, kind in examples.items()
        for path in sorted((OPENAPI / "examples").glob(f"*.{kind}.json"))
        for word in (name, path)
    ]
    assert len(named) >= 28
    call(directory, sys.executable, "-c", script, *named)
