"""A shop system: what a client of the service does."""

import http.client
import json

import httpx

from harness.program import PATIENCE, until

TERMINAL = {"done", "failed", "cancelled"}


class Shop:
    """A client of one running service."""

    def __init__(self, address: str, key: str | None = None, comes_from: str | None = None):
        """Shows a key or token if given, and comes from an address of this machine's loopback if given."""
        # Nothing is encrypted on this machine's own loopback; reading certificates would only take time.
        transport = httpx.HTTPTransport(verify=False, trust_env=False, local_address=comes_from)
        headers = {} if key is None else {"Authorization": f"Bearer {key}"}
        self.http = httpx.Client(base_url=address, headers=headers, transport=transport, timeout=PATIENCE)

    def __enter__(self) -> "Shop":
        return self

    def __exit__(self, *_) -> None:
        self.http.close()

    def get(self, path: str, **headers: str) -> httpx.Response:
        return self.http.get(path, headers={name.replace("_", "-"): value for name, value in headers.items()})

    def post(self, path: str, document: object) -> httpx.Response:
        return self.http.post(path, json=document)

    def delete(self, path: str) -> httpx.Response:
        return self.http.delete(path)

    def post_text(self, path: str, text: str | bytes, content_type: str = "application/json", **headers: str):
        content = text.encode() if isinstance(text, str) else text
        headers = {name.replace("_", "-"): value for name, value in headers.items()}
        return self.http.post(path, content=content, headers={"Content-Type": content_type, **headers})

    def evaluate(self, request: dict) -> dict:
        response = self.post("/v1/evaluate", request)
        assert response.status_code == 200, response.text
        return response.json()

    def submit(self, request: dict) -> dict:
        response = self.post("/v1/jobs", request)
        assert response.status_code == 202, response.text
        return response.json()

    def submit_batch(self, lines: list[bytes]) -> dict:
        response = self.post_text("/v1/batches", b"\n".join(lines), "application/x-ndjson")
        assert response.status_code == 202, response.text
        return response.json()

    def jobs(self, batch: dict) -> list[dict]:
        """The jobs of a batch in the order of its lines, from all pages."""
        found = {job["id"]: job for job in self.all_pages(batch["links"]["jobs"])}
        return [found.pop(line["job"]) for line in self.lines(batch) if "job" in line]

    def lines(self, batch: dict) -> list[dict]:
        """What came of each line of a batch."""
        return [json.loads(line) for line in self.fetch(batch["links"]["lines"]).splitlines()]

    def all_pages(self, path: str) -> list[dict]:
        """A list from its first page to its last."""
        members, next_page = [], path
        while next_page:
            response = self.get(next_page)
            assert response.status_code == 200, response.text
            members += response.json()
            next_page = response.links.get("next", {}).get("url")
        return members

    def finished(self, resource: dict, patience: float = PATIENCE) -> dict:
        """The job or batch once it is over, one way or the other."""

        def look() -> dict | None:
            response = self.get(resource["links"]["self"], Prefer="wait=2")
            assert response.status_code == 200, response.text
            found = response.json()
            return found if found["state"] in TERMINAL else None

        return until(look, f"the end of {resource['links']['self']}", patience)

    def done(self, resource: dict) -> dict:
        found = self.finished(resource)
        assert found["state"] == "done", found
        return found

    def fetch(self, path: str) -> bytes:
        response = self.get(path)
        assert response.status_code == 200, response.text
        return response.content

    def sign(self, job: dict, meaning: str = "released") -> httpx.Response:
        """Signs the evaluation of a job."""
        headers = {"If-Match": f'"{job["evaluation_digest"]}"'}
        return self.http.post(f"{job['links']['self']}/sign-offs", json={"meaning": meaning}, headers=headers)

    def sheet(self, request: dict) -> bytes:
        """Posts a head and waits for its sheet."""
        return self.fetch(self.done(self.submit(request))["links"]["sheet"])


def as_it_stands(address: str, target: str) -> httpx.Response:
    """Asks for exactly this; other clients tidy an address up first."""
    connection = http.client.HTTPConnection(address.removeprefix("http://"), timeout=PATIENCE)
    connection.request("GET", target)
    response = connection.getresponse()
    content = response.read()
    connection.close()
    return httpx.Response(response.status, headers=response.getheaders(), content=content)
