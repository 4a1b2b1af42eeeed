//! The worker on a store that fails, with a demo head.

use std::error::Error;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use headproof_seal::{Secret, canonical, digest};
use headproof_store::{
    ArtifactKind, JobContent, NewEvaluation, NewJob, Observations, Options, ShopId, Store, TaskState,
};
use headproof_store::{JobRecord, Origin, Plan, Priority, TaskStatus, Who};
use headproof_wire::{At, evaluation_document, examples, measurement_set, read, target_profile};
use time::OffsetDateTime;
use tokio::sync::watch;

use crate::renderer::Renderers;
use crate::run::run_with;
use crate::signing::Signers;
use crate::work::{MOST_WITH_SHEETS, Means, perform};
use crate::{Nudge, SigningOptions, WorkerOptions};

pub(crate) type Outcome = Result<(), Box<dyn Error>>;

/// Few, so that they would be used up soon.
const ATTEMPTS: u32 = 2;
/// For whatever a slow machine has to do.
const PATIENCE: Duration = Duration::from_secs(120);

fn options() -> WorkerOptions {
    WorkerOptions {
        poll: Duration::from_millis(10),
        first_backoff: Duration::from_millis(10),
        ..WorkerOptions::default()
    }
}

pub(crate) fn means() -> Result<Means, Box<dyn Error>> {
    let secret = Arc::new(Secret::random()?);
    let signers = Signers::new(
        SigningOptions { secret, timestamp_url: None, timestamp_authorities: Arc::new([]), public_url: None },
        options().first_backoff,
    )?;
    let (renderers, most_with_sheets) = (Renderers::Here, MOST_WITH_SHEETS);
    Ok(Means { options: options(), renderers, signers, events: Nudge::default(), most_with_sheets })
}

pub(crate) fn shop() -> ShopId {
    ShopId::new("co-operative")
}

pub(crate) async fn open(directory: &Path) -> Result<Store, Box<dyn Error>> {
    Ok(Store::open_with(directory, Options { max_attempts: ATTEMPTS, ..Options::default() }).await?)
}

/// A demo head with everything that belongs to it.
fn demo() -> Result<JobContent, Box<dyn Error>> {
    demo_head(2)
}

/// One of the demo heads; the first one needs rework.
pub(crate) fn demo_head(place: usize) -> Result<JobContent, Box<dyn Error>> {
    let (head, named) = examples::HEADS[place];
    let (set, profile) = (read(head.text.as_bytes())?, read(named.text.as_bytes())?);
    let faulty = |faults| format!("{faults:?}");
    let measured = measurement_set(&set, &At::Root).map_err(faulty)?;
    let limits = target_profile(&profile, &At::Root).map_err(faulty)?;
    let evaluation = evaluation_document(&headproof_judge::evaluate(&measured, &limits), &measured, &limits);
    let document = canonical(&evaluation)?;
    Ok(JobContent {
        head_reference: set.head.serial.clone(),
        client_reference: None,
        stage: "final".to_owned(),
        follows: None,
        measurement_set: canonical(&set)?,
        profile: canonical(&profile)?,
        evaluation: NewEvaluation {
            digest: digest(&document),
            document,
            disposition: evaluation.disposition.into_owned(),
        },
        plan: None,
        observations: Observations {
            measured_at: OffsetDateTime::UNIX_EPOCH,
            profile: "profile".to_owned(),
            document: b"observations".to_vec(),
        },
        paper: "a4".to_owned(),
        locale: "en".to_owned(),
    })
}

async fn submit(store: &Store, content: JobContent) -> Result<JobRecord, Box<dyn Error>> {
    let who = Who { kind: "key".to_owned(), id: "1".to_owned(), name: "front desk".to_owned() };
    let origin = Origin { request_id: "request 1".to_owned(), trace_parent: None };
    let new = NewJob { shop: shop(), who, origin, once: None, priority: Priority::Normal, content };
    Ok(store.submit_job(new).await?.into_inner())
}

/// Waits until the sheet of a job has come as far as wished.
async fn until(
    store: &Store,
    job: &JobRecord,
    wished: impl Fn(&TaskStatus) -> bool,
) -> Result<TaskStatus, Box<dyn Error>> {
    let deadline = Instant::now() + PATIENCE;
    loop {
        let task = store.task(&shop(), job.id, ArtifactKind::Sheet).await?.ok_or("no task")?;
        if wished(&task) {
            return Ok(task);
        }
        if Instant::now() > deadline {
            return Err(format!("in vain: {task:?}").into());
        }
        tokio::time::sleep(Duration::from_millis(5)).await;
    }
}

#[tokio::test(flavor = "multi_thread", worker_threads = 2)]
async fn a_sheet_waits_while_the_artifacts_directory_is_gone_and_is_made_when_it_is_back() -> Outcome {
    let directory = tempfile::tempdir()?;
    let store = open(directory.path()).await?;
    let (artifacts, away) = (directory.path().join("artifacts"), directory.path().join("away"));
    let job = submit(&store, demo()?).await?;
    std::fs::rename(&artifacts, &away)?;
    let (stop, stopped) = watch::channel(false);
    let worker = tokio::spawn(run_with(store.clone(), means()?, Nudge::default(), stopped));

    let waiting = |task: &TaskStatus| task.attempt > 2 * ATTEMPTS && task.state != TaskState::Running;
    let task = until(&store, &job, waiting).await?;
    assert_eq!(task.state, TaskState::Queued);
    assert_eq!(task.reason.as_deref(), Some("the store could not keep the sheet"));

    std::fs::rename(&away, &artifacts)?;
    let task = until(&store, &job, |task| task.finished_at.is_some()).await?;
    assert_eq!((task.state, task.reason), (TaskState::Done, None));
    let sheet = store.artifact(&shop(), job.id, ArtifactKind::Sheet).await?.ok_or("no sheet")?;
    assert!(store.read_artifact(&sheet).await?.starts_with(b"%PDF-"));
    stop.send(true)?;
    worker.await?;
    Ok(())
}

#[tokio::test]
async fn documents_that_cannot_be_read_use_the_attempts_up() -> Outcome {
    let directory = tempfile::tempdir()?;
    let store = open(directory.path()).await?;
    let job = submit(&store, JobContent { profile: b"{".to_vec(), ..demo()? }).await?;
    let (stop, stopped) = watch::channel(false);
    let worker = tokio::spawn(run_with(store.clone(), means()?, Nudge::default(), stopped));
    let task = until(&store, &job, |task| task.finished_at.is_some()).await?;
    assert_eq!((task.state, task.attempt), (TaskState::Failed, ATTEMPTS));
    assert_eq!(task.reason.as_deref(), Some("the stored profile cannot be read"));
    stop.send(true)?;
    worker.await?;
    Ok(())
}

#[tokio::test]
async fn a_plan_that_is_not_the_one_it_was_is_on_no_sheet() -> Outcome {
    for (document, digest, reason) in [
        (b"{}".to_vec(), "another".to_owned(), "the stored rework plan does not match its digest"),
        (b"{}".to_vec(), digest(b"{}"), "the stored rework plan cannot be read"),
    ] {
        let directory = tempfile::tempdir()?;
        let store = open(directory.path()).await?;
        let job = submit(&store, JobContent { plan: Some(Plan { document, digest }), ..demo()? }).await?;
        let (stop, stopped) = watch::channel(false);
        let worker = tokio::spawn(run_with(store.clone(), means()?, Nudge::default(), stopped));
        let task = until(&store, &job, |task| task.finished_at.is_some()).await?;
        assert_eq!((task.state, task.reason.as_deref()), (TaskState::Failed, Some(reason)));
        stop.send(true)?;
        worker.await?;
    }
    Ok(())
}

#[tokio::test]
async fn a_task_whose_job_is_gone_fails_at_once() -> Outcome {
    let directory = tempfile::tempdir()?;
    let store = open(directory.path()).await?;
    let job = submit(&store, demo()?).await?;
    let mut claim = store.claim(Duration::from_secs(30)).await?.ok_or("nothing to claim")?;
    // The store keeps every job; another shop's cannot be told from one that is gone.
    claim.shop = ShopId::new("elsewhere");
    perform(&store, &claim, &means()?).await;
    let task = store.task(&shop(), job.id, ArtifactKind::Sheet).await?.ok_or("no task")?;
    assert_eq!((task.state, task.attempt), (TaskState::Failed, 1));
    assert_eq!(task.reason.as_deref(), Some("the job is gone"));
    Ok(())
}
