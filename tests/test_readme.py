"""What the README shows works as shown."""

import json
import re

from harness.documents import limit, small_profile
from harness.places import ROOT
from harness.program import run

README = (ROOT / "README.md").read_text()


def test_the_set_that_it_shows_can_be_judged(shop):
    documents = [json.loads(block) for block in re.findall(r"```json\n(.*?)```", README, re.DOTALL)]
    sets = [document for document in documents if document["format"] == "headproof/measurement-set/1"]
    assert sets
    for document in sets:
        profile = small_profile(limit("seat-width", lower=1.0, upper=1.6))
        evaluation = shop.evaluate({"measurement_set": document, "profile": profile})
        assert evaluation["tally"]["conforms"] == 1


def test_the_files_that_it_posts_are_there_and_are_taken(shop):
    posts = re.findall(r"8080(/\S+) -H \"\$KEY\" -H 'Content-Type(?:(?!curl)[^@])*--data-binary @(openapi/\S+)", README)
    assert {address for address, _ in posts} == {"/v1/jobs", "/v1/plan", "/v1/gauge-studies"}
    for address, path in posts:
        response = shop.post_text(address, (ROOT / path).read_bytes())
        if address == "/v1/jobs":
            assert response.status_code == 202, response.text
            shop.done(response.json())
        else:
            assert response.status_code == 200, response.text


def test_the_study_of_a_gauge_prints_what_it_says():
    path, shown = re.search(r"-- gauge-study (openapi/\S+)\n\nprints, among other lines,\n\n((?: {4}.*\n|\n)+)", README).groups()
    finished = run("gauge-study", ROOT / path)
    assert finished.returncode == 0, finished.stderr
    said = iter(finished.stdout.decode().splitlines())
    lines = [line.removeprefix("    ") for line in shown.splitlines() if line]
    assert len(lines) > 10
    for line in lines:
        assert line in said, f"{line!r} is not printed, or not in this order"


def test_the_settings_that_it_names_exist(tmp_path):
    variables = re.findall(r"`(HEADPROOF_[A-Z_]+)`", README)
    assert len(variables) >= 4
    for name in set(variables) - {"HEADPROOF_CONFIG"}:
        finished = run("serve", settings={"store_dir": tmp_path, "api_threads": "0", name: "\x01"})
        said = finished.stderr.decode()
        assert finished.returncode == 2 and "is no setting of headproof" not in said, said


def test_everything_it_links_to_is_there():
    for target in re.findall(r"\]\(([^)#:]+)\)", README):
        assert (ROOT / target).exists(), target
