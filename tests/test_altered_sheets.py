"""A signed sheet with anything changed: found by pdfsig, by pyHanko, by the service and by the command."""

import io
import random

import pikepdf
import pytest

from harness.altering import changed, regions, with_update
from harness.counts import count, reached
from harness.program import run
from harness.signatures import Poppler, hanko_accepts, parts
from harness.signing import Signer, judged, posted


@pytest.fixture(scope="module")
def authority(shop) -> bytes:
    return shop.fetch("/v1/certificates")


@pytest.fixture(scope="module")
def sheet(shop) -> bytes:
    job, _ = judged(shop, posted("generator-3cyl-6v", "ALTERED"))
    return Signer(shop).sheet(job, "released", note="nothing to add")[1]


@pytest.fixture(scope="module")
def look(shop, authority, tmp_path_factory):
    """What each of the four says of a file: whether it is good, and the word of the service."""
    directory = tmp_path_factory.mktemp("altered")
    poppler = Poppler(directory / "nss", authority)
    pem, path = directory / "authority.pem", directory / "sheet.pdf"
    pem.write_bytes(authority)

    def look(content: bytes) -> tuple[str, int, bool, bool]:
        path.write_bytes(content)
        return (
            seen(shop, content)["authenticity"],
            run("verify", path, "--authority", pem).returncode,
            hanko_accepts(content, authority),
            poppler.is_valid(content),
        )

    return look


def seen(shop, content: bytes) -> dict:
    answer = shop.post_text("/v1/verify", content, "application/pdf")
    assert answer.status_code == 200, answer.text
    return answer.json()


def test_as_it_was_signed_it_is_good_to_all(sheet, look):
    assert look(sheet) == ("genuine", 0, True, True)


def test_a_changed_byte_is_found_by_all(sheet, look):
    """But for what the signature does not cover, the certificates beside it: of those only our own programs ask that
    they be as they were."""
    chance = random.Random(20261126)
    tried = 0
    for name, region in regions(sheet).items():
        for _ in range(count(3, 60)):
            place = chance.choice(region)
            said, code, by_hanko, by_poppler = look(changed(sheet, place, chance))
            may_be_unreadable = name in ("the range of bytes", "the certificates", "the signature")
            allowed = {"altered", "foreign"} if may_be_unreadable else {"altered"}
            assert said in allowed and code == 1, (name, place)
            if name != "the certificates":
                assert (by_hanko, by_poppler) == (False, False), (name, place)
            tried += 1
    reached("bytes changed in a signed sheet, all found", tried)


def test_a_changed_byte_is_found_by_the_service_wherever_it_is(shop, sheet):
    """In the zeros behind the signature, too, which other programs do not look at."""
    chance = random.Random(20261127)
    begin, end, _ = parts(sheet)
    places = [chance.randrange(len(sheet)) for _ in range(count(90, 2000))]
    places += [chance.randrange(begin, end) for _ in range(count(60, 1500))]
    for place in [*places, begin, begin + 1, end - 2, end - 1, 0, len(sheet) - 1]:
        said = seen(shop, changed(sheet, place, chance))
        assert said["authenticity"] in ("altered", "foreign"), place
        assert not said.get("sign_off") and not said.get("code"), "what it holds is not to be believed"


def test_a_digit_in_the_other_case_is_a_change(shop, sheet):
    begin, end, _ = parts(sheet)
    place = next(place for place in range(begin, end) if sheet[place : place + 1].isalpha())
    other = sheet[:place] + sheet[place : place + 1].swapcase() + sheet[place + 1 :]
    assert seen(shop, other)["authenticity"] in ("altered", "foreign")
    swapped = sheet[:begin] + sheet[begin:end].swapcase() + sheet[end:]
    assert seen(shop, swapped).get("kind") is None, "it is not the file that was made"


ADDITIONS = {
    "a newline": lambda content: content + b"\n",
    "a comment": lambda content: content + b"% seen\n",
    "an update": with_update,
    "the same again": lambda content: content + content,
    "a zero": lambda content: content + b"\0",
}


@pytest.mark.parametrize("kind", ADDITIONS)
def test_whatever_is_appended_counts_as_a_change(sheet, look, kind):
    """pyHanko and poppler find the signature good for its part, and say that it is not the whole file."""
    said, code, by_hanko, by_poppler = look(ADDITIONS[kind](sheet))
    assert (said, code, by_hanko, by_poppler) == ("altered", 1, False, False)


def test_something_put_in_front_counts_as_a_change(sheet, look):
    assert look(b"\n" + sheet)[1:] == (1, False, False)


def test_whatever_is_cut_off_is_missed(shop, sheet, look):
    chance = random.Random(20261128)
    _, end, _ = parts(sheet)
    for length in (len(sheet) - 1, end + 1):
        assert look(sheet[:length])[1:] == (1, False, False)
        assert seen(shop, sheet[:length])["authenticity"] == "altered"
    for _ in range(count(30, 500)):
        length = chance.randrange(len(sheet))
        assert seen(shop, sheet[:length])["authenticity"] in ("altered", "foreign"), length


def test_a_byte_more_or_less_is_found(shop, sheet):
    chance = random.Random(20261129)
    for _ in range(count(40, 500)):
        place = chance.randrange(len(sheet))
        for other in (sheet[:place] + b"0" + sheet[place:], sheet[:place] + sheet[place + 1 :]):
            if other != sheet:
                assert seen(shop, other)["authenticity"] in ("altered", "foreign"), place


def test_a_file_written_anew_is_altered(sheet, look):
    """As programs do that save a file: all is there, the signature fits no longer."""
    with pikepdf.open(io.BytesIO(sheet)) as pdf:
        out = io.BytesIO()
        pdf.save(out)
    assert look(out.getvalue())[1:] == (1, False, False)


def test_a_signature_put_into_another_sheet_is_found(shop, sheet, look):
    """The signature of one sheet with the pages of another one by the same person."""
    signer = Signer(shop)
    job, _ = judged(shop, posted("generator-3cyl-6v", "ALTERED"))
    other = signer.sheet(job, "inspected")[1]
    begin, end, _ = parts(other)
    mine, until, _ = parts(sheet)
    digits = sheet[mine:until][1:-1].ljust(end - begin - 2, b"0")[: end - begin - 2]
    forged = other[: begin + 1] + digits + other[end - 1 :]
    assert look(forged) == ("altered", 1, False, False)
