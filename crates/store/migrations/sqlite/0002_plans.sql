-- The rework plan of a job that asked for one. A table of its own, because a column added to `job` would stand
-- behind its blobs, and reading a record would walk over them.
CREATE TABLE plan (
    job_id   TEXT NOT NULL PRIMARY KEY REFERENCES job (id),
    shop_id  TEXT NOT NULL,
    digest   TEXT NOT NULL,
    document BLOB NOT NULL
) STRICT;
CREATE TRIGGER plan_is_immutable BEFORE UPDATE ON plan
BEGIN SELECT RAISE(ABORT, 'a plan is immutable'); END;
CREATE TRIGGER plan_is_kept BEFORE DELETE ON plan
BEGIN SELECT RAISE(ABORT, 'a plan is kept'); END;
