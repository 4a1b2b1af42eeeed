//! What an index says of invented heads.

use headproof_sheet::{HeadInIndex, IndexInput};
use headproof_wire::{SheetOptions, Stage, Tally};

/// Where the sheets of the specimens would be.
pub(crate) const ARCHIVE: &str = "GET /v1/batches/019ac0de-0000-7000-8000-000000000417/sheets";

/// So many heads, one for every line. Of four each disposition has one; all but those to be accepted have seats that
/// run out, and some of them a crooked deck.
pub(crate) fn summaries(count: u32) -> Vec<HeadInIndex> {
    (1..=count).map(summary).collect()
}

fn summary(line: u32) -> HeadInIndex {
    let disposition = ["accept", "rework", "incomplete", "reject"][line as usize % 4];
    let seats = if disposition == "accept" { 0 } else { 1 + line % 3 };
    let runout = (seats > 0).then(|| ("seat-runout".to_owned(), seats));
    let deck = (seats > 0 && line.is_multiple_of(67)).then(|| ("deck-flatness".to_owned(), 1));
    let failing: Vec<_> = deck.into_iter().chain(runout).collect();
    HeadInIndex {
        line,
        serial: format!("PUMP-{line:05}"),
        job: format!("2026-{:04}", line % 1000),
        stage: [Stage::AsReceived, Stage::AfterRework, Stage::Final][line as usize % 3],
        disposition: disposition.to_owned(),
        tally: Tally {
            conforms: 180 + line % 40,
            does_not_conform: failing.iter().map(|(_, times)| times).sum(),
            not_proven: line % 5,
            not_measured: line % 11,
            no_limit: 24,
        },
        failing,
        measured_at: "2026-03-02T10:15:00+02:00".to_owned(),
        digest: format!("{line:064x}"),
    }
}

/// Heads without a sheet.
pub(crate) fn failed(count: u32) -> Vec<(String, String)> {
    let reason = "the sheet of head PUMP-1 would fill more than 400 pages";
    (1..=count).map(|n| (format!("WELL-{n:05}"), reason.to_owned())).collect()
}

/// The batch of them.
pub(crate) fn index_of<'a>(
    heads: &'a [HeadInIndex],
    failed: &'a [(String, String)],
    look: SheetOptions,
) -> IndexInput<'a> {
    IndexInput {
        batch_label: "019ac0de-0000-7000-8000-000000000417",
        heads,
        failed,
        archive: ARCHIVE,
        statistics: None,
        statistics_canonical: None,
        look,
    }
}
