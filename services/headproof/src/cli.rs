//! The command line.

mod operator;
mod remote;

use std::error::Error;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::{Parser, Subcommand};
use headproof_wire::{Language, Paper, SheetOptions, Units};

use self::operator::{AuditCommand, CertificateCommand, KeyCommand, VouchedFor};
use crate::commands::pages::Pages;
use crate::commands::{
    backup, convert, demo, describe, evaluate, gauge_study, plan, serve, verify, worksheet,
};
use crate::config::{Config, SheetConfig, TypefaceFile};
use crate::logging;
use crate::telemetry::Telemetry;

#[derive(Debug, Parser)]
#[command(name = "headproof", version, about, arg_required_else_help = true)]
struct Cli {
    /// Configuration file (TOML); HEADPROOF_CONFIG names one too
    #[arg(long, global = true, value_name = "FILE")]
    config: Option<PathBuf>,
    /// Font for characters that the built-in typefaces lack, FILE#2 for the third face of a collection; may be given
    /// more than once, and goes in the place of those of the configuration
    #[arg(long = "typeface", global = true, value_name = "FILE")]
    typefaces: Vec<TypefaceFile>,
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// API and worker in one process, on an embedded store
    Serve,
    /// API only
    Api,
    /// Worker only
    Worker,
    /// Judge a measurement set on the spot, without a service
    Evaluate {
        /// Measurement set (JSON); - reads standard input
        set: PathBuf,
        /// Target profile (JSON)
        #[arg(long)]
        profile: PathBuf,
        /// Also write the inspection sheet here
        #[arg(long, value_name = "PDF")]
        sheet: Option<PathBuf>,
        #[command(flatten)]
        look: Look,
        /// Evaluation of an earlier stage of this head (JSON): the sheet says what changed since
        #[arg(long, value_name = "EVALUATION", requires = "sheet")]
        earlier: Option<PathBuf>,
        /// Tell of each value what its uncertainty is made of
        #[arg(long, conflicts_with = "sheet")]
        budgets: bool,
    },
    /// Plan the least rework that brings a head inside its limits, without a service
    Plan {
        /// Measurement set (JSON); - reads standard input
        set: PathBuf,
        /// Target profile (JSON)
        #[arg(long)]
        profile: PathBuf,
        /// The shop's cutters, stock and wishes (JSON); common practice without it
        #[arg(long)]
        workshop: Option<PathBuf>,
        /// Also write the inspection sheet with the plan here
        #[arg(long, value_name = "PDF")]
        sheet: Option<PathBuf>,
        #[command(flatten)]
        look: Look,
        /// Evaluation of an earlier stage of this head (JSON): the sheet says what changed since
        #[arg(long, value_name = "EVALUATION", requires = "sheet")]
        earlier: Option<PathBuf>,
        /// Print the whole plan as JSON instead of a summary
        #[arg(long)]
        json: bool,
    },
    /// Say how much of what a gauge shows is the gauge itself, without a service
    GaugeStudy {
        /// Readings of the study (JSON, headproof/gauge-study/1); - reads standard input
        file: PathBuf,
        /// Print all that it says as JSON instead of tables
        #[arg(long)]
        json: bool,
    },
    /// Turn a CSV file, one row for each port, into job requests, one on each line, without a service
    Convert {
        /// Measurements (CSV; openapi/csv-columns.md lists the columns); - reads standard input
        file: PathBuf,
        /// Target profile (JSON) of all heads; without it the rows name one that is stored
        #[arg(long)]
        profile: Option<PathBuf>,
        /// Where to write the requests; without it they go to standard output
        #[arg(long, value_name = "NDJSON")]
        out: Option<PathBuf>,
        /// Also describe the file's columns here (JSON, W3C CSV on the Web)
        #[arg(long, value_name = "JSON")]
        metadata: Option<PathBuf>,
    },
    /// Draw the blank worksheet of a head for the bench, without a service
    Worksheet {
        /// Layout of the head (JSON), as a measurement set states it; - reads standard input
        #[arg(long)]
        layout: PathBuf,
        /// Target profile (JSON)
        #[arg(long)]
        profile: PathBuf,
        /// Units to print, and of the numbers of the layout: mm or in; those of the profile without it
        #[arg(long, value_parser = units)]
        units: Option<Units>,
        /// Serial of the head, where it is known
        #[arg(long, value_name = "SERIAL")]
        head: Option<String>,
        /// Job number, where there is one
        #[arg(long, value_name = "NUMBER")]
        job: Option<String>,
        #[command(flatten)]
        look: Look,
        /// Where to write it
        #[arg(long, value_name = "PDF")]
        out: PathBuf,
    },
    /// Copy everything that is kept into a new directory, while the service runs or not
    Backup {
        /// Where to; it must not be there yet
        out: PathBuf,
    },
    /// Check a signed sheet without a service: is it as it was signed, by whom, for what
    Verify {
        /// The sheet (PDF)
        file: PathBuf,
        #[command(flatten)]
        by: VouchedFor,
    },
    Submit(remote::Submit),
    Wait(remote::Wait),
    Fetch(remote::Fetch),
    Batch(remote::Batch),
    Statistics(Box<remote::Statistics>),
    /// Make, list and revoke keys, at the machine itself
    #[command(subcommand)]
    Key(KeyCommand),
    /// Show certificates, or bring one along
    #[command(subcommand)]
    Certificate(CertificateCommand),
    /// Print and check the audit trail
    #[command(subcommand)]
    Audit(AuditCommand),
    /// Start a service, post the demo heads over HTTP, and write their sheets
    Demo {
        /// Where to write
        #[arg(long, default_value = "demo-out")]
        out: PathBuf,
    },
    /// Make pages for a worker, which starts this itself: takes requests on standard input until it ends
    #[command(hide = true)]
    Render,
    /// Write the OpenAPI description, the JSON Schemas and the worked examples
    Describe {
        /// Where to write
        #[arg(long, default_value = "openapi")]
        out: PathBuf,
    },
}

/// How pages shall look.
#[derive(Debug, clap::Args)]
struct Look {
    /// Paper: a4 or letter
    #[arg(long, default_value = "a4")]
    paper: Paper,
    /// Language of the pages: en or de
    #[arg(long, default_value = "en")]
    language: Language,
}

impl From<Look> for SheetOptions {
    fn from(Look { paper, language }: Look) -> Self {
        Self { paper, language }
    }
}

/// Units of a whole worksheet by the word for its lengths.
fn units(word: &str) -> Result<Units, String> {
    match word {
        "mm" => Ok(Units::BASE),
        "in" => Ok(Units::INCH),
        _ => Err("mm or in".to_owned()),
    }
}

/// Runs one command.
pub(crate) fn run() -> Result<ExitCode, Box<dyn Error>> {
    let cli = Cli::parse();
    match cli.command {
        Command::Evaluate { set, profile, sheet, look, earlier, budgets } => {
            let judge_by =
                if budgets { headproof_judge::evaluate_explained } else { headproof_judge::evaluate };
            if sheet.is_some() {
                typefaces(cli.config, cli.typefaces)?;
            }
            let pages = Pages { sheet: sheet.as_deref(), earlier: earlier.as_deref(), look: look.into() };
            evaluate::run(&set, &profile, pages, judge_by)
        }
        Command::Plan { set, profile, workshop, sheet, look, earlier, json } => {
            if sheet.is_some() {
                typefaces(cli.config, cli.typefaces)?;
            }
            let from = plan::Files { set: &set, profile: &profile, workshop: workshop.as_deref() };
            let pages = Pages { sheet: sheet.as_deref(), earlier: earlier.as_deref(), look: look.into() };
            plan::run(from, pages, json)
        }
        Command::GaugeStudy { file, json } => gauge_study::run(&file, json),
        Command::Convert { file, profile, out, metadata } => convert::run(convert::Files {
            file: &file,
            profile: profile.as_deref(),
            out: out.as_deref(),
            metadata: metadata.as_deref(),
        }),
        Command::Worksheet { layout, profile, units, head, job, look, out } => {
            typefaces(cli.config, cli.typefaces)?;
            let from = worksheet::Files { layout: &layout, profile: &profile };
            worksheet::run(from, worksheet::Wishes { units, head, job, look: look.into() }, &out)
        }
        Command::Verify { file, by } => verify::run(&file, by.vouchers()),
        Command::Submit(command) => command.run(),
        Command::Wait(command) => command.run(),
        Command::Fetch(command) => command.run(),
        Command::Batch(command) => command.run(),
        Command::Statistics(command) => command.run(),
        Command::Key(command) => command.run(&Config::load(cli.config)?),
        Command::Backup { out } => backup::run(&Config::load(cli.config)?, &out),
        Command::Certificate(command) => command.run(&Config::load(cli.config)?),
        Command::Audit(command) => command.run(|| Ok(Config::load(cli.config)?)),
        Command::Describe { out } => describe::run(&out),
        Command::Demo { out } => {
            let pages = typefaces(cli.config, cli.typefaces)?;
            logging::start(&Config::for_demo().log, Telemetry::none())?;
            demo::run(pages, &out)
        }
        Command::Render => {
            SheetConfig::default().or_named(cli.typefaces).install()?;
            headproof_worker::render_until_end_of_input()?;
            Ok(ExitCode::SUCCESS)
        }
        Command::Serve => service(cli.config, cli.typefaces, serve::Parts::Both),
        Command::Api => service(cli.config, cli.typefaces, serve::Parts::Api),
        Command::Worker => service(cli.config, cli.typefaces, serve::Parts::Worker),
    }
}

/// The typefaces of a command that draws without a service: those that are named, else those that are configured.
fn typefaces(file: Option<PathBuf>, named: Vec<TypefaceFile>) -> Result<SheetConfig, Box<dyn Error>> {
    let pages = Config::load_for_pages(file)?.or_named(named);
    pages.install()?;
    Ok(pages)
}

fn service(
    file: Option<PathBuf>,
    typefaces: Vec<TypefaceFile>,
    parts: serve::Parts,
) -> Result<ExitCode, Box<dyn Error>> {
    let mut config = Config::load(file)?;
    config.sheet = config.sheet.or_named(typefaces);
    config.sheet.install()?;
    let runtime = serve::runtime()?;
    let telemetry = {
        let _inside = runtime.enter();
        logging::start(&config.log, Telemetry::start(&config.telemetry)?)?
    };
    let outcome = serve::run(&runtime, config, parts);
    telemetry.stop();
    outcome
}
