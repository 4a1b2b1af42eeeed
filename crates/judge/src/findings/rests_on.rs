//! Which rows rest on which readings: what a finding about the readings makes unusable.

use headproof_head::Port;

/// Names of characteristics.
pub(super) type Rows = Vec<&'static str>;

/// On guide bores.
pub(super) const BORES: &[&str] = &[
    "stem-to-guide-clearance",
    "stem-tilt",
    "guide-bore",
    "guide-taper",
    "guide-ovality",
    "guide-bell-mouth",
];
/// On stem diameters.
pub(super) const STEMS: &[&str] = &["stem-to-guide-clearance", "stem-tilt", "stem-diameter", "stem-wear"];
/// On the seat widths round the clock.
pub(super) const SEAT_WIDTHS: &[&str] = &["seat-width", "seat-width-uniformity"];
/// On the dial readings of the seat.
pub(super) const SEAT_TURN: &[&str] = &[
    "seat-runout",
    "seat-eccentricity",
    "seat-ovality",
    "seat-chatter",
    "seat-roundness-least-squares",
    "seat-roundness-minimum-zone",
];
/// On the dial readings of the face.
pub(super) const FACE_TURN: &[&str] =
    &["face-runout", "face-eccentricity", "face-ovality", "face-roundness-minimum-zone"];
/// On the contact band.
pub(super) const BAND: &[&str] =
    &["overhang", "contact-width", "contact-width-uniformity", "contact-offset", "inner-edge-clearance"];
/// On the installed height.
pub(super) const INSTALLED_HEIGHT: &[&str] =
    &["installed-height", "shims-needed", "seat-load", "open-load", "coil-bind-margin", "spring-match"];
/// On the lift.
pub(super) const LIFT: &[&str] = &["open-load", "coil-bind-margin", "retainer-margin"];
/// On the heights at which springs were loaded.
pub(super) const LOAD_HEIGHTS: &[&str] =
    &["seat-load", "open-load", "spring-rate", "spring-rate-to-theory", "spring-match"];
/// On solid heights.
pub(super) const SOLID_HEIGHTS: &[&str] = &["coil-bind-margin"];
/// On free lengths.
pub(super) const FREE_LENGTHS: &[&str] = &["spring-free-length"];
/// On the pressures of a decay test; the first allows for temperatures that are known.
pub(super) const DECAY: &[&str] = &["leak-rate", "leak-pressure-drop"];

/// On the diameters of the seat.
const SEAT_DIAMETERS: &[&str] = &["seat-inner-diameter", "seat-outer-diameter", "contact-edge-gap"];
/// On them too for want of seat widths round the clock.
const WITHOUT_WIDTHS: &[&str] = &["seat-width"];
/// On them too for want of a contact band.
const WITHOUT_BAND: &[&str] = &["overhang", "contact-offset", "inner-edge-clearance"];
/// On the valve's head diameter.
const HEAD_DIAMETER: &[&str] = &["valve-head-diameter", "contact-edge-gap", "contact-offset"];

/// On the diameters of the seat, whatever else was read.
pub(super) fn seat_diameters(port: &Port) -> Rows {
    let mut rows = SEAT_DIAMETERS.to_vec();
    if port.seat.widths.is_empty() {
        rows.extend(WITHOUT_WIDTHS);
    }
    if port.contact.marks.is_empty() {
        rows.extend(WITHOUT_BAND);
    }
    rows
}

/// On the valve's head diameter, whatever else was read.
pub(super) fn head_diameter(port: &Port) -> Rows {
    let mut rows = HEAD_DIAMETER.to_vec();
    rows.push(if port.contact.marks.is_empty() { "overhang" } else { "inner-edge-clearance" });
    rows
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::table::characteristic;

    #[test]
    fn every_name_is_one_of_the_table() {
        let all = [
            BORES,
            STEMS,
            SEAT_WIDTHS,
            SEAT_TURN,
            FACE_TURN,
            BAND,
            INSTALLED_HEIGHT,
            LIFT,
            LOAD_HEIGHTS,
            SOLID_HEIGHTS,
            FREE_LENGTHS,
            DECAY,
            SEAT_DIAMETERS,
            WITHOUT_WIDTHS,
            WITHOUT_BAND,
            HEAD_DIAMETER,
        ];
        for name in all.into_iter().flatten() {
            assert!(characteristic(name).is_some(), "{name}");
        }
    }
}
