//! The demo: a service on an embedded store, and a shop system that posts invented heads to it.

mod sign;

use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::time::Duration;

use headproof_client::Client;
use headproof_wire::examples::HEADS;
use headproof_wire::{
    Evaluation, Job, JobRequest, KeyRequest, ReworkPlan, Scope, SheetOptions, TaskState, read,
};

use super::examples;
use super::serve::{Parts, Service, runtime};
use crate::config::{Config, SheetConfig};

/// Long enough for any machine that can build the program.
const LONGEST: Duration = Duration::from_secs(120);

/// Posts the demo heads, one by one and as a batch, and writes what comes back into `out`.
pub(crate) fn run(pages: SheetConfig, out: &Path) -> Result<ExitCode, Box<dyn Error>> {
    fs::create_dir_all(out).map_err(|error| format!("{}: {error}", out.display()))?;
    let store = Scratch::new()?;
    runtime()?.block_on(async {
        let mut config = Config::for_demo();
        config.store.dir.clone_from(&store.0);
        config.sheet = pages;
        let service = Service::start(&config, Parts::Both).await?;
        let address = service.address.ok_or("the service does not listen")?;
        println!("A service runs on http://{address} for the length of this demo.");
        println!("The heads, people and limits are invented; the limits are no engine's.\n");
        let first_key = service.first_key.clone().ok_or("the service made no key")?;
        let first_key = fs::read_to_string(first_key)?;
        let admin = Client::new(format!("http://{address}"))?.with_key(first_key.trim());
        let outcome = post_and_fetch(&admin, out).await;
        service.stop().await;
        outcome
    })?;
    println!("Limits are what the profile says: the engine maker's manual and local law prevail.");
    Ok(ExitCode::SUCCESS)
}

async fn post_and_fetch(admin: &Client, out: &Path) -> Result<(), Box<dyn Error>> {
    let signing = sign::Desk::new(admin, out).await?;
    let shop_system = KeyRequest {
        label: "shop system".to_owned(),
        scopes: vec![Scope::Submit, Scope::Read],
        person: None,
        expires_at: None,
    };
    let client = &admin.with_key(admin.make_key(&shop_system).await?.secret);
    let mut requests = Vec::new();
    // The first head asks for a plan of its rework, too.
    let mut workshop = Some(examples::workshop()?);
    for (head, named) in HEADS {
        let name = head.name.trim_start_matches("set-");
        let request = JobRequest {
            priority: None,
            measurement_set: examples::set(head)?,
            profile: Some(examples::profile(named)?),
            profile_ref: None,
            workshop: workshop.take(),
            sheet: SheetOptions::default(),
            client_reference: Some(format!("demo {name}")),
            follows: None,
        };
        let job = client.submit(&request).await?;
        let job = client.wait(&job, LONGEST).await?;
        fetch(client, &job, name, out).await?;
        println!("{}\n", signing.sign(&job, &out.join(format!("{name}.signed.pdf"))).await?);
        requests.push(request);
    }
    let batch = client.submit_batch(&requests).await?;
    let batch = client.wait_batch(&batch, LONGEST).await?;
    let link = batch.links.report.ok_or_else(|| batch.reason.unwrap_or_default())?;
    let report = out.join("batch-report.pdf");
    fs::write(&report, client.fetch(&link).await?)?;
    println!("All of them as one batch:\n  report      {}\n", report.display());
    Ok(())
}

async fn fetch(client: &Client, job: &Job, name: &str, out: &Path) -> Result<(), Box<dyn Error>> {
    let (sheet, record) = (out.join(format!("{name}.pdf")), out.join(format!("{name}.evaluation.json")));
    if job.state != TaskState::Done {
        return Err(format!("{name}: {}", job.reason.as_deref().unwrap_or("no sheet")).into());
    }
    let evaluation_link = job.links.evaluation.as_deref().ok_or("no evaluation")?;
    let bytes = client.fetch(evaluation_link).await?;
    let evaluation: Evaluation = read(&bytes)?;
    fs::write(&record, &bytes)?;
    let sheet_link = job.links.sheet.as_deref().ok_or("no sheet")?;
    fs::write(&sheet, client.fetch(sheet_link).await?)?;
    let plan = fetch_plan(client, job, &out.join(format!("{name}.rework-plan.json"))).await?;
    println!("{} ({name}): {}", evaluation.head_serial, evaluation.disposition.to_uppercase());
    println!("  {}", evaluation.headline);
    for reason in evaluation.reasons.iter().take(6) {
        println!("  - {}: {}", reason.subject, reason.text);
    }
    if evaluation.reasons.len() > 6 {
        println!("  - and {} more, on the sheet", evaluation.reasons.len() - 6);
    }
    println!("  sheet       {}\n  evaluation  {}", sheet.display(), record.display());
    if let Some(plan) = plan {
        println!("{plan}");
    }
    Ok(())
}

/// Writes the plan of a job that has one; gives what to say of it.
async fn fetch_plan(client: &Client, job: &Job, path: &Path) -> Result<Option<String>, Box<dyn Error>> {
    let Some(link) = &job.links.plan else { return Ok(None) };
    let bytes = client.fetch(link).await?;
    let plan: ReworkPlan = read(&bytes)?;
    fs::write(path, &bytes)?;
    Ok(Some(format!("  plan        {}\n  {}", path.display(), plan.headline)))
}

/// A directory for a store that is needed for a short time, gone afterwards.
pub(crate) struct Scratch(pub(crate) PathBuf);

impl Scratch {
    /// A new, empty one.
    pub(crate) fn new() -> Result<Self, Box<dyn Error>> {
        let dir = std::env::temp_dir().join(format!("headproof-demo-{}", uuid::Uuid::now_v7()));
        fs::create_dir(&dir)?;
        Ok(Self(dir))
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        if let Err(error) = fs::remove_dir_all(&self.0) {
            tracing::warn!(%error, dir = %self.0.display(), "the demo's store could not be removed");
        }
    }
}
