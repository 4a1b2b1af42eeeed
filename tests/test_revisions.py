"""Corrections of one head in one stage are numbered; a job may follow an earlier one of its head."""

from concurrent.futures import ThreadPoolExecutor

from harness.counts import count, reached
from harness.documents import put, request
from harness.problems import check_problem, pointers
from harness.shop import Shop


def staged(serial: str, stage: str) -> dict:
    return put(request(serial=serial), "/measurement_set/job/stage", stage)


def test_the_next_job_of_a_head_in_a_stage_is_its_next_revision(shop):
    revisions = [shop.submit(staged("REV-1", "final"))["revision"] for _ in range(3)]
    assert revisions == [1, 2, 3]
    assert shop.submit(staged("REV-1", "as-received"))["revision"] == 1
    assert shop.submit(staged("REV-2", "final"))["revision"] == 1


def test_a_job_follows_an_earlier_one_of_its_own_head_only(shop):
    first = shop.submit(staged("REV-3", "as-received"))
    after = shop.submit(staged("REV-3", "after-rework") | {"follows": first["id"]})
    assert after["follows"] == first["id"]
    nobody = "0190a5c8-0000-7000-8000-000000000000"
    for document in (
        staged("REV-4", "final") | {"follows": first["id"]},
        staged("REV-3", "final") | {"follows": nobody},
    ):
        problem = check_problem(shop.post("/v1/jobs", document), 422, "invalid-document")
        assert pointers(problem) == ["/follows"]
    response = shop.post("/v1/jobs", staged("REV-3", "final") | {"follows": "not an id"})
    assert pointers(check_problem(response, 422, "invalid-document")) == ["/follows"]


def test_jobs_posted_by_many_at_once_are_all_made_and_numbered_without_gaps(service, shop):
    threads, each = 8, count(5, 60)
    kinds = [("PAR-1", "final"), ("PAR-1", "as-received"), ("PAR-2", "final")]

    def post(thread: int) -> list[dict]:
        with Shop(service.address) as own:
            return [own.submit(staged(*kinds[(thread + number) % len(kinds)])) for number in range(each)]

    with ThreadPoolExecutor(threads) as pool:
        jobs = [job for made in pool.map(post, range(threads)) for job in made]
    assert len({job["id"] for job in jobs}) == len(jobs) == threads * each
    for serial, stage in kinds:
        revisions = [job["revision"] for job in jobs if (job["head_serial"], job["stage"]) == (serial, stage)]
        assert sorted(revisions) == list(range(1, len(revisions) + 1))
    for job in jobs:
        shop.done(job)
    reached("jobs posted by 8 clients at once, all made", len(jobs))
