"""Who tries keys has to wait, and nobody else does."""

import random

import pytest

from harness.access import KEYS, check_unknown, first_key, fresh_address
from harness.counts import count, reached
from harness.problems import check_problem
from harness.program import until
from harness.shop import Shop

GUESSES = count(300, 10_000)


def guesses(seed: int):
    """Keys that look right."""
    dice = random.Random(seed)
    while True:
        yield f"hp_{dice.randbytes(16).hex()}_{dice.randbytes(32).hex()}"


def warnings(program) -> int:
    return sum(entry["level"] == "WARN" for entry in program.log_entries())


@pytest.fixture
def program(start):
    return start(**KEYS)


def guess(address: str, keys, times: int, comes_from: str) -> list:
    with Shop(address, comes_from=comes_from) as guesser:
        return [guesser.get("/v1/jobs", Authorization=f"Bearer {next(keys)}") for _ in range(times)]


def test_many_guesses_are_put_off_and_not_all_logged(program):
    answers = guess(program.address, guesses(1), GUESSES, fresh_address())
    refused = [answer for answer in answers if answer.status_code == 401]
    put_off = [answer for answer in answers if answer.status_code == 429]
    assert len(refused) + len(put_off) == GUESSES
    assert all(answer.status_code == 401 for answer in answers[:20])
    passed = max(answer.elapsed.total_seconds() for answer in answers) * GUESSES
    assert 20 <= len(refused) <= 21 + passed / 3
    assert len({check_unknown(answer) for answer in refused}) == 1
    bodies = set()
    for answer in put_off:
        check_problem(answer, 429, "quota-exceeded")
        assert 1 <= int(answer.headers["retry-after"]) <= 60
        bodies.add(answer.content)
    assert len(bodies) == 1
    until(lambda: warnings(program) == len(refused), "a line for each that was refused", 5)
    assert len(program.log_entries()) < len(refused) + 50
    reached("guesses of keys", GUESSES)


def test_a_wrong_secret_of_a_known_key_counts_as_well(program):
    known = first_key(program).rpartition("_")[0]
    keys = (f"{known}_{key.rpartition('_')[2]}" for key in guesses(2))
    answers = guess(program.address, keys, 60, fresh_address())
    assert [answer.status_code for answer in answers].count(429) >= 30


@pytest.mark.parametrize("shown", ["nonsense", "Basic aHA6aHA=", ""])
def test_nonsense_counts_as_well(program, shown):
    with Shop(program.address, comes_from=fresh_address()) as guesser:
        answers = [guesser.get("/v1/jobs", Authorization=shown).status_code for _ in range(60)]
    assert answers.count(429) >= 30


def test_a_good_key_from_the_same_address_goes_on_working(program):
    here, elsewhere = fresh_address(), fresh_address()
    assert guess(program.address, guesses(3), 60, here)[-1].status_code == 429
    with Shop(program.address, first_key(program), here) as shop:
        assert shop.get("/v1/profiles").status_code == 200
    with Shop(program.address, comes_from=here) as stranger:
        check_unknown(stranger.get("/v1/profiles"))
        assert stranger.get("/livez").status_code == 200
    check_unknown(guess(program.address, guesses(4), 1, elsewhere)[0])


def test_an_address_that_a_header_claims_is_not_believed(program):
    """Otherwise whoever guesses would come from another one each time."""
    keys = guesses(5)
    with Shop(program.address, comes_from=fresh_address()) as guesser:
        for number in range(60):
            claimed = {"X_Forwarded_For": f"192.0.2.{number}", "Forwarded": f"for=192.0.2.{number}"}
            answer = guesser.get("/v1/jobs", Authorization=f"Bearer {next(keys)}", **claimed)
    assert answer.status_code == 429
