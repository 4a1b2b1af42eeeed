"""A receiver of webhooks that is not always well, and checks who speaks (Standard Webhooks, symmetric signatures)."""

import base64
import hashlib
import hmac
import itertools
import json
import threading
import time
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from harness.history import Delivery, History
from harness.shop import Shop

# What is told of a job, and the state it is told of.
EVENTS = {"job.done": "done", "job.failed": "failed"}
# Loopback is no place for a webhook unless the configuration says so.
ALLOWED = {"webhooks_allow": "127.0.0.0/8"}


def signature(secret: str, identity: str, at: str, body: bytes) -> str:
    """As the specification has it: `v1,` and Base64 of HMAC-SHA256 over `id.timestamp.body`."""
    key = base64.b64decode(secret.removeprefix("whsec_"))
    signed = f"{identity}.{at}.".encode() + body
    return "v1," + base64.b64encode(hmac.digest(key, signed, "sha256")).decode()


def is_genuine(secret: str, headers, body: bytes, now: float) -> bool:
    """One of the signatures is right, and the time is near: a delivery of long ago may be played again by anybody."""
    at = headers["webhook-timestamp"] or ""
    if not at.isdigit() or abs(now - int(at)) > 300:
        return False
    expected = signature(secret, headers["webhook-id"] or "", at, body)
    given = (headers["webhook-signature"] or "").split()
    return any(hmac.compare_digest(one.encode(), expected.encode()) for one in given)


def subject(event: dict) -> str:
    """The job an event tells of."""
    return event["data"]["job"] if isinstance(event["data"].get("job"), str) else event["data"]["id"]


class Receiver:
    """Listens on the loopback. Every `bad`th delivery it refuses, so that it has to come again."""

    def __init__(self, history: History, bad: int = 7):
        self.history, self.secret, self.ready = history, "", threading.Event()
        numbers = itertools.count(1)
        receiver = self

        class Handler(BaseHTTPRequestHandler):
            def do_POST(self):
                body = self.rfile.read(int(self.headers["content-length"]))
                refuse = next(numbers) % bad == 0
                if not refuse:
                    # A delivery may be faster than the answer that holds the secret.
                    receiver.ready.wait(30)
                    receiver.note(self.headers, body)
                self.send_response(503 if refuse else 204)
                self.send_header("Content-Length", "0")
                self.end_headers()

            def log_message(self, *_):
                pass

        self.server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.server.daemon_threads = True
        threading.Thread(target=self.server.serve_forever, daemon=True).start()

    def subscribe(self, shop: Shop) -> None:
        """Asks for all events of `EVENTS`."""
        wish = {"url": f"http://127.0.0.1:{self.server.server_port}/events", "events": sorted(EVENTS)}
        made = shop.post("/v1/webhooks", wish)
        assert made.status_code == 201, made.text
        self.secret = made.json()["secret"]
        assert self.secret.startswith("whsec_")
        self.history.subscribed.update(EVENTS)
        self.ready.set()

    def note(self, headers, body: bytes) -> None:
        genuine = is_genuine(self.secret, headers, body, time.time())
        event = json.loads(body)
        digest = hashlib.sha256(body).hexdigest()
        one = Delivery(headers["webhook-id"], event["type"], subject(event), genuine, digest)
        with self.history.lock:
            self.history.deliveries.append(one)

    def all_told(self) -> bool:
        """Whether every job that was seen done was told of."""
        with self.history.lock:
            told = {one.about for one in self.history.deliveries}
            return self.history.finished <= told

    def close(self) -> None:
        self.server.shutdown()
        self.server.server_close()
