"""One run from its begin to its end: load, faults, rest, judgement."""

from harness.faults import LEASE, Faults
from harness.fleet import Fleet
from harness.history import History
from harness.history_checks import faults as wrongs
from harness.load import Load
from harness.program import until
from harness.settling import come_to_rest
from harness.shop import Shop
from harness.webhooks import ALLOWED, Receiver

# So many attempts that nothing but a fault of the program fails a task.
SETTINGS = {
    "worker_lease_seconds": LEASE,
    "worker_backoff_milliseconds": 50,
    "store_max_attempts": 100,
    **{name: value for name, value in ALLOWED.items()},
}


def run_with_faults(fleet: Fleet, faults: Faults, store, jobs: int, strikes: int, seed: int) -> tuple[History, str]:
    """Posts `jobs` jobs while `strikes` faults strike; returns the history, in which nothing is wrong, and figures."""
    fleet.expect_errors()
    load = Load(fleet.addresses, jobs, seed)
    receiver = Receiver(load.history)
    try:
        with Shop(fleet.addresses[0]) as shop:
            receiver.subscribe(shop)
        load.start()
        try:
            faults.strike(load, strikes)
        finally:
            load.stopped.set() if faults.struck.total() < strikes else None
        history = load.join()
        come_to_rest(fleet, history, store)
        until(receiver.all_told, "every subscriber to be told", 120)
    finally:
        receiver.close()
    fleet.settle()
    fleet.check_logs()
    assert faults.struck.total() == strikes and set(faults.struck) <= set(faults.kinds())
    found = wrongs(history)
    assert not found, f"{len(found)} wrong after {dict(faults.struck)}:\n" + "\n".join(found[:20])
    assert len(history.jobs) + len(history.given_up) >= jobs
    figures = f"{strikes} faults of {len(faults.struck)} kinds over {len(history.jobs)} jobs, none lost, none twice"
    return history, f"{figures}; {len(history.given_up)} given up unheard, {len(history.deliveries)} deliveries"
