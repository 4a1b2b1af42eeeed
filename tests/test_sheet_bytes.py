"""The same input gives the same bytes: in one process, in another one, and on the command line."""

import pytest

from harness.documents import HEADS, profile_path, request, set_path
from harness.program import run
from harness.shop import Shop


@pytest.mark.parametrize("head", HEADS)
def test_a_set_posted_twice_gives_the_same_sheet(shop, head):
    first, second = shop.sheet(request(head)), shop.sheet(request(head))
    assert first == second


@pytest.mark.parametrize("head", HEADS)
def test_another_process_elsewhere_in_the_world_gives_the_same_sheet(shop, start, tmp_path, head):
    here = shop.sheet(request(head))
    other = start(store=tmp_path / "elsewhere", TZ="Pacific/Chatham", LC_ALL="C", LANG="de_DE.UTF-8")
    with Shop(other.address) as there:
        assert there.sheet(request(head)) == here


@pytest.mark.parametrize("look", [{"paper": "a4"}, {"paper": "letter"}, {"paper": "a4", "language": "de"}], ids=str)
@pytest.mark.parametrize("head", HEADS)
def test_the_command_line_gives_the_same_sheet(shop, tmp_path, head, look):
    path = tmp_path / "sheet.pdf"
    options = [word for name, value in look.items() for word in (f"--{name}", value)]
    finished = run("evaluate", set_path(head), "--profile", profile_path(head), "--sheet", path, *options)
    assert finished.returncode in (0, 1), finished.stderr
    assert path.read_bytes() == shop.sheet(request(head, sheet=look))


def test_another_reading_gives_another_sheet(shop):
    """The proof that the comparisons above can fail."""
    changed = request()
    changed["measurement_set"]["ports"][0]["valve"]["margin"] = 1.16
    assert shop.sheet(changed) != shop.sheet(request())
