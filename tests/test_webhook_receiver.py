"""The receiver that other tests rely on knows a genuine delivery from any other."""

import json
import time

import httpx
import pytest

from harness.history import History
from harness.webhooks import Receiver, is_genuine, signature, subject

SECRET = "whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw"


def test_the_signature_is_that_of_the_specification():
    """The worked example that goes with the reference libraries of Standard Webhooks; written down from memory."""
    body = b'{"test": 2432232314}'
    made = signature(SECRET, "msg_p5jXN8AQM9LWM0D4loKWxJek", "1614265330", body)
    assert made == "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE="


@pytest.mark.parametrize(
    "change",
    [
        {"webhook-id": "msg_2"},
        {"webhook-timestamp": "1000001"},
        {"webhook-timestamp": "long ago"},
        {"webhook-signature": "v1,AAAA"},
        {"webhook-signature": ""},
        {"webhook-signature": None},
    ],
    ids=str,
)
def test_what_is_not_genuine_is_found(change):
    headers = {"webhook-id": "msg_1", "webhook-timestamp": "1000000"}
    headers["webhook-signature"] = f"v1,AAAA {signature(SECRET, 'msg_1', '1000000', b'{}')}"
    assert is_genuine(SECRET, headers, b"{}", 1000010)
    assert not is_genuine(SECRET, headers, b"{ }", 1000010)
    assert not is_genuine(SECRET, headers, b"{}", 1000400), "played again later"
    assert not is_genuine(SECRET, headers | change, b"{}", 1000010)


def test_a_receiver_notes_what_it_takes_and_refuses_some():
    history = History()
    receiver = Receiver(history, bad=2)
    try:
        receiver.secret = SECRET
        receiver.ready.set()
        body = json.dumps({"type": "job.done", "data": {"id": "j1"}}).encode()
        at = str(int(time.time()))
        headers = {"webhook-id": "m", "webhook-timestamp": at, "webhook-signature": signature(SECRET, "m", at, body)}
        address = f"http://127.0.0.1:{receiver.server.server_port}/events"
        transport = httpx.HTTPTransport(verify=False, trust_env=False)
        with httpx.Client(transport=transport) as client:
            said = [client.post(address, content=body, headers=headers).status_code for _ in range(3)]
    finally:
        receiver.close()
    assert said == [204, 503, 204]
    assert [(one.about, one.genuine) for one in history.deliveries] == [("j1", True)] * 2


def test_an_event_tells_of_a_job():
    assert subject({"data": {"id": "e", "job": "j1"}}) == subject({"data": {"id": "j1"}}) == "j1"
