"""What goes wrong: one fault after the other, in an order that a seed makes, spread over the work that is done."""

import random
import threading
import time
from collections import Counter
from collections.abc import Callable

from harness.fleet import Fleet, freeze, revive, wait_for_work
from harness.load import Load
from harness.program import until

# The least that worker.lease_seconds takes.
LEASE = 3
# What is not frozen for a lease is not noticed by anybody; a second more, and another has taken the task.
FROZEN = LEASE + 1.5


def schedule(kinds: dict[str, Callable], count: int, chance: random.Random) -> list[str]:
    """The names of `count` faults, each kind as often as any other, or once less."""
    names = []
    while len(names) < count:
        names += chance.sample(sorted(kinds), len(kinds))
    return names[:count]


class Faults:
    """The faults that any store can have."""

    def __init__(self, fleet: Fleet, seed: int):
        self.fleet, self.chance = fleet, random.Random(seed)
        self.struck: Counter[str] = Counter()
        self.into_work = 0
        self.load: Load | None = None
        self._thawing: list[threading.Thread] = []

    def kinds(self) -> dict[str, Callable[[], None]]:
        return {
            "kill -9 of a worker": lambda: self.kill(self.fleet.workers),
            "kill -9 of an api": lambda: self.kill(self.fleet.apis),
            "a worker frozen beyond its lease": lambda: self.freeze(self.fleet.workers, FROZEN),
            "an api frozen": lambda: self.freeze(self.fleet.apis, 1.0),
        }

    def kill(self, programs: list) -> None:
        program = self.fleet.any_of(self.chance, programs)
        self.hit(program)
        program.kill()
        self.pause(0.3)
        revive(program)

    def freeze(self, programs: list, seconds: float) -> None:
        """Beside whatever fails next, so that it costs no time."""
        free = [program for program in programs if program not in self.fleet.frozen]
        # Of workers one always goes on.
        if len(free) < 2 and seconds > LEASE:
            self.wait_for_thaw()
            free = programs
        program = self.chance.choice(free)
        self.hit(program)
        self.fleet.frozen.add(program)
        self._thawing.append(threading.Thread(target=self._freeze, args=(program, seconds), daemon=True))
        self._thawing[-1].start()

    def _freeze(self, program, seconds: float) -> None:
        freeze(program, seconds)
        self.fleet.frozen.discard(program)

    def hit(self, program) -> None:
        """Whatever happens to a worker happens in the midst of a task, and to an api in the midst of a posting; of idle
        ones nobody would notice."""
        if program.command == "worker":
            self.into_work += wait_for_work(program)
            return
        deadline = time.monotonic() + 1.0
        while not self.load.posting and time.monotonic() < deadline:
            time.sleep(0.0005)
        self.pause(0.006)

    def wait_for_thaw(self) -> None:
        for thread in self._thawing:
            thread.join(60)
        self._thawing.clear()

    def pause(self, longest: float) -> None:
        time.sleep(self.chance.uniform(0, longest))

    def strike(self, load: Load, count: int) -> None:
        """Strikes each fault when its share of the work is done, and lets nobody work far ahead of that: so each has
        work to fall into."""
        self.load = load
        kinds, share = self.kinds(), load.total / (count + 1)
        for number, name in enumerate(schedule(kinds, count, self.chance)):
            due = int(share * number)
            load.allowed = share * (number + 3)
            try:
                until(lambda: len(load.history.finished) >= due, f"{due} jobs done", 180)  # noqa: B023
            except AssertionError as error:
                raise AssertionError(f"{error}; struck so far: {dict(self.struck)}") from error
            # Where the only one of its kind is frozen, it has to wake up first.
            if all(api in self.fleet.frozen for api in self.fleet.apis) or len(self.fleet.frozen) > 1:
                self.wait_for_thaw()
            self.pause(0.2)
            kinds[name]()
            self.struck[name] += 1
        load.allowed = load.total
        self.wait_for_thaw()


class DiskFaults(Faults):
    """On a store in a directory of a small file system: it becomes full as well."""

    def __init__(self, fleet: Fleet, seed: int, fill: Callable[[], None], free: Callable[[], None]):
        super().__init__(fleet, seed)
        self.fill, self.free = fill, free

    def kinds(self) -> dict[str, Callable[[], None]]:
        return super().kinds() | {"disk full": self.full}

    def full(self) -> None:
        self.fill()
        time.sleep(0.5)
        self.pause(1.0)
        self.free()


class ServerFaults(Faults):
    """On PostgreSQL and S3: the server goes, ends connections, and the network between fails."""

    def __init__(self, fleet: Fleet, seed: int, database, to_postgres, to_objects):
        super().__init__(fleet, seed)
        self.database, self.to_postgres, self.to_objects = database, to_postgres, to_objects

    def kinds(self) -> dict[str, Callable[[], None]]:
        server = self.database.server
        return super().kinds() | {
            "PostgreSQL restarted, fast": lambda: server.restart("fast", self.chance.uniform(0, 1)),
            "PostgreSQL restarted, immediate": lambda: server.restart("immediate", self.chance.uniform(0, 1)),
            "PostgreSQL killed": lambda: server.restart("killed"),
            "connections ended by PostgreSQL": lambda: server.terminate_backends(self.database.name),
            "connections to PostgreSQL cut": self.to_postgres.cut,
            "connections to S3 cut": self.to_objects.cut,
            "PostgreSQL silent": lambda: self.silent(self.to_postgres),
            "S3 silent": lambda: self.silent(self.to_objects),
            "PostgreSQL slow": lambda: self.slow(self.to_postgres),
            "S3 slow": lambda: self.slow(self.to_objects),
        }

    def silent(self, proxy) -> None:
        proxy.silence()
        time.sleep(0.5)
        self.pause(1.5)
        # What waited is passed on late, or never.
        if self.chance.random() < 0.5:
            proxy.cut()
        proxy.heal()

    def slow(self, proxy) -> None:
        proxy.delay = self.chance.uniform(0.01, 0.1)
        proxy.slices = self.chance.choice([0, 100, 4096])
        time.sleep(0.5)
        self.pause(1.0)
        proxy.heal()
