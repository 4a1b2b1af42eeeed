"""What is posted twice from the command line is made once."""

import json

import pytest

from harness.between import Between
from harness.documents import request
from harness.program import run


@pytest.fixture
def post(tmp_path):
    """Writes a request for a head of this serial into a file."""

    def written(serial: str):
        path = tmp_path / f"{serial}.json"
        path.write_text(json.dumps(request(serial=serial)))
        return path

    return written


def test_the_same_key_with_the_same_request_gives_the_same_job(service, post):
    def submit(serial: str, *arguments: str):
        return run("submit", post(serial), *arguments, settings={"service": service.address})

    first = submit("CMD-SAME", "--idempotency-key", "order 4711")
    assert first.returncode == 0
    assert submit("CMD-SAME", "--idempotency-key", "order 4711").stdout == first.stdout
    assert submit("CMD-SAME").stdout != first.stdout
    other = submit("CMD-OTHER", "--idempotency-key", "order 4711")
    assert (other.returncode, other.stdout) == (1, b"")
    assert other.stderr.decode().startswith(f"{post('CMD-OTHER')}: ")


def test_a_lost_answer_makes_no_second_job(service, shop, post):
    with Between(service.address, "lose", "busy", "lose") as door:
        finished = run("submit", post("CMD-LOST"), settings={"service": door.address})
    assert finished.returncode == 0
    assert len(door.seen) == 4
    found = shop.get("/v1/jobs?head=CMD-LOST").json()
    assert [job["id"] for job in found] == [finished.stdout.decode().split()[0]]
