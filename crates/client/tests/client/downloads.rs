use std::path::Path;

use headproof_client::ClientError;
use sha2::{Digest, Sha256};

use crate::service::{Scene, Service, answer, problem};

fn content() -> Vec<u8> {
    (0..500_000u32).flat_map(u32::to_le_bytes).collect()
}

fn digest(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

fn tagged(tag: &str, body: Vec<u8>) -> Scene {
    Scene::Answer(200, vec![("ETag", tag.to_owned())], body)
}

/// A directory that is gone in the end.
struct Directory(std::path::PathBuf);

impl Directory {
    fn new() -> Self {
        let path = std::env::temp_dir().join(format!("headproof-client-{}", uuid::Uuid::now_v7()));
        std::fs::create_dir(&path).unwrap();
        Self(path)
    }

    fn names(&self) -> Vec<String> {
        let entries = std::fs::read_dir(&self.0).unwrap();
        entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect()
    }
}

impl Drop for Directory {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

#[tokio::test]
async fn a_download_that_breaks_off_is_begun_anew() {
    let (content, directory) = (content(), Directory::new());
    let whole = tagged(&format!("\"{}\"", digest(&content)), content.clone());
    let damaged = tagged(&format!("\"{}\"", digest(b"other")), content.clone());
    let scenes = vec![problem(503, None), Scene::CutAfter(900_000, Box::new(whole.clone())), damaged, whole];
    let service = Service::playing(scenes).await;
    let path = directory.0.join("all.zip");
    std::fs::write(&path, "as it was").unwrap();
    assert_eq!(service.client.fetch_file("/x", &path).await.unwrap(), 2_000_000);
    assert!(std::fs::read(&path).unwrap() == content);
    assert_eq!((service.seen().len(), directory.names()), (4, vec!["all.zip".to_owned()]));
}

#[tokio::test]
async fn what_is_never_whole_leaves_nothing_behind() {
    let (content, directory) = (content(), Directory::new());
    let other = format!("\"{}\"", digest(b"other"));
    let broken = Scene::CutAfter(500_000, Box::new(answer(200, content.clone())));
    for scene in [broken, tagged(&other, content.clone()), problem(404, None)] {
        let service = Service::playing(vec![scene]).await;
        let path = directory.0.join("all.zip");
        std::fs::write(&path, "as it was").unwrap();
        assert!(service.client.fetch_file("/x", &path).await.is_err());
        assert_eq!(std::fs::read(&path).unwrap(), b"as it was");
        assert_eq!(directory.names(), ["all.zip"]);
    }
    let service = Service::playing(vec![answer(200, "x")]).await;
    let outcome = service.client.fetch_file("/x", Path::new("/nowhere/all.zip")).await;
    assert!(matches!(outcome, Err(ClientError::File { .. })), "{outcome:?}");
    assert_eq!(service.seen().len(), 1);
}

#[tokio::test]
async fn a_tag_that_is_no_digest_says_nothing() {
    for tag in ["\"7\"", "W/\"x\"", &format!("W/\"{}\"", digest(b"other")), &digest(b"other")] {
        let service = Service::playing(vec![tagged(tag, b"body".to_vec())]).await;
        assert_eq!(service.client.fetch("/x").await.unwrap(), b"body", "{tag}");
    }
    let upper = format!("\"{}\"", digest(b"body").to_uppercase());
    let service = Service::playing(vec![tagged(&upper, b"body".to_vec())]).await;
    assert_eq!(service.client.fetch("/x").await.unwrap(), b"body");
    let service = Service::playing(vec![tagged(&upper, b"bodY".to_vec())]).await;
    assert!(matches!(service.client.fetch("/x").await, Err(ClientError::Unexpected(_))));
}

#[tokio::test]
async fn what_is_written_on_the_way_is_not_begun_anew() {
    let content = content();
    let service = Service::playing(vec![problem(502, None), answer(200, content.clone())]).await;
    let mut out = Vec::new();
    assert_eq!(service.client.fetch_to("/x", &mut out).await.unwrap(), 2_000_000);
    assert!(out == content);
    let service = Service::playing(vec![Scene::CutAfter(500_000, Box::new(answer(200, content)))]).await;
    let mut out = Vec::new();
    assert!(service.client.fetch_to("/x", &mut out).await.is_err());
    assert!(out.len() < 500_000);
    assert_eq!(service.seen().len(), 1);
}
