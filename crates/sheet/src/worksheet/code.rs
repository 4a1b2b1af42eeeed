//! The code that ties a sheet of paper to its profile, layout and job.

use headproof_quantity::Kind;
use headproof_wire::{Camshaft, Layout, Lifter};
use qrcode::{Color, EcLevel, QrCode};

use super::WorksheetInput;
use crate::SheetError;
use crate::canvas::{Canvas, Ink};

/// Edge of one square in millimetres; smaller only where the code would grow too large.
const SQUARE: f32 = 0.5;
/// Smallest square that a camera at arm's length still tells apart from print (common practice, no source).
const SMALLEST: f32 = 0.35;
/// Largest edge of a code.
const LARGEST: f32 = 46.0;
/// Empty squares round a code: ISO/IEC 18004 asks for four (from memory).
const QUIET: usize = 4;

/// What the code says: one thing a line, its name first.
///
/// `profile` is followed by id and revision, `sha256` by the digest of the profile, `layout` by cylinders ×
/// intake + exhaust valves of each, camshaft and lifter, `units` by lengths, forces, volumes, pressures and
/// roughness. `job` and `head` stand there when they are known.
pub(super) fn text(input: &WorksheetInput<'_>) -> String {
    let WorksheetInput { layout, profile, profile_digest, units, .. } = input;
    let kinds = [Kind::Length, Kind::Force, Kind::Volume, Kind::Pressure, Kind::Roughness];
    let units = kinds.map(|kind| units.unit(kind).code()).join(" ");
    let mut text = format!(
        "headproof worksheet 1\nprofile {} {}\nsha256 {profile_digest}\nlayout {}\nunits {units}",
        profile.id,
        profile.revision,
        short_layout(layout),
    );
    for (name, value) in [("job", input.job_number), ("head", input.head_serial)] {
        if let Some(value) = value {
            text.push_str(&format!("\n{name} {value}"));
        }
    }
    text
}

/// `4x2+2 overhead bucket-with-shim`, in the words of the documents.
fn short_layout(layout: &Layout) -> String {
    let camshaft = match layout.camshaft {
        Camshaft::Pushrod => "pushrod",
        Camshaft::Overhead => "overhead",
    };
    let lifter = match layout.lifter {
        Lifter::Adjustable => "adjustable",
        Lifter::Hydraulic => "hydraulic",
        Lifter::BucketWithShim => "bucket-with-shim",
    };
    let Layout { cylinders, intake_per_cylinder, exhaust_per_cylinder, .. } = layout;
    format!("{cylinders}x{intake_per_cylinder}+{exhaust_per_cylinder} {camshaft} {lifter}")
}

/// A code, laid out but not yet drawn.
pub(super) struct Code {
    squares: Vec<bool>,
    across: usize,
    square: f32,
}

impl Code {
    /// The code of a worksheet (ISO/IEC 18004): about a seventh of it may be soiled before it cannot be read, half
    /// as much where the text is long (levels M and L, from memory).
    ///
    /// # Errors
    /// [`SheetError::Write`] for a text that no code holds; those of a checked request are far shorter.
    pub(super) fn of(input: &WorksheetInput<'_>) -> Result<Self, SheetError> {
        let text = text(input);
        let level = if text.len() < 400 { EcLevel::M } else { EcLevel::L };
        let code = QrCode::with_error_correction_level(text.as_bytes(), level)
            .map_err(|error| SheetError::Write(format!("the code of a worksheet: {error}")))?;
        let across = code.width();
        let squares = code.to_colors().into_iter().map(|color| color == Color::Dark).collect();
        let square = SQUARE.min(LARGEST / across as f32).max(SMALLEST);
        Ok(Self { squares, across, square })
    }

    /// Its edge, with the quiet zone.
    pub(super) fn edge(&self) -> f32 {
        (self.across + 2 * QUIET) as f32 * self.square
    }

    /// Draws it; squares side by side in one piece, so that no hairline parts them.
    pub(super) fn draw(&self, canvas: &mut Canvas, (x, y): (f32, f32)) {
        let place = |n: usize| (n + QUIET) as f32 * self.square;
        for (row, squares) in self.squares.chunks(self.across).enumerate() {
            let mut column = 0;
            for run in squares.chunk_by(|a, b| a == b) {
                if run.first() == Some(&true) {
                    let size = (run.len() as f32 * self.square, self.square);
                    canvas.rectangle(Some(Ink::Black), None, (x + place(column), y + place(row)), size);
                }
                column += run.len();
            }
        }
    }
}
