use headproof_client::{BatchesAsked, ClientError, JobsAsked};
use headproof_wire::{Job, TaskState};

use crate::service::{ID, Scene, Service, answer, batch, job, problem};

fn page(link: Option<String>, body: String) -> Scene {
    Scene::Answer(200, link.map(|link| ("Link", link)).into_iter().collect(), body.into())
}

#[tokio::test]
async fn pages_follow_each_other() {
    let service = Service::playing(vec![
        page(
            Some("</v1/jobs?cursor=b>; rel=\"next\"".to_owned()),
            format!("[{},{}]", job("done"), job("queued")),
        ),
        problem(503, None),
        page(None, format!("[{}]", job("failed"))),
    ])
    .await;
    let asked = JobsAsked {
        state: Some(TaskState::Queued),
        head: Some("A/7 ä".to_owned()),
        batch: Some(ID.parse().unwrap()),
        limit: Some(2),
    };
    let first = service.client.jobs(&asked).await.unwrap();
    let second = service.client.page::<Job>(&first.next.unwrap()).await.unwrap();
    assert_eq!((first.items.len(), second.items[0].state, second.next), (2, TaskState::Failed, None));
    let asked: Vec<_> = service.seen().into_iter().map(|seen| seen.what).collect();
    let wish = format!("GET /v1/jobs?state=queued&head=A%2F7+%C3%A4&batch={ID}&limit=2");
    assert_eq!(asked, [wish.as_str(), "GET /v1/jobs?cursor=b", "GET /v1/jobs?cursor=b"]);
}

#[tokio::test]
async fn a_page_elsewhere_is_not_asked_for() {
    let elsewhere = "<http://other.example/v1/jobs>; rel=\"next\"".to_owned();
    let service = Service::playing(vec![page(Some(elsewhere), "[]".to_owned())]).await;
    let outcome = service.client.jobs(&JobsAsked::default()).await;
    assert!(matches!(outcome, Err(ClientError::Unexpected(_))), "{outcome:?}");
    assert_eq!(service.seen()[0].what, "GET /v1/jobs");
}

#[tokio::test]
async fn batches_are_listed_and_withdrawn() {
    let service = Service::playing(vec![answer(200, format!("[{}]", batch("running", 1)))]).await;
    let found = service.client.batches(&BatchesAsked { limit: Some(5) }).await.unwrap();
    assert_eq!(found.items[0].progress.queued, 2);
    assert_eq!(service.seen()[0].what, "GET /v1/batches?limit=5");
    let id = ID.parse().unwrap();
    let service =
        Service::playing(vec![Scene::Cut, problem(409, None), answer(200, batch("cancelled", 1))]).await;
    assert_eq!(service.client.cancel_batch(id).await.unwrap().state, TaskState::Cancelled);
    let service = Service::playing(vec![problem(409, None), answer(200, batch("done", 3))]).await;
    assert!(service.client.cancel_batch(id).await.is_err());
}
