//! The renderers of a worker: started when they are needed, used again and again.

use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use headproof_sheet::Rendered;

use super::message::{Reply, Request};
use super::process::{End, Renderer, RendererCommand};
use crate::error::TaskError;
use crate::refusal::Refusal;

/// What making one file may take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Bounds {
    /// Time by the clock.
    pub time: Duration,
    /// Memory of the renderer, in mebibytes, on systems that hold a process to it (Linux does).
    pub memory_mebibytes: u64,
}

/// Where pages are made.
#[derive(Clone)]
pub(crate) enum Renderers {
    /// In processes of their own.
    Processes(Arc<Pool>),
    /// In this process, bounded by nothing: for tests of what is around it.
    #[cfg(test)]
    Here,
}

impl Renderers {
    /// Processes, none yet, each to be started by a command.
    pub(crate) fn new(command: RendererCommand) -> Self {
        Self::Processes(Arc::new(Pool { command, idle: Mutex::default() }))
    }

    /// Has a request rendered within bounds.
    pub(crate) async fn render(&self, request: Request, bounds: Bounds) -> Result<Rendered, TaskError> {
        match self {
            Self::Processes(pool) => pool.render(&request, bounds).await,
            #[cfg(test)]
            Self::Here => Ok(crate::render::render(request.order, request.heads)?),
        }
    }
}

/// Renderers in processes of their own. There are never more than tasks at the same time: each task takes one.
pub(crate) struct Pool {
    command: RendererCommand,
    idle: Mutex<Vec<Renderer>>,
}

/// What came of a request.
enum Outcome {
    /// The renderer replied.
    Replied(Reply),
    /// It was too slow, and is no more.
    Overtime,
    /// It came to its end before it replied.
    Ended(End),
}

impl Pool {
    /// Has a request rendered within bounds. A renderer that oversteps them is killed, as is one whose reply
    /// nobody waits for any longer.
    async fn render(&self, request: &Request, bounds: Bounds) -> Result<Rendered, TaskError> {
        let used = self.take_idle();
        let was_used = used.is_some();
        let mut outcome = self.ask(used, request, bounds).await?;
        if was_used && matches!(outcome, Outcome::Ended(End::OutOfMemory)) {
            // Perhaps what it had kept from earlier work was too much: only a new one tells.
            outcome = self.ask(None, request, bounds).await?;
        }
        let what = request.order.work.name();
        match outcome {
            Outcome::Replied(reply) => Ok(reply?),
            Outcome::Overtime => Err(TaskError::Overtime { what, bounds }),
            Outcome::Ended(End::OutOfMemory) => Err(TaskError::OutOfMemory { what, bounds }),
            Outcome::Ended(End::Other(status)) => Err(Refusal::Stopped(status.to_string().into()).into()),
        }
    }

    /// Asks a renderer, a new one where none is given.
    async fn ask(
        &self,
        renderer: Option<Renderer>,
        request: &Request,
        bounds: Bounds,
    ) -> Result<Outcome, TaskError> {
        let mut renderer = match renderer {
            Some(renderer) => renderer,
            None => Renderer::start(&self.command).map_err(TaskError::NoRenderer)?,
        };
        let reply = renderer.render(request, bounds.memory_mebibytes);
        match tokio::time::timeout(bounds.time, reply).await {
            Ok(Ok(reply)) => {
                self.idle().push(renderer);
                Ok(Outcome::Replied(reply))
            }
            Ok(Err(error)) => {
                tracing::debug!(%error, "a renderer did not reply");
                let end = renderer.end().await;
                Ok(Outcome::Ended(end.map_err(|error| Refusal::Stopped(error.to_string().into()))?))
            }
            // It is dropped, and by that killed.
            Err(_) => Ok(Outcome::Overtime),
        }
    }

    /// One that waits for work, if there is one; those that ended while they waited are forgotten.
    fn take_idle(&self) -> Option<Renderer> {
        let mut idle = self.idle();
        while let Some(mut renderer) = idle.pop() {
            if renderer.is_alive() {
                return Some(renderer);
            }
        }
        None
    }

    fn idle(&self) -> MutexGuard<'_, Vec<Renderer>> {
        self.idle.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

#[cfg(test)]
mod tests {
    use headproof_wire::SheetOptions;

    use super::*;
    use crate::render::{Order, Work};

    const BOUNDS: Bounds = Bounds { time: Duration::from_secs(60), memory_mebibytes: 1024 };

    /// A renderer that a shell plays.
    fn pool(script: &str) -> Pool {
        let command = RendererCommand {
            program: "/bin/sh".into(),
            arguments: vec!["-c".to_owned(), script.to_owned()],
            environment: Vec::new(),
        };
        Pool { command, idle: Mutex::default() }
    }

    fn request() -> Request {
        Request { order: Order { work: Work::Sheet, look: SheetOptions::default() }, heads: Vec::new() }
    }

    /// What the client would read, and how many renderers wait for more.
    async fn outcome(pool: &Pool, bounds: Bounds) -> (Result<Vec<u8>, String>, usize) {
        let outcome = pool.render(&request(), bounds).await;
        let outcome = outcome.map(|made| made.bytes).map_err(|error| error.to_string());
        (outcome, pool.idle().len())
    }

    /// Takes the request in and replies.
    async fn work() -> String {
        let mut bytes = Vec::new();
        request().send(&mut bytes, BOUNDS.memory_mebibytes).await.unwrap();
        let length = bytes.len();
        format!(r#"head -c {length} >/dev/null; printf '\0\0\0\011{{"Ok":[]}}\0\0\0\004%%PDF'"#)
    }

    #[tokio::test]
    async fn a_renderer_that_replies_is_used_again() {
        let work = work().await;
        let pool = pool(&format!("{work}; {work}; exec sleep 60"));
        for _ in 0..2 {
            assert_eq!(outcome(&pool, BOUNDS).await, (Ok(b"%PDF".to_vec()), 1));
        }
    }

    #[tokio::test]
    async fn a_renderer_that_ended_while_it_waited_is_replaced() {
        let pool = pool(&work().await);
        for _ in 0..3 {
            assert_eq!(outcome(&pool, BOUNDS).await, (Ok(b"%PDF".to_vec()), 1));
            while pool.idle().iter_mut().any(Renderer::is_alive) {
                tokio::time::sleep(Duration::from_millis(5)).await;
            }
        }
    }

    #[tokio::test]
    async fn a_renderer_that_is_too_slow_is_no_more() {
        let bounds = Bounds { time: Duration::from_millis(200), ..BOUNDS };
        let late = "the sheet was not finished within 200 ms".to_owned();
        assert_eq!(outcome(&pool("exec sleep 60"), bounds).await, (Err(late), 0));
    }

    #[tokio::test]
    async fn a_renderer_that_got_no_memory_says_so_and_one_that_ends_otherwise_stopped() {
        let (memory, stopped) =
            ("the sheet needs more than 1024 MiB of memory", "the renderer stopped unexpectedly");
        for (script, reason) in [
            ("echo 'memory allocation of 9 bytes failed' >&2; kill -ABRT $$", memory),
            ("echo 'something else' >&2; kill -ABRT $$", stopped),
            ("kill -KILL $$", stopped),
            ("exit 0", stopped),
            ("echo garbage; exec sleep 60", stopped),
            (r"printf '\377\377\377\377'; exec sleep 60", stopped),
        ] {
            assert_eq!(outcome(&pool(script), BOUNDS).await, (Err(reason.to_owned()), 0), "{script}");
        }
    }

    #[tokio::test]
    async fn only_a_new_renderer_tells_that_the_memory_is_not_enough() {
        // Replies once, and has no memory for more.
        let fail = "head -c 1 >/dev/null; echo 'memory allocation of 9 bytes failed' >&2; kill -ABRT $$";
        let pool = pool(&format!("{}; {fail}", work().await));
        for _ in 0..3 {
            assert_eq!(outcome(&pool, BOUNDS).await.0, Ok(b"%PDF".to_vec()));
        }
    }

    #[tokio::test]
    async fn a_renderer_that_cannot_be_started_is_told() {
        let mut pool = pool("");
        pool.command.program = "/nowhere/headproof".into();
        assert_eq!(outcome(&pool, BOUNDS).await, (Err("no renderer could be started".to_owned()), 0));
    }
}
