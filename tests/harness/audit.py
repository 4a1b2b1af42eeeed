"""A trail with a whole life in it, and trails as anybody could write them."""

import hashlib
import json

import rfc8785

from harness.problems import check_problem
from harness.shop import Shop
from harness.signing import Signer, audit, posted

BEGINNING = "0" * 64
HEAD = "generator-3cyl-6v"


def digest(line: bytes) -> str:
    return hashlib.sha256(line).hexdigest()


def rewritten(entries: list[dict]) -> list[bytes]:
    """Entries as a trail that hangs together: RFC 8785 by the Python package, SHA-256 by hashlib."""
    lines, previous = [], BEGINNING
    for number, entry in enumerate(entries, 1):
        lines.append(rfc8785.dumps(entry | {"sequence": number, "previous": previous}))
        previous = digest(lines[-1])
    return lines


class Life:
    """A shop in which everything happens once, and then some more."""

    def __init__(self, program, shop: Shop):
        self.program = program
        self.profiles = shop.get("/v1/profiles").json()
        self.frida = Signer(shop)
        self.job = shop.done(shop.submit(posted(HEAD, "LIFE")))
        self.unsigned = shop.fetch(self.job["links"]["sheet"])
        self.checkpoint = audit(shop)
        check_problem(self.frida.ask(self.job, "concession"), 422, "invalid-document")
        check_problem(self.frida.ask(self.job, "released", tag=None), 428, "precondition-required")
        self.before = audit(shop)
        self.signed, self.sheet = self.frida.sheet(self.job, "released")
        check_problem(self.frida.ask(self.job, "released"), 409, "already-signed")
        by_nobody = shop.post(f"/v1/jobs/{self.job['id']}/sign-offs", {"meaning": "inspected"})
        check_problem(by_nobody, 403, "forbidden")
        self.frida.leaves()
        self.lines = audit(shop)
        self.entries = [json.loads(line) for line in self.lines]
