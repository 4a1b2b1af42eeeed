-- The newest heads of a profile, and what was told of a job.
CREATE INDEX observation_of_profile ON observation (shop_id, profile_id, measured_at, job_id);
CREATE INDEX delivery_of_owner ON delivery (owner_id);
