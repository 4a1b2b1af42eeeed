"""A job that follows another says on its sheet what changed since."""

import hashlib
import json

import pytest
import rfc8785

from harness.documents import demo_set, profile_path, request, set_path
from harness.pdf import detached
from harness.program import run

HEAD = "generator-3cyl-6v"


def as_received() -> dict:
    """The same head before its rework: one seat too wide, one face angle not read; all else alike."""
    before = demo_set(HEAD)
    before["job"]["stage"] = "as-received"
    first, second = before["ports"][0], before["ports"][1]
    first["seat"]["widths"] = [round(width + 0.9, 3) for width in first["seat"]["widths"]]
    del second["valve"]["face_angle"]
    return before


def changes(text: str) -> str:
    """What stands between the heading and the rows of now."""
    return text.split("Before and after", 1)[1].split("\nDeck and head", 1)[0]


@pytest.fixture(scope="module")
def followed(shop):
    """The evaluation of the earlier job, that of the job that follows it, and its sheet."""
    earlier = shop.done(shop.submit({**request(HEAD), "measurement_set": as_received()}))
    later = shop.done(shop.submit(request(HEAD, follows=earlier["id"])))
    evaluations = [shop.get(job["links"]["evaluation"]).json() for job in (earlier, later)]
    return *evaluations, shop.fetch(later["links"]["sheet"])


def test_what_changed_is_listed_and_what_did_not_is_not(followed, pdf):
    before, now, content = followed
    said = changes(pdf(content).text())
    assert "Seat width, mm" in said and "Face angle" in said and "not measured" in said
    assert "Margin" not in said and "Seat load" not in said
    assert "Cylinder 1, intake 1" in said
    widths = [
        next(line for line in of["ports"][0]["rows"] if line["characteristic"] == "seat-width")["measured"]
        for of in (before, now)
    ]
    line = next(line for line in said.splitlines() if "Seat width, mm" in line)
    assert [f"{width:.3f}" for width in widths] == [word for word in line.split() if word[:1].isdigit()][:2]
    assert f"−{widths[0] - widths[1]:.3f}" in line
    for of in (before, now):
        tally = of["tally"]
        limited = sum(tally[name] for name in tally if name != "no_limit")
        assert f"{tally['conforms']} of {limited}" in said


def test_the_earlier_evaluation_is_attached_and_named(followed, pdf, tmp_path):
    before, _, content = followed
    kept = detached(content, tmp_path / "out")["earlier-evaluation.json"]
    assert kept == rfc8785.dumps(before)
    assert f"record {hashlib.sha256(kept).hexdigest()[:12]}" in changes(pdf(content).text())


def test_from_what_a_sheet_holds_the_same_sheet_can_be_made_again(followed, tmp_path):
    _, _, content = followed
    out = tmp_path / "out"
    detached(content, out)
    made = run(
        "evaluate", out / "measurement-set.json", "--profile", out / "target-profile.json",
        "--sheet", tmp_path / "again.pdf", "--earlier", out / "earlier-evaluation.json",
    )
    assert made.returncode in (0, 1), made.stderr
    assert (tmp_path / "again.pdf").read_bytes() == content


def test_in_german_too(shop, pdf):
    earlier = shop.done(shop.submit({**request(HEAD), "measurement_set": as_received()}))
    content = shop.sheet(request(HEAD, follows=earlier["id"], sheet={"language": "de"}))
    said = pdf(content).text()
    assert "Vorher und nachher" in said and "Before" not in said and "Sitzbreite, mm" in said


def test_the_same_readings_once_more_changed_nothing(shop, pdf):
    earlier = shop.done(shop.submit(request(HEAD)))
    said = changes(pdf(shop.sheet(request(HEAD, follows=earlier["id"]))).text())
    assert "No row changed beyond what the gauges could tell." in said


@pytest.mark.parametrize(
    ("member", "value", "pointer"),
    [
        ("verdict", "splendid", "/head/0/verdict"),
        ("unit", "furlong", "/head/0/unit"),
        ("measured", 1e300, "/head/0/measured"),
        ("characteristic", "charm", "/head/0/characteristic"),
    ],
)
def test_an_evaluation_that_no_judge_wrote_is_refused(tmp_path, member, value, pointer):
    evaluation = json.loads(run("evaluate", set_path(HEAD), "--profile", profile_path(HEAD)).stdout)
    evaluation["head"][0][member] = value
    (tmp_path / "earlier.json").write_text(json.dumps(evaluation))
    made = run(
        "evaluate", set_path(HEAD), "--profile", profile_path(HEAD),
        "--sheet", tmp_path / "sheet.pdf", "--earlier", tmp_path / "earlier.json",
    )
    assert made.returncode == 2 and pointer in made.stderr.decode()


def test_the_evaluation_of_another_head_is_refused(tmp_path):
    other = run("evaluate", set_path("cold-store-8v"), "--profile", profile_path("cold-store-8v"))
    (tmp_path / "other.json").write_bytes(other.stdout)
    made = run(
        "evaluate", set_path(HEAD), "--profile", profile_path(HEAD),
        "--sheet", tmp_path / "sheet.pdf", "--earlier", tmp_path / "other.json",
    )
    assert made.returncode == 2 and b"/head_serial" in made.stderr
    assert not (tmp_path / "sheet.pdf").exists()
