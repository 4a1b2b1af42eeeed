//! Square codes (QR, ISO/IEC 18004): what a camera reads off the paper.

use qrcode::{Color, EcLevel, QrCode};

use crate::SheetError;
use crate::canvas::{Canvas, Ink};

/// Edge of one square in millimetres; smaller only where the code would grow too large.
const SQUARE: f32 = 0.5;
/// Smallest square that a camera at arm's length still tells apart from print (common practice, no source).
const SMALLEST: f32 = 0.35;
/// Empty squares round a code: ISO/IEC 18004 asks for four (from memory).
const QUIET: usize = 4;

/// A code, laid out but not yet drawn.
pub(crate) struct SquareCode {
    squares: Vec<bool>,
    across: usize,
    square: f32,
}

impl SquareCode {
    /// The code of a text, of a level of correction, with an edge of at most so many millimetres where its squares
    /// need not be too small for that.
    ///
    /// # Errors
    /// [`SheetError::Write`] for a text that no code holds: some 2300 bytes at level M, 2900 at level L.
    pub(crate) fn of(text: &str, level: EcLevel, largest: f32) -> Result<Self, SheetError> {
        let code = QrCode::with_error_correction_level(text.as_bytes(), level)
            .map_err(|error| SheetError::Write(format!("a square code: {error}")))?;
        let across = code.width();
        let squares = code.to_colors().into_iter().map(|color| color == Color::Dark).collect();
        let square = SQUARE.min(largest / across as f32).max(SMALLEST);
        Ok(Self { squares, across, square })
    }

    /// Its edge, with the quiet zone.
    pub(crate) fn edge(&self) -> f32 {
        (self.across + 2 * QUIET) as f32 * self.square
    }

    /// Draws it; squares side by side in one piece, so that no hairline parts them.
    pub(crate) fn draw(&self, canvas: &mut Canvas, (x, y): (f32, f32)) {
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
