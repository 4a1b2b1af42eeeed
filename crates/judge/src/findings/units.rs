//! Sizes that make sense in another unit than the set states.

use headproof_head::{
    CharacteristicId, Finding, FindingCode, FindingPart, LengthUnit, MeasurementSet, Phrase, Port, Reading,
    Severity, Subject,
};
use headproof_quantity::LengthDim;

use super::rests_on::{
    BORES, FREE_LENGTHS, INSTALLED_HEIGHT, LIFT, LOAD_HEIGHTS, Rows, SEAT_WIDTHS, SOLID_HEIGHTS, STEMS,
    head_diameter, seat_diameters,
};
use super::{blocking, of_port};

type LengthReading = Reading<LengthDim>;

/// What a size can be on any engine, small or large, and where it stands.
///
/// The ranges are wide on purpose (common practice, no source): sizes are doubtful only when all of them
/// lie outside their range and the unit that the set does not state would bring them inside.
struct Size {
    field: &'static str,
    /// In mm.
    range: (f64, f64),
    of: fn(&Port) -> Vec<&LengthReading>,
    /// Rows that depend on it.
    touches: fn(&Port) -> Rows,
}

const SIZES: [Size; 11] = [
    Size {
        field: "/guide/bores",
        range: (4.0, 30.0),
        of: |port| {
            let bores = &port.guide.bores;
            bores.top.iter().chain(&bores.middle).chain(&bores.bottom).collect()
        },
        touches: |_| BORES.to_vec(),
    },
    Size {
        field: "/valve/stem",
        range: (4.0, 30.0),
        of: |port| {
            let stem = &port.valve.stem;
            [&stem.top, &stem.middle, &stem.bottom, &stem.unworn].into_iter().flatten().collect()
        },
        touches: |_| STEMS.to_vec(),
    },
    Size {
        field: "/valve/head_diameter",
        range: (10.0, 200.0),
        of: |port| port.valve.head_diameter.iter().collect(),
        touches: head_diameter,
    },
    Size {
        field: "/seat/outer_diameter",
        range: (10.0, 200.0),
        of: |port| port.seat.outer_diameter.iter().collect(),
        touches: seat_diameters,
    },
    Size {
        field: "/seat/inner_diameter",
        range: (8.0, 200.0),
        of: |port| port.seat.inner_diameter.iter().collect(),
        touches: seat_diameters,
    },
    Size {
        field: "/seat/widths",
        range: (0.1, 15.0),
        of: |port| port.seat.widths.iter().collect(),
        touches: |_| SEAT_WIDTHS.to_vec(),
    },
    Size {
        field: "/spring_pack/installed_height",
        range: (15.0, 200.0),
        of: |port| port.springs.installed_height.iter().collect(),
        touches: |_| INSTALLED_HEIGHT.to_vec(),
    },
    Size {
        field: "/spring_pack/lift",
        range: (3.0, 40.0),
        of: |port| port.springs.lift.iter().collect(),
        touches: |_| LIFT.to_vec(),
    },
    Size {
        field: "/spring_pack/springs",
        range: (12.0, 250.0),
        of: |port| {
            let springs = port.springs.springs.iter();
            springs.flat_map(|spring| spring.loads.iter().map(|point| &point.height)).collect()
        },
        touches: |_| LOAD_HEIGHTS.to_vec(),
    },
    Size {
        field: "/spring_pack/springs",
        range: (5.0, 200.0),
        of: |port| port.springs.springs.iter().filter_map(|spring| spring.solid_height.as_ref()).collect(),
        touches: |_| SOLID_HEIGHTS.to_vec(),
    },
    Size {
        field: "/spring_pack/springs",
        range: (15.0, 300.0),
        of: |port| port.springs.springs.iter().filter_map(|spring| spring.free_length.as_ref()).collect(),
        touches: |_| FREE_LENGTHS.to_vec(),
    },
];

/// Which unit a size would make sense in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Meant {
    Inches,
    Millimetres,
}

const INCH: f64 = 25.4;

/// The unit in which all of these would make sense, where it is not the one they were posted in.
fn meant(sizes: &[f64], (least, greatest): (f64, f64), posted: LengthUnit) -> Option<Meant> {
    let all = |fits: &dyn Fn(f64) -> bool| !sizes.is_empty() && sizes.iter().all(|size| fits(*size));
    let inside = |size: f64| (least..=greatest).contains(&size);
    match posted {
        LengthUnit::Millimetre if all(&|size| size < least && inside(size * INCH)) => Some(Meant::Inches),
        LengthUnit::Inch if all(&|size| size > greatest && inside(size / INCH)) => Some(Meant::Millimetres),
        _ => None,
    }
}

const fn phrase(meant: Meant) -> Phrase {
    match meant {
        Meant::Inches => Phrase::plain("found-inches-as-millimetres"),
        Meant::Millimetres => Phrase::plain("found-millimetres-as-inches"),
    }
}

pub(super) fn of_the_port(port: &Port, posted: LengthUnit) -> Option<Finding> {
    let doubt = |size: &Size| {
        let sizes: Vec<f64> = (size.of)(port).into_iter().map(|reading| reading.value().approx()).collect();
        meant(&sizes, size.range, posted)
    };
    let doubtful: Vec<_> = SIZES.iter().filter_map(|size| Some((size, doubt(size)?))).collect();
    let (_, first) = doubtful.first()?;
    let mut fields: Vec<_> = doubtful.iter().map(|(size, _)| size.field).collect();
    fields.dedup();
    let touches = doubtful.iter().flat_map(|(size, _)| (size.touches)(port));
    let says = of_port(port, "found-at-port").and("what", phrase(*first));
    Some(blocking(port, FindingCode::UnitDoubtful, &fields, says, touches))
}

/// Sizes of the engine that the compression ratio rests on.
pub(super) fn of_the_head(set: &MeasurementSet, findings: &mut Vec<Finding>) {
    let terms = &set.layout.compression;
    let sizes = [
        ("/layout/compression/bore", &terms.bore),
        ("/layout/compression/stroke", &terms.stroke),
        ("/layout/compression/gasket_bore", &terms.gasket_bore),
    ];
    let doubtful: Vec<_> = sizes
        .into_iter()
        .filter_map(|(field, reading)| {
            Some((field, meant(&[reading.as_ref()?.value().approx()], (30.0, 600.0), set.lengths)?))
        })
        .collect();
    let Some((_, first)) = doubtful.first() else { return };
    let cylinders = (1..=set.layout.cylinders).map(Subject::Cylinder);
    let ratio = CharacteristicId::new("compression-ratio");
    let spread = CharacteristicId::new("compression-ratio-spread");
    findings.push(Finding {
        code: FindingCode::UnitDoubtful,
        severity: Severity::Blocking,
        at: doubtful.iter().map(|(field, _)| (FindingPart::Set, *field)).collect(),
        says: phrase(*first),
        touches: cylinders.map(|cylinder| (cylinder, ratio)).chain([(Subject::Head, spread)]).collect(),
    });
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_are_doubtful_only_when_the_other_unit_would_do_for_all_of_them() {
        let stem = (4.0, 30.0);
        let of = |sizes: &[f64], posted| meant(sizes, stem, posted);
        assert_eq!(of(&[0.3415, 0.341], LengthUnit::Millimetre), Some(Meant::Inches));
        assert_eq!(of(&[8.0 * 25.4], LengthUnit::Inch), Some(Meant::Millimetres));
        // One reading astray among others, a model engine's stem, and one of a very large engine.
        for sizes in [&[7.98, 0.341][..], &[3.0], &[40.0], &[7.98], &[]] {
            assert_eq!(of(sizes, LengthUnit::Millimetre), None);
            assert_eq!(of(sizes, LengthUnit::Inch), None);
        }
    }
}
