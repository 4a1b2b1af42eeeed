"""The judge of a run is judged: a sound history passes, and whatever breaks a promise is found and named."""

import copy

import pytest

from harness.history import Delivery, History, Stored
from harness.history_checks import faults

DONE = "job.done"


def sound() -> History:
    """Two jobs, one of them signed; one answer had to be asked for twice."""
    history = History(subscribed={DONE: "done"})
    for key, job in (("k1", "j1"), ("k1", "j1"), ("k2", "j2")):
        history.accept(key, job)
    for job in ("j1", "j2"):
        for state in ("queued", "running", "queued", "running", "done", "done"):
            history.saw(job, state)
        history.read(job, f'"digest {job}"', f"digest {job}")
        history.audit += [
            {"what": "submitted", "to": f"job {job}"},
            {"what": "evaluated", "to": f"job {job}"},
            {"what": "rendered", "to": f"sheet {job}"},
        ]
        history.deliveries.append(Delivery(f"m {job}", DONE, job, True, "body"))
    history.signed("s1", "j1", "CODE")
    history.signed("s1", "j1", "CODE")
    history.audit += [{"what": "signed", "to": "job j1"}, {"what": "rendered", "to": "signed-sheet x"}]
    history.deliveries.append(copy.copy(history.deliveries[0]))
    history.stored = Stored()
    for owner, kind in (("j1", "sheet"), ("j2", "sheet"), ("x", "signed-sheet")):
        history.stored.tasks.append((owner, kind, "done"))
        history.stored.artifacts.append((owner, kind, f"digest {owner}"))
        history.stored.files[f"digest {owner}"] = 1
    return history


def change(place, number, **new):
    def apply(history: History) -> None:
        one = getattr(history, place)[number]
        for name, value in new.items():
            setattr(one, name, value)

    return apply


def in_store(place, number, *new):
    return lambda history: getattr(history.stored, place).__setitem__(number, new)


def entry(what, to, *, gone=False):
    one = {"what": what, "to": to}
    return lambda history: history.audit.remove(one) if gone else history.audit.append(one)


def lost(history: History) -> None:
    history.states["j2"] = ["queued", "running"]


def gone(history: History) -> None:
    del history.stored.files["digest j2"]


BROKEN = [
    (lost, "job j2 was accepted and is lost"),
    (lambda h: h.states.pop("j2"), "nobody knows it"),
    (lambda h: h.accept("k2", "j3"), "key k2 made 2 jobs"),
    (lambda h: h.accept("k3", "j1"), "job j1 was made by 2 keys"),
    (lambda h: h.accept("k1", "j1", "another shop"), "job j1 belongs to"),
    (lambda h: h.saw("j1", "failed"), "job j1 ended more than once"),
    (lambda h: h.saw("j1", "running"), "job j1 was over and went on"),
    (lambda h: h.states.update(j1=["queued", "failed"]), "job j1 failed"),
    (lambda h: h.sheets.pop("j1"), "job j1 is done and has no sheet"),
    (lambda h: h.read("j1", '"other"', "other"), "the sheet of job j1 has changed its bytes"),
    (lambda h: h.read("j1", '"other"', "digest j1"), "the ETag of job j1 is not its digest"),
    (lambda h: h.signed("s1", "j1", "SECOND"), "the wish to sign s1 was recorded 2 times"),
    (lambda h: h.signed("s2", "j2", "CODE"), "sign-off CODE is of more than one job"),
    (entry("signed", "job j1"), "job j1: 1 were told it is signed, the trail says 2"),
    (entry("signed", "job j2"), "job j2: 0 were told it is signed, the trail says 1"),
    (entry("signed", "job j1", gone=True), "job j1: 1 were told it is signed, the trail says 0"),
    (entry("submitted", "job j1"), "job j1 was submitted 2 times"),
    (entry("submitted", "job j1", gone=True), "the trail does not know of job j1"),
    (entry("submitted", "job j9"), "1 jobs nobody was told of, 0 could be"),
    (entry("rendered", "sheet j2"), "sheet j2 was rendered 2 times"),
    (entry("rendered", "sheet j2", gone=True), "the trail does not know of the sheet of job j2"),
    (entry("rendered", "signed-sheet x"), "signed-sheet x was rendered 2 times"),
    (lambda h: setattr(h, "stored", None), "nobody looked into the store"),
    (in_store("tasks", 1, "j2", "sheet", "running"), "the sheet of j2 is still running"),
    (lambda h: h.stored.tasks.pop(1), "an artifact nobody made: sheet of j2"),
    (lambda h: h.stored.tasks.pop(1), "the store does not know of job j2"),
    (lambda h: h.stored.artifacts.pop(1), "the sheet of j2 is done without an artifact"),
    (lambda h: h.stored.artifacts.append(h.stored.artifacts[0]), "sheet of j1: 2 artifacts"),
    (gone, "the file of the sheet of j2 is gone"),
    (in_store("artifacts", 0, "j1", "sheet", "digest j2"), "the sheet of job j1 is not what is stored"),
    (change("deliveries", 0, genuine=False), "delivery m j1 has a wrong signature"),
    (change("deliveries", 1, kind="job.eaten"), "nobody asked for job.eaten"),
    (change("deliveries", 1, about="j9"), "says job.done of j9, which did not happen"),
    (change("deliveries", 1, about="j9"), "nobody was told job.done of j2"),
    (change("deliveries", 2, id="m other"), "job.done of j1 was told as 2 things"),
    (change("deliveries", 2, body="other"), "job.done of j1 was told as 2 things"),
    (lambda h: h.object_to("500"), "an answer nobody expects: 500"),
]


def test_a_sound_history_passes():
    assert faults(sound()) == []


@pytest.mark.parametrize(("break_it", "words"), BROKEN, ids=[words for _, words in BROKEN])
def test_what_is_broken_is_found(break_it, words):
    history = sound()
    break_it(history)
    assert [fault for fault in faults(history) if words in fault], faults(history)


def test_who_gave_up_may_have_been_heard_once_but_not_twice():
    history = sound()
    history.give_up("k9")
    history.audit.append({"what": "submitted", "to": "job j9"})
    assert faults(history) == []
    history.audit.append({"what": "submitted", "to": "job j8"})
    assert [fault for fault in faults(history) if fault.startswith("2 jobs nobody was told of, 1 could be")]
