-- What statistics over many heads need of a job: when it was measured, against which profile, and its values in a form
-- of their own. It goes with the job. Jobs of earlier editions have none.
CREATE TABLE observation (
    job_id      TEXT    NOT NULL PRIMARY KEY REFERENCES job (id) ON DELETE CASCADE,
    shop_id     TEXT    NOT NULL,
    batch_id    TEXT,
    measured_at INTEGER NOT NULL,
    profile_id  TEXT    NOT NULL,
    document    BLOB    NOT NULL
) STRICT;
CREATE INDEX observation_of_shop ON observation (shop_id, measured_at, job_id);
CREATE INDEX observation_of_batch ON observation (batch_id, measured_at, job_id) WHERE batch_id IS NOT NULL;
