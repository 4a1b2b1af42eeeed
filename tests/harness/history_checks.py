"""What must be true of every history: one function for each promise, which says what breaks it."""

from collections import Counter, defaultdict
from collections.abc import Iterator

from harness.history import History
from harness.shop import TERMINAL


def answers(history: History) -> Iterator[str]:
    yield from (f"an answer nobody expects: {words}" for words in history.unexpected)


def keys(history: History) -> Iterator[str]:
    """One idempotency key, one job; one job, one shop."""
    for key, jobs in history.accepted.items():
        if len(set(jobs)) != 1:
            yield f"key {key} made {len(set(jobs))} jobs: {sorted(set(jobs))}"
    owners = Counter(job for jobs in history.accepted.values() for job in set(jobs))
    yield from (f"job {job} was made by {count} keys" for job, count in owners.items() if count > 1)
    yield from (f"job {job} belongs to {shops}" for job, shops in history.shops.items() if len(shops) != 1)


def ends(history: History) -> Iterator[str]:
    """Whatever was accepted is over, once and for good, and well: nothing was wrong with what was posted."""
    for job in history.jobs:
        states = history.states.get(job, [])
        over = [state for state in states if state in TERMINAL]
        if not over:
            yield f"job {job} was accepted and is lost: {states[-1:] or 'nobody knows it'}"
        elif len(set(over)) > 1:
            yield f"job {job} ended more than once: {sorted(set(over))}"
        elif over[0] != "done":
            yield f"job {job} {over[0]}"
        if over and set(states[states.index(over[0]) :]) - TERMINAL:
            yield f"job {job} was over and went on"


def sheets(history: History) -> Iterator[str]:
    """What is done has one sheet, whose ETag is the digest of its bytes, the same for whoever reads it whenever."""
    for job in history.jobs:
        read = history.sheets.get(job, set())
        if "done" in history.states.get(job, []) and not read:
            yield f"job {job} is done and has no sheet"
        if len({digest for _, digest in read}) > 1:
            yield f"the sheet of job {job} has changed its bytes"
        yield from (f"the ETag of job {job} is not its digest" for tag, digest in read if tag != f'"{digest}"')


def sign_offs(history: History) -> Iterator[str]:
    """One wish to sign, one record, one entry of the trail."""
    codes, records = defaultdict(set), Counter()
    for one in history.sign_offs:
        codes[one.key].add(one.code)
    for key, found in codes.items():
        if len(found) != 1:
            yield f"the wish to sign {key} was recorded {len(found)} times: {sorted(found)}"
    for code in {one.code for one in history.sign_offs}:
        if len({one.job for one in history.sign_offs if one.code == code}) != 1:
            yield f"sign-off {code} is of more than one job"
    for job in {one.job: None for one in history.sign_offs}:
        records[f"job {job}"] = len({one.key for one in history.sign_offs if one.job == job})
    trail = Counter(entry["to"] for entry in history.audit if entry["what"] == "signed")
    for to in records.keys() | trail.keys():
        if records[to] != trail[to]:
            yield f"{to}: {records[to]} were told it is signed, the trail says {trail[to]}"


def trail(history: History) -> Iterator[str]:
    """Submitted once; rendered once if done, else never; no job that nobody asked for."""
    submitted = Counter(entry["to"] for entry in history.audit if entry["what"] == "submitted")
    rendered = Counter(entry["to"] for entry in history.audit if entry["what"] == "rendered")
    yield from (f"{to} was rendered {count} times" for to, count in rendered.items() if count > 1)
    yield from (f"{to} was submitted {count} times" for to, count in submitted.items() if count > 1)
    for job in history.jobs:
        if not submitted[f"job {job}"]:
            yield f"the trail does not know of job {job}"
        if "done" in history.states.get(job, []) and not rendered[f"sheet {job}"]:
            yield f"the trail does not know of the sheet of job {job}"
    unknown = submitted.keys() - {f"job {job}" for job in history.jobs}
    if len(unknown) > len(history.given_up):
        yield f"{len(unknown)} jobs nobody was told of, {len(history.given_up)} could be: {sorted(unknown)[:5]}"


def stored(history: History) -> Iterator[str]:
    """Nothing is under way any more; each task that is done has its artifact, and each artifact its file."""
    if history.stored is None:
        yield "nobody looked into the store"
        return
    tasks, artifacts, files = history.stored.tasks, history.stored.artifacts, history.stored.files
    yield from (f"the {kind} of {owner} is still {state}" for owner, kind, state in tasks if state not in TERMINAL)
    done = Counter((owner, kind) for owner, kind, state in tasks if state == "done")
    made = Counter((owner, kind) for owner, kind, _ in artifacts)
    yield from (f"{kind} of {owner}: {n} artifacts" for (owner, kind), n in made.items() if n > 1)
    yield from (f"the {kind} of {owner} is done without an artifact" for owner, kind in done.keys() - made.keys())
    yield from (f"an artifact nobody made: {kind} of {owner}" for owner, kind in made.keys() - done.keys())
    yield from (f"the file of the {kind} of {owner} is gone" for owner, kind, digest in artifacts if not files[digest])
    digests = {owner: digest for owner, kind, digest in artifacts if kind == "sheet"}
    for job, read in history.sheets.items():
        if any(digest != digests.get(job) for _, digest in read):
            yield f"what was read as the sheet of job {job} is not what is stored"
    queued = {owner for owner, kind, _ in tasks if kind == "sheet"}
    yield from (f"the store does not know of job {job}" for job in history.jobs - queued)


def events(history: History) -> Iterator[str]:
    """Each subscribed event came, genuine, with one id however often; nothing is told that did not happen."""
    yield from (f"delivery {one.id} has a wrong signature" for one in history.deliveries if not one.genuine)
    said = defaultdict(set)
    # Of a job whose poster gave up before there was an answer only the trail tells.
    drawn = {entry["to"] for entry in history.audit if entry["what"] == "rendered"}
    for one in history.deliveries:
        said[one.kind, one.about].add((one.id, one.body))
        state = history.subscribed.get(one.kind)
        if state is None:
            yield f"delivery {one.id}: nobody asked for {one.kind}"
        elif state not in history.states.get(one.about, []) and f"sheet {one.about}" not in drawn:
            yield f"delivery {one.id} says {one.kind} of {one.about}, which did not happen"
    for (kind, about), ids in said.items():
        if len(ids) > 1:
            yield f"{kind} of {about} was told as {len(ids)} things"
    for kind, state in history.subscribed.items():
        for job in history.jobs:
            if state in history.states.get(job, []) and (kind, job) not in said:
                yield f"nobody was told {kind} of {job}"


CHECKS = (answers, keys, ends, sheets, sign_offs, trail, stored, events)


def faults(history: History) -> list[str]:
    """Everything that is wrong with a run that has come to rest."""
    return [words for check in CHECKS for words in check(history)]
