//! A service on the loopback that plays one scene for each request.

use std::collections::VecDeque;
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use headproof_client::{Client, Retries};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::{TcpListener, TcpStream};

/// What happens to a request.
#[derive(Debug, Clone)]
pub(crate) enum Scene {
    /// It is answered: status, headers, body.
    Answer(u16, Vec<(&'static str, String)>, Vec<u8>),
    /// The connection ends before anything was read.
    HungUp,
    /// The connection ends when the request was read.
    Cut,
    /// So many bytes of an answer, then the end of the connection.
    CutAfter(usize, Box<Scene>),
    /// No answer for so long, then the end of the connection.
    Silent(Duration),
}

/// A request as it came.
#[derive(Debug, Clone)]
pub(crate) struct Seen {
    /// Method and target.
    pub(crate) what: String,
    head: String,
    /// The body; the pieces of a chunked one put together.
    pub(crate) body: Vec<u8>,
    /// When it came.
    pub(crate) at: Instant,
}

impl Seen {
    /// A header, where there is one.
    pub(crate) fn header(&self, name: &str) -> Option<&str> {
        self.head
            .lines()
            .filter_map(|line| line.split_once(": "))
            .find_map(|(found, value)| found.eq_ignore_ascii_case(name).then_some(value))
    }
}

/// A service on its loopback address.
pub(crate) struct Service {
    pub(crate) client: Client,
    seen: Arc<Mutex<Vec<Seen>>>,
}

/// Many tries, with hardly a wait.
pub(crate) const QUICK: Retries =
    Retries { longest: Duration::from_secs(20), first: Duration::from_millis(4), attempts: 6 };

impl Service {
    /// One that plays these scenes; the last of them for good.
    pub(crate) async fn playing(scenes: Vec<Scene>) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let base = format!("http://{}", listener.local_addr().unwrap());
        let seen = Arc::new(Mutex::new(Vec::new()));
        let noted = Arc::clone(&seen);
        let mut scenes = VecDeque::from(scenes);
        tokio::spawn(async move {
            while let Ok((stream, _)) = listener.accept().await {
                let scene = if scenes.len() > 1 { scenes.pop_front() } else { scenes.front().cloned() };
                play(stream, scene.unwrap(), &noted).await;
            }
        });
        Self { client: Client::new(base).unwrap().with_retries(QUICK), seen }
    }

    /// All requests so far.
    pub(crate) fn seen(&self) -> Vec<Seen> {
        self.seen.lock().unwrap().clone()
    }
}

async fn play(mut stream: TcpStream, scene: Scene, noted: &Mutex<Vec<Seen>>) {
    if matches!(scene, Scene::HungUp) {
        return;
    }
    let Some(request) = read(&mut stream).await else { return };
    noted.lock().unwrap().push(request);
    match scene {
        Scene::HungUp | Scene::Cut => {}
        Scene::Silent(time) => tokio::time::sleep(time).await,
        Scene::CutAfter(count, answer) => {
            let bytes = written(&answer);
            stream.write_all(&bytes[..count.min(bytes.len())]).await.unwrap();
        }
        Scene::Answer(..) => stream.write_all(&written(&scene)).await.unwrap(),
    }
    let _ = stream.shutdown().await;
}

fn written(answer: &Scene) -> Vec<u8> {
    let Scene::Answer(status, headers, body) = answer else { panic!("{answer:?} is no answer") };
    let mut text =
        format!("HTTP/1.1 {status} Said\r\nConnection: close\r\nContent-Length: {}\r\n", body.len());
    for (name, value) in headers {
        text += &format!("{name}: {value}\r\n");
    }
    [text.as_bytes(), b"\r\n", body].concat()
}

/// A whole request; nothing if it breaks off.
async fn read(stream: &mut TcpStream) -> Option<Seen> {
    let mut bytes = Vec::new();
    let head_end = loop {
        if let Some(end) = bytes.windows(4).position(|window| window == b"\r\n\r\n") {
            break end;
        }
        if stream.read_buf(&mut bytes).await.ok()? == 0 {
            return None;
        }
    };
    let head = String::from_utf8(bytes[..head_end].to_vec()).unwrap();
    let mut seen = Seen {
        what: head.lines().next()?.trim_end_matches(" HTTP/1.1").to_owned(),
        head,
        body: Vec::new(),
        at: Instant::now(),
    };
    let mut rest = bytes.split_off(head_end + 4);
    if seen.header("transfer-encoding").is_some() {
        while !rest.ends_with(b"0\r\n\r\n") {
            if stream.read_buf(&mut rest).await.ok()? == 0 {
                return None;
            }
        }
        seen.body = unchunked(&rest);
    } else {
        let length = seen.header("content-length").map_or(0, |text| text.parse().unwrap());
        while rest.len() < length {
            if stream.read_buf(&mut rest).await.ok()? == 0 {
                return None;
            }
        }
        seen.body = rest;
    }
    Some(seen)
}

fn unchunked(mut bytes: &[u8]) -> Vec<u8> {
    let mut body = Vec::new();
    loop {
        let end = bytes.windows(2).position(|window| window == b"\r\n").unwrap();
        let length = usize::from_str_radix(std::str::from_utf8(&bytes[..end]).unwrap(), 16).unwrap();
        if length == 0 {
            return body;
        }
        body.extend_from_slice(&bytes[end + 2..end + 2 + length]);
        bytes = &bytes[end + 4 + length..];
    }
}

/// An answer without headers of its own.
pub(crate) fn answer(status: u16, body: impl Into<Vec<u8>>) -> Scene {
    Scene::Answer(status, Vec::new(), body.into())
}

/// A problem, with when to come again.
pub(crate) fn problem(status: u16, retry_after: Option<&str>) -> Scene {
    let body = format!(r#"{{"type":"/problems/x","title":"said","status":{status}}}"#);
    let headers = retry_after.map(|seconds| ("Retry-After", seconds.to_owned())).into_iter().collect();
    Scene::Answer(status, headers, body.into())
}

/// The id of every job and batch of this service.
pub(crate) const ID: &str = "0190a5c8-0000-7000-8000-000000000001";

/// A job in a state.
pub(crate) fn job(state: &str) -> String {
    format!(
        r#"{{"id":"{ID}","state":"{state}","head_serial":"A","stage":"received","revision":1,"disposition":"accept",
        "evaluation_digest":"00","attempts":0,"created_at":"2026-01-01T00:00:00Z","links":{{"self":"/v1/jobs/{ID}"}}}}"#
    )
}

/// A batch in a state, so many of four lines done.
pub(crate) fn batch(state: &str, done: u64) -> String {
    format!(
        r#"{{"id":"{ID}","state":"{state}","created_at":"2026-01-01T00:00:00Z","progress":{{"lines":4,"accepted":3,
        "refused":1,"queued":{},"running":0,"done":{done},"failed":0,"cancelled":0}},
        "links":{{"self":"/v1/batches/{ID}","lines":"/v1/batches/{ID}/lines","jobs":"/v1/jobs?batch={ID}",
        "archive":"/v1/batches/{ID}/archive"}}}}"#,
        3 - done
    )
}

/// The answer that a job or batch was accepted.
pub(crate) fn accepted(resource: String) -> Scene {
    Scene::Answer(202, vec![("Location", format!("/v1/jobs/{ID}"))], resource.into())
}
