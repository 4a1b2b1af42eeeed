//! Writes specimen worksheets into a directory, to be looked at:
//! `cargo run -p headproof-sheet --example worksheets -- some/directory`

#[path = "../tests/common/worksheets.rs"]
mod worksheets;

use std::error::Error;
use std::path::PathBuf;

use headproof_sheet::worksheet;
use headproof_wire::{Language, Paper, SheetOptions};

fn main() -> Result<(), Box<dyn Error>> {
    let directory = PathBuf::from(std::env::args().nth(1).unwrap_or_else(|| ".".to_owned()));
    for (name, blank) in worksheets::specimens() {
        for (suffix, paper) in [("a4", Paper::A4), ("letter", Paper::Letter)] {
            std::fs::write(
                directory.join(format!("{name}-{suffix}.pdf")),
                worksheet(&blank.input(paper))?.bytes,
            )?;
        }
        let german = SheetOptions { language: Language::De, ..SheetOptions::default() };
        std::fs::write(directory.join(format!("{name}-de.pdf")), worksheet(&blank.input_in(german))?.bytes)?;
    }
    Ok(())
}
