-- All that the embedded database has after its migration of the same number; what each table is for stands there.
-- Texts compare by their bytes, so that both databases put ids in the same order.

CREATE TABLE head (
    id        TEXT COLLATE "C" PRIMARY KEY,
    shop_id   TEXT COLLATE "C" NOT NULL,
    reference TEXT COLLATE "C" NOT NULL,
    UNIQUE (shop_id, reference)
);

CREATE TABLE batch (
    id         TEXT COLLATE "C" PRIMARY KEY,
    shop_id    TEXT COLLATE "C" NOT NULL,
    created_at BIGINT NOT NULL,
    digest     TEXT,
    last_line  BIGINT NOT NULL DEFAULT 0,
    touched_at BIGINT NOT NULL DEFAULT 0,
    closed_at  BIGINT,
    writer     BIGINT NOT NULL DEFAULT 1
);
CREATE INDEX batch_of_shop ON batch (shop_id, created_at, id);

CREATE TABLE refused_line (
    batch_id         TEXT COLLATE "C" NOT NULL REFERENCES batch (id),
    line             BIGINT NOT NULL,
    client_reference TEXT,
    problem          BYTEA NOT NULL,
    PRIMARY KEY (batch_id, line)
);

CREATE TABLE job (
    id               TEXT COLLATE "C" PRIMARY KEY,
    shop_id          TEXT COLLATE "C" NOT NULL,
    head_id          TEXT COLLATE "C" NOT NULL REFERENCES head (id),
    batch_id         TEXT COLLATE "C" REFERENCES batch (id),
    line             BIGINT,
    client_reference TEXT,
    stage            TEXT COLLATE "C" NOT NULL,
    revision         BIGINT NOT NULL CHECK (revision >= 1),
    follows          TEXT COLLATE "C" REFERENCES job (id),
    paper            TEXT NOT NULL,
    locale           TEXT NOT NULL,
    request_id       TEXT NOT NULL,
    created_at       BIGINT NOT NULL,
    measurement_set  BYTEA NOT NULL,
    profile          BYTEA NOT NULL,
    UNIQUE (head_id, stage, revision),
    CHECK ((batch_id IS NULL) = (line IS NULL))
);
CREATE UNIQUE INDEX job_line ON job (batch_id, line) WHERE batch_id IS NOT NULL;
CREATE INDEX job_of_shop ON job (shop_id, created_at, id);
CREATE INDEX job_follows ON job (follows) WHERE follows IS NOT NULL;

CREATE TABLE evaluation (
    job_id      TEXT COLLATE "C" PRIMARY KEY REFERENCES job (id),
    shop_id     TEXT COLLATE "C" NOT NULL,
    digest      TEXT NOT NULL,
    disposition TEXT NOT NULL,
    document    BYTEA NOT NULL
);

CREATE TABLE plan (
    job_id   TEXT COLLATE "C" PRIMARY KEY REFERENCES job (id),
    shop_id  TEXT COLLATE "C" NOT NULL,
    digest   TEXT NOT NULL,
    document BYTEA NOT NULL
);

CREATE TABLE profile (
    shop_id    TEXT COLLATE "C" NOT NULL,
    id         TEXT COLLATE "C" NOT NULL,
    revision   TEXT COLLATE "C" NOT NULL,
    digest     TEXT NOT NULL,
    created_at BIGINT NOT NULL,
    document   BYTEA NOT NULL,
    PRIMARY KEY (shop_id, id, revision)
);

CREATE TABLE repeated (
    shop_id     TEXT COLLATE "C" NOT NULL,
    operation   TEXT COLLATE "C" NOT NULL,
    key         TEXT COLLATE "C" NOT NULL,
    fingerprint TEXT NOT NULL,
    resource_id TEXT COLLATE "C" NOT NULL,
    created_at  BIGINT NOT NULL,
    PRIMARY KEY (shop_id, operation, key)
);
CREATE INDEX repeated_age ON repeated (created_at);
CREATE INDEX repeated_resource ON repeated (resource_id);

CREATE TABLE task (
    id           TEXT COLLATE "C" PRIMARY KEY,
    shop_id      TEXT COLLATE "C" NOT NULL,
    kind         TEXT COLLATE "C" NOT NULL,
    owner_id     TEXT COLLATE "C" NOT NULL,
    batch_id     TEXT COLLATE "C",
    state        TEXT COLLATE "C" NOT NULL CHECK (state IN ('queued', 'running', 'done', 'failed', 'cancelled')),
    attempt      BIGINT NOT NULL DEFAULT 0 CHECK (attempt BETWEEN 0 AND max_attempts),
    max_attempts BIGINT NOT NULL CHECK (max_attempts >= 1),
    stops        BIGINT NOT NULL DEFAULT 0,
    lease_until  BIGINT,
    not_before   BIGINT NOT NULL,
    reason       TEXT,
    request_id   TEXT NOT NULL,
    created_at   BIGINT NOT NULL,
    finished_at  BIGINT,
    priority     BIGINT NOT NULL DEFAULT 0,
    trace_parent TEXT,
    UNIQUE (owner_id, kind),
    CHECK ((state = 'running') = (lease_until IS NOT NULL)),
    CHECK ((state IN ('done', 'failed', 'cancelled')) = (finished_at IS NOT NULL))
);
CREATE INDEX task_open ON task (shop_id, priority DESC, created_at, id) WHERE state IN ('queued', 'running');
CREATE INDEX task_due ON task (not_before) WHERE state = 'queued';
CREATE INDEX task_leased ON task (lease_until) WHERE state = 'running';
CREATE INDEX task_open_sheet ON task (batch_id) WHERE kind = 'sheet' AND state IN ('queued', 'running');
CREATE INDEX task_of_batch ON task (batch_id, state) WHERE batch_id IS NOT NULL;

CREATE TABLE shop_turn (
    shop_id TEXT COLLATE "C" PRIMARY KEY,
    served  BIGINT NOT NULL DEFAULT 0
);
CREATE INDEX shop_turn_order ON shop_turn (served, shop_id);

CREATE TABLE artifact (
    id         TEXT COLLATE "C" PRIMARY KEY,
    shop_id    TEXT COLLATE "C" NOT NULL,
    owner_id   TEXT COLLATE "C" NOT NULL,
    kind       TEXT COLLATE "C" NOT NULL,
    path       TEXT COLLATE "C" NOT NULL UNIQUE,
    size       BIGINT NOT NULL,
    sha256     TEXT COLLATE "C" NOT NULL,
    created_at BIGINT NOT NULL,
    UNIQUE (owner_id, kind)
);
CREATE INDEX artifact_digest ON artifact (shop_id, sha256);

CREATE TABLE person (
    id         TEXT COLLATE "C" PRIMARY KEY,
    shop_id    TEXT COLLATE "C" NOT NULL,
    name       TEXT NOT NULL,
    role       TEXT NOT NULL,
    subject    TEXT COLLATE "C",
    created_at BIGINT NOT NULL,
    left_at    BIGINT
);
CREATE UNIQUE INDEX person_subject ON person (shop_id, subject) WHERE subject IS NOT NULL AND left_at IS NULL;

CREATE TABLE certificate (
    id          TEXT COLLATE "C" PRIMARY KEY,
    shop_id     TEXT COLLATE "C" NOT NULL,
    person_id   TEXT COLLATE "C" REFERENCES person (id),
    fingerprint TEXT COLLATE "C" NOT NULL,
    created_at  BIGINT NOT NULL,
    chain       BYTEA NOT NULL,
    locked_key  BYTEA NOT NULL
);
CREATE INDEX certificate_of ON certificate (shop_id, person_id, created_at);
CREATE UNIQUE INDEX certificate_known ON certificate (shop_id, fingerprint);

CREATE TABLE access_key (
    id            TEXT COLLATE "C" PRIMARY KEY,
    shop_id       TEXT COLLATE "C" NOT NULL,
    label         TEXT NOT NULL,
    scopes        TEXT NOT NULL,
    person_id     TEXT COLLATE "C" REFERENCES person (id),
    secret_sha256 BYTEA NOT NULL,
    created_at    BIGINT NOT NULL,
    expires_at    BIGINT,
    revoked_at    BIGINT
);
CREATE INDEX access_key_of ON access_key (shop_id, created_at);

CREATE TABLE sign_off (
    id             TEXT COLLATE "C" PRIMARY KEY,
    shop_id        TEXT COLLATE "C" NOT NULL,
    job_id         TEXT COLLATE "C" NOT NULL REFERENCES job (id),
    head_id        TEXT COLLATE "C" NOT NULL REFERENCES head (id),
    person_id      TEXT COLLATE "C" NOT NULL REFERENCES person (id),
    certificate_id TEXT COLLATE "C" NOT NULL REFERENCES certificate (id),
    meaning        TEXT COLLATE "C" NOT NULL,
    code           TEXT COLLATE "C" NOT NULL,
    digest         TEXT NOT NULL,
    signed_at      BIGINT NOT NULL,
    document       BYTEA NOT NULL,
    UNIQUE (job_id, person_id, meaning)
);
CREATE UNIQUE INDEX sign_off_code ON sign_off (shop_id, code);
CREATE INDEX sign_off_of_head ON sign_off (head_id, id);

CREATE TABLE audit (
    shop_id  TEXT COLLATE "C" NOT NULL,
    sequence BIGINT NOT NULL,
    digest   TEXT NOT NULL,
    line     BYTEA NOT NULL,
    PRIMARY KEY (shop_id, sequence)
);

CREATE TABLE receiver (
    id            TEXT COLLATE "C" PRIMARY KEY,
    shop_id       TEXT COLLATE "C" NOT NULL,
    url           TEXT NOT NULL,
    description   TEXT NOT NULL,
    events        TEXT NOT NULL,
    state         TEXT COLLATE "C" NOT NULL CHECK (state IN ('enabled', 'disabled')),
    reason        TEXT,
    created_at    BIGINT NOT NULL,
    served        BIGINT NOT NULL DEFAULT 0,
    failing_since BIGINT,
    failures      BIGINT NOT NULL DEFAULT 0,
    not_before    BIGINT NOT NULL DEFAULT 0,
    old_until     BIGINT,
    secret        BYTEA NOT NULL,
    old_secret    BYTEA
);
CREATE INDEX receiver_of_shop ON receiver (shop_id, created_at, id);

CREATE TABLE delivery (
    id           TEXT COLLATE "C" PRIMARY KEY,
    shop_id      TEXT COLLATE "C" NOT NULL,
    receiver_id  TEXT COLLATE "C" NOT NULL REFERENCES receiver (id) ON DELETE CASCADE,
    event        TEXT COLLATE "C" NOT NULL,
    owner_id     TEXT COLLATE "C" NOT NULL,
    occurred_at  BIGINT NOT NULL,
    request_id   TEXT NOT NULL,
    trace_parent TEXT,
    state        TEXT COLLATE "C" NOT NULL CHECK (state IN ('queued', 'running', 'delivered', 'dead')),
    attempt      BIGINT NOT NULL DEFAULT 0,
    fence        BIGINT NOT NULL DEFAULT 0,
    lease_until  BIGINT,
    not_before   BIGINT NOT NULL,
    status       BIGINT,
    reason       TEXT,
    finished_at  BIGINT,
    CHECK ((state = 'running') = (lease_until IS NOT NULL)),
    CHECK ((state IN ('delivered', 'dead')) = (finished_at IS NOT NULL))
);
CREATE INDEX delivery_open ON delivery (receiver_id, not_before) WHERE state IN ('queued', 'running');
CREATE INDEX delivery_of_receiver ON delivery (receiver_id, occurred_at, id);
CREATE INDEX delivery_finished ON delivery (finished_at) WHERE finished_at IS NOT NULL;

CREATE TABLE disposal (
    job_id      TEXT COLLATE "C" PRIMARY KEY,
    shop_id     TEXT COLLATE "C" NOT NULL,
    digest      TEXT NOT NULL,
    disposed_at BIGINT NOT NULL
);

-- What was accepted stays as it was accepted, whatever the program above does.
CREATE FUNCTION headproof_refuse() RETURNS trigger LANGUAGE plpgsql AS
$$ BEGIN RAISE EXCEPTION '%', TG_ARGV[0] USING ERRCODE = 'integrity_constraint_violation'; END $$;
CREATE FUNCTION headproof_refuse_unless_disposed() RETURNS trigger LANGUAGE plpgsql AS
$$ DECLARE
    job TEXT;
BEGIN
    IF TG_TABLE_NAME = 'job' THEN job := OLD.id; ELSE job := OLD.job_id; END IF;
    IF EXISTS (SELECT 1 FROM disposal WHERE disposal.job_id = job) THEN
        RETURN OLD;
    END IF;
    RAISE EXCEPTION '%', TG_ARGV[0] USING ERRCODE = 'integrity_constraint_violation';
END $$;

CREATE TRIGGER job_is_immutable BEFORE UPDATE ON job
FOR EACH ROW EXECUTE FUNCTION headproof_refuse('a job is immutable');
CREATE TRIGGER job_is_kept BEFORE DELETE ON job
FOR EACH ROW EXECUTE FUNCTION headproof_refuse_unless_disposed('a job is kept');
CREATE TRIGGER evaluation_is_immutable BEFORE UPDATE ON evaluation
FOR EACH ROW EXECUTE FUNCTION headproof_refuse('an evaluation is immutable');
CREATE TRIGGER evaluation_is_kept BEFORE DELETE ON evaluation
FOR EACH ROW EXECUTE FUNCTION headproof_refuse_unless_disposed('an evaluation is kept');
CREATE TRIGGER plan_is_immutable BEFORE UPDATE ON plan
FOR EACH ROW EXECUTE FUNCTION headproof_refuse('a plan is immutable');
CREATE TRIGGER plan_is_kept BEFORE DELETE ON plan
FOR EACH ROW EXECUTE FUNCTION headproof_refuse_unless_disposed('a plan is kept');
CREATE TRIGGER profile_is_immutable BEFORE UPDATE ON profile
FOR EACH ROW EXECUTE FUNCTION headproof_refuse('a stored profile is immutable');
CREATE TRIGGER sign_off_is_immutable BEFORE UPDATE ON sign_off
FOR EACH ROW EXECUTE FUNCTION headproof_refuse('a sign-off is immutable');
CREATE TRIGGER sign_off_is_kept BEFORE DELETE ON sign_off
FOR EACH ROW EXECUTE FUNCTION headproof_refuse('a sign-off is kept');
CREATE TRIGGER certificate_is_immutable BEFORE UPDATE ON certificate
FOR EACH ROW EXECUTE FUNCTION headproof_refuse('a certificate is immutable');
CREATE TRIGGER certificate_is_kept BEFORE DELETE ON certificate
FOR EACH ROW EXECUTE FUNCTION headproof_refuse('a certificate is kept');
CREATE TRIGGER audit_is_immutable BEFORE UPDATE ON audit
FOR EACH ROW EXECUTE FUNCTION headproof_refuse('an entry of the audit trail is immutable');
CREATE TRIGGER audit_is_kept BEFORE DELETE ON audit
FOR EACH ROW EXECUTE FUNCTION headproof_refuse('an entry of the audit trail is kept');
CREATE TRIGGER disposal_is_immutable BEFORE UPDATE ON disposal
FOR EACH ROW EXECUTE FUNCTION headproof_refuse('a disposal is immutable');
CREATE TRIGGER disposal_is_kept BEFORE DELETE ON disposal
FOR EACH ROW EXECUTE FUNCTION headproof_refuse('a disposal is kept');
