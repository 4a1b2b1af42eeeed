-- Many heads and many machines: batches that come in piece by piece, keys of repeated requests, priorities, receivers
-- of events, and jobs that are disposed of when they are old.

-- A batch is open until its last line is stored. `last_line` is the last one that was, `touched_at` says when that was:
-- whether somebody still works on it. `writer` counts those who began or went on with it: the last one stores its lines,
-- no other. Batches of earlier editions were stored in one piece.
ALTER TABLE batch ADD COLUMN digest TEXT;
ALTER TABLE batch ADD COLUMN last_line INTEGER NOT NULL DEFAULT 0;
ALTER TABLE batch ADD COLUMN touched_at INTEGER NOT NULL DEFAULT 0;
ALTER TABLE batch ADD COLUMN closed_at INTEGER;
ALTER TABLE batch ADD COLUMN writer INTEGER NOT NULL DEFAULT 1;
UPDATE batch SET closed_at = created_at, touched_at = created_at,
                 last_line = (SELECT coalesce(max(line), 0) FROM job WHERE job.batch_id = batch.id);
CREATE INDEX batch_of_shop ON batch (shop_id, created_at, id);

-- Lines that were refused, each with its problem.
CREATE TABLE refused_line (
    batch_id         TEXT    NOT NULL REFERENCES batch (id),
    line             INTEGER NOT NULL,
    client_reference TEXT,
    problem          BLOB    NOT NULL,
    PRIMARY KEY (batch_id, line)
) STRICT;

-- What a request that named a key has made, so that a second one makes nothing.
CREATE TABLE repeated (
    shop_id     TEXT    NOT NULL,
    operation   TEXT    NOT NULL,
    key         TEXT    NOT NULL,
    fingerprint TEXT    NOT NULL,
    resource_id TEXT    NOT NULL,
    created_at  INTEGER NOT NULL,
    PRIMARY KEY (shop_id, operation, key)
) STRICT;
CREATE INDEX repeated_age ON repeated (created_at);
CREATE INDEX repeated_resource ON repeated (resource_id);

-- Higher goes first within a shop. `trace_parent` is that of the request (W3C Trace Context).
ALTER TABLE task ADD COLUMN priority INTEGER NOT NULL DEFAULT 0;
ALTER TABLE task ADD COLUMN trace_parent TEXT;
DROP INDEX task_open;
CREATE INDEX task_open ON task (shop_id, priority DESC, created_at, id) WHERE state IN ('queued', 'running');
CREATE INDEX task_of_batch ON task (batch_id, state) WHERE batch_id IS NOT NULL;

CREATE INDEX job_of_shop ON job (shop_id, created_at, id);

-- Who is told of events. The secrets are wrapped; the old one goes on signing for a while after a new one was made.
-- A receiver that fails is let be until `not_before`.
CREATE TABLE receiver (
    id            TEXT    NOT NULL PRIMARY KEY,
    shop_id       TEXT    NOT NULL,
    url           TEXT    NOT NULL,
    description   TEXT    NOT NULL,
    events        TEXT    NOT NULL,
    state         TEXT    NOT NULL CHECK (state IN ('enabled', 'disabled')),
    reason        TEXT,
    created_at    INTEGER NOT NULL,
    served        INTEGER NOT NULL DEFAULT 0,
    failing_since INTEGER,
    failures      INTEGER NOT NULL DEFAULT 0,
    not_before    INTEGER NOT NULL DEFAULT 0,
    old_until     INTEGER,
    secret        BLOB    NOT NULL,
    old_secret    BLOB
) STRICT;
CREATE INDEX receiver_of_shop ON receiver (shop_id, created_at, id);

-- The id is that of the message. What is told is made from the event and its owner when it is sent. `attempt` begins
-- anew with a message that is sent again; `fence` goes on, so that nobody is taken for another.
CREATE TABLE delivery (
    id           TEXT    NOT NULL PRIMARY KEY,
    shop_id      TEXT    NOT NULL,
    receiver_id  TEXT    NOT NULL REFERENCES receiver (id) ON DELETE CASCADE,
    event        TEXT    NOT NULL,
    owner_id     TEXT    NOT NULL,
    occurred_at  INTEGER NOT NULL,
    request_id   TEXT    NOT NULL,
    trace_parent TEXT,
    state        TEXT    NOT NULL CHECK (state IN ('queued', 'running', 'delivered', 'dead')),
    attempt      INTEGER NOT NULL DEFAULT 0,
    fence        INTEGER NOT NULL DEFAULT 0,
    lease_until  INTEGER,
    not_before   INTEGER NOT NULL,
    status       INTEGER,
    reason       TEXT,
    finished_at  INTEGER,
    CHECK ((state = 'running') = (lease_until IS NOT NULL)),
    CHECK ((state IN ('delivered', 'dead')) = (finished_at IS NOT NULL))
) STRICT;
CREATE INDEX delivery_open ON delivery (receiver_id, not_before) WHERE state IN ('queued', 'running');
CREATE INDEX delivery_of_receiver ON delivery (receiver_id, occurred_at, id);
CREATE INDEX delivery_finished ON delivery (finished_at) WHERE finished_at IS NOT NULL;

-- What is left of a job that was disposed of. Only a job that stands here can be deleted.
CREATE TABLE disposal (
    job_id      TEXT    NOT NULL PRIMARY KEY,
    shop_id     TEXT    NOT NULL,
    digest      TEXT    NOT NULL,
    disposed_at INTEGER NOT NULL
) STRICT;
DROP TRIGGER job_is_kept;
CREATE TRIGGER job_is_kept BEFORE DELETE ON job WHEN NOT EXISTS (SELECT 1 FROM disposal WHERE job_id = OLD.id)
BEGIN SELECT RAISE(ABORT, 'a job is kept'); END;
DROP TRIGGER plan_is_kept;
CREATE TRIGGER plan_is_kept BEFORE DELETE ON plan WHEN NOT EXISTS (SELECT 1 FROM disposal WHERE job_id = OLD.job_id)
BEGIN SELECT RAISE(ABORT, 'a plan is kept'); END;
DROP TRIGGER evaluation_is_kept;
CREATE TRIGGER evaluation_is_kept BEFORE DELETE ON evaluation
WHEN NOT EXISTS (SELECT 1 FROM disposal WHERE job_id = OLD.job_id)
BEGIN SELECT RAISE(ABORT, 'an evaluation is kept'); END;
CREATE TRIGGER disposal_is_immutable BEFORE UPDATE ON disposal
BEGIN SELECT RAISE(ABORT, 'a disposal is immutable'); END;
CREATE TRIGGER disposal_is_kept BEFORE DELETE ON disposal
BEGIN SELECT RAISE(ABORT, 'a disposal is kept'); END;
CREATE INDEX job_follows ON job (follows) WHERE follows IS NOT NULL;
