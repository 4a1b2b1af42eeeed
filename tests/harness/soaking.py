"""Memory of processes over time."""

import statistics
import threading
from collections import defaultdict

from harness.fleet import Fleet
from harness.program import memory

MEBI = 1 << 20
# What a process may hold more in the second half of a run than in the first. An allocator keeps freed memory in arenas
# of its threads (glibc: as many as eight for each processor), the page cache of a database fills up to its bound, and
# a renderer is started anew now and then: together some mebibytes, which do not grow with the count of jobs. What does
# grow with it is found in a long run: of 10,000 jobs, the middles of the halves lie 5,000 apart, so this is 3.3 kB a
# job. A short run only proves that this works.
MARGIN = 16 * MEBI


class Memory(threading.Thread):
    """Looks at every process of a fleet each half second: what it holds itself, and what its renderers hold."""

    def __init__(self, fleet: Fleet):
        super().__init__(daemon=True)
        self.fleet, self.stopped = fleet, threading.Event()
        self.samples: dict[str, list[int]] = defaultdict(list)

    def run(self) -> None:
        while not self.stopped.wait(0.5):
            for number, program in enumerate(self.fleet.programs):
                name = f"{program.command} {number + 1}"
                self.samples[name].append(memory(program.process.pid, "VmRSS"))
                if renderers := program.renderers():
                    self.samples[f"renderers of {name}"].append(sum(map(held, renderers)))

    def stop(self) -> None:
        self.stopped.set()
        self.join(30)

    def halves(self) -> dict[str, tuple[int, int]]:
        """The median of each half, in bytes: one look at a bad moment proves nothing."""
        found = {}
        for name, samples in self.samples.items():
            middle = len(samples) // 2
            found[name] = (int(statistics.median(samples[:middle])), int(statistics.median(samples[middle:])))
        return found

    def grown(self) -> list[str]:
        return [
            f"{name}: {first / MEBI:.1f} MiB, then {second / MEBI:.1f} MiB"
            for name, (first, second) in self.halves().items()
            if second > first + MARGIN
        ]


def held(pid: int) -> int:
    """What a renderer holds; one that has just ended holds nothing."""
    try:
        return memory(pid, "VmRSS")
    except (FileNotFoundError, ProcessLookupError, AttributeError):
        return 0
