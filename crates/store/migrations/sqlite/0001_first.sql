-- Ids are UUIDv7 as text, times are unix milliseconds, documents are opaque bytes.
-- Blobs stand last in their row, so that reading a record never walks over them.

CREATE TABLE head (
    id         TEXT NOT NULL PRIMARY KEY,
    shop_id    TEXT NOT NULL,
    reference  TEXT NOT NULL,
    UNIQUE (shop_id, reference)
) STRICT;

CREATE TABLE batch (
    id         TEXT    NOT NULL PRIMARY KEY,
    shop_id    TEXT    NOT NULL,
    created_at INTEGER NOT NULL
) STRICT;

CREATE TABLE job (
    id               TEXT    NOT NULL PRIMARY KEY,
    shop_id          TEXT    NOT NULL,
    head_id          TEXT    NOT NULL REFERENCES head (id),
    batch_id         TEXT    REFERENCES batch (id),
    line             INTEGER,
    client_reference TEXT,
    stage            TEXT    NOT NULL,
    revision         INTEGER NOT NULL CHECK (revision >= 1),
    follows          TEXT    REFERENCES job (id),
    paper            TEXT    NOT NULL,
    locale           TEXT    NOT NULL,
    request_id       TEXT    NOT NULL,
    created_at       INTEGER NOT NULL,
    measurement_set  BLOB    NOT NULL,
    profile          BLOB    NOT NULL,
    UNIQUE (head_id, stage, revision),
    CHECK ((batch_id IS NULL) = (line IS NULL))
) STRICT;
CREATE UNIQUE INDEX job_line ON job (batch_id, line) WHERE batch_id IS NOT NULL;

CREATE TABLE evaluation (
    job_id      TEXT NOT NULL PRIMARY KEY REFERENCES job (id),
    shop_id     TEXT NOT NULL,
    digest      TEXT NOT NULL,
    disposition TEXT NOT NULL,
    document    BLOB NOT NULL
) STRICT;

CREATE TABLE profile (
    shop_id    TEXT    NOT NULL,
    id         TEXT    NOT NULL,
    revision   TEXT    NOT NULL,
    digest     TEXT    NOT NULL,
    created_at INTEGER NOT NULL,
    document   BLOB    NOT NULL,
    PRIMARY KEY (shop_id, id, revision)
) STRICT;

-- `batch_id` repeats the job's batch on its sheet task, so that a batch report sees what it
-- waits for in one index probe. `stops` counts the leases that ran out.
CREATE TABLE task (
    id           TEXT    NOT NULL PRIMARY KEY,
    shop_id      TEXT    NOT NULL,
    kind         TEXT    NOT NULL CHECK (kind IN ('sheet', 'batch-report')),
    owner_id     TEXT    NOT NULL,
    batch_id     TEXT,
    state        TEXT    NOT NULL CHECK (state IN ('queued', 'running', 'done', 'failed', 'cancelled')),
    attempt      INTEGER NOT NULL DEFAULT 0 CHECK (attempt BETWEEN 0 AND max_attempts),
    max_attempts INTEGER NOT NULL CHECK (max_attempts >= 1),
    stops        INTEGER NOT NULL DEFAULT 0,
    lease_until  INTEGER,
    not_before   INTEGER NOT NULL,
    reason       TEXT,
    request_id   TEXT    NOT NULL,
    created_at   INTEGER NOT NULL,
    finished_at  INTEGER,
    UNIQUE (owner_id, kind),
    CHECK ((state = 'running') = (lease_until IS NOT NULL)),
    CHECK ((state IN ('done', 'failed', 'cancelled')) = (finished_at IS NOT NULL))
) STRICT;
CREATE INDEX task_open ON task (shop_id, created_at, id) WHERE state IN ('queued', 'running');
CREATE INDEX task_due ON task (not_before) WHERE state = 'queued';
CREATE INDEX task_leased ON task (lease_until) WHERE state = 'running';
CREATE INDEX task_open_sheet ON task (batch_id) WHERE kind = 'sheet' AND state IN ('queued', 'running');

-- The order in which shops are served: the lowest `served` has waited longest.
CREATE TABLE shop_turn (
    shop_id TEXT    NOT NULL PRIMARY KEY,
    served  INTEGER NOT NULL DEFAULT 0
) STRICT;
CREATE INDEX shop_turn_order ON shop_turn (served, shop_id);

CREATE TABLE artifact (
    id         TEXT    NOT NULL PRIMARY KEY,
    shop_id    TEXT    NOT NULL,
    owner_id   TEXT    NOT NULL,
    kind       TEXT    NOT NULL CHECK (kind IN ('sheet', 'batch-report')),
    path       TEXT    NOT NULL UNIQUE,
    size       INTEGER NOT NULL,
    sha256     TEXT    NOT NULL,
    created_at INTEGER NOT NULL,
    UNIQUE (owner_id, kind)
) STRICT;

-- What was accepted stays as it was accepted, whatever the program above does.
CREATE TRIGGER job_is_immutable BEFORE UPDATE ON job
BEGIN SELECT RAISE(ABORT, 'a job is immutable'); END;
CREATE TRIGGER job_is_kept BEFORE DELETE ON job
BEGIN SELECT RAISE(ABORT, 'a job is kept'); END;
CREATE TRIGGER evaluation_is_immutable BEFORE UPDATE ON evaluation
BEGIN SELECT RAISE(ABORT, 'an evaluation is immutable'); END;
CREATE TRIGGER profile_is_immutable BEFORE UPDATE ON profile
BEGIN SELECT RAISE(ABORT, 'a stored profile is immutable'); END;
