"""What becomes of an audit trail that somebody has been at: what is found, and by what."""

import random

import pytest

from harness.audit import BEGINNING, HEAD, Life, digest, rewritten
from harness.counts import count
from harness.database import change
from harness.program import run
from harness.shop import Shop
from harness.signing import posted


@pytest.fixture(scope="module")
def life(service, shop):
    return Life(service, shop)


@pytest.fixture(scope="module")
def sheet_path(life, tmp_path_factory):
    path = tmp_path_factory.mktemp("sheet") / "signed.pdf"
    path.write_bytes(life.sheet)
    return path


def verify(*arguments: object, settings=None) -> tuple[int, str]:
    finished = run("audit", "verify", "--shop", "open", *arguments, settings=settings)
    assert finished.returncode in (0, 1), finished.stderr
    return finished.returncode, (finished.stdout + finished.stderr).decode()


@pytest.fixture
def written(tmp_path):
    def write(lines: list[bytes]):
        path = tmp_path / "trail.ndjson"
        path.write_bytes(b"".join(line + b"\n" for line in lines))
        return path

    return write


def test_a_trail_as_it_was_agrees_with_whatever_was_noted(life, shop, written, sheet_path, tmp_path):
    size, last = len(life.lines), digest(life.lines[-1])
    code, said = verify(written(life.lines))
    assert code == 0 and f"checkpoint {size}:{last}" in said and "the whole could have been written anew" in said
    noted = f"{len(life.checkpoint)}:{digest(life.checkpoint[-1])}"
    authority = tmp_path / "ca.pem"
    authority.write_bytes(shop.fetch("/v1/certificates"))
    for arguments in (
        [written(life.lines)],
        [written(life.lines), "--checkpoint", noted, "--checkpoint", f"0:{BEGINNING}"],
        [written(life.lines), "--sheet", sheet_path, "--authority", authority],
        [written(life.lines), "--checkpoint", f"{size}:{last.upper()}"],
    ):
        assert verify(*arguments)[0] == 0, arguments
    settings = {"store_dir": life.program.store}
    for arguments in ([], ["--sheet", sheet_path], ["--checkpoint", noted]):
        code, said = verify(*arguments, settings=settings)
        assert code == 0 and "hang together" in said, arguments


def test_a_byte_changed_anywhere_is_found(life, written):
    chance = random.Random(20261126)
    text = b"".join(line + b"\n" for line in life.lines)
    end = f"{len(life.lines)}:{digest(life.lines[-1])}"
    path = written(life.lines)
    for _ in range(count(40, 1500)):
        place = chance.randrange(len(text) - 1)
        new = chance.choice([byte for byte in range(256) if byte != text[place]])
        path.write_bytes(text[:place] + bytes([new]) + text[place + 1 :])
        assert verify(path, "--checkpoint", end)[0] == 1, place


CHANGES = {
    "removed": lambda lines: lines[:4] + lines[5:],
    "swapped": lambda lines: lines[:4] + [lines[5], lines[4]] + lines[6:],
    "twice": lambda lines: lines[:4] + lines[3:],
    "the first removed": lambda lines: lines[1:],
    "empty line": lambda lines: [*lines[:4], b"", *lines[4:]],
    "spaced": lambda lines: [*lines[:4], lines[4].replace(b'":"', b'": "'), *lines[5:]],
    "of another shop": lambda lines: [lines[0].replace(b'"shop":"open"', b'"shop":"other"'), *lines[1:]],
}


@pytest.mark.parametrize("kind", CHANGES)
def test_lines_removed_exchanged_or_put_in_are_found(life, written, kind):
    code, said = verify(written(CHANGES[kind](life.lines)))
    assert code == 1 and "the audit trail is not as it was: " in said


def test_one_written_anew_is_found_by_what_was_noted_elsewhere(life, written, sheet_path):
    """Whoever has the store can write a trail that hangs together: only what others hold tells."""
    entries = [dict(entry) for entry in life.entries]
    entries[1] = entries[1] | {"note": "Somebody Else, Prüferin"}
    path = written(rewritten(entries))
    assert verify(path)[0] == 0, "it hangs together"
    assert verify(path, "--sheet", sheet_path)[0] == 1
    assert verify(path, "--checkpoint", f"{len(life.checkpoint)}:{digest(life.checkpoint[-1])}")[0] == 1
    assert verify(path, "--checkpoint", f"1:{digest(life.lines[0])}")[0] == 0, "the first entry is as it was"


def test_one_cut_off_before_the_checkpoint_is_found_and_after_it_is_not(life, written, sheet_path):
    """What was noted vouches for what came before it, and for nothing else: the limit that is documented."""
    size = life.signed["sign_off"]["checkpoint"]["size"]
    code, said = verify(written(life.lines[: size - 1]), "--sheet", sheet_path)
    assert code == 1 and f"had {size} once" in said
    code, said = verify(written(life.lines[:size]), "--sheet", sheet_path)
    assert code == 0 and "could have been cut off or written anew" in said
    assert verify(written([]), "--sheet", sheet_path)[0] == 1
    assert verify(written([]))[0] == 0


@pytest.mark.parametrize("text", ["7", "7:abc", f"x:{BEGINNING}", f"-1:{BEGINNING}", f"7:{BEGINNING}0"])
def test_what_is_no_checkpoint_is_refused(life, written, text):
    finished = run("audit", "verify", "--shop", "open", written(life.lines), f"--checkpoint={text}")
    assert finished.returncode == 2 and b"SIZE:SHA256" in finished.stderr


def test_a_sheet_that_is_not_as_it_was_signed_is_no_checkpoint(life, written, tmp_path):
    for name, content, word in (
        ("unsigned", life.unsigned, "is not signed"),
        ("altered", life.sheet + b"\n", "is not as it was signed"),
    ):
        path = tmp_path / f"{name}.pdf"
        path.write_bytes(content)
        finished = run("audit", "verify", "--shop", "open", written(life.lines), "--sheet", path)
        assert finished.returncode == 2 and word in finished.stderr.decode()


def test_a_change_past_the_guards_of_the_database_is_found(start, tmp_path):
    """Whoever can write the file can drop the triggers; the chain tells."""
    program = start()
    with Shop(program.address) as shop:
        shop.done(shop.submit(posted(HEAD, "GUARDS")))
    program.stop()
    settings = {"store_dir": program.store}
    assert verify(settings=settings)[0] == 0
    number, line = first_line(program.store, b'"submitted"')
    where = f"WHERE sequence = {number}"
    forged = line.replace(b"submitted", b"evaluated")
    change(
        program.store,
        ("DROP TRIGGER audit_is_immutable", ()),
        (f"UPDATE audit SET line = ?, digest = ? {where}", (forged, digest(forged))),
    )
    code, said = verify(settings=settings)
    assert code == 1 and f"line {number + 1} does not follow" in said
    change(program.store, (f"UPDATE audit SET line = ?, digest = ? {where}", (line, digest(line))))
    assert verify(settings=settings)[0] == 0
    change(program.store, ("DROP TRIGGER audit_is_kept", ()), (f"DELETE FROM audit {where}", ()))
    assert verify(settings=settings)[0] == 1


def first_line(store, words: bytes) -> tuple[int, bytes]:
    """The first line of the trail with these words, and its number."""
    lines = run("audit", "export", "--shop", "open", settings={"store_dir": store}).stdout.splitlines()
    return next((number, line) for number, line in enumerate(lines, 1) if words in line)
