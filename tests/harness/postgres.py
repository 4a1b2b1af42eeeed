"""A real PostgreSQL server of our own: started, stopped, killed, and asked. It has nothing to do with a cluster that
the package may have set up, and listens on 127.0.0.1 and in its own directory only."""

import os
import pwd
import shutil
import signal
import subprocess
import tempfile
import time
from pathlib import Path

from harness.ports import free_port

PATIENCE = 60.0
OWNER, USER, PASSWORD = "harness", "headproof", "pass-word-of-a-test"
# PostgreSQL, "Shutting Down the Server": how the signals stop it.
STOPS = {"fast": signal.SIGINT, "immediate": signal.SIGQUIT, "killed": signal.SIGKILL}
SETTINGS = {
    "fsync": "on",
    "synchronous_commit": "on",
    "listen_addresses": "127.0.0.1",
    "max_connections": "200",
    "shared_buffers": "32MB",
    "logging_collector": "off",
}


def programs() -> Path | None:
    """Where the newest server of Debian's packages has its programs."""
    found = Path("/usr/lib/postgresql").glob("*/bin/initdb")
    return max((path.parent for path in found), key=lambda path: int(path.parent.name), default=None)


class Postgres:
    """One server with a data directory of its own. A server refuses to run as root: then it is the package's user."""

    def __init__(self):
        self.bin, self.port = programs(), free_port()
        # Not below pytest's directory, which is closed to all others.
        self.directory = Path(tempfile.mkdtemp(prefix="headproof-postgres-"))
        self.data, self.log = self.directory / "data", self.directory / "log"
        self.process: subprocess.Popen | None = None
        self.options: dict[str, object] = {}
        if os.geteuid() == 0:
            user = pwd.getpwnam("postgres")
            os.chown(self.directory, user.pw_uid, user.pw_gid)
            self.options = {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": []}
        secret = self.directory / "secret"
        secret.write_text(PASSWORD)
        secret.chmod(0o644)
        words = ["--username", OWNER, "--pwfile", secret, "--auth", "scram-sha-256", "--encoding", "UTF8"]
        words += ["--locale", "C.UTF-8", "--no-sync", "--pgdata", self.data]
        made = subprocess.run(
            [self.bin / "initdb", *words], cwd="/", capture_output=True, text=True, timeout=PATIENCE, **self.options
        )
        assert made.returncode == 0, made.stderr

    def start(self) -> "Postgres":
        words = ["-D", self.data, "-k", self.directory, "-p", self.port]
        for name, value in SETTINGS.items():
            words += ["-c", f"{name}={value}"]
        deadline = time.monotonic() + PATIENCE
        while True:
            with self.log.open("ab") as log:
                command = [self.bin / "postgres", *map(str, words)]
                self.process = subprocess.Popen(command, cwd="/", stdout=log, stderr=log, **self.options)
            while self.process.poll() is None:
                if self.ready():
                    return self
                time.sleep(0.05)
            # After a kill it waits for the last of its processes to leave the shared memory, and says so by ending.
            assert time.monotonic() < deadline, self.log.read_text()[-2000:]
            time.sleep(0.1)

    def ready(self) -> bool:
        command = [self.bin / "pg_isready", "--quiet", "--host", self.directory, "--port", str(self.port)]
        return subprocess.run(command, timeout=PATIENCE).returncode == 0

    def stop(self, how: str = "fast") -> None:
        if self.process is not None and self.process.poll() is None:
            self.process.send_signal(STOPS[how])
            self.process.wait(PATIENCE)

    def restart(self, how: str = "fast", away: float = 0.0) -> None:
        self.stop(how)
        time.sleep(away)
        self.start()

    def close(self) -> None:
        self.stop("immediate")
        shutil.rmtree(self.directory)

    def ask(self, statement: str, database: str = "postgres") -> list[tuple[str, ...]]:
        """The rows of a statement as text; nothing is the empty text."""
        words = ["--no-psqlrc", "--quiet", "--tuples-only", "--no-align", "--field-separator", "\t"]
        words += ["--set", "ON_ERROR_STOP=1", "--host", str(self.directory), "--port", str(self.port)]
        finished = subprocess.run(
            [self.bin / "psql", *words, "--username", OWNER, "--dbname", database, "--command", statement],
            env={"PATH": os.environ["PATH"], "PGPASSWORD": PASSWORD, "PGCONNECT_TIMEOUT": "10"},
            capture_output=True, text=True, timeout=PATIENCE,
        )
        assert finished.returncode == 0, finished.stderr
        return [tuple(line.split("\t")) for line in finished.stdout.splitlines()]

    def make_database(self, name: str) -> None:
        """A database of a user who owns it and may do nothing else."""
        if not self.ask(f"SELECT 1 FROM pg_roles WHERE rolname = '{USER}'"):
            self.ask(f"CREATE ROLE {USER} LOGIN PASSWORD '{PASSWORD}'")
        self.ask(f"CREATE DATABASE {name} OWNER {USER}")

    def terminate_backends(self, database: str) -> int:
        """Ends the connections to a database from the server's side; returns how many there were."""
        ended = self.ask(f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{database}'")
        return len(ended)
