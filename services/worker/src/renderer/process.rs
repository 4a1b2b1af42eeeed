//! One renderer, seen from the worker.

use std::io;
use std::path::PathBuf;
use std::process::{ExitStatus, Stdio};

use tokio::io::{AsyncBufReadExt, AsyncRead, AsyncReadExt, BufReader, BufWriter};
use tokio::process::{Child, ChildStdin, ChildStdout, Command};
use tokio::task::JoinHandle;

use super::memory::NO_MEMORY;
use super::message::{Reply, Request, receive_reply};

/// How a renderer is started: a program that takes requests on its standard input and answers on its standard
/// output until the input ends, as [`super::render_until_end_of_input`] does.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RendererCommand {
    /// The program.
    pub program: PathBuf,
    /// Its arguments.
    pub arguments: Vec<String>,
    /// Variables of its environment, besides those of the worker.
    pub environment: Vec<(&'static str, String)>,
}

/// What a renderer is called among the processes of a machine, whatever its program is called.
const NAME: &str = "headproof";

/// A process that renders. It is killed when it is dropped.
pub(super) struct Renderer {
    process: Child,
    input: BufWriter<ChildStdin>,
    output: BufReader<ChildStdout>,
    /// Logs what it says; in the end tells whether it said that it got no memory.
    listener: JoinHandle<bool>,
}

/// How a renderer came to its end.
#[derive(Debug, PartialEq, Eq)]
pub(super) enum End {
    /// It was given no more memory.
    OutOfMemory,
    /// Something else.
    Other(ExitStatus),
}

impl Renderer {
    /// Starts one.
    ///
    /// # Errors
    /// When the system does not start it.
    pub(super) fn start(command: &RendererCommand) -> io::Result<Self> {
        let mut process = Command::new(&command.program)
            .arg0(NAME)
            .args(&command.arguments)
            .envs(command.environment.iter().map(|(name, value)| (name, value)))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .kill_on_drop(true)
            .spawn()?;
        let missing = || io::Error::other("a pipe is missing");
        let input = BufWriter::new(process.stdin.take().ok_or_else(missing)?);
        let output = BufReader::new(process.stdout.take().ok_or_else(missing)?);
        let said = process.stderr.take().ok_or_else(missing)?;
        let id = process.id();
        tracing::debug!(renderer = id, "renderer started");
        Ok(Self { process, input, output, listener: tokio::spawn(listen(id, said)) })
    }

    /// Has a request rendered.
    ///
    /// # Errors
    /// When the renderer is gone or says what makes no sense; it is of no more use then.
    pub(super) async fn render(&mut self, request: &Request, memory_mebibytes: u64) -> io::Result<Reply> {
        request.send(&mut self.input, memory_mebibytes).await?;
        receive_reply(&mut self.output).await
    }

    /// Whether it still runs.
    pub(super) fn is_alive(&mut self) -> bool {
        matches!(self.process.try_wait(), Ok(None))
    }

    /// Kills it, unless it has ended by itself already; tells how it ended.
    ///
    /// # Errors
    /// When the system does not tell.
    pub(super) async fn end(mut self) -> io::Result<End> {
        // One that has ended has closed its pipes after its exit status was settled: this cannot change that.
        self.process.start_kill()?;
        let status = self.process.wait().await?;
        let got_no_memory = self.listener.await.unwrap_or(false);
        Ok(if got_no_memory { End::OutOfMemory } else { End::Other(status) })
    }
}

/// Longest piece of what a renderer says that is logged as one.
const LONGEST_LINE: u64 = 4096;

/// Logs what a renderer says on its standard error: nothing but why it stops.
async fn listen(renderer: Option<u32>, from: impl AsyncRead + Unpin) -> bool {
    let mut from = BufReader::new(from);
    let mut got_no_memory = false;
    let mut line = Vec::new();
    while let Ok(1..) = (&mut from).take(LONGEST_LINE).read_until(b'\n', &mut line).await {
        got_no_memory |= line.starts_with(NO_MEMORY.as_bytes());
        let said = String::from_utf8_lossy(line.trim_ascii_end());
        if !said.is_empty() {
            tracing::warn!(renderer, %said, "a renderer spoke");
        }
        line.clear();
    }
    got_no_memory
}
