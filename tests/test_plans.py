"""Rework plans: asked for, kept with a job, proved by judging what they predict, and printed."""

import hashlib
import json
import sqlite3

import pytest
import rfc8785

from harness.database import change, query
from harness.documents import (
    CONFORMING,
    HEADS,
    all_rows,
    at,
    demo_profile,
    port_name,
    profile_path,
    put,
    request,
    set_path,
    take,
)
from harness.pdf import Pdf
from harness.places import EXAMPLES, OPENAPI
from harness.problems import check_problem, pointers
from harness.program import run
from harness.shop import Shop

WORKSHOP_PATH = EXAMPLES / "workshop-demo-cooperative.json"
# A demo head with ports that are out, some of them beyond a plan.
HEAD = "irrigation-pump-16v"
PREDICTED = "headproof/predicted-set/1"
UNKNOWN = "0190a5c8-0000-7000-8000-000000000000"


def workshop() -> dict:
    return json.loads(WORKSHOP_PATH.read_text())


def to_be_planned(head: str = HEAD, **more: object) -> dict:
    return request(head) | {"workshop": workshop()} | more


def plan_of(shop: Shop, document: dict) -> dict:
    response = shop.post("/v1/plan", document)
    assert response.status_code == 200, response.text
    return response.json()


@pytest.fixture(scope="module")
def plans(shop):
    return {head: plan_of(shop, to_be_planned(head)) for head in HEADS}


def with_work(plan: dict) -> list[dict]:
    return [port for port in plan["ports"] if port["status"] == "planned"]


def test_a_plan_speaks_of_every_port_and_keeps_nothing(service, shop, plans):
    stored = query(service.store, "SELECT count(*) FROM job")
    for head, plan in plans.items():
        document = request(head)
        assert plan["format"] == "headproof/rework-plan/1"
        assert plan["head_serial"] == at(document, "/measurement_set/head/serial")
        assert plan["stage"] == at(document, "/measurement_set/job/stage")
        assert plan["profile"]["id"] == at(document, "/profile/id")
        assert "measurement_set_digest" not in plan and "digest" not in plan["profile"]
        named = [port_name(port) for port in plan["ports"]]
        assert named == [port_name(port) for port in shop.evaluate(document)["ports"]]
        assert [step["number"] for step in plan["steps"]] == list(range(1, len(plan["steps"]) + 1))
    assert query(service.store, "SELECT count(*) FROM job") == stored


def test_a_head_that_conforms_needs_nothing(plans):
    plan = plans[CONFORMING]
    assert plan["outcome"] == "nothing-to-do" and plan["steps"] == [] and "predicted" not in plan
    assert plan["totals"]["sink"] == 0 and plan["totals"]["ports"] == 0


def test_every_port_that_is_out_is_spoken_of(shop, plans):
    """In the demo head three ports are out: two by their seats, one by its guide, which comes first."""
    evaluation, plan = shop.evaluate(request(HEAD)), plans[HEAD]
    out = {name for name, row in all_rows(evaluation) if row["verdict"] == "does-not-conform"}
    status = {port_name(port): port["status"] for port in plan["ports"]}
    assert len(out) == 3 and all(status[name] != "nothing-to-do" for name in out)
    worn_guide = "cylinder 4 exhaust 2"
    assert status[worn_guide] == "guide-first"
    of_the_guide = [step for step in plan["steps"] if step["subject"] == worn_guide]
    assert any(step["operation"] == "renew-guide" for step in of_the_guide)
    assert not any("cut" in step for step in of_the_guide), "no feed from readings on the old guide"


def test_every_cut_of_a_port_is_a_step_in_the_order_of_its_cuts(plans):
    plan = plans[HEAD]
    assert with_work(plan)
    for port in plan["ports"]:
        steps = [step["cut"] for step in plan["steps"] if step["subject"] == port_name(port) and "cut" in step]
        planned = port["status"] == "planned" and "seat" in port
        assert steps == (port["seat"]["cuts"] if planned else []), port_name(port)


def too_deep() -> dict:
    """The first valve sits 1.2 mm deep where 1.0 mm is the most, and cuts only let it sink: no insert, no plan."""
    document = take(to_be_planned(), "/workshop/inserts")
    return put(document, "/measurement_set/ports/0/assembly/recession", 1.2)


def test_a_port_without_a_plan_says_what_fights_and_what_frees_it(shop, plans):
    plan = plan_of(shop, too_deep())
    assert plan["outcome"] == "no-plan"
    for port in plan["ports"]:
        assert ("conflict" in port) == (port["status"] == "no-plan"), port_name(port)
    conflict = plan["ports"][0]["conflict"]
    assert ("upper-limit", "recession") in {
        (bound["bound"], bound.get("characteristic")) for bound in conflict["between"]
    }
    ways = {way["way"]: way for way in conflict["freed_by"]}
    assert ways["concession"]["characteristic"] == "recession" and ways["concession"]["amount"] >= 0.2
    assert "new-insert" in ways
    # What its neighbours get is what they get without it.
    with_it = {port_name(port): port for port in plans[HEAD]["ports"][1:]}
    assert {port_name(port): port["status"] for port in plan["ports"][1:]} == {
        name: port["status"] for name, port in with_it.items()
    }


def test_the_same_question_gets_the_same_plan(shop):
    answers = {shop.post("/v1/plan", to_be_planned()).content for _ in range(2)}
    assert len(answers) == 1


def test_the_workshop_may_be_left_out_and_the_profile_named(shop, plans):
    bare = take(to_be_planned(), "/workshop")
    assumed = plan_of(shop, bare)
    assert assumed["assumptions"] != plans[HEAD]["assumptions"], "that no cutters were named is said"
    profile = demo_profile(HEAD)
    named = {"id": profile["id"], "revision": profile["revision"]}
    assert plan_of(shop, take(bare, "/profile") | {"profile_ref": named}) == assumed


FAULTY = {
    "/measurement_set/ports/0/valve/head_diameter": -36,
    "/profile/limits/0/upper": 44.0,
    "/workshop/cutters/0/angle": 90,
    "/workshop/shims/0/thickness": 0,
}


@pytest.mark.parametrize("path", ["/v1/plan", "/v1/jobs"])
def test_faults_of_set_profile_and_workshop_are_told_at_once(shop, path):
    document = to_be_planned()
    for pointer, value in FAULTY.items():
        document = put(document, pointer, value)
    problem = check_problem(shop.post(path, document), 422, "invalid-document")
    told = pointers(problem)
    for pointer in FAULTY:
        assert any(one.startswith(pointer.removesuffix("/upper")) for one in told), (pointer, told)


@pytest.mark.parametrize("path", ["/v1/plan", "/v1/jobs"])
def test_faults_of_form_do_not_hide_those_of_content(shop, path):
    document = put(to_be_planned(), "/workshop/colour", "red")
    document = put(document, "/workshop/deck/most", "much")
    document = put(document, "/workshop/shims/0/thickness", 99)
    problem = check_problem(shop.post(path, document), 422, "invalid-document")
    expected = ["/workshop/colour", "/workshop/deck/most", "/workshop/shims/0/thickness"]
    assert pointers(problem) == expected


def test_a_workshop_in_other_units_gets_the_same_plan(shop, plans):
    """25.4 mm are 1 in exactly, so thicknesses that are whole in inches times 25.4 say the same."""
    inches = {"units": workshop()["units"] | {"length": "in"}, "cut_tolerance": 0.001, "light_turns": 0.0005}
    metric = {"units": workshop()["units"], "cut_tolerance": 0.0254, "light_turns": 0.0127}
    answers = [plan_of(shop, to_be_planned(workshop=means)) for means in (inches, metric)]
    assert [answer.pop("workshop") for answer in answers] == [inches, metric]
    assert answers[0] == answers[1] != plans[HEAD]


@pytest.fixture(scope="module")
def planned(shop):
    """A job that was posted with a workshop."""
    return shop.done(shop.submit(to_be_planned()))


def test_a_job_with_a_workshop_keeps_its_plan(shop, planned, plans):
    """Canonical form: RFC 8785, by the Python package rfc8785. Digest: SHA-256 of the body's bytes."""
    assert planned["links"]["plan"] == f"/v1/jobs/{planned['id']}/plan"
    response = shop.get(planned["links"]["plan"])
    assert (response.status_code, response.headers["content-type"]) == (200, "application/json")
    assert response.headers["etag"] == f'"{hashlib.sha256(response.content).hexdigest()}"'
    plan = response.json()
    assert rfc8785.dumps(plan) == response.content
    for part, stated in [
        ("measurement_set", plan.pop("measurement_set_digest")),
        ("profile", plan["profile"].pop("digest")),
    ]:
        assert stated == hashlib.sha256(shop.fetch(planned["links"][part])).hexdigest()
    assert plan == plans[HEAD]


def test_a_plan_that_the_client_has_is_not_sent_again(shop, planned):
    tag = shop.get(planned["links"]["plan"]).headers["etag"]
    again = shop.get(planned["links"]["plan"], If_None_Match=tag)
    assert (again.status_code, again.content, again.headers["etag"]) == (304, b"", tag)
    assert shop.get(planned["links"]["plan"], If_None_Match='"other"').status_code == 200


def test_the_evaluation_of_a_job_is_the_same_with_a_plan(shop, planned):
    plain = shop.submit(request(HEAD))
    assert plain["evaluation_digest"] == planned["evaluation_digest"]
    assert "plan" not in plain["links"]


def test_a_job_without_a_workshop_has_no_plan(shop):
    job = shop.submit(request(HEAD))
    problem = check_problem(shop.get(f"/v1/jobs/{job['id']}/plan"), 404, "not-found")
    assert "workshop" in problem["detail"]
    for no_job in (UNKNOWN, "abc"):
        assert "detail" not in check_problem(shop.get(f"/v1/jobs/{no_job}/plan"), 404, "not-found")


def test_each_line_of_a_batch_may_ask_for_a_plan(shop):
    documents = [to_be_planned(), request(CONFORMING), to_be_planned("cold-store-8v")]
    faulty = put(to_be_planned(), "/workshop/shims/0/thickness", -1)
    lines = [json.dumps(document).encode() for document in [*documents, faulty]]
    batch = shop.submit_batch(lines)
    entries, jobs = shop.lines(batch), shop.jobs(batch)
    assert [entry["outcome"] for entry in entries] == ["accepted"] * 3 + ["refused"]
    assert pointers(entries[3]["problem"]) == ["/workshop/shims/0/thickness"]
    assert ["plan" in job["links"] for job in jobs] == [True, False, True]
    for job, document in zip(jobs, documents, strict=True):
        if "plan" in job["links"]:
            plan = json.loads(shop.fetch(job["links"]["plan"]))
            assert plan["head_serial"] == at(document, "/measurement_set/head/serial")
    shop.done(batch)


def test_a_stored_plan_does_not_change(service, planned):
    with pytest.raises(sqlite3.IntegrityError, match="immutable"):
        change(service.store, ("UPDATE plan SET digest = 'x' WHERE job_id = ?", (planned["id"],)))


def predicted_request(head: str, plan: dict) -> dict:
    """What is predicted, as if it had been measured, without a demand for what cannot be predicted."""
    measured = plan["predicted"]["measurement_set"] | {"format": "headproof/measurement-set/1"}
    profile = demo_profile(head)
    for entry in profile["limits"]:
        if entry["characteristic"] in plan["predicted"]["unpredictable"]:
            entry["required"] = False
    return {"measurement_set": measured, "profile": profile}


@pytest.mark.parametrize("path", ["/v1/evaluate", "/v1/plan", "/v1/jobs"])
def test_what_is_predicted_is_never_taken_for_measured(service, shop, plans, path):
    stored = query(service.store, "SELECT count(*) FROM job")
    document = put(predicted_request(HEAD, plans[HEAD]), "/measurement_set/format", PREDICTED)
    problem = check_problem(shop.post(path, document), 422, "invalid-document")
    assert pointers(problem) == ["/measurement_set/format"]
    assert query(service.store, "SELECT count(*) FROM job") == stored


def verdicts(evaluation: dict) -> dict[tuple[str, str], list[str]]:
    found: dict[tuple[str, str], list[str]] = {}
    for name, row in all_rows(evaluation):
        found.setdefault((name, row["characteristic"]), []).append(row["verdict"])
    return found


def check_proof(shop: Shop, head: str, plan: dict) -> int:
    """Judges what the plan predicts; returns how many verdicts on planned ports it took."""
    assert plan["predicted"]["measurement_set"]["format"] == PREDICTED
    evaluation = shop.evaluate(predicted_request(head, plan))
    assert verdicts(evaluation) == verdicts(plan["predicted"]["evaluation"])
    judged = 0
    for port in with_work(plan):
        rows = next(of["rows"] for of in evaluation["ports"] if port_name(of) == port_name(port))
        for row in rows:
            # What only measuring can find has no row, or one that says so; what has no limit is not judged.
            if row["characteristic"] in plan["predicted"]["unpredictable"]:
                assert row["verdict"] == "not-measured", (port_name(port), row)
            elif row["verdict"] != "no-limit":
                assert row["verdict"] == "conforms", (port_name(port), row)
                judged += 1
    return judged


def runs_out(document: dict, port: int) -> dict:
    """A seat whose dial readings go three times as far."""
    pointer = f"/measurement_set/ports/{port}/seat/runout/readings"
    return put(document, pointer, [round(3 * reading, 4) for reading in at(document, pointer)])


def wide_seat(document: dict, port: int) -> dict:
    """A seat that is 0.4 mm wider towards its port, and so is its band: 0.4 mm · 2 cos 45° less inside."""
    seat = f"/measurement_set/ports/{port}/seat"
    document = put(document, f"{seat}/widths", [width + 0.4 for width in at(document, f"{seat}/widths")])
    inside = round(at(document, f"{seat}/inner_diameter") - 0.566, 3)
    document = put(document, f"{seat}/inner_diameter", inside)
    marks = f"/measurement_set/ports/{port}/contact/marks"
    wider = [mark | {"width": mark["width"] + 0.4} for mark in at(document, marks)]
    return put(document, marks, wider)


# Ports of the demo head that conform: cylinder 1 intake 1 and cylinder 2 intake 1.
DAMAGED = {
    "as it is": lambda document: document,
    "a seat runs out": lambda document: runs_out(document, 0),
    "a seat is wide": lambda document: wide_seat(document, 4),
    "both": lambda document: runs_out(wide_seat(document, 4), 0),
}


@pytest.mark.parametrize("damage", DAMAGED)
def test_every_planned_port_would_conform(shop, damage):
    document = DAMAGED[damage](to_be_planned())
    document["measurement_set"] = json.loads(json.dumps(document["measurement_set"]), parse_float=tidy)
    plan = plan_of(shop, document)
    planned = with_work(plan)
    assert len(planned) >= 1 + {"as it is": 0, "both": 2}.get(damage, 1)
    assert check_proof(shop, HEAD, plan) >= 20 * len(planned)


def tidy(number: str) -> float:
    """What a gauge would have shown: a sum of two doubles can have more digits than a document may."""
    return round(float(number), 6)


def test_what_a_plan_aims_at_is_what_it_predicts(plans):
    plan, compared = plans[HEAD], 0
    for port in with_work(plan):
        effects = {effect["characteristic"]: effect for effect in port["effects"]}
        predicted = plan["predicted"]["evaluation"]["ports"]
        rows = next(of["rows"] for of in predicted if port_name(of) == port_name(port))
        for row in rows:
            effect = effects.get(row["characteristic"])
            if effect and "measured" in row:
                assert row["unit"] == effect["unit"]
                assert row["measured"] == pytest.approx(effect["after"], abs=1e-6), (port_name(port), row)
                compared += 1
    assert compared >= 5


def plan_on_the_spot(*more: object, head: str = HEAD, **options):
    return run("plan", set_path(head), "--profile", profile_path(head), *more, **options)


@pytest.mark.parametrize("head", HEADS)
def test_planning_on_the_spot_says_the_same_as_the_service(plans, head):
    finished = plan_on_the_spot("--workshop", WORKSHOP_PATH, "--json", head=head)
    assert json.loads(finished.stdout) == plans[head]
    whole = plans[head]["outcome"] in ("nothing-to-do", "planned")
    assert (finished.returncode, finished.stderr) == (0 if whole else 1, b"")


def test_planning_on_the_spot_prints_every_step_in_words(plans):
    finished = plan_on_the_spot("--workshop", WORKSHOP_PATH)
    said, plan = finished.stdout.decode(), plans[HEAD]
    assert said.startswith(f"{plan['head_serial']}: {plan['outcome'].upper()}\n")
    assert plan["headline"] in said
    for step in plan["steps"]:
        assert f"{step['number']}. {step['subject']}: {step['text']}" in said
        assert step["check"] in said and all(caution in said for caution in step["cautions"])
    assert plan["predicted"]["evaluation"]["headline"] in said
    # Without a workshop common practice stands in.
    assert plan_on_the_spot().returncode == finished.returncode


def test_what_has_no_plan_is_printed_with_what_frees_it(shop, tmp_path):
    document, options = too_deep(), []
    for name in ("measurement_set", "profile", "workshop"):
        path = tmp_path / f"{name}.json"
        path.write_text(json.dumps(document[name]))
        options += [path] if name == "measurement_set" else [f"--{name}", path]
    finished = run("plan", *options)
    said, conflict = finished.stdout.decode(), plan_of(shop, document)["ports"][0]["conflict"]
    assert finished.returncode == 1
    assert "No plan for cylinder 1 intake 1:" in said
    assert all(bound["text"] in said for bound in conflict["between"])
    assert all(f"Freed by: {way['text']}" in said for way in conflict["freed_by"])


def test_faults_of_all_files_are_told_with_exit_code_2(tmp_path):
    paths = []
    for name, pointer in [
        ("measurement_set", "/measurement_set/ports/0/valve/head_diameter"),
        ("profile", "/profile/limits/0/upper"),
        ("workshop", "/workshop/shims/0/thickness"),
    ]:
        path = tmp_path / f"{name}.json"
        path.write_text(json.dumps(put(to_be_planned(), pointer, -1)[name]))
        paths.append(path)
    finished = run("plan", paths[0], "--profile", paths[1], "--workshop", paths[2])
    said = finished.stderr.decode()
    assert (finished.returncode, finished.stdout) == (2, b"")
    for line in ("measurement set /ports/0/valve/head_diameter", "profile /limits/0", "workshop /shims/0/thick"):
        assert line in said
    missing = plan_on_the_spot("--workshop", tmp_path / "none.json")
    assert missing.returncode == 2 and str(tmp_path / "none.json") in missing.stderr.decode()


def test_the_sheet_shows_the_plan_where_there_is_one(shop, planned, tmp_path, pdf):
    kept, plain = pdf(shop.fetch(planned["links"]["sheet"])), pdf(shop.sheet(request(HEAD)))
    kept.check()
    assert "Rework plan" in kept.text() and "Rework plan" not in plain.text()
    assert kept.pages() > plain.pages()
    drawn = tmp_path / "drawn.pdf"
    finished = plan_on_the_spot("--workshop", WORKSHOP_PATH, "--sheet", drawn, "--json")
    plan = json.loads(finished.stdout)
    assert plan == json.loads(shop.fetch(planned["links"]["plan"]))
    # The same documents give the same bytes, wherever the sheet is drawn.
    assert Pdf(drawn.read_bytes(), drawn).path.read_bytes() == kept.path.read_bytes()


def test_the_published_examples_are_what_the_service_answers(shop, plans):
    for head in HEADS:
        posted = json.loads((OPENAPI / "examples" / f"{head}.plan-request.json").read_text())
        assert plan_of(shop, posted) == plans[head]
        assert json.loads((OPENAPI / "examples" / f"{head}.rework-plan.json").read_text()) == plans[head]
