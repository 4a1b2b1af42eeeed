"""Receivers of webhooks that answer as they are told, and remember what came; and places where nobody should knock."""

import json
import socket
import threading
import time
from dataclasses import dataclass, field
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer

from harness.program import until
from harness.shop import Shop
from harness.webhooks import ALLOWED, is_genuine

# Waits between tries are a matter of milliseconds.
SETTINGS = ALLOWED | {"webhooks_haste": 1_000_000}


@dataclass
class Came:
    """A delivery: its headers in small letters, its body, and when it came."""

    path: str
    headers: dict[str, str]
    body: bytes
    at: float

    @property
    def event(self) -> dict:
        return json.loads(self.body)

    @property
    def id(self) -> str:
        return self.headers["webhook-id"]

    def genuine(self, secret: str) -> bool:
        return is_genuine(secret, {**dict.fromkeys(HEADERS), **self.headers}, self.body, self.at)


HEADERS = ("webhook-id", "webhook-timestamp", "webhook-signature")


@dataclass
class Listener:
    """Listens on the loopback. Answers what is in `answers`, one after the other, then `always`: a status, with headers
    if it is a pair. `hold` keeps it from answering as long as it is not set."""

    answers: list = field(default_factory=list)
    always: object = 204
    came: list[Came] = field(default_factory=list)
    hold: threading.Event = field(default_factory=threading.Event)

    def __post_init__(self):
        self.hold.set()
        listener, lock = self, threading.Lock()

        class Handler(BaseHTTPRequestHandler):
            def do_POST(self):
                body = self.rfile.read(int(self.headers["content-length"]))
                headers = {name.lower(): value for name, value in self.headers.items()}
                with lock:
                    listener.came.append(Came(self.path, headers, body, time.time()))
                    answer = listener.answers.pop(0) if listener.answers else listener.always
                listener.hold.wait(60)
                status, more = answer if isinstance(answer, tuple) else (answer, {})
                try:
                    self.send_response(status)
                    for name, value in {**more, "Content-Length": "0"}.items():
                        self.send_header(name, value)
                    self.end_headers()
                except OSError:
                    # Whoever asked is gone.
                    self.close_connection = True

            do_GET = do_POST

            def log_message(self, *_):
                pass

        self.server = ThreadingHTTPServer(("127.0.0.1", 0), Handler)
        self.server.daemon_threads = True
        threading.Thread(target=self.server.serve_forever, daemon=True).start()

    @property
    def port(self) -> int:
        return self.server.server_port

    @property
    def url(self) -> str:
        return f"http://127.0.0.1:{self.port}/events"

    def subscribe(self, shop: Shop, *events: str, **more: object) -> dict:
        """Enters it; the webhook with its secret."""
        wish = {"url": self.url, **({"events": list(events)} if events else {}), **more}
        made = shop.post("/v1/webhooks", wish)
        assert made.status_code == 201, made.text
        return made.json()["webhook"] | {"secret": made.json()["secret"]}

    def of(self, event: str) -> list[Came]:
        return [one for one in list(self.came) if one.event["type"] == event]

    def wait(self, count: int, what: str = "deliveries") -> list[Came]:
        """The deliveries, once there are so many."""
        until(lambda: len(self.came) >= count, f"{count} {what}, {len(self.came)} came")
        return list(self.came)

    def close(self) -> None:
        self.hold.set()
        self.server.shutdown()
        self.server.server_close()


class Knocked:
    """Listens at an address of this machine and counts who connects."""

    def __init__(self, address: str = "127.0.0.1"):
        family = socket.AF_INET6 if ":" in address else socket.AF_INET
        self.socket = socket.create_server((address, 0), family=family)
        self.port, self.times = self.socket.getsockname()[1], 0
        threading.Thread(target=self._count, daemon=True).start()

    def _count(self) -> None:
        while True:
            try:
                connection, _ = self.socket.accept()
            except OSError:
                return
            self.times += 1
            connection.close()

    def close(self) -> None:
        self.socket.close()


def deliveries(shop: Shop, webhook: dict, state: str | None = None) -> list[dict]:
    wish = f"?state={state}" if state else ""
    return shop.all_pages(f"/v1/webhooks/{webhook['id']}/deliveries{wish}")


def send(shop: Shop, webhook: dict) -> str:
    """Has a message sent that tells of nothing; the name of the request."""
    sent = shop.post(f"/v1/webhooks/{webhook['id']}/test", None)
    assert (sent.status_code, sent.json()) == (202, {"messages": 1}), sent.text
    return sent.headers["x-request-id"]


def until_dead(shop: Shop, webhook: dict) -> dict:
    """The one message once it was given up. A receiver that fails is let be for longer each time, until somebody enables
    it anew."""

    def look() -> dict | None:
        [one] = deliveries(shop, webhook)
        if one["state"] == "queued":
            shop.post(f"/v1/webhooks/{webhook['id']}/enable", None)
        return one if one["state"] == "dead" else None

    return until(look, "the message to be given up")
