//! Commands that talk to a running service.

use std::error::Error;
use std::path::PathBuf;
use std::process::ExitCode;
use std::time::Duration;

use clap::Args;
use headproof_client::{BatchFormat, IdempotencyKey, ReportAsked, StatisticsAsked};
use headproof_wire::Stage;
use headproof_wire::statistics::{CapabilityMethod, ChartKind, RuleSet, Selection};
use serde::de::{DeserializeOwned, IntoDeserializer};
use uuid::Uuid;

use super::Look;
use crate::commands::service::Place;
use crate::commands::{batch, fetch, statistics, submit, wait};

/// Which service, and as whom.
#[derive(Debug, Args)]
struct At {
    /// Address of the service; HEADPROOF_SERVICE names one too, else http://127.0.0.1:8080
    #[arg(long, value_name = "URL")]
    service: Option<String>,
    /// A file with the key to show; HEADPROOF_KEY_FILE names one too
    #[arg(long, value_name = "FILE")]
    key_file: Option<PathBuf>,
    /// Try again for so long what may pass: a service that is busy or away, a connection that breaks off
    #[arg(long, value_name = "SECONDS", default_value = "20")]
    retry: u32,
}

impl At {
    fn place(self) -> Place {
        Place::new(self.service, self.key_file, Duration::from_secs(self.retry.into()))
    }
}

/// How to wait.
#[derive(Debug, Args)]
struct Waiting {
    /// Give up waiting after so long; what was posted goes on
    #[arg(long, value_name = "SECONDS", default_value = "86400")]
    longest: u32,
    /// Do not say how far a batch is
    #[arg(long)]
    no_progress: bool,
}

impl Waiting {
    fn patience(&self) -> wait::Patience {
        let longest = Duration::from_secs(self.longest.into());
        wait::Patience { longest, tells: !self.no_progress }
    }
}

/// Post heads to a service; prints the id and the address of each job
#[derive(Debug, Args)]
pub(super) struct Submit {
    /// Requests (JSON) as `POST /v1/jobs` takes them; - reads standard input
    #[arg(required = true)]
    files: Vec<PathBuf>,
    /// Wait until their sheets are there
    #[arg(long)]
    wait: bool,
    /// A name for this request: with the same name and file the job of the first time is given, and no other is made
    #[arg(long, value_name = "KEY")]
    idempotency_key: Option<IdempotencyKey>,
    #[command(flatten)]
    waiting: Waiting,
    #[command(flatten)]
    at: At,
}

/// Wait until the sheet of a job or the report of a batch is there
#[derive(Debug, Args)]
pub(super) struct Wait {
    /// Job or batch
    id: Uuid,
    #[command(flatten)]
    waiting: Waiting,
    #[command(flatten)]
    at: At,
}

/// Fetch what was made of a job or a batch
#[derive(Debug, Args)]
pub(super) struct Fetch {
    /// Job or batch
    id: Uuid,
    /// sheet, evaluation or plan of a job, report or archive (all sheets, ZIP) of a batch; sheet or report without it
    #[arg(long)]
    what: Option<fetch::What>,
    /// Where to write it, else to standard output
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    #[command(flatten)]
    at: At,
}

/// Post many heads to a service as one batch; prints its id and address
#[derive(Debug, Args)]
pub(super) struct Batch {
    /// Requests: one a line (.ndjson, .jsonl), an array of them (.json), or a table (.csv); - reads standard input
    file: PathBuf,
    /// ndjson, json or csv, where the name of the file does not say it
    #[arg(long)]
    format: Option<BatchFormat>,
    /// Compress it on its way
    #[arg(long)]
    gzip: bool,
    /// Wait until all sheets are there, then say which lines were refused, and why
    #[arg(long)]
    wait: bool,
    /// Wait, then write the sheets (archive.zip), the report (report.pdf) and what came of each line (lines.ndjson) there
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// A name for this batch: with the same name and file the batch of the first time is given, and no other is made
    #[arg(long, value_name = "KEY")]
    idempotency_key: Option<IdempotencyKey>,
    #[command(flatten)]
    waiting: Waiting,
    #[command(flatten)]
    at: At,
}

/// Say what many heads of a service say together: capability, charts, what fails most
#[derive(Debug, Args)]
pub(super) struct Statistics {
    /// Those of this batch
    #[arg(long, value_name = "ID")]
    batch: Option<Uuid>,
    /// Those measured at this time or later (RFC 3339)
    #[arg(long, value_name = "TIME")]
    from: Option<String>,
    /// Those measured before this time
    #[arg(long, value_name = "TIME")]
    to: Option<String>,
    /// as-received, after-rework or final
    #[arg(long, value_parser = word::<Stage>)]
    stage: Option<Stage>,
    /// Those held against the profile of this id
    #[arg(long, value_name = "ID")]
    profile: Option<String>,
    /// Those of this bench
    #[arg(long, value_name = "CODE")]
    bench: Option<String>,
    /// Those of this cutter
    #[arg(long, value_name = "CODE")]
    cutter: Option<String>,
    /// Those of this operator
    #[arg(long, value_name = "CODE")]
    operator: Option<String>,
    /// One characteristic only
    #[arg(long, value_name = "NAME")]
    characteristic: Option<String>,
    /// Level of confidence
    #[arg(long, value_name = "LEVEL")]
    confidence: Option<f64>,
    /// three-sigma, western-electric or nelson
    #[arg(long, value_parser = word::<RuleSet>)]
    rules: Option<RuleSet>,
    /// mean-range, mean-deviation or individuals-moving-range (of several values their means); else what suits the heads
    #[arg(long, value_parser = word::<ChartKind>)]
    chart: Option<ChartKind>,
    /// The most points of a chart
    #[arg(long, value_name = "COUNT")]
    points: Option<u16>,
    /// How capability is found: normal, log-normal-percentiles or empirical-percentiles; else the values tell
    #[arg(long, value_parser = word::<CapabilityMethod>)]
    method: Option<CapabilityMethod>,
    /// Print the whole document (JSON)
    #[arg(long, group = "form")]
    json: bool,
    /// Print the table (CSV)
    #[arg(long, group = "form")]
    csv: bool,
    /// Write the report (PDF)
    #[arg(long, group = "form", requires = "out")]
    pdf: bool,
    /// What the report is called; else what was asked for
    #[arg(long, requires = "pdf")]
    title: Option<String>,
    #[command(flatten)]
    look: Look,
    /// Where to write it, else to standard output
    #[arg(long, value_name = "FILE")]
    out: Option<PathBuf>,
    #[command(flatten)]
    at: At,
}

/// One of a few words that documents know.
fn word<T: DeserializeOwned>(text: &str) -> Result<T, String> {
    let known: Result<T, serde::de::value::Error> = T::deserialize(text.into_deserializer());
    known.map_err(|error| error.to_string())
}

impl Submit {
    pub(super) fn run(self) -> Result<ExitCode, Box<dyn Error>> {
        let patience = self.wait.then(|| self.waiting.patience());
        submit::run(&self.at.place(), &self.files, self.idempotency_key, patience)
    }
}

impl Wait {
    pub(super) fn run(self) -> Result<ExitCode, Box<dyn Error>> {
        wait::run(&self.at.place(), self.id, self.waiting.patience())
    }
}

impl Fetch {
    pub(super) fn run(self) -> Result<ExitCode, Box<dyn Error>> {
        fetch::run(&self.at.place(), self.id, self.what, self.out.as_deref())
    }
}

impl Batch {
    pub(super) fn run(self) -> Result<ExitCode, Box<dyn Error>> {
        let patience = (self.wait || self.out.is_some()).then(|| self.waiting.patience());
        let posted = batch::Posted {
            file: self.file,
            format: self.format,
            gzip: self.gzip,
            key: self.idempotency_key.unwrap_or_default(),
        };
        batch::run(&self.at.place(), posted, patience, self.out.as_deref())
    }
}

impl Statistics {
    pub(super) fn run(self) -> Result<ExitCode, Box<dyn Error>> {
        let form = match (self.json, self.csv, self.pdf) {
            (true, ..) => statistics::Form::Json,
            (_, true, _) => statistics::Form::Csv,
            (.., true) => statistics::Form::Pdf(ReportAsked { look: self.look.into(), title: self.title }),
            _ => statistics::Form::Text,
        };
        let of = Selection {
            batch: self.batch,
            from: self.from,
            to: self.to,
            stage: self.stage,
            profile: self.profile,
            bench: self.bench,
            cutter: self.cutter,
            operator: self.operator,
            characteristic: self.characteristic,
        };
        let Self { confidence, rules, chart, points, method, .. } = self;
        let asked = StatisticsAsked { of, confidence, rules, chart, points, method };
        statistics::run(&self.at.place(), &asked, form, self.out.as_deref())
    }
}
