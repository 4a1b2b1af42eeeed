"""A file and the environment; whatever is not understood is refused by name."""

import os
import signal
import subprocess

import pytest

from harness.places import BINARY
from harness.program import environment, refused, run


FILES = {
    "unknown key": ("[api]\nlissten = '127.0.0.1:0'\n", "lissten"),
    "unknown part": ("[apy]\nlisten = '127.0.0.1:0'\n", "apy"),
    "key of another part": ("[worker]\nlisten = '127.0.0.1:0'\n", "listen"),
    "wrong type": ("[worker]\ntasks = 'many'\n", "tasks"),
    "below zero": ("[worker]\ntasks = -1\n", "tasks"),
    "no address": ("[api]\nlisten = 'nowhere'\n", "listen"),
    "unknown word": ("[log]\nformat = 'xml'\n", "format"),
    "no TOML": ("[api\n", "headproof.toml"),
    "twice": ("[api]\nthreads = 1\nthreads = 2\n", "threads"),
    "zero threads": ("[api]\nthreads = 0\n", "api.threads"),
    "zero tasks": ("[worker]\ntasks = 0\n", "worker.tasks"),
    "short lease": ("[worker]\nlease_seconds = 2\n", "worker.lease_seconds"),
    "no pause": ("[worker]\npoll_milliseconds = 0\n", "worker.poll_milliseconds"),
    "no time for a sheet": ("[worker]\nsheet_milliseconds = 0\n", "worker.sheet_milliseconds"),
    "no memory for a sheet": ("[worker]\nsheet_mebibytes = 79\n", "worker.sheet_mebibytes"),
    "no time for a report": ("[worker]\nreport_milliseconds = 0\n", "worker.report_milliseconds"),
    "no memory for a report": ("[worker]\nreport_mebibytes = 79\n", "worker.report_mebibytes"),
    "no room": ("[api]\nin_flight = 0\n", "api.in_flight"),
    "no window": ("[api]\nrequests_seconds = 0\n", "api.requests_seconds"),
    "figures for all": ("[metrics]\nlisten = '0.0.0.0:9464'\n", "metrics.listen"),
    "no collector": ("[telemetry]\notlp_endpoint = 'nowhere'\n", "telemetry.otlp_endpoint"),
    "no attempt": ("[store]\nmax_attempts = 0\n", "store.max_attempts"),
}


@pytest.mark.parametrize("text, key", FILES.values(), ids=FILES)
def test_a_file_that_is_not_understood_is_refused_by_key(tmp_path, text, key):
    path = tmp_path / "headproof.toml"
    path.write_text(text)
    assert key in refused(tmp_path, "--config", path)
    assert key in refused(tmp_path, config=path)


def test_a_file_that_is_not_there_is_named(tmp_path):
    assert "/nowhere/headproof.toml" in refused(tmp_path, "--config", "/nowhere/headproof.toml")


@pytest.mark.parametrize(
    "name, value",
    [
        ("HEADPROOF_API_LISSTEN", "127.0.0.1:0"),
        ("HEADPROOF_", "x"),
        ("HEADPROOF_API_LISTEN", "nowhere"),
        ("HEADPROOF_API_THREADS", "two"),
        ("HEADPROOF_WORKER_TASKS", "-1"),
        ("HEADPROOF_WORKER_LEASE_SECONDS", "1.5"),
        ("HEADPROOF_API_OPEN_NETWORK", "perhaps"),
        ("HEADPROOF_LOG_FORMAT", "xml"),
    ],
)
def test_an_environment_that_is_not_understood_is_refused_by_name(tmp_path, name, value):
    assert name in refused(tmp_path, **{name: value})


@pytest.mark.parametrize("address", ["0.0.0.0:0", "[::]:0", "192.0.2.1:8080"])
def test_other_machines_are_not_served_unless_that_was_said_in_so_many_words(tmp_path, address):
    said = refused(tmp_path, api_listen=address)
    assert "api.listen" in said and "api.open_network" in said


def test_other_machines_are_served_when_that_was_said(start):
    """Bound to all addresses, asked for on the loopback one."""
    settings = {"store_dir": start.directory / "store", "api_listen": "0.0.0.0:0", "api_open_network": "true"}
    command = [str(BINARY), "serve"]
    streams = {"stdout": subprocess.PIPE, "stderr": subprocess.DEVNULL}
    with subprocess.Popen(command, env=environment(settings), **streams) as process:
        try:
            assert process.stdout.readline().startswith(b"headproof listens on http://0.0.0.0:")
        finally:
            process.send_signal(signal.SIGTERM)
    assert process.returncode == 0


def test_the_environment_goes_before_the_file(start, tmp_path):
    path = tmp_path / "headproof.toml"
    path.write_text("[api]\nlisten = '127.0.0.1:1'\n[worker]\ntasks = 2\n")
    program = start(config=path)
    assert program.address.startswith("http://127.0.0.1:") and not program.address.endswith(":1")


def test_an_address_that_is_taken_is_named(start, tmp_path):
    address = start().address.removeprefix("http://")
    said = refused(tmp_path / "other", api_listen=address)
    assert address in said and "api.listen" in said


def test_a_store_that_cannot_be_made_is_told(tmp_path):
    (tmp_path / "file").write_text("in the way")
    finished = run("serve", settings={"store_dir": tmp_path / "file" / "store", "api_listen": "127.0.0.1:0"})
    assert finished.returncode == 2 and str(tmp_path / "file") in finished.stderr.decode()


def test_a_file_that_is_no_database_is_not_overwritten(tmp_path):
    store = tmp_path / "store"
    store.mkdir()
    file = store / "headproof.sqlite3"
    file.write_bytes(b"these are somebody's notes, no database\n" * 100)
    finished = run("serve", settings={"store_dir": store, "api_listen": "127.0.0.1:0"})
    assert finished.returncode == 2 and finished.stderr
    assert file.read_bytes() == b"these are somebody's notes, no database\n" * 100


def test_variables_of_others_do_not_matter(start):
    assert start(HEADPROOFING="1", XHEADPROOF_API="1", PATH=os.environ["PATH"]).is_running
