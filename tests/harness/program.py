"""The real program as a process: started, stopped, killed, and its log read."""

import json
import os
import re
import select
import signal
import subprocess
import time
from pathlib import Path

from harness.places import BINARY

# A slow machine that is still building something else must not fail a test.
PATIENCE = 60.0


def environment(settings: dict[str, object]) -> dict[str, str]:
    """The environment of this process without our own variables and proxies, and with these settings."""
    kept = {
        name: value
        for name, value in os.environ.items()
        if not name.startswith("HEADPROOF_") and not name.lower().endswith("_proxy")
    }
    kept["RUST_BACKTRACE"] = "0"
    for name, value in settings.items():
        kept[name if name.isupper() else f"HEADPROOF_{name.upper()}"] = str(value)
    return kept


def run(
    *arguments: object, settings: dict[str, object] | None = None, **options
) -> subprocess.CompletedProcess:
    """Runs a command of the program to its end."""
    command = [str(BINARY), *map(str, arguments)]
    return subprocess.run(
        command, env=environment(settings or {}), capture_output=True, timeout=PATIENCE, **options
    )


def refused(directory: Path, *arguments: object, **settings: object) -> str:
    """The program ends at once with exit code 2; returns what it says."""
    finished = run("serve", *arguments, settings={"store_dir": directory / "store", **settings})
    assert finished.returncode == 2, finished
    assert finished.stdout == b""
    return finished.stderr.decode()


def processes() -> list[tuple[int, str, int]]:
    """Number, state and parent of every process of this machine, see proc(5)."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            state, parent = stat.read_text().rpartition(")")[2].split()[:2]
        except (FileNotFoundError, ProcessLookupError):
            continue
        found.append((int(stat.parent.name), state, int(parent)))
    return found


def memory(pid: int, kind: str) -> int:
    """What a process holds or has held, in bytes: a line of its status, see proc(5)."""
    status = Path(f"/proc/{pid}/status").read_text()
    return int(re.search(rf"^{kind}:\s+(\d+) kB$", status, re.MULTILINE).group(1)) * 1024


class Program:
    """One process of headproof on a store directory."""

    def __init__(self, store: Path, log: Path, command: str = "serve", **settings: object):
        defaults = {
            "api_listen": "127.0.0.1:0",
            "api_access": "open",
            "log_format": "json",
            "worker_poll_milliseconds": 50,
        }
        self.store, self.log, self.command = store, log, command
        self.settings = {**defaults, "store_dir": store, **settings}
        self.expected_errors: list[str] = []
        self.was_killed = False
        self.address: str | None = None
        self.process: subprocess.Popen | None = None

    def start(self) -> "Program":
        with self.log.open("ab") as log:
            self.process = subprocess.Popen(
                [str(BINARY), self.command],
                env=environment(self.settings),
                stdin=subprocess.DEVNULL,
                stdout=subprocess.PIPE,
                stderr=log,
            )
        if self.command != "worker":
            self.address = self._announced()
        return self

    def _announced(self) -> str:
        """The address from `headproof listens on http://…`."""
        ready, _, _ = select.select([self.process.stdout], [], [], PATIENCE)
        line = self.process.stdout.readline().decode() if ready else ""
        found = re.fullmatch(r"headproof listens on (http://127\.0\.0\.1:\d+)\n", line)
        assert found, f"no address was announced: {line!r}\n{self.log.read_text()}"
        return found.group(1)

    @property
    def is_running(self) -> bool:
        return self.process is not None and self.process.poll() is None

    def kill(self) -> None:
        """As a power failure would end it: no warning, no clean-up."""
        self.was_killed = True
        self.process.kill()
        self.process.wait(PATIENCE)

    def terminate(self) -> int:
        """Asks it to stop, waits, and returns its exit code."""
        self.process.send_signal(signal.SIGTERM)
        return self.process.wait(PATIENCE)

    def stop(self) -> None:
        if self.is_running:
            code = self.terminate()
            assert code == 0, f"exit code {code}\n{self.log.read_text()}"

    def close(self) -> None:
        """Leaves nothing running, whatever has happened."""
        if self.is_running:
            self.kill()
        if self.process is not None:
            self.process.stdout.close()

    def peak_memory(self) -> int:
        """The most memory the process has held so far, in bytes."""
        return memory(self.process.pid, "VmHWM")

    def renderers(self) -> list[int]:
        """The processes it has started and that still run."""
        return [pid for pid, state, parent in processes() if parent == self.process.pid and state != "Z"]

    def log_entries(self) -> list[dict]:
        """The log; every line is a JSON object, but for a last one cut off by a kill."""
        lines = self.log.read_text(errors="replace").splitlines()
        entries = []
        for number, line in enumerate(lines):
            try:
                entries.append(json.loads(line))
            except ValueError:
                assert self.was_killed, f"line {number + 1} of the log is no JSON: {line!r}"
        return entries

    def check_log(self) -> None:
        """No error was logged, but for those that the test said it expects."""
        errors = [json.dumps(entry) for entry in self.log_entries() if entry["level"] == "ERROR"]
        surprising = [line for line in errors if not any(words in line for words in self.expected_errors)]
        assert not surprising, "errors in the log:\n" + "\n".join(surprising)


def until(condition, what: str, patience: float = PATIENCE, pause: float = 0.02):
    """Waits until a condition gives something, and returns it."""
    deadline = time.monotonic() + patience
    while time.monotonic() < deadline:
        if outcome := condition():
            return outcome
        time.sleep(pause)
    raise AssertionError(f"waited {patience:.0f} s in vain for {what}")
