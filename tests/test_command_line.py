"""The program on the command line: judging on the spot, and the demo."""

import json
import subprocess

import pytest

from harness.documents import CONFORMING, HEADS, demo_set, profile_path, put, request, set_path
from harness.pdf import Pdf
from harness.places import BINARY
from harness.program import environment, run


def evaluate(document, head: str = CONFORMING, **options):
    return run("evaluate", document, "--profile", profile_path(head), **options)


@pytest.mark.parametrize("head", HEADS)
def test_judging_on_the_spot_says_the_same_as_the_service(shop, head):
    finished = evaluate(set_path(head), head)
    expected = shop.evaluate(request(head))
    assert json.loads(finished.stdout) == expected
    assert finished.returncode == (0 if expected["disposition"] == "accept" else 1)
    assert finished.stderr == b""


def test_a_set_may_come_from_standard_input():
    finished = evaluate("-", input=set_path(CONFORMING).read_bytes())
    assert finished.returncode == 0
    assert finished.stdout == evaluate(set_path(CONFORMING)).stdout


def test_faults_are_told_with_their_places_and_exit_code_2(tmp_path):
    faulty = put(demo_set(), "/ports/0/valve/head_diameter", -36)
    faulty = put(faulty, "/ports/1/seat/seat_angle", 90)
    path = tmp_path / "faulty.json"
    path.write_text(json.dumps(faulty))
    finished = evaluate(path)
    said = finished.stderr.decode()
    assert (finished.returncode, finished.stdout) == (2, b"")
    assert "/ports/0/valve/head_diameter" in said and "/ports/1/seat/seat_angle" in said


@pytest.mark.parametrize(
    "content", [None, b"{", b"", b"\xff"], ids=["no file", "cut off", "empty", "no text"]
)
def test_a_file_that_is_no_document_is_named_with_exit_code_2(tmp_path, content):
    path = tmp_path / "set.json"
    if content is not None:
        path.write_bytes(content)
    finished = evaluate(path)
    assert (finished.returncode, finished.stdout) == (2, b"")
    assert str(path) in finished.stderr.decode()


def test_what_the_command_line_does_not_know_is_refused_with_exit_code_2():
    for arguments in (
        ["judge"],
        ["evaluate"],
        ["serve", "--colour"],
        ["evaluate", "x", "--profile", "y", "--paper", "a3"],
        ["evaluate", "x", "--profile", "y", "--language", "fr"],
    ):
        finished = run(*arguments)
        assert finished.returncode == 2 and finished.stderr, arguments


def test_a_reader_that_goes_away_is_no_crash():
    """As `headproof evaluate … | head -1` does."""
    command = [str(BINARY), "evaluate", str(set_path("irrigation-pump-16v"))]
    command += ["--profile", str(profile_path("irrigation-pump-16v"))]
    process = subprocess.Popen(command, env=environment({}), stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    process.stdout.close()
    said = process.stderr.read()
    process.wait(30)
    process.stderr.close()
    assert b"panicked" not in said, said.decode()


def test_the_demo_writes_the_sheets_of_all_its_heads_and_a_report(tmp_path):
    out = tmp_path / "demo-out"
    finished = run("demo", "--out", out)
    assert finished.returncode == 0, finished.stderr.decode()
    expected = {f"{head}.{ending}" for head in HEADS for ending in ("pdf", "signed.pdf", "evaluation.json")}
    planned = "irrigation-pump-16v"
    expected |= {"batch-report.pdf", "shop-certificate.pem", f"{planned}.rework-plan.json"}
    assert {path.name for path in out.iterdir()} == expected
    for path in out.glob("*.pdf"):
        Pdf(path.read_bytes(), path).check()
    said = finished.stdout.decode()
    for head in HEADS:
        evaluation = json.loads((out / f"{head}.evaluation.json").read_text())
        assert f"{evaluation['head_serial']} ({head}): {evaluation['disposition'].upper()}" in said
        authority = out / "shop-certificate.pem"
        verified = run("verify", out / f"{head}.signed.pdf", "--authority", authority)
        assert verified.returncode == 0 and verified.stdout.startswith(b"GENUINE"), verified
    assert json.loads((out / f"{planned}.rework-plan.json").read_text())["headline"] in said
    assert "invented" in said
