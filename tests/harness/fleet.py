"""Processes of the program on one store: some answer, some work; each is started again when it was killed."""

import contextlib
import random
import re
import signal
import time
from pathlib import Path

from harness.ports import free_port
from harness.program import Program, until


class Fleet:
    """N processes `api` and M processes `worker` with the same settings. An api keeps its address over restarts."""

    def __init__(self, start, store: Path, apis: int = 1, workers: int = 2, **settings: object):
        # All clients of a test share a key.
        settings = {"api_requests": 0, **settings}
        self._start, self.store, self.settings = start, store, settings
        self.apis: list[Program] = []
        self.workers: list[Program] = []
        self.frozen: set[Program] = set()
        # One after the other: the first makes the store.
        for _ in range(apis):
            listen = f"127.0.0.1:{free_port()}"
            self.apis.append(start("api", store=store, api_listen=listen, **settings))
        for _ in range(workers):
            self.add_worker()

    def add_worker(self, **settings: object) -> Program:
        self.workers.append(self._start("worker", store=self.store, **{**self.settings, **settings}))
        return self.workers[-1]

    def remove_worker(self) -> Program:
        """Asks the oldest worker to stop, and waits for it."""
        gone = self.workers.pop(0)
        # A worker does not say that it is there; before it listens to signals they end it like any program.
        until(lambda: heeds(gone.process.pid, signal.SIGTERM), "the worker to be there", pause=0.002)
        gone.stop()
        return gone

    @property
    def addresses(self) -> list[str]:
        return [api.address for api in self.apis]

    @property
    def programs(self) -> list[Program]:
        return self.apis + self.workers

    def any_of(self, chance: random.Random, programs: list[Program]) -> Program:
        """One that is not frozen just now."""
        return chance.choice([program for program in programs if program not in self.frozen])

    def expect_errors(self) -> None:
        """Of a run with faults the log may say so; what is said of a fault is looked at where one fault is tested."""
        for program in self.programs:
            program.expected_errors.append("")

    def check_logs(self) -> None:
        """Whatever failed, nothing panicked."""
        for program in self.programs:
            assert "panicked" not in program.log.read_text(errors="replace"), program.log

    def settle(self) -> None:
        """Asks all to stop, and to have done so in good order."""
        for program in self.programs:
            program.stop()


def heeds(pid: int, number: signal.Signals) -> bool:
    """Whether a process has a handler for a signal: a bit of SigCgt, the lowest is that of signal 1; proc(5)."""
    caught = re.search(r"^SigCgt:\s*([0-9a-f]+)$", Path(f"/proc/{pid}/status").read_text(), re.MULTILINE)
    return bool(int(caught[1], 16) >> (number - 1) & 1)


def wait_for_work(program: Program, patience: float = 2.0) -> bool:
    """Waits until a worker's renderer is at work, which is a matter of milliseconds; says whether it was."""
    deadline = time.monotonic() + patience
    while time.monotonic() < deadline:
        stats = [Path(f"/proc/{pid}/stat") for pid in program.renderers()]
        for _ in range(200):
            for stat in stats:
                # Its state stands behind its name, which is in brackets: proc(5). R is running.
                with contextlib.suppress(FileNotFoundError, ProcessLookupError):
                    if stat.read_text().rpartition(")")[2].split()[0] == "R":
                        return True
            time.sleep(0.0005)
    return False


def revive(program: Program) -> None:
    """Starts it again where it was."""
    program.process.stdout.close()
    program.start()


@contextlib.contextmanager
def frozen(program: Program):
    """Stopped as if its machine had been suspended; it knows nothing of the time that passes."""
    process = program.process
    process.send_signal(signal.SIGSTOP)
    try:
        yield
    finally:
        process.send_signal(signal.SIGCONT)


def freeze(program: Program, seconds: float) -> None:
    with frozen(program):
        time.sleep(seconds)
