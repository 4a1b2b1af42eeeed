//! Writes reports of statistics over invented heads into a directory, to be looked at:
//! `cargo run -p headproof-sheet --example statistics -- some/directory`

#[path = "../tests/common/statistics.rs"]
mod statistics;
#[path = "../tests/common/summaries.rs"]
mod summaries;

use std::error::Error;
use std::path::PathBuf;

use headproof_sheet::{IndexInput, StatisticsInput, batch_index, statistics_report};
use headproof_wire::{Language, Paper, SheetOptions};

fn main() -> Result<(), Box<dyn Error>> {
    let directory = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| ".".to_owned()));
    let made = [
        ("few", statistics::statistics(24, 8)),
        ("large", statistics::statistics(10_000, 80)),
        ("odd", statistics::odd()),
        ("none", statistics::none()),
    ];
    for (name, statistics) in &made {
        let canonical = serde_json::to_vec(statistics)?;
        for (suffix, paper, language) in
            [("a4-en", Paper::A4, Language::En), ("letter-de", Paper::Letter, Language::De)]
        {
            let look = SheetOptions { paper, language };
            let title = Some("Heads of the irrigation pumps, second quarter");
            let input = StatisticsInput { statistics, canonical: &canonical, title, look };
            let path = directory.join(format!("{name}-{suffix}.pdf"));
            std::fs::write(path, statistics_report(&input)?.bytes)?;
            let (heads, failed) = (summaries::summaries(24), summaries::failed(1));
            let index = IndexInput {
                statistics: Some(statistics),
                statistics_canonical: Some(&canonical),
                ..summaries::index_of(&heads, &failed, look)
            };
            let path = directory.join(format!("{name}-index-{suffix}.pdf"));
            std::fs::write(path, batch_index(&index)?.bytes)?;
        }
    }
    Ok(())
}
