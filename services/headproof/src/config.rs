//! Configuration: a file, then the environment, read once. Unknown and bad keys are refused by name.

mod access;
mod environment;
mod operating;
mod store;
mod typefaces;
mod webhooks;

use std::net::SocketAddr;
use std::path::PathBuf;
use std::time::Duration;

use headproof_client::{is_address, is_safe_address};
use headproof_worker::{Bounds, WorkerOptions};
use serde::Deserialize;

pub(crate) use self::access::{AccessMode, OidcConfig, SigningConfig};
pub(crate) use self::environment::{KEY_FILE, SERVICE};
pub(crate) use self::operating::{MetricsConfig, TelemetryConfig};
pub(crate) use self::store::StoreConfig;
pub(crate) use self::typefaces::TypefaceFile;
pub(crate) use self::webhooks::WebhookConfig;

/// Everything that can be configured.
#[derive(Debug, Clone, Default, Deserialize, PartialEq)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct Config {
    /// The HTTP interface.
    pub(crate) api: ApiConfig,
    /// The store.
    pub(crate) store: StoreConfig,
    /// The worker.
    pub(crate) worker: WorkerConfig,
    /// Webhooks.
    pub(crate) webhooks: WebhookConfig,
    /// Signatures.
    pub(crate) signing: SigningConfig,
    /// The identity provider of the shop, where it has one.
    pub(crate) oidc: OidcConfig,
    /// The pages.
    pub(crate) sheet: SheetConfig,
    /// The log.
    pub(crate) log: LogConfig,
    /// Figures for whoever watches over the service.
    pub(crate) metrics: MetricsConfig,
    /// Traces.
    pub(crate) telemetry: TelemetryConfig,
}

/// The HTTP interface.
#[derive(Debug, Clone, Deserialize, PartialEq)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct ApiConfig {
    /// `HEADPROOF_API_LISTEN`: address and port; port 0 takes a free one. Default 127.0.0.1:8080.
    pub(crate) listen: SocketAddr,
    /// `HEADPROOF_API_ACCESS`: `keys`, or `open`, which lets anybody on this machine do all but sign, to try it out.
    /// Default keys.
    pub(crate) access: AccessMode,
    /// `HEADPROOF_API_OPEN_NETWORK`: serve others than this machine. Keys and documents cross the network as they are:
    /// put a proxy before it that speaks TLS. Default false.
    pub(crate) open_network: bool,
    /// `HEADPROOF_API_PUBLIC_URL`: where others reach the service, for the square code of a signed sheet. Default none:
    /// the code says what to look up, not where.
    pub(crate) public_url: Option<String>,
    /// `HEADPROOF_API_THREADS`: threads that answer. Default 2.
    pub(crate) threads: usize,
    /// `HEADPROOF_API_DOCUMENT_BYTES`: largest document after decompression. Default 4 MiB.
    pub(crate) document_bytes: usize,
    /// `HEADPROOF_API_BATCH_BYTES`: largest batch after decompression; it is laid down in the
    /// directory for temporary files while it comes in. Default 1 GiB.
    pub(crate) batch_bytes: usize,
    /// `HEADPROOF_API_FILE_BYTES`: largest file that is verified. Default 16 MiB.
    pub(crate) file_bytes: usize,
    /// `HEADPROOF_API_BATCH_LINES`: most heads of one batch. Default 20000.
    pub(crate) batch_lines: usize,
    /// `HEADPROOF_API_OPEN_TASKS`: sheets of one shop that may wait to be made; beyond it posts are answered with 429.
    /// Default 100000.
    pub(crate) open_tasks: u32,
    /// `HEADPROOF_API_IN_FLIGHT`: requests with a body that are answered at once; more are told to come again. Default
    /// 64.
    pub(crate) in_flight: usize,
    /// `HEADPROOF_API_REQUESTS`: requests of one key or token in each window, in each process; 0 is without a limit.
    /// Default 12000.
    pub(crate) requests: u32,
    /// `HEADPROOF_API_REQUESTS_SECONDS`: how long the window is. Default 60.
    pub(crate) requests_seconds: u32,
}

/// The worker.
#[derive(Debug, Clone, Deserialize, PartialEq)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct WorkerConfig {
    /// `HEADPROOF_WORKER_TASKS`: tasks at the same time. Default 1.
    pub(crate) tasks: usize,
    /// `HEADPROOF_WORKER_LEASE_SECONDS`: how long a claim is good for without a sign of life. Default 60.
    pub(crate) lease_seconds: u64,
    /// `HEADPROOF_WORKER_POLL_MILLISECONDS`: how long an idle worker sleeps. Default 500.
    pub(crate) poll_milliseconds: u64,
    /// `HEADPROOF_WORKER_BACKOFF_MILLISECONDS`: wait after a first failed try. Default 1000.
    pub(crate) backoff_milliseconds: u64,
    /// `HEADPROOF_WORKER_SHEET_MILLISECONDS`: longest time for one sheet; one that takes longer is stopped, tried
    /// once more, then refused. Default 60000.
    pub(crate) sheet_milliseconds: u64,
    /// `HEADPROOF_WORKER_SHEET_MEBIBYTES`: most memory of the process that makes a sheet, at least 80; one that
    /// needs more is refused. Kept to on Linux; elsewhere only time is bounded. Default 1024.
    pub(crate) sheet_mebibytes: u64,
    /// `HEADPROOF_WORKER_REPORT_MILLISECONDS`: the same for the report of a batch. Default 600000.
    pub(crate) report_milliseconds: u64,
    /// `HEADPROOF_WORKER_REPORT_MEBIBYTES`: the same for the report of a batch. Default 4096.
    pub(crate) report_mebibytes: u64,
}

/// The pages.
#[derive(Debug, Clone, Default, Deserialize, PartialEq)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct SheetConfig {
    /// `HEADPROOF_SHEET_TYPEFACES`, with a colon between files: fonts for characters that the built-in typefaces lack,
    /// tried in this order; `FILE#2` is the third face of a collection. Default none.
    pub(crate) typefaces: Vec<TypefaceFile>,
}

/// The log.
#[derive(Debug, Clone, Deserialize, PartialEq)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct LogConfig {
    /// `HEADPROOF_LOG_LEVEL`: error, warn, info, debug, or a filter by module. Default info.
    pub(crate) level: String,
    /// `HEADPROOF_LOG_FORMAT`: text or json. Default text.
    pub(crate) format: LogFormat,
}

/// How a log line looks.
#[derive(Debug, Clone, Copy, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub(crate) enum LogFormat {
    /// For people.
    Text,
    /// For machines.
    Json,
}

impl Default for ApiConfig {
    fn default() -> Self {
        let limits = headproof_api::Limits::default();
        Self {
            listen: SocketAddr::from(([127, 0, 0, 1], 8080)),
            access: AccessMode::Keys,
            open_network: false,
            public_url: None,
            threads: 2,
            document_bytes: limits.document_bytes,
            batch_bytes: limits.batch_bytes,
            file_bytes: limits.file_bytes,
            batch_lines: limits.batch_lines,
            open_tasks: limits.open_tasks,
            in_flight: limits.in_flight,
            requests: limits.requests,
            requests_seconds: 60,
        }
    }
}

impl Default for WorkerConfig {
    fn default() -> Self {
        Self {
            tasks: 1,
            lease_seconds: 60,
            poll_milliseconds: 500,
            backoff_milliseconds: 1000,
            sheet_milliseconds: 60_000,
            sheet_mebibytes: 1024,
            report_milliseconds: 600_000,
            report_mebibytes: 4096,
        }
    }
}

impl Default for LogConfig {
    fn default() -> Self {
        Self { level: "info".to_owned(), format: LogFormat::Text }
    }
}

/// Why the configuration was refused.
#[derive(Debug, thiserror::Error)]
pub(crate) enum ConfigError {
    /// The file is not there or cannot be read.
    #[error("configuration file {file}: {source}")]
    File {
        /// Which file.
        file: PathBuf,
        /// Why.
        source: std::io::Error,
    },
    /// The file has an unknown key or a bad value.
    #[error("configuration file {file}: {message}")]
    Content {
        /// Which file.
        file: PathBuf,
        /// Which key, and why.
        message: String,
    },
    /// The environment has an unknown variable of ours.
    #[error("environment variable {0} is no setting of headproof")]
    UnknownVariable(String),
    /// The environment has a bad value.
    #[error("environment variable {name}: {message}")]
    BadVariable {
        /// Which.
        name: String,
        /// Why.
        message: String,
    },
    /// A value that makes no sense.
    #[error("{key}: {message}")]
    Value {
        /// Which key.
        key: &'static str,
        /// Why.
        message: &'static str,
    },
    /// A font that is not there or cannot be used.
    #[error("sheet.typefaces: {file}: {message}")]
    Typeface {
        /// Which file, and which face of it.
        file: TypefaceFile,
        /// Why.
        message: String,
    },
}

impl Config {
    /// Reads the file named by the command line or `HEADPROOF_CONFIG`, then the environment.
    ///
    /// # Errors
    /// [`ConfigError`] with the name of the key or variable.
    pub(crate) fn load(file: Option<PathBuf>) -> Result<Self, ConfigError> {
        Self::from_sources(file, environment::variables().collect())
    }

    /// The same for commands that draw without a service: of the environment, only what matters to pages.
    ///
    /// # Errors
    /// As [`Self::load`].
    pub(crate) fn load_for_pages(file: Option<PathBuf>) -> Result<SheetConfig, ConfigError> {
        let matters = |name: &str| matches!(name, environment::FILE | environment::TYPEFACES);
        let variables = environment::variables().filter(|(name, _)| matters(name));
        Ok(Self::from_sources(file, variables.collect())?.sheet)
    }

    fn from_sources(file: Option<PathBuf>, variables: Vec<(String, String)>) -> Result<Self, ConfigError> {
        let named = variables
            .iter()
            .find(|(name, _)| name == environment::FILE)
            .map(|(_, value)| PathBuf::from(value));
        let mut config = match file.or(named) {
            Some(file) => Self::from_file(file)?,
            None => Self::default(),
        };
        environment::apply(&mut config, variables)?;
        config.check()?;
        Ok(config)
    }

    fn from_file(file: PathBuf) -> Result<Self, ConfigError> {
        match std::fs::read_to_string(&file) {
            Ok(text) => toml::from_str(&text)
                .map_err(|error| ConfigError::Content { file, message: error.to_string() }),
            Err(source) => Err(ConfigError::File { file, source }),
        }
    }

    fn check(&self) -> Result<(), ConfigError> {
        let value = |key, message| Err(ConfigError::Value { key, message });
        if !self.api.listen.ip().is_loopback() && !self.api.open_network {
            return value("api.listen", "serves other machines; set api.open_network to do so");
        }
        if !self.api.listen.ip().is_loopback() && self.api.access == AccessMode::Open {
            return value("api.access", "open is for this machine only");
        }
        self.check_addresses()?;
        if self.api.threads == 0 {
            return value("api.threads", "must be at least 1");
        }
        if self.api.in_flight == 0 {
            return value("api.in_flight", "must be at least 1");
        }
        if self.api.requests_seconds == 0 {
            return value("api.requests_seconds", "must be at least 1");
        }
        if self.worker.tasks == 0 {
            return value("worker.tasks", "must be at least 1");
        }
        if self.worker.lease_seconds < 3 {
            return value("worker.lease_seconds", "must be at least 3");
        }
        if self.worker.poll_milliseconds == 0 {
            return value("worker.poll_milliseconds", "must be at least 1");
        }
        let worker = &self.worker;
        for (key, milliseconds) in [
            ("worker.sheet_milliseconds", worker.sheet_milliseconds),
            ("worker.report_milliseconds", worker.report_milliseconds),
        ] {
            if milliseconds == 0 {
                return value(key, "must be at least 1");
            }
        }
        for (key, mebibytes) in [
            ("worker.sheet_mebibytes", worker.sheet_mebibytes),
            ("worker.report_mebibytes", worker.report_mebibytes),
        ] {
            if mebibytes < 80 {
                return value(key, "must be at least 80: a renderer itself takes most of that");
            }
        }
        self.store.check()
    }

    /// Addresses of others.
    fn check_addresses(&self) -> Result<(), ConfigError> {
        let value = |key, message| Err(ConfigError::Value { key, message });
        if let Some(missing) = self.oidc.missing() {
            return value(missing, "is missing: an identity provider is described wholly or not at all");
        }
        if self.oidc.keys_url.as_deref().is_some_and(|url| !is_safe_address(url)) {
            return value("oidc.keys_url", "must be https, or be on this machine");
        }
        if self.signing.timestamp_url.as_deref().is_some_and(|url| !is_address(url)) {
            return value("signing.timestamp_url", "must be http or https");
        }
        if self.signing.timestamp_url.is_some() && self.signing.timestamp_authority.is_none() {
            return value("signing.timestamp_authority", "is missing: somebody has to vouch for timestamps");
        }
        if self.metrics.listen.is_some_and(|listen| !listen.ip().is_loopback()) && !self.metrics.open_network
        {
            return value("metrics.listen", "serves other machines; set metrics.open_network to do so");
        }
        if let Some(message) = self.telemetry.fault() {
            return value("telemetry.otlp_endpoint", message);
        }
        if self.api.public_url.as_deref().is_some_and(|url| !is_address(url) || url.len() > 120) {
            return value("api.public_url", "must be http or https, and no longer than 120 characters");
        }
        Ok(())
    }

    /// The demo: any free port, quiet.
    pub(crate) fn for_demo() -> Self {
        let mut config = Self::default();
        config.api.listen.set_port(0);
        config.worker.tasks = 2;
        config.worker.poll_milliseconds = 100;
        config.log.level = "warn".to_owned();
        config
    }

    /// How the worker works.
    pub(crate) const fn worker_options(&self) -> WorkerOptions {
        WorkerOptions {
            tasks: self.worker.tasks,
            lease: Duration::from_secs(self.worker.lease_seconds),
            poll: Duration::from_millis(self.worker.poll_milliseconds),
            first_backoff: Duration::from_millis(self.worker.backoff_milliseconds),
            sheet: bounds(self.worker.sheet_milliseconds, self.worker.sheet_mebibytes),
            report: bounds(self.worker.report_milliseconds, self.worker.report_mebibytes),
        }
    }

    /// How large requests may be.
    pub(crate) const fn limits(&self) -> headproof_api::Limits {
        headproof_api::Limits {
            document_bytes: self.api.document_bytes,
            batch_bytes: self.api.batch_bytes,
            file_bytes: self.api.file_bytes,
            batch_lines: self.api.batch_lines,
            open_tasks: self.api.open_tasks,
            in_flight: self.api.in_flight,
            requests: self.api.requests,
            window: Duration::from_secs(self.api.requests_seconds as u64),
        }
    }
}

const fn bounds(milliseconds: u64, memory_mebibytes: u64) -> Bounds {
    Bounds { time: Duration::from_millis(milliseconds), memory_mebibytes }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn load(file: Option<&str>, variables: &[(&str, &str)]) -> Result<Config, String> {
        let file = file.map(|text| {
            let path = std::env::temp_dir().join(format!(
                "headproof-config-{}-{}.toml",
                std::process::id(),
                text.len()
            ));
            std::fs::write(&path, text).unwrap();
            path
        });
        let variables =
            variables.iter().map(|(name, value)| ((*name).to_owned(), (*value).to_owned())).collect();
        Config::from_sources(file, variables).map_err(|error| error.to_string())
    }

    #[test]
    fn the_environment_goes_before_the_file() {
        let file = "[api]\nlisten = \"127.0.0.1:9000\"\n[worker]\ntasks = 3\n";
        let config = load(Some(file), &[("HEADPROOF_WORKER_TASKS", "4")]).unwrap();
        assert_eq!((config.api.listen.port(), config.worker.tasks), (9000, 4));
    }

    #[test]
    fn unknown_and_bad_keys_are_refused_by_name() {
        for (file, variables, named) in [
            (Some("[api]\nlissten = \"x\"\n"), &[][..], "lissten"),
            (Some("[worker]\ntasks = \"many\"\n"), &[], "tasks"),
            (None, &[("HEADPROOF_API_LISSTEN", "x")], "HEADPROOF_API_LISSTEN"),
            (None, &[("HEADPROOF_API_LISTEN", "nowhere")], "HEADPROOF_API_LISTEN"),
            (None, &[("HEADPROOF_API_LISTEN", "0.0.0.0:80")], "api.listen"),
            (None, &[("HEADPROOF_WORKER_TASKS", "0")], "worker.tasks"),
            (None, &[("HEADPROOF_METRICS_LISTEN", "0.0.0.0:9464")], "metrics.listen"),
            (None, &[("HEADPROOF_TELEMETRY_OTLP_ENDPOINT", "ftp://a.example")], "telemetry.otlp_endpoint"),
            (Some("[sheet]\ntypefaces = [\"\"]\n"), &[], "typefaces"),
            (None, &[("HEADPROOF_SHEET_TYPEFACES", "/a.ttf::/b.ttf")], "HEADPROOF_SHEET_TYPEFACES"),
            (None, &[("HEADPROOF_SHEET_TYPEFACES", "/a.ttc#99999999999")], "HEADPROOF_SHEET_TYPEFACES"),
            (None, &[("HEADPROOF_CONFIG", "/nowhere/headproof.toml")], "/nowhere/headproof.toml"),
        ] {
            let error = load(file, variables).unwrap_err();
            assert!(error.contains(named), "{error}");
        }
    }
}
