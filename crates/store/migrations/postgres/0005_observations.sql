-- As in the embedded database.
CREATE TABLE observation (
    job_id      TEXT COLLATE "C" PRIMARY KEY REFERENCES job (id) ON DELETE CASCADE,
    shop_id     TEXT COLLATE "C" NOT NULL,
    batch_id    TEXT COLLATE "C",
    measured_at BIGINT NOT NULL,
    profile_id  TEXT COLLATE "C" NOT NULL,
    document    BYTEA NOT NULL
);
CREATE INDEX observation_of_shop ON observation (shop_id, measured_at, job_id);
CREATE INDEX observation_of_batch ON observation (batch_id, measured_at, job_id) WHERE batch_id IS NOT NULL;
