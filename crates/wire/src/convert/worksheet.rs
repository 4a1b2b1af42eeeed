//! What a blank worksheet is made from.

use headproof_head::Instruments;

use super::block::Conversion;
use super::profile::target_profile;
use super::set::layout;
use crate::pointer::At;
use crate::{CompressionTerms, Fault, Layout, Reading, Units, WorksheetRequest};

/// Every fault of a request for a worksheet, with its JSON Pointer below `at`; none where it makes sense. Whether
/// it has a profile at all is the business of whoever can look one up.
///
/// ```
/// use headproof_wire::{At, Layout, Units, WorksheetRequest, worksheet_faults};
///
/// let layout = r#"{"camshaft": "pushrod", "lifter": "adjustable", "cylinders": 3,
///                  "intake_per_cylinder": 1, "exhaust_per_cylinder": 1}"#;
/// let mut request = WorksheetRequest {
///     layout: serde_json::from_str(layout)?,
///     profile: None,
///     profile_ref: None,
///     units: Units::BASE,
///     head_serial: None,
///     job_number: Some("J-7".into()),
///     sheet: Default::default(),
/// };
/// assert_eq!(worksheet_faults(&request, &At::Root), []);
/// request.layout.cylinders = 17;
/// assert_eq!(worksheet_faults(&request, &At::Root)[0].pointer, "/layout/cylinders");
/// # Ok::<(), serde_json::Error>(())
/// ```
#[must_use]
pub fn worksheet_faults(doc: &WorksheetRequest, at: &At<'_>) -> Vec<Fault> {
    let mut faults = layout_faults(&doc.layout, doc.units, &at.member("layout"));
    if let Some(profile) = &doc.profile {
        faults.extend(target_profile(profile, &at.member("profile")).err().unwrap_or_default());
    }
    let none = Instruments::default();
    let mut conversion = Conversion { faults, units: doc.units, instruments: &none };
    conversion.optional_text(&at.member("head_serial"), &doc.head_serial);
    conversion.optional_text(&at.member("job_number"), &doc.job_number);
    conversion.faults
}

/// Every fault of a layout that stands alone, as one taken from a measurement set does: nothing lists the
/// instruments its readings may name, and who only prints the numbers need not know them.
fn layout_faults(doc: &Layout, units: Units, at: &At<'_>) -> Vec<Fault> {
    let none = Instruments::default();
    let mut conversion = Conversion { faults: Vec::new(), units, instruments: &none };
    layout(&mut conversion, at, &without_instruments(doc));
    conversion.faults
}

fn without_instruments(doc: &Layout) -> Layout {
    let mut doc = doc.clone();
    let Some(terms) = &mut doc.compression else { return doc };
    terms.instrument = None;
    let CompressionTerms {
        instrument: _,
        bore,
        stroke,
        gasket_bore,
        gasket_thickness,
        deck_clearance,
        piston_volume,
        prechamber,
        crevice,
    } = terms;
    for reading in
        [bore, stroke, gasket_bore, gasket_thickness, deck_clearance, piston_volume, prechamber, crevice]
    {
        if let Some(Reading::Detailed(detail)) = reading {
            detail.instrument = None;
        }
    }
    doc
}
