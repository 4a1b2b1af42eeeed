-- Keys, people, sign-offs and the audit trail. Tasks and artifacts of a further kind: SQLite cannot widen a CHECK,
-- so their tables are made anew (https://www.sqlite.org/lang_altertable.html, 7). Which kinds there are, the program
-- says from now on.

CREATE TABLE task_new (
    id           TEXT    NOT NULL PRIMARY KEY,
    shop_id      TEXT    NOT NULL,
    kind         TEXT    NOT NULL,
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
INSERT INTO task_new (id, shop_id, kind, owner_id, batch_id, state, attempt, max_attempts, stops, lease_until,
                      not_before, reason, request_id, created_at, finished_at)
SELECT id, shop_id, kind, owner_id, batch_id, state, attempt, max_attempts, stops, lease_until, not_before, reason,
       request_id, created_at, finished_at
FROM task;
DROP TABLE task;
ALTER TABLE task_new RENAME TO task;
CREATE INDEX task_open ON task (shop_id, created_at, id) WHERE state IN ('queued', 'running');
CREATE INDEX task_due ON task (not_before) WHERE state = 'queued';
CREATE INDEX task_leased ON task (lease_until) WHERE state = 'running';
CREATE INDEX task_open_sheet ON task (batch_id) WHERE kind = 'sheet' AND state IN ('queued', 'running');

CREATE TABLE artifact_new (
    id         TEXT    NOT NULL PRIMARY KEY,
    shop_id    TEXT    NOT NULL,
    owner_id   TEXT    NOT NULL,
    kind       TEXT    NOT NULL,
    path       TEXT    NOT NULL UNIQUE,
    size       INTEGER NOT NULL,
    sha256     TEXT    NOT NULL,
    created_at INTEGER NOT NULL,
    UNIQUE (owner_id, kind)
) STRICT;
INSERT INTO artifact_new (id, shop_id, owner_id, kind, path, size, sha256, created_at)
SELECT id, shop_id, owner_id, kind, path, size, sha256, created_at FROM artifact;
DROP TABLE artifact;
ALTER TABLE artifact_new RENAME TO artifact;
-- Whose is a file that somebody shows?
CREATE INDEX artifact_digest ON artifact (shop_id, sha256);

-- A person who signs. Name and role stand in sign-offs, so they never change; who gets another role is entered anew.
CREATE TABLE person (
    id         TEXT    NOT NULL PRIMARY KEY,
    shop_id    TEXT    NOT NULL,
    name       TEXT    NOT NULL,
    role       TEXT    NOT NULL,
    -- The subject of the tokens of an identity provider that speak for this person.
    subject    TEXT,
    created_at INTEGER NOT NULL,
    left_at    INTEGER
) STRICT;
CREATE UNIQUE INDEX person_subject ON person (shop_id, subject) WHERE subject IS NOT NULL AND left_at IS NULL;

-- Certificates with their keys, locked. Without a person: the shop's own, which vouches for its people. The newest
-- is in use; none is ever removed, because signatures go on naming it.
CREATE TABLE certificate (
    id          TEXT    NOT NULL PRIMARY KEY,
    shop_id     TEXT    NOT NULL,
    person_id   TEXT    REFERENCES person (id),
    fingerprint TEXT    NOT NULL,
    created_at  INTEGER NOT NULL,
    -- Certificates in DER, the own one first, each preceded by its length in four bytes, the highest first.
    chain       BLOB    NOT NULL,
    locked_key  BLOB    NOT NULL
) STRICT;
CREATE INDEX certificate_of ON certificate (shop_id, person_id, created_at);
CREATE UNIQUE INDEX certificate_known ON certificate (shop_id, fingerprint);

-- `secret_sha256` is all that is kept of a key. One that may sign belongs to a person.
CREATE TABLE access_key (
    id            TEXT    NOT NULL PRIMARY KEY,
    shop_id       TEXT    NOT NULL,
    label         TEXT    NOT NULL,
    scopes        TEXT    NOT NULL,
    person_id     TEXT    REFERENCES person (id),
    secret_sha256 BLOB    NOT NULL,
    created_at    INTEGER NOT NULL,
    expires_at    INTEGER,
    revoked_at    INTEGER
) STRICT;
CREATE INDEX access_key_of ON access_key (shop_id, created_at);

CREATE TABLE sign_off (
    id        TEXT    NOT NULL PRIMARY KEY,
    shop_id   TEXT    NOT NULL,
    job_id    TEXT    NOT NULL REFERENCES job (id),
    head_id   TEXT    NOT NULL REFERENCES head (id),
    person_id TEXT    NOT NULL REFERENCES person (id),
    certificate_id TEXT NOT NULL REFERENCES certificate (id),
    meaning   TEXT    NOT NULL,
    code      TEXT    NOT NULL,
    digest    TEXT    NOT NULL,
    signed_at INTEGER NOT NULL,
    document  BLOB    NOT NULL,
    -- A person says a thing about an evaluation once; a second time is somebody else's doing, or a slip.
    UNIQUE (job_id, person_id, meaning)
) STRICT;
CREATE UNIQUE INDEX sign_off_code ON sign_off (shop_id, code);
CREATE INDEX sign_off_of_head ON sign_off (head_id, id);
CREATE TRIGGER sign_off_is_immutable BEFORE UPDATE ON sign_off
BEGIN SELECT RAISE(ABORT, 'a sign-off is immutable'); END;
CREATE TRIGGER sign_off_is_kept BEFORE DELETE ON sign_off
BEGIN SELECT RAISE(ABORT, 'a sign-off is kept'); END;
CREATE TRIGGER evaluation_is_kept BEFORE DELETE ON evaluation
BEGIN SELECT RAISE(ABORT, 'an evaluation is kept'); END;
CREATE TRIGGER certificate_is_immutable BEFORE UPDATE ON certificate
BEGIN SELECT RAISE(ABORT, 'a certificate is immutable'); END;
CREATE TRIGGER certificate_is_kept BEFORE DELETE ON certificate
BEGIN SELECT RAISE(ABORT, 'a certificate is kept'); END;

-- `line` is an entry as headproof-trail writes it, `digest` that of the line.
CREATE TABLE audit (
    shop_id  TEXT    NOT NULL,
    sequence INTEGER NOT NULL,
    digest   TEXT    NOT NULL,
    line     BLOB    NOT NULL,
    PRIMARY KEY (shop_id, sequence)
) STRICT;
CREATE TRIGGER audit_is_immutable BEFORE UPDATE ON audit
BEGIN SELECT RAISE(ABORT, 'an entry of the audit trail is immutable'); END;
CREATE TRIGGER audit_is_kept BEFORE DELETE ON audit
BEGIN SELECT RAISE(ABORT, 'an entry of the audit trail is kept'); END;
