"""People who sign: entered, given a key, and at work."""

import httpx

from harness.documents import request
from harness.shop import Shop


class Signer:
    """A person of a shop with a key of their own."""

    def __init__(self, shop: Shop, name: str = "Frida Fräser", role: str = "Prüferin"):
        self.shop, self.name, self.role = shop, name, role
        entered = shop.post("/v1/people", {"name": name, "role": role})
        assert entered.status_code == 201, entered.text
        self.person = entered.json()
        wish = {"label": f"key of {name}"[:200], "scopes": ["read", "sign"], "person": self.person["id"]}
        made = shop.post("/v1/keys", wish)
        assert made.status_code == 201, made.text
        self.secret = made.json()["secret"]

    @classmethod
    def known(cls, shop: Shop, secret: str) -> "Signer":
        """Somebody of whom only the key is known."""
        signer = cls.__new__(cls)
        signer.shop, signer.secret = shop, secret
        return signer

    @property
    def id(self) -> str:
        return self.person["id"]

    def leaves(self) -> None:
        answer = self.shop.http.delete(f"/v1/people/{self.id}")
        assert answer.status_code == 204, answer.text

    def ask(self, job: dict, meaning: str = "inspected", tag: str | None = "", **more: object) -> httpx.Response:
        """Asks to sign; the tag is that of the evaluation unless another is given, or none."""
        headers = {"Authorization": f"Bearer {self.secret}"}
        if tag is not None:
            headers["If-Match"] = tag or f'"{job["evaluation_digest"]}"'
        path = f"/v1/jobs/{job['id']}/sign-offs"
        return self.shop.http.post(path, json={"meaning": meaning, **more}, headers=headers)

    def sign(self, job: dict, meaning: str = "inspected", **more: object) -> dict:
        answer = self.ask(job, meaning, **more)
        assert answer.status_code == 202, answer.text
        return answer.json()

    def sheet(self, job: dict, meaning: str = "inspected", **more: object) -> tuple[dict, bytes]:
        """Signs, and waits for the signed sheet."""
        signed = self.shop.done(self.sign(job, meaning, **more))
        return signed, self.shop.fetch(signed["links"]["signed_sheet"])


def judged(shop: Shop, document: dict) -> tuple[dict, dict]:
    """A job, which may still wait for its sheet, and its evaluation."""
    job = shop.submit(document)
    return job, shop.get(job["links"]["evaluation"]).json()


def concessions(evaluation: dict, reason: str = "agreed with the customer") -> list[dict]:
    """Every reason of an evaluation, accepted."""
    about = [
        {name: one[name] for name in ("subject", "characteristic") if name in one} for one in evaluation["reasons"]
    ]
    return [one | {"reason": f"{reason} ({number})"} for number, one in enumerate(about, 1)]


def posted(head: str, serial: str, stage: str = "final", **more: object) -> dict:
    """A demo head under a serial and at a stage."""
    document = request(head, serial=serial, **more)
    document["measurement_set"]["job"]["stage"] = stage
    return document


def audit(shop: Shop) -> list[bytes]:
    """The lines of the audit trail."""
    return shop.fetch("/v1/audit").splitlines()
