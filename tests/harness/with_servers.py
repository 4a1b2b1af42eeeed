#!/usr/bin/env python3
"""Runs a command with a PostgreSQL server and an object store beside it, both on loopback and gone afterwards:

    with_servers.py cargo test --workspace

The command finds them in HEADPROOF_TEST_POSTGRES and HEADPROOF_TEST_S3; its exit code is that of this program. The
object store is the server of moto, an imitation of S3 that keeps everything in memory and checks no signatures. Killed
outright, this program still takes the processes along, and leaves a directory headproof-servers-… behind."""

import ctypes
import os
import pwd
import shutil
import signal
import socket
import subprocess
import sys
import tempfile
import time
import urllib.request
from pathlib import Path

PATIENCE = 60.0
SIGNALS = (signal.SIGTERM, signal.SIGINT, signal.SIGHUP)
BUCKET = "headproof-test"
# Nothing of it is worth anything after the command, so nothing is synced: tests of crashes start servers of their own.
SETTINGS = ["fsync=off", "full_page_writes=off", "max_connections=500", "listen_addresses=127.0.0.1"]


def free_port() -> int:
    with socket.socket() as found:
        found.bind(("127.0.0.1", 0))
        return found.getsockname()[1]


LIBC = ctypes.CDLL(None, use_errno=True)


def ends_with_us() -> None:
    """Of a process that is stopped when this one ends, in whatever way: prctl(2), PR_SET_PDEATHSIG."""
    LIBC.prctl(1, signal.SIGINT)


def start(words: list[object], log: Path, **options) -> subprocess.Popen:
    with log.open("ab") as file:
        return subprocess.Popen(
            list(map(str, words)), cwd="/", stdin=subprocess.DEVNULL, stdout=file, stderr=file,
            start_new_session=True, preexec_fn=ends_with_us, **options,
        )


def wait_for(port: int, process: subprocess.Popen, log: Path) -> None:
    deadline = time.monotonic() + PATIENCE
    while process.poll() is None and time.monotonic() < deadline:
        try:
            socket.create_connection(("127.0.0.1", port), timeout=1).close()
            return
        except OSError:
            time.sleep(0.05)
    sys.exit(f"{process.args[0]} did not start:\n{log.read_text()[-2000:]}")


def postgres(directory: Path, processes: list[subprocess.Popen]) -> str:
    found = Path("/usr/lib/postgresql").glob("*/bin/initdb")
    initdb = max(found, key=lambda path: int(path.parts[-3]), default=None)
    if initdb is None:
        sys.exit("There is no PostgreSQL server: install Debian's package postgresql.")
    options = {}
    if os.geteuid() == 0:
        # A server refuses to run as root: then it is the package's user.
        user = pwd.getpwnam("postgres")
        os.chown(directory, user.pw_uid, user.pw_gid)
        options = {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": []}
    data, log, port = directory / "data", directory / "postgres.log", free_port()
    made = subprocess.run(
        [initdb, "--username", "postgres", "--auth", "trust", "--encoding", "UTF8", "--locale", "C.UTF-8", "--no-sync",
         "--pgdata", data],
        cwd="/", capture_output=True, text=True, timeout=PATIENCE, **options,
    )
    if made.returncode:
        sys.exit(made.stderr)
    words = [initdb.with_name("postgres"), "-D", data, "-k", directory, "-p", port]
    for setting in SETTINGS:
        words += ["-c", setting]
    processes.append(start(words, log, **options))
    wait_for(port, processes[-1], log)
    url = f"postgres://postgres@127.0.0.1:{port}/postgres"
    # It takes connections a moment before it answers them.
    ready = [initdb.with_name("pg_isready"), "--quiet", "--host", "127.0.0.1", "--port", str(port)]
    deadline = time.monotonic() + PATIENCE
    while subprocess.run(ready, cwd="/").returncode and time.monotonic() < deadline:
        time.sleep(0.05)
    return url


def objects(directory: Path, processes: list[subprocess.Popen]) -> str:
    log, port = directory / "objects.log", free_port()
    words = [sys.executable, "-W", "ignore", "-m", "moto.server", "-H", "127.0.0.1", "-p", port]
    processes.append(start(words, log))
    wait_for(port, processes[-1], log)
    endpoint = f"http://127.0.0.1:{port}"
    bucket = urllib.request.Request(f"{endpoint}/{BUCKET}", method="PUT")
    with urllib.request.build_opener(urllib.request.ProxyHandler({})).open(bucket, timeout=PATIENCE):
        return endpoint


def stop(processes: list[subprocess.Popen], directory: Path) -> None:
    for process in processes:
        # To a server of PostgreSQL: let go of everybody now.
        process.send_signal(signal.SIGINT)
    for process in processes:
        try:
            process.wait(20)
        except subprocess.TimeoutExpired:
            process.kill()
            process.wait()
    shutil.rmtree(directory, ignore_errors=True)


def end(number: int, _frame: object) -> None:
    # Once is enough: what is being cleaned up is not to be interrupted.
    for other in SIGNALS:
        signal.signal(other, signal.SIG_IGN)
    sys.exit(128 + number)


def main() -> int:
    if len(sys.argv) < 2:
        sys.exit(__doc__)
    for number in SIGNALS:
        signal.signal(number, end)
    processes: list[subprocess.Popen] = []
    directory = Path(tempfile.mkdtemp(prefix="headproof-servers-"))
    command = None
    try:
        found = {
            "HEADPROOF_TEST_POSTGRES": postgres(directory, processes),
            "HEADPROOF_TEST_S3": objects(directory, processes),
        }
        # A group of its own, so that whatever it has started can be told to end as well.
        command = subprocess.Popen(
            sys.argv[1:], env={**os.environ, **found}, process_group=0, preexec_fn=ends_with_us
        )
        return command.wait()
    finally:
        if command is not None and command.poll() is None:
            os.killpg(command.pid, signal.SIGTERM)
            try:
                command.wait(20)
            except subprocess.TimeoutExpired:
                os.killpg(command.pid, signal.SIGKILL)
        stop(processes, directory)


if __name__ == "__main__":
    sys.exit(main())
