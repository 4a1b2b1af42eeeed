//! The most memory a worker and its renderer have held: `VmHWM` of each process (proc(5)), after the demo heads and
//! after many sheets.

use std::error::Error;
use std::io::{BufRead, BufReader};
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::Duration;

use headproof_client::Client;
use headproof_wire::examples::{Example, HEADS};
use headproof_wire::{JobRequest, SheetOptions, TaskState, read};

const SHEETS: usize = 200;
const LONGEST: Duration = Duration::from_secs(120);

/// Prints the peaks of a worker, of its renderer and of the api beside them, each a process of its own.
pub(crate) fn report() -> Result<(), Box<dyn Error>> {
    let dir = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("store-{}", std::process::id()));
    let outcome = measure(&dir);
    std::fs::remove_dir_all(dir)?;
    outcome
}

fn measure(dir: &Path) -> Result<(), Box<dyn Error>> {
    let mut api = Program::start("api", dir, &[])?;
    let worker = Program::start("worker", dir, &[])?;
    let client = Client::new(api.address()?)?;
    let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build()?;
    let requests: Vec<JobRequest> =
        HEADS.into_iter().map(|(set, profile)| request(set, profile)).collect::<Result<_, _>>()?;
    for request in &requests {
        runtime.block_on(render(&client, request))?;
    }
    let few = (peak(worker.id())?, peak(worker.child()?)?);
    let whole = requests.first().ok_or("a head of 16 valves")?;
    for _ in 0..SHEETS {
        runtime.block_on(render(&client, whole))?;
    }
    println!("most memory held, MiB:");
    let many = (peak(worker.id())?, peak(worker.child()?)?);
    for (few, many, what) in [(few.0, many.0, "worker"), (few.1, many.1, "its renderer")] {
        println!(
            "  {few:7.1}      {what}, after the demo heads; {many:.1} after {SHEETS} sheets of 16 valves (goal: below 60)"
        );
    }
    println!("  {:7.1}      api beside them", peak(api.id())?);
    Ok(())
}

pub(super) fn request(set: Example, profile: Example) -> Result<JobRequest, Box<dyn Error>> {
    Ok(JobRequest {
        priority: None,
        measurement_set: read(set.text.as_bytes())?,
        profile: Some(read(profile.text.as_bytes())?),
        profile_ref: None,
        workshop: None,
        sheet: SheetOptions::default(),
        client_reference: None,
        follows: None,
    })
}

async fn render(client: &Client, request: &JobRequest) -> Result<(), Box<dyn Error>> {
    let job = client.submit(request).await?;
    let job = client.wait(&job, LONGEST).await?;
    if job.state == TaskState::Done { Ok(()) } else { Err("a sheet was not made".into()) }
}

/// A process of the program; it ends with this value.
pub(super) struct Program(Child);

impl Program {
    /// Starts a part of it on a store, with these settings.
    pub(super) fn start(part: &str, dir: &Path, settings: &[(&str, String)]) -> std::io::Result<Self> {
        std::fs::create_dir_all(dir)?;
        let mut command = Command::new(env!("CARGO_BIN_EXE_headproof"));
        command.arg(part).env("HEADPROOF_STORE_DIR", dir).env("HEADPROOF_API_LISTEN", "127.0.0.1:0");
        command.env("HEADPROOF_LOG_LEVEL", "error").env("HEADPROOF_WORKER_POLL_MILLISECONDS", "20");
        command.env("HEADPROOF_API_ACCESS", "open").env("HEADPROOF_API_REQUESTS", "0");
        // What names servers to a benchmark is no setting of the program, and it says so.
        for (name, _) in std::env::vars_os() {
            if name.to_string_lossy().starts_with("HEADPROOF_TEST_") {
                command.env_remove(name);
            }
        }
        command.envs(settings.iter().map(|(name, value)| (name, value)));
        Ok(Self(command.stdout(Stdio::piped()).spawn()?))
    }

    /// Where it listens, as it says itself.
    pub(super) fn address(&mut self) -> Result<String, Box<dyn Error>> {
        let said = self.0.stdout.take().ok_or("no way to hear it")?;
        let mut line = String::new();
        BufReader::new(said).read_line(&mut line)?;
        let address = line.trim().strip_prefix("headproof listens on ");
        Ok(address.ok_or("the api does not listen")?.to_owned())
    }

    pub(super) fn id(&self) -> u32 {
        self.0.id()
    }

    /// The one process it has started.
    fn child(&self) -> Result<u32, Box<dyn Error>> {
        match *self.children()? {
            [child] => Ok(child),
            ref found => Err(format!("{} renderers where there is to be one", found.len()).into()),
        }
    }

    /// The processes it has started.
    pub(super) fn children(&self) -> Result<Vec<u32>, Box<dyn Error>> {
        let processes =
            std::fs::read_dir("/proc")?.filter_map(|entry| entry.ok()?.file_name().to_str()?.parse().ok());
        let parent = self.id().to_string();
        let is_ours = |process: &u32| status(*process, "PPid:").is_ok_and(|id| id == parent);
        Ok(processes.filter(is_ours).collect())
    }
}

/// The most memory a process has held, in mebibytes.
pub(super) fn peak(process: u32) -> Result<f64, Box<dyn Error>> {
    let kilobytes: f64 = status(process, "VmHWM:")?.trim_end_matches(" kB").parse()?;
    Ok(kilobytes / 1024.0)
}

/// What the system says of a process under a name.
fn status(process: u32, name: &str) -> Result<String, Box<dyn Error>> {
    let status = std::fs::read_to_string(format!("/proc/{process}/status"))?;
    let value = status.lines().find_map(|line| line.strip_prefix(name)).ok_or("the system does not tell")?;
    Ok(value.trim().to_owned())
}

impl Drop for Program {
    fn drop(&mut self) {
        // One that has ended by itself cannot be killed, and need not be.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}
