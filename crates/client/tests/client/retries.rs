use std::time::{Duration, Instant};

use headproof_client::{Client, ClientError, IdempotencyKey, Retries};
use headproof_wire::{Job, TaskState};

use crate::service::{ID, QUICK, Scene, Service, accepted, answer, job, problem};

async fn submitted(service: &Service) -> Result<Job, ClientError> {
    service.client.submit_document(b"{}".to_vec(), &IdempotencyKey::new()).await
}

#[tokio::test]
async fn whatever_may_pass_is_tried_again_with_the_same_key() {
    let scenes = vec![
        Scene::HungUp,
        Scene::Cut,
        problem(503, None),
        Scene::CutAfter(30, Box::new(accepted(job("queued")))),
        Scene::CutAfter(200, Box::new(accepted(job("queued")))),
        accepted(job("queued")),
    ];
    let service = Service::playing(scenes).await;
    assert_eq!(submitted(&service).await.unwrap().state, TaskState::Queued);
    let seen = service.seen();
    assert_eq!(seen.len(), 5);
    for request in &seen {
        assert_eq!((request.what.as_str(), request.body.as_slice()), ("POST /v1/jobs", b"{}".as_slice()));
        let key = request.header("idempotency-key").unwrap();
        assert_eq!((key, key.len()), (seen[0].header("idempotency-key").unwrap(), 38));
    }
}

#[tokio::test]
async fn statuses_that_may_pass_are_tried_again_and_others_are_not() {
    for status in [408, 429, 502, 503, 504] {
        let service = Service::playing(vec![problem(status, None), accepted(job("queued"))]).await;
        submitted(&service).await.unwrap();
        assert_eq!(service.seen().len(), 2, "{status}");
    }
    for status in [400, 401, 403, 404, 409, 413, 415, 422, 500] {
        let service = Service::playing(vec![problem(status, None), accepted(job("queued"))]).await;
        match submitted(&service).await.unwrap_err() {
            ClientError::Problem(problem) => assert_eq!(problem.status, status),
            other => panic!("{other}"),
        }
        assert_eq!(service.seen().len(), 1, "{status}");
    }
}

#[tokio::test]
async fn a_request_that_is_still_worked_on_is_waited_for() {
    let service = Service::playing(vec![problem(409, Some("0")), accepted(job("queued"))]).await;
    submitted(&service).await.unwrap();
    assert_eq!(service.seen().len(), 2);
    // Without a key 409 means something else, whenever one may come again.
    let service = Service::playing(vec![problem(409, Some("0"))]).await;
    assert!(service.client.job(ID.parse().unwrap()).await.is_err());
    assert_eq!(service.seen().len(), 1);
}

#[tokio::test]
async fn when_to_come_again_is_heeded() {
    let service = Service::playing(vec![problem(429, Some("1")), accepted(job("queued"))]).await;
    submitted(&service).await.unwrap();
    let seen = service.seen();
    assert!(seen[1].at - seen[0].at >= Duration::from_secs(1), "{:?}", seen[1].at - seen[0].at);
}

#[tokio::test]
async fn nobody_waits_beyond_the_end() {
    let retries = Retries { longest: Duration::from_millis(400), attempts: 1000, ..QUICK };
    let begun = Instant::now();
    let service = Service::playing(vec![problem(503, Some("3600"))]).await;
    let client = service.client.with_retries(retries);
    assert!(matches!(client.job(ID.parse().unwrap()).await, Err(ClientError::Problem(_))));
    assert_eq!(service.seen().len(), 1);
    // Nobody listens there any more.
    let nobody = tokio::net::TcpListener::bind("127.0.0.1:0").await.unwrap().local_addr().unwrap();
    let client = Client::new(format!("http://{nobody}")).unwrap().with_retries(retries);
    assert!(matches!(client.job(ID.parse().unwrap()).await, Err(ClientError::Transport(_))));
    // A try that gets no answer is given up at the end, too.
    let service = Service::playing(vec![problem(503, None), Scene::Silent(Duration::from_secs(20))]).await;
    let client = service.client.with_retries(retries);
    match client.job(ID.parse().unwrap()).await.unwrap_err() {
        ClientError::Transport(error) => assert!(error.is_timeout(), "{error}"),
        other => panic!("{other}"),
    }
    assert!(begun.elapsed() < Duration::from_secs(5), "{:?}", begun.elapsed());
}

#[tokio::test]
async fn tries_are_counted() {
    let service = Service::playing(vec![Scene::Cut]).await;
    let outcome =
        service.client.with_retries(Retries { attempts: 3, ..QUICK }).job(ID.parse().unwrap()).await;
    assert!(matches!(outcome, Err(ClientError::Transport(_))));
    assert_eq!(service.seen().len(), 3);
    let service = Service::playing(vec![Scene::Cut]).await;
    assert!(service.client.with_retries(Retries::NONE).job(ID.parse().unwrap()).await.is_err());
    assert_eq!(service.seen().len(), 1);
}

#[tokio::test]
async fn a_key_of_ones_own_and_a_trace_are_shown() {
    let service = Service::playing(vec![accepted(job("queued"))]).await;
    let trace = "00-0af7651916cd43dd8448eb211c80319c-b7ad6b7169203331-01";
    let client = service.client.with_key("secret").with_traceparent(trace).unwrap();
    client.submit_document(b"{}".to_vec(), &"order \"7\"".parse().unwrap()).await.unwrap();
    let seen = &service.seen()[0];
    assert_eq!(seen.header("idempotency-key"), Some(r#""order \"7\"""#));
    assert_eq!(seen.header("traceparent"), Some(trace));
    assert_eq!(seen.header("authorization"), Some("Bearer secret"));
    assert_eq!(seen.header("content-type"), Some("application/json"));
    assert!(service.client.with_traceparent("a\nb").is_err());
}

#[tokio::test]
async fn what_a_lost_try_has_withdrawn_is_withdrawn() {
    let id = ID.parse().unwrap();
    let service = Service::playing(vec![Scene::Cut, problem(409, None), answer(200, job("cancelled"))]).await;
    assert_eq!(service.client.cancel(id).await.unwrap().state, TaskState::Cancelled);
    let asked: Vec<_> = service.seen().into_iter().map(|seen| seen.what).collect();
    let (cancel, look) = (format!("POST /v1/jobs/{ID}/cancel"), format!("GET /v1/jobs/{ID}"));
    assert_eq!(asked, [cancel.clone(), cancel, look]);
    // One that is done stays done.
    let service = Service::playing(vec![problem(409, None), answer(200, job("done"))]).await;
    assert!(
        matches!(service.client.cancel(id).await, Err(ClientError::Problem(problem)) if problem.status == 409)
    );
}

#[tokio::test]
async fn waiting_ends_with_the_state_or_with_patience() {
    let scenes =
        vec![answer(200, job("queued")), Scene::Cut, answer(200, job("running")), answer(200, job("done"))];
    let service = Service::playing(scenes).await;
    let job: Job = serde_json::from_str(&job("queued")).unwrap();
    let done = service.client.wait(&job, Duration::from_secs(20)).await.unwrap();
    assert_eq!(done.state, TaskState::Done);
    assert_eq!(service.seen()[0].header("prefer"), Some("wait=10"));
    let service = Service::playing(vec![answer(200, crate::service::job("running"))]).await;
    let outcome = service.client.wait(&job, Duration::from_millis(700)).await;
    assert!(matches!(outcome, Err(ClientError::TimedOut(_))), "{outcome:?}");
    // The service held no request, and was not asked without a pause for that.
    assert!((2..=4).contains(&service.seen().len()), "{}", service.seen().len());
}
