"""PDF files seen through poppler and qpdf, which share no code with the program."""

import json
import re
import subprocess
from pathlib import Path


def _run(*command: object) -> str:
    finished = subprocess.run(list(map(str, command)), capture_output=True, text=True, timeout=60)
    assert finished.returncode == 0, f"{command}: {finished.stdout}{finished.stderr}"
    return finished.stdout


class Pdf:
    """A PDF in a file."""

    def __init__(self, content: bytes, path: Path):
        assert content.startswith(b"%PDF-") and content.rstrip().endswith(b"%%EOF")
        path.write_bytes(content)
        self.path = path

    def check(self) -> None:
        """qpdf finds nothing wrong, not even something to warn of."""
        output = _run("qpdf", "--check", self.path)
        assert "No syntax or stream encoding errors found" in output, output
        assert "WARNING" not in output, output

    def info(self) -> dict[str, str]:
        lines = _run("pdfinfo", self.path).splitlines()
        return {name: value.strip() for name, _, value in (line.partition(":") for line in lines)}

    def size(self) -> tuple[float, float]:
        """Width and height of every page in points."""
        sizes = _run("pdfinfo", "-f", "1", "-l", self.pages(), self.path)
        found = set(re.findall(r"^Page +\d+ size: +([\d.]+) x ([\d.]+) pts", sizes, re.MULTILINE))
        assert len(found) == 1, sizes
        width, height = found.pop()
        return float(width), float(height)

    def pages(self) -> int:
        return int(self.info()["Pages"])

    def fonts(self) -> list[dict[str, str]]:
        """Whether each font is embedded, a subset, and has a map to Unicode."""
        lines = _run("pdffonts", self.path).splitlines()[2:]
        flags = [re.search(r"(yes|no) +(yes|no) +(yes|no) +\d+ +\d+$", line) for line in lines]
        return [
            {"name": line.split()[0], "embedded": found[1], "subset": found[2], "unicode": found[3]}
            for line, found in zip(lines, flags, strict=True)
        ]

    def text(self, page: int | None = None) -> str:
        """The text, as it stands on the page."""
        which = [] if page is None else ["-f", page, "-l", page]
        return _run("pdftotext", "-layout", "-enc", "UTF-8", *which, self.path, "-")

    def raw(self) -> str:
        """The text in the order in which it was drawn."""
        return _run("pdftotext", "-raw", "-enc", "UTF-8", self.path, "-")

    def outline(self) -> dict[str, int]:
        """The page of each bookmark, by the first words of its title, up to a comma."""
        found = json.loads(_run("qpdf", "--json", "--json-key=outlines", self.path))["outlines"]
        pages = {entry["title"].partition(",")[0]: entry["destpageposfrom1"] for entry in found}
        assert len(pages) == len(found)
        return pages


def detached(content: bytes, directory) -> dict[str, bytes]:
    """What poppler takes out of a file."""
    directory.mkdir()
    (directory / "whole.pdf").write_bytes(content)
    command = ["pdfdetach", "-saveall", "-o", directory, directory / "whole.pdf"]
    subprocess.run(command, check=True, capture_output=True, timeout=60)
    return {path.name: path.read_bytes() for path in directory.glob("*.json")}
