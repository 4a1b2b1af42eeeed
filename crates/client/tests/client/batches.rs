use std::io::{Cursor, Read};
use std::path::PathBuf;
use std::time::Duration;

use flate2::read::GzDecoder;
use headproof_client::{BatchFormat, ClientError, IdempotencyKey, Upload};
use headproof_wire::BatchProgress;
use headproof_wire::{LineOutcome, TaskState};
use uuid::Uuid;

use crate::service::{ID, Scene, Service, accepted, answer, batch, problem};

/// A file that is gone in the end.
pub(crate) struct Temporary(pub(crate) PathBuf);

impl Temporary {
    pub(crate) fn new(content: &[u8]) -> Self {
        let path = std::env::temp_dir().join(format!("headproof-client-{}", Uuid::now_v7()));
        std::fs::write(&path, content).unwrap();
        Self(path)
    }
}

impl Drop for Temporary {
    fn drop(&mut self) {
        let _ = std::fs::remove_file(&self.0);
    }
}

fn large() -> Vec<u8> {
    (0..300_000u32).flat_map(|number| format!("{{\"line\":{number}}}\n").into_bytes()).collect()
}

#[tokio::test]
async fn a_file_is_sent_whole_with_each_try() {
    let (content, key) = (large(), IdempotencyKey::new());
    let file = Temporary::new(&content);
    for compressed in [false, true] {
        let scenes = vec![Scene::HungUp, problem(503, None), Scene::Cut, accepted(batch("queued", 0))];
        let service = Service::playing(scenes).await;
        let upload = Upload::file(&file.0, BatchFormat::Ndjson);
        let upload = if compressed { upload.compressed() } else { upload };
        let found = service.client.upload_batch(upload, &key).await.unwrap();
        assert_eq!((found.id.to_string().as_str(), found.progress.lines), (ID, 4));
        assert_eq!(service.seen().len(), 3);
        for request in service.seen() {
            assert_eq!(request.what, "POST /v1/batches");
            assert_eq!(request.header("content-type"), Some("application/x-ndjson"));
            assert_eq!(request.header("idempotency-key").unwrap(), format!("\"{key}\""));
            if compressed {
                let mut plain = Vec::new();
                GzDecoder::new(request.body.as_slice()).read_to_end(&mut plain).unwrap();
                assert_eq!(request.header("content-encoding"), Some("gzip"));
                assert!(plain == content && request.body.len() < content.len() / 2);
            } else {
                assert_eq!(request.header("content-encoding"), None);
                assert_eq!(request.header("content-length"), Some(content.len().to_string().as_str()));
                assert!(request.body == content);
            }
        }
    }
}

#[tokio::test]
async fn what_can_be_read_once_is_sent_once() {
    let service = Service::playing(vec![accepted(batch("queued", 0))]).await;
    let upload = Upload::reader(Cursor::new(b"serial\nA\n".to_vec()), BatchFormat::Csv);
    service.client.upload_batch(upload, &IdempotencyKey::new()).await.unwrap();
    let seen = &service.seen()[0];
    assert_eq!(
        (seen.body.as_slice(), seen.header("content-type")),
        (b"serial\nA\n".as_slice(), Some("text/csv"))
    );
    let service = Service::playing(vec![problem(503, None)]).await;
    let upload = Upload::reader(Cursor::new(b"[]".to_vec()), BatchFormat::Json);
    let outcome = service.client.upload_batch(upload, &IdempotencyKey::new()).await;
    assert!(matches!(outcome, Err(ClientError::Problem(_))), "{outcome:?}");
    assert_eq!(service.seen().len(), 1);
}

#[tokio::test]
async fn a_file_that_is_not_there_is_named_and_nobody_is_asked() {
    let service = Service::playing(vec![accepted(batch("queued", 0))]).await;
    let upload = Upload::file("/nowhere/heads.csv", BatchFormat::Csv);
    let error = service.client.upload_batch(upload, &IdempotencyKey::new()).await.unwrap_err();
    assert!(error.to_string().starts_with("/nowhere/heads.csv: "), "{error}");
    assert!(service.seen().is_empty());
}

#[tokio::test]
async fn it_is_told_how_far_a_batch_is() {
    let scenes = vec![
        answer(200, batch("queued", 0)),
        Scene::Cut,
        answer(200, batch("running", 2)),
        answer(200, batch("done", 3)),
    ];
    let service = Service::playing(scenes).await;
    let mut told = Vec::new();
    let id = ID.parse().unwrap();
    let tell = |batch: &headproof_wire::Batch| told.push(batch.progress.over());
    let done = service.client.watch_batch(id, Duration::from_secs(20), tell).await.unwrap();
    assert_eq!((done.state, told), (TaskState::Done, vec![1, 3, 4]));
    let progress = BatchProgress { lines: 4, accepted: 3, refused: 1, done: 3, ..BatchProgress::default() };
    assert_eq!(done.progress, progress);
}

#[tokio::test]
async fn lines_are_told_one_by_one() {
    let long = "x".repeat(200_000);
    let body = format!(
        "{{\"line\":1,\"client_reference\":\"{long}\",\"outcome\":\"accepted\",\"job\":\"{ID}\",\"state\":\"done\",\"disposition\":\"accept\"}}\n\
         {{\"line\":2,\"outcome\":\"refused\",\"problem\":{{\"type\":\"/problems/x\",\"title\":\"no\",\"status\":422}}}}\n\n\
         {{\"line\":3,\"outcome\":\"refused\"}}"
    );
    let service =
        Service::playing(vec![answer(200, batch("done", 3)), problem(503, None), answer(200, body)]).await;
    let found = service.client.batch(ID.parse().unwrap()).await.unwrap();
    let mut told = Vec::new();
    service.client.lines(&found, |line| told.push(line)).await.unwrap();
    assert_eq!(told.iter().map(|line| line.line).collect::<Vec<_>>(), [1, 2, 3]);
    assert_eq!((told[0].outcome, told[0].state), (LineOutcome::Accepted, Some(TaskState::Done)));
    assert_eq!(told[0].client_reference.as_deref(), Some(long.as_str()));
    assert_eq!(told[1].problem.as_ref().unwrap().status, 422);
    let service =
        Service::playing(vec![answer(200, "{\"line\":1,\"outcome\":\"refused\"}\nnonsense\n")]).await;
    let mut count = 0;
    let outcome = service.client.lines(&found, |_| count += 1).await;
    assert!(matches!(outcome, Err(ClientError::Unexpected(_))) && count == 1);
}
