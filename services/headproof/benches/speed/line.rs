//! The whole way of many heads, from the post to the sheet, by the program as it runs for a shop.
//!
//! 1. Embedded, one process: heads a second end to end, how long a post takes meanwhile, and the ratio to nothing but
//!    rendering the same sheet with as many threads as there are processors. Whoever posts is on the same processors;
//!    the same from a full queue, when nobody does.
//! 2. On PostgreSQL, where `HEADPROOF_TEST_POSTGRES` names a server: 1, 2 and 4 workers on a full queue, as ratios to one.
//! 3. A batch of 10,000 heads, their statistics, and the most memory that api, worker and renderer have held (`VmHWM`, proc(5)).

use std::error::Error;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use headproof_client::{BatchFormat, Client, IdempotencyKey, JobsAsked, StatisticsAsked, Upload};
use headproof_sheet::inspection_sheet;
use headproof_wire::examples::HEADS;
use headproof_wire::statistics::Selection;
use headproof_wire::{JobRequest, TaskState};

use super::memory::{Program, peak, request};
use super::sheets::Head;

/// Heads that are posted one by one.
const HEADS_POSTED: usize = 600;
/// Posts at the same time.
const CLIENTS: usize = 4;
/// Tasks at the same time, as README advises for two processors: while one is kept, two are rendered.
const TASKS: usize = 3;
/// Heads in the queue of a server.
const QUEUED: usize = 300;
/// Heads of the large batch.
const BATCH: usize = 10_000;
const LONGEST: Duration = Duration::from_secs(3600);

/// Prints the three parts.
pub(crate) fn report(body: &[u8]) -> Result<(), Box<dyn Error>> {
    let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(2).enable_all().build()?;
    let bare = bare(body)?;
    let scratch = Scratch::new("line")?;
    runtime.block_on(embedded(&scratch.0, bare))?;
    match std::env::var("HEADPROOF_TEST_POSTGRES") {
        Ok(url) => runtime.block_on(on_a_server(&scratch.0, &url))?,
        Err(_) => println!("workers on PostgreSQL: not measured, HEADPROOF_TEST_POSTGRES names no server"),
    }
    runtime.block_on(large_batch(&scratch.0))
}

/// Sheets a second of nothing but rendering, on all processors.
fn bare(body: &[u8]) -> Result<f64, Box<dyn Error>> {
    let threads = std::thread::available_parallelism()?.get();
    let each = HEADS_POSTED / threads;
    let begin = Instant::now();
    std::thread::scope(|scope| {
        let hands: Vec<_> = (0..threads)
            .map(|_| {
                scope.spawn(move || {
                    let head = Head::new(body).map_err(|error| error.to_string())?;
                    for _ in 0..each {
                        inspection_sheet(&head.input(false)).map_err(|error| error.to_string())?;
                    }
                    Ok::<_, String>(())
                })
            })
            .collect();
        for hand in hands {
            hand.join().map_err(|_| "a thread stopped")??;
        }
        Ok::<_, Box<dyn Error>>(())
    })?;
    Ok((each * threads) as f64 / begin.elapsed().as_secs_f64())
}

async fn embedded(dir: &Path, bare: f64) -> Result<(), Box<dyn Error>> {
    let mut program = Program::start("serve", &dir.join("embedded"), &settings(TASKS))?;
    let client = Client::new(program.address()?)?;
    let begin = Instant::now();
    let mut times = post(&client, HEADS_POSTED).await?;
    drained(&client).await?;
    let whole = HEADS_POSTED as f64 / begin.elapsed().as_secs_f64();
    times.sort_unstable();
    let at = |share: f64| times[((times.len() - 1) as f64 * share) as usize].as_secs_f64() * 1e3;
    println!("{HEADS_POSTED} heads of 16 valves, posted by {CLIENTS}, embedded, all on the same processors:");
    println!("  {whole:6.1} /s  from post to sheet");
    println!("  {:6.1} ms  a post, median; {:.1} ms the 99th of 100", at(0.5), at(0.99));
    drop(program);
    let queue = drained_by_itself(&dir.join("queue")).await?;
    println!("  {queue:6.1} /s  from a full queue to sheet, nobody posting");
    println!("  {bare:6.1} /s  rendering alone");
    println!(
        "  ratios to it: {:.2} with the posts, {:.2} without (goal: at least 0.8)",
        whole / bare,
        queue / bare
    );
    Ok(())
}

/// Heads a second of a worker beside an api that nobody posts to.
async fn drained_by_itself(dir: &Path) -> Result<f64, Box<dyn Error>> {
    let mut api = Program::start("api", dir, &[])?;
    let client = Client::new(api.address()?)?;
    post(&client, HEADS_POSTED).await?;
    let begin = Instant::now();
    let worker = Program::start("worker", dir, &settings(TASKS))?;
    drained(&client).await?;
    let rate = HEADS_POSTED as f64 / begin.elapsed().as_secs_f64();
    drop((worker, api));
    Ok(rate)
}

async fn on_a_server(dir: &Path, url: &str) -> Result<(), Box<dyn Error>> {
    println!("{QUEUED} heads of 16 valves in a queue on PostgreSQL:");
    let mut one = None;
    for workers in [1, 2, 4] {
        let database = Database::new(url, workers)?;
        let dir = dir.join(format!("server-{workers}"));
        let mut settings = settings(1);
        settings.push(("HEADPROOF_STORE_DATABASE", database.url.clone()));
        let mut api = Program::start("api", &dir, &settings)?;
        let client = Client::new(api.address()?)?;
        post(&client, QUEUED).await?;
        let begin = Instant::now();
        let hands: Vec<Program> =
            (0..workers).map(|_| Program::start("worker", &dir, &settings)).collect::<Result<_, _>>()?;
        drained(&client).await?;
        let rate = QUEUED as f64 / begin.elapsed().as_secs_f64();
        let first = *one.get_or_insert(rate);
        println!("  {rate:6.1} /s  with {workers} workers; ratio {:.2}", rate / first);
        drop((hands, api));
    }
    Ok(())
}

async fn large_batch(dir: &Path) -> Result<(), Box<dyn Error>> {
    let dir = dir.join("batch");
    let mut api = Program::start("api", &dir, &settings(TASKS))?;
    let client = Client::new(api.address()?)?;
    let file = lines(&dir)?;
    let size = std::fs::metadata(&file)?.len();
    let begin = Instant::now();
    let batch = client.upload_batch(Upload::file(&file, BatchFormat::Ndjson), &IdempotencyKey::new()).await?;
    let taken = begin.elapsed();
    if batch.progress.accepted != BATCH as u64 {
        return Err("not every line was accepted".into());
    }
    println!("a batch of {BATCH} heads of 8 valves, {} MB:", size / 1_000_000);
    println!(
        "  {:6.1} s   judged and on disk, {:.0} /s",
        taken.as_secs_f64(),
        BATCH as f64 / taken.as_secs_f64()
    );
    println!("  {:6.1} MiB the most memory of the api", peak(api.id())?);
    let begin = Instant::now();
    let of = Selection { batch: Some(batch.id), ..Selection::default() };
    let said = client.statistics(&StatisticsAsked { of, ..StatisticsAsked::default() }).await?;
    let (values, series) =
        (said.characteristics.iter().map(|of| of.n).sum::<u64>(), said.characteristics.len());
    println!(
        "  {:6.1} s   their statistics, {values} values of {series} series",
        begin.elapsed().as_secs_f64()
    );
    println!("  {:6.1} MiB the most memory of the api by then", peak(api.id())?);
    let worker = Program::start("worker", &dir, &settings(TASKS))?;
    let begin = Instant::now();
    let done = client.watch_batch(batch.id, LONGEST, |_| ()).await?;
    let made = begin.elapsed();
    let (state, sheets) = (done.state, done.progress.done);
    println!(
        "  {:6.1} s   {sheets} sheets and the report ({state:?}), {:.1} /s",
        made.as_secs_f64(),
        BATCH as f64 / made.as_secs_f64()
    );
    println!("  {:6.1} MiB the most memory of the worker", peak(worker.id())?);
    let renderers = worker.children()?.into_iter().map(peak).collect::<Result<Vec<_>, _>>()?;
    println!("  {:6.1} MiB of the largest renderer at its end", renderers.into_iter().fold(0.0, f64::max));
    Ok(())
}

fn settings(tasks: usize) -> Vec<(&'static str, String)> {
    vec![("HEADPROOF_WORKER_TASKS", tasks.to_string())]
}

/// Posts heads, some at a time; gives how long each post took.
async fn post(client: &Client, heads: usize) -> Result<Vec<Duration>, Box<dyn Error>> {
    let (set, profile) = HEADS[0];
    let whole = request(set, profile)?;
    let posting = (0..CLIENTS).map(|first| {
        let (client, whole) = (client.clone(), whole.clone());
        tokio::spawn(async move {
            let mut times = Vec::new();
            for number in (first..heads).step_by(CLIENTS) {
                let request = named(&whole, number);
                let begin = Instant::now();
                client.submit(&request).await.map_err(|error| error.to_string())?;
                times.push(begin.elapsed());
            }
            Ok::<_, String>(times)
        })
    });
    let posting: Vec<_> = posting.collect();
    let mut times = Vec::with_capacity(heads);
    for posted in posting {
        times.extend(posted.await??);
    }
    Ok(times)
}

/// The same head under another serial.
fn named(request: &JobRequest, number: usize) -> JobRequest {
    let mut request = request.clone();
    request.measurement_set.head.serial = format!("BENCH-{number:05}");
    request
}

/// Waits until no sheet is pending.
async fn drained(client: &Client) -> Result<(), Box<dyn Error>> {
    for state in [TaskState::Queued, TaskState::Running, TaskState::Queued] {
        let asked = JobsAsked { state: Some(state), limit: Some(1), ..JobsAsked::default() };
        while !client.jobs(&asked).await?.items.is_empty() {
            tokio::time::sleep(Duration::from_millis(20)).await;
        }
    }
    Ok(())
}

/// The lines of the large batch.
fn lines(dir: &Path) -> Result<PathBuf, Box<dyn Error>> {
    let (set, profile) = HEADS[1];
    let whole = request(set, profile)?;
    let path = dir.join("batch.ndjson");
    let mut file = std::io::BufWriter::new(std::fs::File::create(&path)?);
    for number in 0..BATCH {
        serde_json::to_writer(&mut file, &named(&whole, number))?;
        file.write_all(b"\n")?;
    }
    file.flush()?;
    Ok(path)
}

/// A database of its own on a server.
struct Database {
    url: String,
    name: String,
    server: String,
}

impl Database {
    fn new(server: &str, workers: usize) -> Result<Self, Box<dyn Error>> {
        let name = format!("bench_{}_{workers}", std::process::id());
        psql(server, &format!("CREATE DATABASE {name}"))?;
        let (base, _) = server.rsplit_once('/').ok_or("an address without a database")?;
        Ok(Self { url: format!("{base}/{name}"), name, server: server.to_owned() })
    }
}

impl Drop for Database {
    fn drop(&mut self) {
        let _ = psql(&self.server, &format!("DROP DATABASE {} WITH (FORCE)", self.name));
    }
}

fn psql(server: &str, statement: &str) -> Result<(), Box<dyn Error>> {
    super::finished(std::process::Command::new("psql").args([
        "--quiet",
        "--dbname",
        server,
        "--command",
        statement,
    ]))
}

/// A directory that goes away with it.
struct Scratch(PathBuf);

impl Scratch {
    fn new(name: &str) -> std::io::Result<Self> {
        let dir = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("{name}-{}", std::process::id()));
        std::fs::create_dir_all(&dir)?;
        Ok(Self(dir))
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}
