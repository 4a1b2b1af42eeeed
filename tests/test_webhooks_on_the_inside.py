"""Webhooks reach the internet and what is allowed, and nothing that only this machine can see.

Nothing here leaves the machine: addresses elsewhere are refused before anybody is called."""

import ssl

import pytest

from harness.certificates import openssl
from harness.listening import SETTINGS, Knocked, Listener, deliveries, send
from harness.problems import check_problem, pointers
from harness.program import until
from harness.shop import Shop

# Ways to write 127.0.0.1 that are understood as an address of IPv4 (WHATWG URL, host parsing; from memory).
LOOPBACK = ["127.0.0.1", "127.1", "2130706433", "0x7f000001", "0x7f.1", "0177.0.0.1", "127.0.0.1.", "0", "0.0.0.0"]
LOOPBACK += ["[::1]", "[::ffff:127.0.0.1]", "[::ffff:7f00:1]", "[::]", "[::127.0.0.1]", "①②⑦.0.0.1", "127。0。0。1"]
# Networks of others that nobody outside can reach, and where machines learn their secrets.
INSIDE = ["10.0.0.1", "172.16.0.1", "192.168.1.1", "100.64.0.1", "169.254.169.254", "0xa9fea9fe", "2852039166"]
INSIDE += ["[fe80::1]", "[fd00:ec2::254]", "[fc00::1]", "[::ffff:169.254.169.254]", "[64:ff9b::a9fe:a9fe]"]
INSIDE += ["224.0.0.1", "255.255.255.255", "192.0.2.1", "[2002:7f00:1::]", "[ff02::1]"]
METADATA = ["169.254.169.254", "0xa9fea9fe", "[::ffff:169.254.169.254]", "[fd00:ec2::254]", "[fe80::1]"]
NAMES = ["localhost", "localhost.", "LOCALHOST", "ip6-localhost"]


@pytest.fixture
def door():
    door = Knocked()
    yield door
    door.close()


def refused(shop: Shop, url: str) -> None:
    answer = shop.post("/v1/webhooks", {"url": url})
    assert pointers(check_problem(answer, 422, "invalid-document")) == ["/url"], url


@pytest.mark.parametrize("host", LOOPBACK + INSIDE)
def test_an_address_of_the_inside_is_refused_however_it_is_written(shop, door, host):
    for url in (f"https://{host}:{door.port}/", f"http://{host}:{door.port}/", f"HTTPS://{host}:{door.port}"):
        refused(shop, url)
    assert shop.get("/v1/webhooks").json() == [] and door.times == 0


@pytest.mark.parametrize("host", ["shop.example", *NAMES])
def test_without_encryption_nobody_is_called(shop, host):
    refused(shop, f"http://{host}/")


@pytest.mark.parametrize("name", NAMES[:3])
def test_a_name_that_leads_to_this_machine_is_not_called(shop, door, name):
    """Names are looked up each time they are called: what they mean may change."""
    made = shop.post("/v1/webhooks", {"url": f"https://{name}:{door.port}/"})
    if made.status_code == 422:
        return
    webhook = made.json()["webhook"]
    send(shop, webhook)
    told = until(lambda: [one for one in deliveries(shop, webhook) if "reason" in one], "the failure")[0]
    # Not every machine knows the name with a dot behind it.
    reasons = {"the address leads to a network that may not be called"} | ({"no answer"} if name[-1] == "." else set())
    assert told["reason"] in reasons
    assert "127.0.0.1" not in shop.fetch(f"/v1/webhooks/{webhook['id']}/deliveries").decode()
    assert shop.delete(f"/v1/webhooks/{webhook['id']}").status_code == 204
    assert door.times == 0


def test_what_is_allowed_is_no_more_than_that(start):
    program = start(**SETTINGS)
    six, four, listener = Knocked("::1"), Knocked(), Listener()
    with Shop(program.address) as shop:
        for host in METADATA + ["10.0.0.1", "192.168.1.1", "[::1]", "0.0.0.0"]:
            refused(shop, f"http://{host}:{six.port}/")
        webhook = listener.subscribe(shop)
        send(shop, webhook)
        listener.wait(1)
        # By name as well, and it is never the other address of that name that is called.
        named = shop.post("/v1/webhooks", {"url": f"http://localhost:{listener.port}/named"}).json()["webhook"]
        send(shop, named)
        until(lambda: [one for one in listener.came if one.path == "/named"], "the message by name")
        other = shop.post("/v1/webhooks", {"url": f"http://localhost:{six.port}/"}).json()["webhook"]
        send(shop, other)
        until(lambda: [one for one in deliveries(shop, other) if "reason" in one], "the failure")
    assert six.times == 0 and four.times == 0
    for one in (six, four, listener):
        one.close()


def test_where_metadata_are_they_are_refused_even_if_everything_is_allowed(start):
    program = start(webhooks_allow="0.0.0.0/0, ::/0")
    with Shop(program.address) as shop:
        for host in METADATA:
            refused(shop, f"http://{host}/latest/meta-data/")
            refused(shop, f"https://{host}/")


def test_where_only_encryption_is_wanted_nothing_else_is_called(start, door):
    program = start(webhooks_https_only="true", **SETTINGS)
    with Shop(program.address) as shop:
        refused(shop, f"http://127.0.0.1:{door.port}/")
        webhook = shop.post("/v1/webhooks", {"url": f"https://127.0.0.1:{door.port}/"}).json()["webhook"]
        send(shop, webhook)
        # It is called, and does not know how to speak TLS.
        until(lambda: door.times, "the call")
        told = until(lambda: [one for one in deliveries(shop, webhook) if "reason" in one], "the failure")[0]
        assert told["reason"] == "no answer"


def test_a_certificate_that_nobody_vouches_for_is_a_failure(start, tmp_path):
    """Nothing of the message is sent before."""
    key, certificate = tmp_path / "key.pem", tmp_path / "certificate.pem"
    openssl(
        *("req", "-x509", "-newkey", "ec", "-pkeyopt", "ec_paramgen_curve:P-256", "-nodes", "-days", "1"),
        *("-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost,IP:127.0.0.1"),
        *("-keyout", key, "-out", certificate),
    )
    context = ssl.SSLContext(ssl.PROTOCOL_TLS_SERVER)
    context.load_cert_chain(certificate, key)
    secure = Listener()
    secure.server.socket = context.wrap_socket(secure.server.socket, server_side=True)
    program = start(**SETTINGS)
    with Shop(program.address) as shop:
        webhook = shop.post("/v1/webhooks", {"url": f"https://127.0.0.1:{secure.port}/"}).json()["webhook"]
        send(shop, webhook)
        told = until(lambda: [one for one in deliveries(shop, webhook) if "reason" in one], "the failure")[0]
    assert told["reason"] == "no answer" and secure.came == []
    secure.close()
