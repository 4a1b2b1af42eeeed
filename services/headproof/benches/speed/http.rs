//! Judging over HTTP against a handler that only reads the body.

use std::error::Error;
use std::io::{Read, Write};
use std::net::{SocketAddr, TcpListener, TcpStream};
use std::sync::Arc;
use std::time::{Duration, Instant};

use actix_web::web::{self, Bytes, PayloadConfig};
use actix_web::{App, HttpResponse, HttpServer};
use headproof_api::{Access, ApiState, Limits, ReleaseRules, Signatures, Webhooks, bind};
use headproof_client::Guard;
use headproof_seal::Secret;
use headproof_store::{ShopId, Store};
use headproof_wire::{EvaluateRequest, read};
use serde_json::json;

use super::{median, microseconds};

const ROUNDS: usize = 3000;
const WARM_UP: usize = 300;

const SET: &str = include_str!("../../../../crates/wire/examples/set-irrigation-pump-16v.json");
const PROFILE: &str = include_str!("../../../../crates/wire/examples/profile-demo-aluminium-16v.json");

/// The demo head with its profile, without the white space a person needs.
pub(crate) fn request_body() -> Result<Vec<u8>, Box<dyn Error>> {
    let set: serde_json::Value = serde_json::from_str(SET)?;
    let profile: serde_json::Value = serde_json::from_str(PROFILE)?;
    Ok(serde_json::to_vec(&json!({ "measurement_set": set, "profile": profile }))?)
}

/// Prints both medians and their ratio, request by request in turn on one connection each.
pub(crate) fn report(body: &[u8]) -> Result<(), Box<dyn Error>> {
    let dir = std::env::temp_dir().join(format!("headproof-bench-{}", std::process::id()));
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(1).enable_all().build()?;
    let judging = runtime.block_on(start_judging(&dir))?;
    let mut judged = Connection::open(judging, body)?;
    let answer = judged.exchange()?;
    let canned = runtime.block_on(start_canned(vec![b'x'; answer]))?;
    let mut canned = Connection::open(canned, body)?;
    let (mut ours, mut theirs) = (Vec::with_capacity(ROUNDS), Vec::with_capacity(ROUNDS));
    for round in 0..WARM_UP + ROUNDS {
        let (a, b) = (judged.timed()?, canned.timed()?);
        if round >= WARM_UP {
            ours.push(a);
            theirs.push(b);
        }
    }
    let mut ratios: Vec<f64> =
        ours.iter().zip(&theirs).map(|(a, b)| b.as_secs_f64() / a.as_secs_f64()).collect();
    ratios.sort_unstable_by(f64::total_cmp);
    let (a, b) = (median(&mut ours), median(&mut theirs));
    println!("over HTTP on loopback, one connection, {ROUNDS} pairs, answers of {answer} bytes:");
    println!("  {:7.1} µs  judge", microseconds(a));
    println!("  {:7.1} µs  read the same body, answer canned bytes", microseconds(b));
    println!(
        "  ratio {:.2} (median of pairs {:.2}; goal: at least 0.5)",
        b.as_secs_f64() / a.as_secs_f64(),
        ratios[ROUNDS / 2]
    );
    std::fs::remove_dir_all(dir)?;
    Ok(())
}

async fn start_judging(dir: &std::path::Path) -> Result<SocketAddr, Box<dyn Error>> {
    let store = Store::open(dir).await?;
    let signatures = Signatures {
        secret: Arc::new(Secret::random()?),
        rules: ReleaseRules::default(),
        timestamp_authorities: Arc::new([]),
    };
    let access = Access::Open(ShopId::new("bench"));
    let webhooks = Webhooks { guard: Guard::default(), overlap: Duration::ZERO };
    let (limits, wake) = (Limits::default(), Arc::new(|| ()));
    let state = ApiState::new(store, access, limits, wake, signatures, webhooks, std::env::temp_dir())?;
    let bound = bind(state, SocketAddr::from(([127, 0, 0, 1], 0)), 1)?;
    tokio::spawn(bound.server);
    Ok(bound.address)
}

async fn start_canned(answer: Vec<u8>) -> Result<SocketAddr, Box<dyn Error>> {
    let answer = Bytes::from(answer);
    let listener = TcpListener::bind(SocketAddr::from(([127, 0, 0, 1], 0)))?;
    let address = listener.local_addr()?;
    let server = HttpServer::new(move || {
        let answer = answer.clone();
        App::new().app_data(PayloadConfig::new(4 << 20)).route(
            "/v1/evaluate",
            web::post().to(move |body: Bytes| {
                let answer = answer.clone();
                async move {
                    match read::<EvaluateRequest>(&body) {
                        Ok(request) => {
                            std::hint::black_box(&request);
                            HttpResponse::Ok().content_type("application/json").body(answer)
                        }
                        Err(_) => HttpResponse::UnprocessableEntity().finish(),
                    }
                }
            }),
        )
    });
    tokio::spawn(server.workers(1).disable_signals().listen(listener)?.run());
    Ok(address)
}

/// One kept-alive connection that sends the same request again and again.
struct Connection {
    stream: TcpStream,
    request: Vec<u8>,
    buffer: Vec<u8>,
}

impl Connection {
    fn open(address: SocketAddr, body: &[u8]) -> Result<Self, Box<dyn Error>> {
        let stream = TcpStream::connect(address)?;
        stream.set_nodelay(true)?;
        stream.set_read_timeout(Some(Duration::from_secs(10)))?;
        let mut request = format!(
            "POST /v1/evaluate HTTP/1.1\r\nHost: {address}\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n",
            body.len()
        )
        .into_bytes();
        request.extend_from_slice(body);
        Ok(Self { stream, request, buffer: vec![0; 1 << 20] })
    }

    fn timed(&mut self) -> Result<Duration, Box<dyn Error>> {
        let start = Instant::now();
        self.exchange()?;
        Ok(start.elapsed())
    }

    /// Sends the request and reads the answer; gives the length of its body.
    fn exchange(&mut self) -> Result<usize, Box<dyn Error>> {
        self.stream.write_all(&self.request)?;
        let mut filled = 0;
        loop {
            let got = self.stream.read(&mut self.buffer[filled..])?;
            if got == 0 {
                return Err("the connection was closed".into());
            }
            filled += got;
            let Some(head) = find(&self.buffer[..filled], b"\r\n\r\n") else { continue };
            let text = std::str::from_utf8(&self.buffer[..head])?;
            if !text.starts_with("HTTP/1.1 200") {
                return Err(text.lines().next().unwrap_or_default().into());
            }
            let length = text
                .lines()
                .find_map(|line| line.to_ascii_lowercase().strip_prefix("content-length: ")?.parse().ok());
            let length: usize = length.ok_or("no content length")?;
            if filled >= head + 4 + length {
                return Ok(length);
            }
        }
    }
}

fn find(haystack: &[u8], needle: &[u8]) -> Option<usize> {
    haystack.windows(needle.len()).position(|window| window == needle)
}
