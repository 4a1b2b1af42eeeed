"""Measurements as CSV: what becomes of a file, and what its columns mean to a reader that shares no code with us."""

import csv
import io
import json
import warnings
from pathlib import Path

import pytest
from csvw.metadata import CSVW

from harness.documents import CONFORMING, HEADS, at, demo_profile, demo_set, profile_path
from harness.places import OPENAPI
from harness.program import run

EXAMPLES = OPENAPI / "examples"
# Columns of readings, and where a person who knows the documents would look for them: the port of the row, its
# cylinder's chamber, the head.
OF_PORT = {
    "cylinder": "/cylinder",
    "service": "/service",
    "index": "/index",
    "guide_bore_top_1": "/guide/bores/top/0",
    "guide_bore_middle_2": "/guide/bores/middle/1",
    "guide_bore_bottom_1": "/guide/bores/bottom/0",
    "guide_fit": "/guide/fit",
    "stem_seal": "/guide/stem_seal",
    "stem_diameter_top": "/valve/stem/top",
    "stem_diameter_bottom": "/valve/stem/bottom",
    "valve_head_diameter": "/valve/head_diameter",
    "valve_face_angle": "/valve/face_angle/value",
    "valve_face_angle_instrument": "/valve/face_angle/instrument",
    "valve_margin": "/valve/margin",
    "seat_angle": "/seat/seat_angle/value",
    "seat_width_1": "/seat/widths/0",
    "seat_width_4": "/seat/widths/3",
    "seat_runout_direction": "/seat/runout/direction",
    "seat_runout_8": "/seat/runout/readings/7",
    "valve_face_runout_3": "/valve/face_runout/readings/2",
    "contact_from_edge_2": "/contact/marks/1/from_edge",
    "contact_width_2": "/contact/marks/1/width",
    "installed_height": "/spring_pack/installed_height",
    "valve_lift": "/spring_pack/lift",
    "spring_1_height_2": "/spring_pack/springs/0/loads/1/height",
    "spring_1_load_1": "/spring_pack/springs/0/loads/0/load",
    "spring_1_solid_height": "/spring_pack/springs/0/solid_height",
    "spring_1_wire_diameter": "/spring_pack/springs/0/winding/wire_diameter",
    "spring_1_coil_outer_diameter": "/spring_pack/springs/0/winding/outer_diameter",
    "valve_recession": "/assembly/recession",
    "recession_datum": "/assembly/recession_datum",
    "stem_protrusion": "/assembly/stem_protrusion",
    "leak_start": "/leak/decay/start",
    "leak_end": "/leak/decay/end",
    "leak_seconds": "/leak/decay/seconds",
    "leak_vacuum": "/leak/decay/vacuum",
}
OF_HEAD = {
    "job_number": "/job/number",
    "measured_by": "/job/measured_by",
    "length_unit": "/units/length",
    "pressure_unit": "/units/pressure",
    "material": "/head/material",
    "cylinders": "/layout/cylinders",
    "cylinder_bore": "/layout/compression/bore/value",
    "cylinder_bore_uncertainty": "/layout/compression/bore/expanded_uncertainty",
    "instrument_3_id": "/instruments/2/id",
    "instrument_3_uncertainty": "/instruments/2/expanded_uncertainty",
    "instrument_3_resolution": "/instruments/2/resolution",
    "deck_height_7_x": "/deck/heights/points/6/x",
    "deck_height_7_y": "/deck/heights/points/6/y",
    "deck_height_7": "/deck/heights/points/6/z",
    "deck_roughness_2": "/deck/roughness/1/value",
    "crack_found": "/tests/crack/crack_found",
    "pressure_test_seconds": "/tests/pressure/seconds",
    "pressure_test_held": "/tests/pressure/held",
}


def example(head: str) -> Path:
    return EXAMPLES / f"{head}.csv"


def complaints(metadata: Path) -> list[str]:
    """What csvw has to say of a file and the metadata beside it. It says it by warnings, which end other tests."""
    with warnings.catch_warnings():
        warnings.simplefilter("always")
        described = CSVW(str(metadata), validate=True)
        return [] if described.is_valid else [str(warning.message) for warning in described.warnings]


def convert(file, *arguments, **options):
    return run("convert", file, *arguments, **options)


def rows_of(head: str) -> list[dict[str, str]]:
    with example(head).open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file, strict=True))


def text_of(rows: list[dict[str, str]]) -> bytes:
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, fieldnames=list(rows[0]))
    writer.writeheader()
    writer.writerows(rows)
    return out.getvalue().encode()


def refused(content: bytes, *arguments) -> list[str]:
    finished = convert("-", *arguments, input=content)
    assert (finished.returncode, finished.stdout) == (2, b""), finished
    return finished.stderr.decode().splitlines()


@pytest.mark.parametrize("head", HEADS)
def test_a_csv_file_is_the_same_head_as_its_json(shop, head):
    finished = convert(example(head), "--profile", profile_path(head))
    assert (finished.returncode, finished.stderr) == (0, b"")
    (line,) = finished.stdout.splitlines()
    request = json.loads(line)
    assert request["profile"] == json.loads((EXAMPLES / f"{HEADS[head]}.target-profile.json").read_text())
    posted = {"measurement_set": request["measurement_set"], "profile": demo_profile(head)}
    expected = shop.evaluate({"measurement_set": demo_set(head), "profile": demo_profile(head)})
    assert shop.evaluate(posted) == expected


@pytest.mark.parametrize("head", HEADS)
def test_files_are_what_their_metadata_say(head):
    """csvw: datatypes, formats, bounds and required cells of W3C CSV on the Web, and the names of columns."""
    metadata = EXAMPLES / f"{head}.csv-metadata.json"
    assert complaints(metadata) == []
    (table,) = CSVW(str(metadata)).tables
    names = [column.name for column in table.tableSchema.columns]
    assert names == list(rows_of(head)[0])
    everything = json.loads((OPENAPI / "csv-metadata.json").read_text())["tableSchema"]["columns"]
    known = {column["name"]: column for column in everything}
    own = json.loads((EXAMPLES / f"{head}.csv-metadata.json").read_text())["tableSchema"]["columns"]
    assert own == [known[name] for name in names]


def test_an_independent_reader_finds_the_values_of_the_json():
    (table,) = CSVW(str(EXAMPLES / f"{CONFORMING}.csv-metadata.json")).tables
    rows = list(table.iterdicts())
    measured = demo_set(CONFORMING)
    assert len(rows) == len(measured["ports"])
    for row, port in zip(rows, measured["ports"], strict=True):
        assert (row["serial"], row["stage"]) == (measured["head"]["serial"], measured["job"]["stage"])
        assert {name: row[name] for name in OF_PORT} == {name: at(port, place) for name, place in OF_PORT.items()}
    assert {name: rows[0][name] for name in OF_HEAD} == {
        name: at(measured, place) for name, place in OF_HEAD.items()
    }
    assert rows[0]["measured_at"].isoformat() == measured["job"]["measured_at"]
    assert str(rows[0]["instrument_1_calibration_due"].date()) == measured["instruments"][0]["calibration_due"]
    for cylinder, chamber in enumerate(measured["chambers"]):
        first = next(row for row in rows if row["cylinder"] == cylinder + 1)
        assert first["chamber_volume"] == chamber["volume"]
        assert first["injector_protrusion"] == measured["diesel"][cylinder]["injector"]


@pytest.mark.parametrize(
    ("column", "cell"),
    [
        ("stage", "finished"),
        ("service", "inlet"),
        ("seat_width_1", "1,5"),
        ("valve_coated", "TRUE"),
        ("measured_at", "2026-03-20"),
        ("index", ""),
    ],
)
def test_what_the_metadata_do_not_allow_is_refused_by_both(tmp_path, column, cell):
    rows = rows_of(CONFORMING)
    rows[0][column] = cell
    path = tmp_path / f"{CONFORMING}.csv"
    path.write_bytes(text_of(rows))
    beside = EXAMPLES / f"{CONFORMING}.csv-metadata.json"
    (tmp_path / beside.name).write_bytes(beside.read_bytes())
    assert len(complaints(tmp_path / beside.name)) == 1
    finished = convert(path, "--profile", profile_path(CONFORMING))
    assert finished.returncode == 2
    assert f"row 2, column {column}: " in finished.stderr.decode()


def test_the_columns_of_a_file_of_ones_own_are_described(tmp_path):
    rows = [{name: cell for name, cell in row.items() if not name.startswith("deck_")} for row in rows_of(CONFORMING)]
    rows = [dict(reversed(row.items())) for row in rows]
    (tmp_path / "mine.csv").write_bytes(text_of(rows))
    metadata = tmp_path / "mine.csv-metadata.json"
    finished = convert(
        tmp_path / "mine.csv", "--profile", profile_path(CONFORMING), "--metadata", metadata
    )
    assert finished.returncode == 0, finished
    assert complaints(metadata) == []
    assert [column.name for column in CSVW(str(metadata)).tables[0].tableSchema.columns] == list(rows[0])


def test_several_heads_become_several_lines_that_the_service_takes(shop, tmp_path):
    first, second = rows_of(CONFORMING), rows_of(CONFORMING)
    for row in second:
        row["serial"] = "ANOTHER-1"
    (tmp_path / "two.csv").write_bytes(text_of(first + second))
    out = tmp_path / "two.ndjson"
    finished = convert(tmp_path / "two.csv", "--profile", profile_path(CONFORMING), "--out", out)
    assert (finished.returncode, finished.stdout, finished.stderr) == (0, b"", b"")
    requests = [json.loads(line) for line in out.read_text().splitlines()]
    serials = [request["measurement_set"]["head"]["serial"] for request in requests]
    assert serials == [demo_set(CONFORMING)["head"]["serial"], "ANOTHER-1"]
    for request in requests:
        assert "disposition" in shop.evaluate({name: request[name] for name in ("measurement_set", "profile")})


def test_every_fault_is_told_with_row_and_column_and_nothing_is_written(tmp_path):
    rows = rows_of(CONFORMING)
    rows[1]["seat_width_1"] = "1,5"
    rows[2]["seat_angle"] = "90"
    rows[4]["seat_instrument"] = "nobody's"
    out = tmp_path / "out.ndjson"
    told = refused(text_of(rows), "--profile", profile_path(CONFORMING), "--out", out)
    for where in ("row 3, column seat_width_1: ", "row 4, column seat_angle: ", "row 6, column seat_instrument: "):
        assert sum(where in line for line in told) == 1, told
    assert len(told) == 3
    assert not out.exists()


def test_faults_of_the_profile_are_told_with_those_of_the_file(tmp_path):
    rows = rows_of(CONFORMING)
    rows[0]["valve_tip"] = "blunt"
    profile = tmp_path / "profile.json"
    profile.write_text(json.dumps({**demo_profile(CONFORMING), "limits": "none"}))
    told = "\n".join(refused(text_of(rows), "--profile", profile))
    assert "profile /limits" in told and "row 2, column valve_tip: " in told


def test_rows_may_name_a_stored_profile_instead():
    assert "column profile_id: has to name a profile" in refused(text_of(rows_of(CONFORMING)))[0]
    rows = [{**row, "profile_id": "mine", "profile_revision": "3"} for row in rows_of(CONFORMING)]
    finished = convert("-", input=text_of(rows))
    request = json.loads(finished.stdout)
    assert request["profile_ref"] == {"id": "mine", "revision": "3"} and "profile" not in request


@pytest.mark.parametrize(
    ("content", "said"),
    [
        (b"", "the file is empty"),
        (b"serial;stage\r\n", "separated by commas"),
        (b"\xff\xfes\x00", "row 1, column 1: is not UTF-8"),
        (b'serial,stage\r\n"A', "there is no column cylinder"),
        (b"serial,stage\r\nA,final,x\r\n", "row 2: has 3 cells, but the header has 2 columns"),
    ],
    ids=["empty", "semicolons", "UTF-16", "cut off", "a cell too many"],
)
def test_what_is_no_such_file_is_refused(content, said):
    assert any(said in line for line in refused(content))


def test_a_file_that_is_not_there_is_named():
    finished = convert("nowhere.csv")
    assert finished.returncode == 2
    assert b"nowhere.csv" in finished.stderr
