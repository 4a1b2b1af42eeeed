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
    **ALLOWED,
}


def run_with_faults(fleet: Fleet, faults: Faults, store, jobs: int, strikes: int, seed: int) -> tuple[History, str]:
    """Posts `jobs` jobs while `strikes` faults strike; returns the history, in which nothing is wrong, and figures."""
    fleet.expect_errors()
    load = Load(fleet.addresses, jobs, seed)
    receiver = Receiver(load.history)
    try:
        with Shop(fleet.addresses[0]) as shop:
            receiver.subscribe(shop)
        load.allowed = 0
        load.start()
        try:
            faults.strike(load, strikes)
        except BaseException:
            load.stopped.set()
            raise
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
    # Faults that fall into nothing prove nothing.
    tried_again = int(store.query("SELECT count(*) FROM task WHERE attempt > 1")[0][0])
    assert load.borne.total() > 0 and tried_again > 0 and faults.into_work > 0, (load.borne, tried_again)
    figures = f"{strikes} faults of {len(faults.struck)} kinds over {len(history.jobs)} jobs, none lost, none twice"
    borne = ", ".join(f"{count} {what}" for what, count in sorted(load.borne.items()))
    told = f"{len(history.deliveries)} deliveries"
    return history, f"{figures}; {tried_again} tasks tried again; answers: {borne}; {told}"
