"""What a service makes for itself at its first start: a key, and a secret to lock others with."""

import stat

import pytest

from harness.access import KEYS, first_key, make_key
from harness.problems import check_problem
from harness.program import run
from harness.shop import Shop


def mode(path) -> int:
    return stat.S_IMODE(path.stat().st_mode)


def rest_of_output(program) -> str:
    """What it said after its address, once it has stopped."""
    program.stop()
    return program.process.stdout.read().decode()


def contents(program) -> bytes:
    """All files of a store but those that are there to hold secrets, and the log."""
    secret = ("first-key", "signing-secret")
    files = [path for path in program.store.rglob("*") if path.is_file() and path.name not in secret]
    assert any(path.name.startswith("headproof.sqlite3") for path in files)
    return b"".join(path.read_bytes() for path in [*files, program.log])


def test_the_first_key_is_in_a_file_for_its_owner_alone(start):
    program = start(**KEYS)
    path = program.store / "first-key"
    text = path.read_text()
    assert text.startswith("hp_") and text.endswith("\n") and text.count("\n") == 1
    assert mode(path) == mode(program.store / "signing-secret") == 0o600
    said = rest_of_output(program)
    assert said.count("\n") == 1 and str(path) in said and "hp_" not in said


def test_a_second_start_makes_neither_key_nor_secret(start):
    files = ("first-key", "signing-secret")
    first = start(**KEYS)
    before = [(first.store / name).read_bytes() for name in files]
    first.stop()
    second = start(**KEYS)
    assert [(second.store / name).read_bytes() for name in files] == before
    with Shop(second.address, first_key(second)) as shop:
        assert len(shop.get("/v1/keys").json()) == 1
    assert rest_of_output(second) == ""


def test_a_first_key_that_was_put_away_is_not_made_again(start):
    first = start(**KEYS)
    first.stop()
    (first.store / "first-key").unlink()
    second = start(**KEYS)
    assert rest_of_output(second) == "" and not (second.store / "first-key").exists()


def test_without_access_by_keys_none_is_made(start):
    program = start()
    assert rest_of_output(program) == "" and not (program.store / "first-key").exists()


def test_nothing_unfinished_is_left_beside(start):
    program = start(**KEYS)
    assert not [path.name for path in program.store.iterdir() if ".part" in path.name or "first-key." in path.name]


def test_the_first_key_does_all_but_sign(start):
    program = start(**KEYS)
    with Shop(program.address, first_key(program)) as shop:
        assert sorted(shop.get("/v1/keys").json()[0]["scopes"]) == ["admin", "read", "submit"]
        assert shop.get("/v1/profiles").status_code == 200
        assert shop.get("/v1/audit").status_code == 200
        assert shop.post("/v1/evaluate", {}).status_code == 422
        path = "/v1/jobs/0190a5c8-0000-7000-8000-000000000000/sign-offs"
        check_problem(shop.post(path, {"meaning": "inspected"}), 403, "forbidden")


@pytest.mark.parametrize("level", ["info", "trace"])
def test_the_secret_of_a_key_is_nowhere_but_in_the_answer_that_made_it(start, level):
    program = start(**KEYS, log_level=level)
    first = first_key(program)
    with Shop(program.address, first) as shop:
        made = make_key(shop, "read")["secret"]
        with Shop(program.address, made) as reader:
            answers = [reader.get(path).content for path in ("/v1/profiles", "/v1/keys")]
        answers += [shop.get(path).content for path in ("/v1/keys", "/v1/audit", "/openapi.json")]
        with Shop(program.address, made[:-1]) as wrong:
            answers.append(wrong.get("/v1/profiles").content)
        while_running = contents(program)
    program.stop()
    listed = run("key", "list", settings={"store_dir": program.store}).stdout
    assert listed.count(b"\n") == 2
    everything = b"".join([*answers, listed, while_running, contents(program)])
    for key in (first, made):
        secret = key.rpartition("_")[2]
        assert len(secret) == 64
        assert secret.encode() not in everything and secret[:-1].encode() not in everything
        assert bytes.fromhex(secret) not in everything
