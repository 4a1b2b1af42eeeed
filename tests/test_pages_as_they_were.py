"""Pages are what they were when somebody last looked at them (tests/pages/renew.py writes them anew)."""

import difflib

import numpy as np
import pytest
from PIL import Image

from harness.pages import DOCUMENTS, KEPT, SHARE, picture_of, share_off, words_of


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    directory = tmp_path_factory.mktemp("pages")
    return {kept.name: kept.make(directory) for kept in DOCUMENTS}


def kept_picture(kept, page: int) -> np.ndarray:
    return np.asarray(Image.open(kept.picture(page)))


@pytest.mark.parametrize("kept", DOCUMENTS, ids=lambda kept: kept.name)
def test_the_words_are_those_that_were_kept(made, kept):
    were, now = kept.words.read_text().splitlines(), words_of(made[kept.name]).splitlines()
    changes = list(difflib.unified_diff(were, now, "kept", "now", lineterm="", n=1))
    assert not changes, "\n".join(changes[:60])


@pytest.mark.parametrize(
    ("kept", "page"),
    [(kept, page) for kept in DOCUMENTS for page in kept.pictured],
    ids=lambda part: getattr(part, "name", part),
)
def test_the_picture_is_the_one_that_was_kept(made, kept, page):
    assert share_off(kept_picture(kept, page), picture_of(made[kept.name], page)) <= SHARE


def test_every_kept_file_is_compared():
    compared = {kept.words for kept in DOCUMENTS}
    compared |= {kept.picture(page) for kept in DOCUMENTS for page in kept.pictured}
    assert {path for path in KEPT.iterdir() if path.suffix in (".txt", ".png")} == compared


def test_a_stroke_or_a_word_too_many_is_found(made):
    """The proof that the comparisons above can fail: a line of a port's table is blackened; two words trade places."""
    kept = DOCUMENTS[0]
    picture = kept_picture(kept, kept.pictured[0])
    spoilt = picture.copy()
    height, width = spoilt.shape
    spoilt[height // 2 : height // 2 + 2, width // 8 : -width // 8] = 0
    assert share_off(picture, spoilt) > SHARE
    assert share_off(picture, np.roll(picture, 2, axis=0)) > SHARE
    words = words_of(made[kept.name])
    assert words.replace("Measured", "Deviation", 1) != kept.words.read_text()
