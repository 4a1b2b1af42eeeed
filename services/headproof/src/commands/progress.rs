//! How far a batch is, for whoever looks on: a bar on a terminal, else a line whenever something has changed.

use std::io::{self, IsTerminal};

use headproof_wire::BatchProgress;
use indicatif::{ProgressBar, ProgressStyle};

/// What a bar shows.
const BAR: &str = "[{bar:30}] {pos}/{len}, {eta} left: {msg}";

/// Tells on standard error, so that what a command prints can be used elsewhere.
pub(super) struct Progress {
    shown: Shown,
    last: BatchProgress,
}

enum Shown {
    Bar(ProgressBar),
    Lines,
    Nothing,
}

impl Progress {
    /// One that tells, or that does not.
    pub(super) fn new(tells: bool) -> Self {
        let shown = match tells {
            true if io::stderr().is_terminal() => Shown::Bar(bar()),
            true => Shown::Lines,
            false => Shown::Nothing,
        };
        Self { shown, last: BatchProgress::default() }
    }

    /// Tells it.
    pub(super) fn tell(&mut self, now: &BatchProgress) {
        if *now == self.last {
            return;
        }
        self.last = *now;
        match &self.shown {
            Shown::Bar(bar) => {
                bar.set_length(now.lines);
                bar.set_position(now.over());
                bar.set_message(counts(now));
            }
            Shown::Lines => eprintln!("{} of {} lines: {}", now.over(), now.lines, counts(now)),
            Shown::Nothing => {}
        }
    }
}

impl Drop for Progress {
    /// Leaves what was told last.
    fn drop(&mut self) {
        if let Shown::Bar(bar) = &self.shown {
            bar.abandon();
            // What comes next begins a line of its own.
            eprintln!();
        }
    }
}

fn bar() -> ProgressBar {
    let style = ProgressStyle::with_template(BAR);
    let bar = ProgressBar::new(0);
    match style {
        Ok(style) => bar.with_style(style.progress_chars("=> ")),
        Err(_) => bar,
    }
}

fn counts(now: &BatchProgress) -> String {
    let mut text = format!("{} done, {} running", now.done, now.running);
    for (count, what) in [(now.refused, "refused"), (now.failed, "failed"), (now.cancelled, "cancelled")] {
        if count > 0 {
            text += &format!(", {count} {what}");
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_went_wrong_is_told_when_it_did() {
        let now = BatchProgress {
            lines: 9,
            accepted: 8,
            refused: 1,
            running: 2,
            done: 3,
            ..BatchProgress::default()
        };
        assert_eq!(counts(&now), "3 done, 2 running, 1 refused");
        let now = BatchProgress { failed: 1, cancelled: 2, ..BatchProgress::default() };
        assert_eq!(counts(&now), "0 done, 0 running, 1 failed, 2 cancelled");
    }

    #[test]
    fn the_bar_can_be_drawn() {
        assert!(ProgressStyle::with_template(BAR).is_ok());
    }
}
