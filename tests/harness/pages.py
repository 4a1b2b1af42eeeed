"""Pages as they were when somebody last looked at them: their words in the order they are drawn, and pictures of a few."""

import json
import subprocess
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image

from harness.documents import demo_set, profile_path, set_path
from harness.program import run

KEPT = Path(__file__).parents[1] / "pages"
# Pictures show the arrangement and the strokes; words are compared as words.
DOTS_PER_INCH = 60
# Grey levels by which a dot may be off: another edition of the rasteriser smooths edges differently.
LEVELS = 64
# Share of dots that may be off by more.
SHARE = 0.002


GERMAN = ("--language", "de")


@dataclass(frozen=True)
class Kept:
    """A document of a demo head, which of its pages have pictures, and how it is made."""

    name: str
    pictured: tuple[int, ...]
    command: str
    head: str
    options: tuple[str, ...] = ()

    def make(self, directory: Path) -> Path:
        path = directory / f"{self.name}.pdf"
        profile = ("--profile", profile_path(self.head))
        if self.command == "worksheet":
            layout = directory / f"{self.name}.layout.json"
            layout.write_text(json.dumps(demo_set(self.head)["layout"]))
            finished = run("worksheet", "--layout", layout, *profile, *self.options, "--out", path)
        else:
            finished = run(self.command, set_path(self.head), *profile, *self.options, "--sheet", path)
        assert finished.returncode in (0, 1), finished.stderr
        return path

    @property
    def words(self) -> Path:
        return KEPT / f"{self.name}.txt"

    def picture(self, page: int) -> Path:
        return KEPT / f"{self.name}-{page:02}.png"


# A good head, a bad one with its plan, a large one, and blanks: in both languages and on both papers.
DOCUMENTS = [
    Kept("good", (1, 3), "evaluate", "generator-3cyl-6v"),
    Kept("good-german", (1,), "evaluate", "generator-3cyl-6v", GERMAN),
    Kept("rework", (1, 4), "plan", "cold-store-8v"),
    Kept("rework-german", (4,), "plan", "cold-store-8v", GERMAN),
    Kept("large-letter", (3,), "evaluate", "irrigation-pump-16v", ("--paper", "letter")),
    Kept("blank", (1, 2), "worksheet", "generator-3cyl-6v"),
    Kept("blank-german", (1,), "worksheet", "generator-3cyl-6v", GERMAN),
]


def words_of(path: Path) -> str:
    """The words of all pages in the order they are drawn, each page under its number."""
    drawn = subprocess.run(
        ["pdftotext", "-raw", "-enc", "UTF-8", path, "-"], capture_output=True, text=True, check=True, timeout=60
    ).stdout
    pages = drawn.split("\f")[:-1]
    return "".join(f"== page {number}\n{page.strip()}\n" for number, page in enumerate(pages, 1))


def picture_of(path: Path, page: int) -> np.ndarray:
    """A page as grey levels."""
    shot = path.with_suffix(f".{page}")
    which = ("-f", str(page), "-l", str(page), "-singlefile")
    subprocess.run(
        ["pdftoppm", "-gray", "-r", str(DOTS_PER_INCH), *which, path, shot], check=True, timeout=60, capture_output=True
    )
    return np.asarray(Image.open(shot.with_suffix(shot.suffix + ".pgm")))


def share_off(one: np.ndarray, other: np.ndarray) -> float:
    """Share of the dots of two pictures that differ by more than smoothing explains; all of them where the sizes do."""
    if one.shape != other.shape:
        return 1.0
    off = np.abs(one.astype(int) - other.astype(int)) > LEVELS
    return float(off.mean())
