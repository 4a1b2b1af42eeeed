"""Writes the kept words and pictures anew: python tests/pages/renew.py, then look at every change before it is committed."""

import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from PIL import Image

from harness.pages import DOCUMENTS, picture_of, words_of


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        directory = Path(name)
        for kept in DOCUMENTS:
            path = kept.make(directory)
            kept.words.write_text(words_of(path))
            for page in kept.pictured:
                Image.fromarray(picture_of(path, page)).save(kept.picture(page), optimize=True)


if __name__ == "__main__":
    main()
