//! Settings from environment variables.

use std::fmt::Display;
use std::str::FromStr;

use super::{Config, ConfigError, LogFormat, TypefaceFile};

/// Every variable of ours begins like this.
pub(super) const PREFIX: &str = "HEADPROOF_";
/// Names the configuration file.
pub(super) const FILE: &str = "HEADPROOF_CONFIG";

/// Names the service that commands talk to; the service itself does not need it.
pub(crate) const SERVICE: &str = "HEADPROOF_SERVICE";
/// Names the file with the key that commands show there.
pub(crate) const KEY_FILE: &str = "HEADPROOF_KEY_FILE";

/// Names fonts.
pub(super) const TYPEFACES: &str = "HEADPROOF_SHEET_TYPEFACES";

/// Every variable of ours.
pub(super) fn variables() -> impl Iterator<Item = (String, String)> {
    std::env::vars_os().filter_map(|(name, value)| {
        let name = name.into_string().ok().filter(|name| name.starts_with(PREFIX))?;
        Some((name, value.to_string_lossy().into_owned()))
    })
}

/// Applies every variable of ours.
pub(super) fn apply(config: &mut Config, variables: Vec<(String, String)>) -> Result<(), ConfigError> {
    for (name, value) in variables {
        let (api, store, worker, log) =
            (&mut config.api, &mut config.store, &mut config.worker, &mut config.log);
        let outcome = match name.as_str() {
            FILE | SERVICE | KEY_FILE => Ok(()),
            "HEADPROOF_API_LISTEN" => set(&mut api.listen, &value),
            "HEADPROOF_API_ACCESS" => set(&mut api.access, &value),
            "HEADPROOF_API_PUBLIC_URL" => some(&mut api.public_url, &value),
            "HEADPROOF_SIGNING_SECRET_FILE" => some(&mut config.signing.secret_file, &value),
            "HEADPROOF_SIGNING_ORGANISATION" => some(&mut config.signing.organisation, &value),
            "HEADPROOF_SIGNING_TIMESTAMP_URL" => some(&mut config.signing.timestamp_url, &value),
            "HEADPROOF_SIGNING_TIMESTAMP_AUTHORITY" => some(&mut config.signing.timestamp_authority, &value),
            "HEADPROOF_SIGNING_TWO_PERSONS" => set(&mut config.signing.two_persons, &value),
            "HEADPROOF_SIGNING_CONCESSIONS" => set(&mut config.signing.concessions, &value),
            "HEADPROOF_SIGNING_STORED_PROFILES" => set(&mut config.signing.stored_profiles, &value),
            "HEADPROOF_OIDC_ISSUER" => some(&mut config.oidc.issuer, &value),
            "HEADPROOF_OIDC_AUDIENCE" => some(&mut config.oidc.audience, &value),
            "HEADPROOF_OIDC_KEYS_URL" => some(&mut config.oidc.keys_url, &value),
            "HEADPROOF_OIDC_ALGORITHM" => some(&mut config.oidc.algorithm, &value),
            "HEADPROOF_OIDC_SHOP_CLAIM" => some(&mut config.oidc.shop_claim, &value),
            "HEADPROOF_API_OPEN_NETWORK" => set(&mut api.open_network, &value),
            "HEADPROOF_API_THREADS" => set(&mut api.threads, &value),
            "HEADPROOF_API_DOCUMENT_BYTES" => set(&mut api.document_bytes, &value),
            "HEADPROOF_API_BATCH_BYTES" => set(&mut api.batch_bytes, &value),
            "HEADPROOF_API_FILE_BYTES" => set(&mut api.file_bytes, &value),
            "HEADPROOF_API_BATCH_LINES" => set(&mut api.batch_lines, &value),
            "HEADPROOF_API_OPEN_TASKS" => set(&mut api.open_tasks, &value),
            "HEADPROOF_API_IN_FLIGHT" => set(&mut api.in_flight, &value),
            "HEADPROOF_API_REQUESTS" => set(&mut api.requests, &value),
            "HEADPROOF_API_REQUESTS_SECONDS" => set(&mut api.requests_seconds, &value),
            "HEADPROOF_STORE_DIR" => set(&mut store.dir, &value),
            "HEADPROOF_STORE_MAX_ATTEMPTS" => set(&mut store.max_attempts, &value),
            "HEADPROOF_STORE_DATABASE" => some(&mut store.database, &value),
            "HEADPROOF_STORE_DATABASE_FILE" => some(&mut store.database_file, &value),
            "HEADPROOF_STORE_CONNECTIONS" => set(&mut store.connections, &value),
            "HEADPROOF_STORE_PATIENCE_MILLISECONDS" => set(&mut store.patience_milliseconds, &value),
            "HEADPROOF_STORE_START_SECONDS" => set(&mut store.start_seconds, &value),
            "HEADPROOF_STORE_OBJECTS" => some(&mut store.objects, &value),
            "HEADPROOF_STORE_S3_ENDPOINT" => some(&mut store.s3_endpoint, &value),
            "HEADPROOF_STORE_S3_REGION" => set(&mut store.s3_region, &value),
            "HEADPROOF_STORE_S3_ACCESS_KEY_ID" => some(&mut store.s3_access_key_id, &value),
            "HEADPROOF_STORE_S3_SECRET_ACCESS_KEY" => some(&mut store.s3_secret_access_key, &value),
            "HEADPROOF_STORE_S3_SECRET_ACCESS_KEY_FILE" => some(&mut store.s3_secret_access_key_file, &value),
            "HEADPROOF_STORE_RETENTION_DAYS" => set(&mut store.retention_days, &value),
            "HEADPROOF_WEBHOOKS_ALLOW" => set(&mut config.webhooks.allow, &value),
            "HEADPROOF_WEBHOOKS_HTTPS_ONLY" => set(&mut config.webhooks.https_only, &value),
            "HEADPROOF_WEBHOOKS_AT_ONCE" => set(&mut config.webhooks.at_once, &value),
            "HEADPROOF_WEBHOOKS_OVERLAP_HOURS" => set(&mut config.webhooks.overlap_hours, &value),
            "HEADPROOF_WEBHOOKS_DISABLE_DAYS" => set(&mut config.webhooks.disable_days, &value),
            "HEADPROOF_WEBHOOKS_HASTE" => set(&mut config.webhooks.haste, &value),
            "HEADPROOF_WORKER_TASKS" => set(&mut worker.tasks, &value),
            "HEADPROOF_WORKER_LEASE_SECONDS" => set(&mut worker.lease_seconds, &value),
            "HEADPROOF_WORKER_POLL_MILLISECONDS" => set(&mut worker.poll_milliseconds, &value),
            "HEADPROOF_WORKER_BACKOFF_MILLISECONDS" => set(&mut worker.backoff_milliseconds, &value),
            TYPEFACES => list(&mut config.sheet.typefaces, &value),
            "HEADPROOF_WORKER_SHEET_MILLISECONDS" => set(&mut worker.sheet_milliseconds, &value),
            "HEADPROOF_WORKER_SHEET_MEBIBYTES" => set(&mut worker.sheet_mebibytes, &value),
            "HEADPROOF_WORKER_REPORT_MILLISECONDS" => set(&mut worker.report_milliseconds, &value),
            "HEADPROOF_WORKER_REPORT_MEBIBYTES" => set(&mut worker.report_mebibytes, &value),
            "HEADPROOF_LOG_LEVEL" => set(&mut log.level, &value),
            "HEADPROOF_LOG_FORMAT" => set(&mut log.format, &value),
            "HEADPROOF_METRICS_LISTEN" => some(&mut config.metrics.listen, &value),
            "HEADPROOF_METRICS_OPEN_NETWORK" => set(&mut config.metrics.open_network, &value),
            "HEADPROOF_TELEMETRY_OTLP_ENDPOINT" => some(&mut config.telemetry.otlp_endpoint, &value),
            _ => return Err(ConfigError::UnknownVariable(name)),
        };
        outcome.map_err(|message| ConfigError::BadVariable { name, message })?;
    }
    Ok(())
}

fn set<T: FromStr<Err: Display>>(slot: &mut T, value: &str) -> Result<(), String> {
    *slot = value.parse().map_err(|error| format!("{value:?}: {error}"))?;
    Ok(())
}

/// Nothing where there is nothing.
fn some<T: FromStr<Err: Display>>(slot: &mut Option<T>, value: &str) -> Result<(), String> {
    let given = (!value.is_empty()).then(|| value.parse()).transpose();
    *slot = given.map_err(|error| format!("{value:?}: {error}"))?;
    Ok(())
}

/// Files with a colon between them; none where there is nothing.
fn list(slot: &mut Vec<TypefaceFile>, value: &str) -> Result<(), String> {
    let files = value.split(':').filter(|_| !value.is_empty()).map(str::parse);
    *slot = files.collect::<Result<_, _>>().map_err(|error| format!("{value:?}: {error}"))?;
    Ok(())
}

impl FromStr for LogFormat {
    type Err = &'static str;

    fn from_str(word: &str) -> Result<Self, &'static str> {
        match word {
            "text" => Ok(Self::Text),
            "json" => Ok(Self::Json),
            _ => Err("is neither text nor json"),
        }
    }
}
