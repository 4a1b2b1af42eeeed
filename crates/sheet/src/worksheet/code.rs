//! The code that ties a sheet of paper to its profile, layout and job.

use headproof_quantity::Kind;
use headproof_wire::{Camshaft, Layout, Lifter};
use qrcode::EcLevel;

use super::WorksheetInput;
use crate::SheetError;
use crate::square_code::SquareCode;

/// Largest edge of a code in millimetres.
const LARGEST: f32 = 46.0;

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

/// The code of a worksheet: about a seventh of it may be soiled before it cannot be read, half as much where the text
/// is long (levels M and L, from memory).
///
/// # Errors
/// Those of [`SquareCode::of`]; texts of checked requests are far shorter.
pub(super) fn square_code(input: &WorksheetInput<'_>) -> Result<SquareCode, SheetError> {
    let text = text(input);
    let level = if text.len() < 400 { EcLevel::M } else { EcLevel::L };
    SquareCode::of(&text, level, LARGEST)
}
