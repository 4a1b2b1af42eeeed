"""A shop system: what a client of the service does."""

import httpx

from harness.program import PATIENCE, until

TERMINAL = {"done", "failed", "cancelled"}


class Shop:
    """A client of one running service."""

    def __init__(self, address: str):
        # Nothing is encrypted on this machine's own loopback; reading certificates would only take time.
        self.http = httpx.Client(base_url=address, trust_env=False, verify=False, timeout=PATIENCE)

    def __enter__(self) -> "Shop":
        return self

    def __exit__(self, *_) -> None:
        self.http.close()

    def get(self, path: str, **headers: str) -> httpx.Response:
        return self.http.get(path, headers={name.replace("_", "-"): value for name, value in headers.items()})

    def post(self, path: str, document: object) -> httpx.Response:
        return self.http.post(path, json=document)

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

    def sheet(self, request: dict) -> bytes:
        """Posts a head and waits for its sheet."""
        return self.fetch(self.done(self.submit(request))["links"]["sheet"])
