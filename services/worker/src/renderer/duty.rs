//! The duty of a renderer, in a process of its own.

use std::io;
use std::os::fd::AsFd;

use tokio::io::{AsyncBufRead, AsyncWrite, BufReader, BufWriter};
use tokio::net::unix::pipe;
use tokio::runtime::Builder;
use tokio::signal::unix::{SignalKind, signal};

use super::frame::is_at_end;
use super::message::{Reply, Request, send_reply};
use crate::refusal::{Cause, Refusal};
use crate::render::render;

/// Renders what is asked for on the standard input and answers on the standard output, until the input ends.
///
/// It ends in the midst of its work, too, when the input does: a worker that is gone wants nothing any longer.
/// Signals that ask a whole group of processes to stop are for the worker to heed, which still waits for replies.
///
/// # Errors
/// When it cannot start, or what comes is no request.
pub fn render_until_end_of_input() -> io::Result<()> {
    super::memory::end_in_panics_without_it();
    let runtime = Builder::new_current_thread().enable_all().build()?;
    let outcome = runtime.block_on(async {
        let _heard = [signal(SignalKind::interrupt())?, signal(SignalKind::terminate())?];
        // Not tokio's own standard streams: each takes a thread, which there may be no memory for.
        let input = pipe::Receiver::from_owned_fd(io::stdin().as_fd().try_clone_to_owned()?)?;
        let output = pipe::Sender::from_owned_fd(io::stdout().as_fd().try_clone_to_owned()?)?;
        serve(BufReader::new(input), BufWriter::new(output), |request| render(request.order, request.heads))
            .await
    });
    // A rendering under way cannot be stopped; it ends with the process.
    runtime.shutdown_background();
    outcome
}

async fn serve(
    mut input: impl AsyncBufRead + Unpin,
    mut output: impl AsyncWrite + Unpin,
    render: impl Fn(Request) -> Reply + Copy + Send + 'static,
) -> io::Result<()> {
    while !is_at_end(&mut input).await? {
        let request = Request::receive(&mut input, super::memory::bind).await?;
        let work = tokio::task::spawn_blocking(move || render(request));
        let reply: Reply = tokio::select! {
            made = work => made.unwrap_or_else(|panic| Err(Refusal::Stopped(Cause::of(&panic)))),
            end = closed(&mut input) => return end,
        };
        send_reply(&mut output, &reply).await?;
    }
    Ok(())
}

/// Waits until the other side has closed the pipe.
async fn closed(input: &mut (impl AsyncBufRead + Unpin)) -> io::Result<()> {
    if is_at_end(input).await? {
        Ok(())
    } else {
        Err(io::Error::other("a request before the reply to the last"))
    }
}

#[cfg(test)]
mod tests {
    use std::time::{Duration, Instant};

    use headproof_sheet::Rendered;
    use headproof_wire::SheetOptions;
    use tokio::io::AsyncWriteExt;

    use super::super::message::receive_reply;
    use super::*;
    use crate::render::{Order, Work};

    /// A bound that binds nobody: it is that of the process the tests run in.
    const UNBOUND: u64 = u64::MAX;

    fn request() -> Request {
        Request { order: Order { work: Work::Sheet, look: SheetOptions::default() }, heads: Vec::new() }
    }

    #[tokio::test]
    async fn each_request_is_replied_to_and_a_panic_is_a_reply_too() -> io::Result<()> {
        let (mut worker, renderer) = tokio::io::duplex(64);
        let (input, output) = tokio::io::split(renderer);
        let work = |_| -> Reply { panic!("for this test") };
        let serving = tokio::spawn(serve(BufReader::new(input), output, work));
        for _ in 0..2 {
            request().send(&mut worker, UNBOUND).await?;
            let reply = receive_reply(&mut worker).await?;
            assert!(matches!(&reply, Err(Refusal::Stopped(_))), "{reply:?}");
        }
        worker.shutdown().await?;
        serving.await?
    }

    #[test]
    fn it_ends_in_the_midst_of_its_work_when_the_input_does() -> io::Result<()> {
        let runtime = Builder::new_current_thread().build()?;
        let begun = Instant::now();
        runtime.block_on(async {
            let mut input = Vec::new();
            request().send(&mut input, UNBOUND).await?;
            let work = |_| {
                std::thread::sleep(Duration::from_secs(3600));
                Ok(Rendered { bytes: Vec::new(), unshown: Vec::new() })
            };
            serve(&input[..], Vec::new(), work).await
        })?;
        runtime.shutdown_background();
        assert!(begun.elapsed() < Duration::from_secs(60));
        Ok(())
    }

    #[tokio::test]
    async fn what_is_no_request_ends_it() {
        for input in [&b"\0\0\0\x02{}"[..], b"\0\0", b"\xFF\xFF\xFF\xFFxx"] {
            assert!(
                serve(input, Vec::new(), |_| Err(Refusal::TooLong(String::new()))).await.is_err(),
                "{input:?}"
            );
        }
    }
}
