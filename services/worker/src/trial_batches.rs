//! Reports of batches, with demo heads: with their sheets, and as an index.

use std::path::Path;
use std::time::Duration;

use headproof_store::{
    ArtifactKind, Claim, JobContent, Line, LineContent, Made, NewBatch, Once, Origin, Priority, Retry, Store,
    TaskState, Who,
};

use crate::render::{Work, render};
use crate::trial::{Outcome, demo_head, means, open, shop};
use crate::work::{Means, perform, report};

const LEASE: Duration = Duration::from_secs(60);

fn batch() -> NewBatch {
    let who = Who { kind: "key".to_owned(), id: "1".to_owned(), name: "front desk".to_owned() };
    let origin = Origin { request_id: "request 1".to_owned(), trace_parent: None };
    let once =
        Once { operation: "submit a batch", key: "batch 1".to_owned(), fingerprint: "lines".to_owned() };
    NewBatch { shop: shop(), who, origin, once }
}

/// A store with a batch of demo heads, of which sheets are there but for the last one's; and the claim on its report.
///
/// Lines are counted by threes: somebody's were refused between them.
async fn with_batch(
    directory: &Path,
    contents: Vec<JobContent>,
) -> Result<(Store, Claim), Box<dyn std::error::Error>> {
    let store = open(directory).await?;
    let batch = batch();
    let Made::New(mut coming) = store.begin_batch(&batch).await? else { return Err("a new batch".into()) };
    let heads = contents.len();
    let lines: Vec<Line> = (1..)
        .zip(contents)
        .map(|(n, content)| Line {
            number: 3 * n,
            outcome: LineContent::Job(Box::new(content), Priority::Normal),
        })
        .collect();
    store.add_lines(&batch, &mut coming, &lines).await?;
    store.end_batch(&batch, &coming).await?;
    for n in 1..=heads {
        let sheet = store.claim(LEASE).await?.ok_or("nothing to claim")?;
        assert_eq!(sheet.kind, ArtifactKind::Sheet);
        if n < heads {
            store.finish(&sheet, b"%PDF-".to_vec()).await?;
        } else {
            store.fail(&sheet, "too long for paper", Retry::Never).await?;
        }
    }
    let report = store.claim(LEASE).await?.ok_or("no report to claim")?;
    assert_eq!(report.kind, ArtifactKind::BatchReport);
    Ok((store, report))
}

fn heads(count: u32) -> Result<Vec<JobContent>, Box<dyn std::error::Error>> {
    (1..=count).map(|n| Ok(JobContent { head_reference: format!("HEAD-{n}"), ..demo_head(0)? })).collect()
}

fn holds(file: &[u8], words: &str) -> bool {
    file.windows(words.len()).any(|part| part == words.as_bytes())
}

#[tokio::test]
async fn a_batch_of_more_heads_than_are_read_as_one_gets_an_index() -> Outcome {
    let directory = tempfile::tempdir()?;
    let (store, claim) = with_batch(directory.path(), heads(4)?).await?;

    // Four heads: one without a sheet counts, too.
    let whole = report(&store, &claim, 4).await?;
    assert!(matches!(&whole.order.work, Work::Report { failed, .. } if failed.len() == 1));
    assert_eq!(whole.heads.len(), 3);

    let request = report(&store, &claim, 3).await?;
    assert!(request.heads.is_empty(), "no documents are kept");
    let Work::Index { label, heads, failed, .. } = &request.order.work else { return Err("no index".into()) };
    assert_eq!(label, &claim.owner.to_string());
    assert_eq!(heads.iter().map(|head| head.line).collect::<Vec<_>>(), [3, 6, 9]);
    assert_eq!(failed[..], [("HEAD-4".to_owned(), "too long for paper".to_owned())]);
    let demo = demo_head(0)?;
    for head in heads {
        assert_eq!(
            (&head.digest, &head.disposition),
            (&demo.evaluation.digest, &demo.evaluation.disposition)
        );
        let failing: u32 = head.failing.iter().map(|(_, times)| times).sum();
        assert!(failing > 0 && failing == head.tally.does_not_conform, "{head:?}");
    }

    // Attached are documents to the report with sheets, none to the other.
    let [whole, index] = [whole, request].map(|request| render(request.order, request.heads));
    let (whole, index) = (whole?.bytes, index?.bytes);
    assert!(holds(&whole, "/EmbeddedFiles") && !holds(&index, "/EmbeddedFiles"));

    perform(&store, &claim, &Means { most_with_sheets: 3, ..means()? }).await;
    let kept = store.artifact(&shop(), claim.owner, ArtifactKind::BatchReport).await?.ok_or("no report")?;
    assert_eq!(store.read_artifact(&kept).await?, index);
    Ok(())
}

#[tokio::test]
async fn an_evaluation_that_is_not_the_one_it_was_is_in_no_index() -> Outcome {
    for (change, reason) in [
        (changed_digest as fn(&mut JobContent), "the stored evaluation does not match its digest"),
        (changed_set, "the stored measurement set cannot be read"),
    ] {
        let directory = tempfile::tempdir()?;
        let mut heads = heads(4)?;
        change(&mut heads[1]);
        let (store, claim) = with_batch(directory.path(), heads).await?;
        perform(&store, &claim, &Means { most_with_sheets: 3, ..means()? }).await;
        let task = store.task(&shop(), claim.owner, ArtifactKind::BatchReport).await?.ok_or("no task")?;
        assert_eq!((task.state, task.reason.as_deref()), (TaskState::Queued, Some(reason)));
    }
    Ok(())
}

fn changed_digest(head: &mut JobContent) {
    head.evaluation.digest = "another".to_owned();
}

fn changed_set(head: &mut JobContent) {
    head.measurement_set = b"{".to_vec();
}
