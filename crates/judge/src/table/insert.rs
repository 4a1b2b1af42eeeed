//! The seat insert: its fit in the head, and what it takes to put it there.

use headproof_head::{Insert, InsertMaterial, Material, MissingCause, Phrase, Place, Port, Reading};
use headproof_metrology::{self as metrology, RingMaterial};
use headproof_quantity::{Kind, Length, LengthDim, PressureDim, StandardUncertainty};

use super::direct;
use crate::budget::Budget;
use crate::candidate::{Candidate, Candidates};
use crate::characteristic::{Characteristic, Derived};
use crate::context::{Context, need, not_computable};

pub(super) static ROWS: &[Characteristic] = &[
    Characteristic::state_of_port("insert-fit", "Insert tight", |port| {
        port.seat.insert.as_ref().and_then(|insert| insert.state()).map(direct::good)
    }),
    Characteristic::of_port("insert-wall", "Wall left behind the insert", Kind::Length, |_, port, out| {
        let wall = port.seat.insert.as_ref().and_then(|insert| insert.wall_left.as_ref());
        direct::one(wall, "absent-insert-wall", out)
    }),
    Characteristic::of_port("insert-interference", "Insert interference", Kind::Length, interference)
        .worked_out(
            "insert diameter − counterbore diameter",
            "ISO 286-1 (from memory)",
            "published insert fits of a US Army manual; ISO 286 tables",
        )
        .on_request(),
    Characteristic::of_port(
        "insert-chill",
        "Insert chill to slip in",
        Kind::TemperatureDifference,
        |context, port, out| {
            let insert = insert(port)?;
            slip_in(context, insert, &insert.diameter, insert_material(insert)?.expansion, out)
        },
    )
    .worked_out(SLIP_IN, EXPANSION, "worked thermal figures in numpy")
    .with_uncertainty(CONSTANTS_KNOWN)
    .on_request(),
    Characteristic::of_port(
        "insert-head-warming",
        "Head warming to slip in",
        Kind::TemperatureDifference,
        |context, port, out| {
            let insert = insert(port)?;
            let head = head_material(context.set.head.material);
            slip_in(context, insert, &insert.counterbore_diameter, head.expansion, out)
        },
    )
    .worked_out(SLIP_IN, EXPANSION, "worked thermal figures in numpy")
    .with_uncertainty(CONSTANTS_KNOWN)
    .on_request(),
    Characteristic::of_port("insert-pressure", "Pressure that holds the insert", Kind::Pressure, pressure)
        .worked_out(
            "Lamé: thick rings in plane stress; inside the throat, outside the counterbore and twice the \
             wall left",
            "Lamé's equations; moduli of Callister, Materials Science and Engineering, table B.2",
            "scipy.integrate.solve_bvp of the ring's differential equation",
        )
        .with_uncertainty("first order, readings of one gauge as correlated as it states; a modulus is evenly spread over the range of its table, and counts as known where that has one value")
        .on_request(),
];

const SLIP_IN: &str =
    "interference / (α d) of this part alone: it just slips in; more is needed to handle it";
const EXPANSION: &str =
    "definition of thermal expansion; α of Callister, Materials Science and Engineering, table B.6";
const CONSTANTS_KNOWN: &str =
    "first order, readings of one gauge as correlated as it states; the expansion counts as known";

/// What is known of a material.
struct Known {
    /// Linear expansion per kelvin.
    expansion: f64,
    /// Young's modulus in GPa, least and greatest, and Poisson's ratio (from memory).
    elastic: Option<(f64, f64, f64)>,
}

const fn head_material(material: Material) -> Known {
    match material {
        Material::CastIron => Known {
            expansion: RingMaterial::GREY_IRON_EXPANSION,
            elastic: Some((
                RingMaterial::GREY_IRON_G1800_MODULUS.0,
                RingMaterial::GREY_IRON_G4000_MODULUS.1,
                0.26,
            )),
        },
        Material::Aluminium => Known {
            expansion: RingMaterial::ALUMINIUM_356_EXPANSION,
            elastic: Some((RingMaterial::ALUMINIUM_356_MODULUS, RingMaterial::ALUMINIUM_356_MODULUS, 0.33)),
        },
    }
}

fn insert_material(insert: &Insert) -> Result<Known, MissingCause> {
    let material = insert.material.ok_or(MissingCause::Absent("absent-insert-material"))?;
    match material {
        InsertMaterial::Iron => Ok(Known {
            expansion: RingMaterial::GREY_IRON_EXPANSION,
            elastic: Some((
                RingMaterial::GREY_IRON_G3000_MODULUS.0,
                RingMaterial::GREY_IRON_G4000_MODULUS.1,
                0.26,
            )),
        }),
        InsertMaterial::Steel => Ok(Known {
            expansion: RingMaterial::STEEL_1020_EXPANSION,
            elastic: Some((RingMaterial::STEEL_1020_MODULUS, RingMaterial::STEEL_1020_MODULUS, 0.29)),
        }),
        InsertMaterial::BerylliumCopper => {
            Ok(Known { expansion: RingMaterial::BERYLLIUM_COPPER_EXPANSION, elastic: None })
        }
        InsertMaterial::HardAlloy => Err(no_table()),
    }
}

fn no_table() -> MissingCause {
    MissingCause::NotComputable(Box::new(Phrase::plain("sum-no-table")))
}

fn insert(port: &Port) -> Result<&Insert, MissingCause> {
    port.seat.insert.as_ref().ok_or(MissingCause::Absent("absent-seat-insert"))
}

type Pair<'a> = (&'a Reading<LengthDim>, &'a Reading<LengthDim>);

/// Insert and counterbore.
fn diameters(insert: &Insert) -> Result<Pair<'_>, MissingCause> {
    let outside = need(&insert.diameter, "absent-insert-diameter")?;
    Ok((outside, need(&insert.counterbore_diameter, "absent-counterbore-diameter")?))
}

fn interference(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let (outside, bore) = diameters(insert(port)?)?;
    let sum = metrology::interference(outside.value(), bore.value());
    let mut budget = Budget::new(context);
    budget.reading("insert diameter", sum.sensitivity[0], outside);
    budget.reading("counterbore diameter", sum.sensitivity[1], bore);
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget));
    Ok(())
}

/// The difference in temperature for the part of diameter `of` alone.
fn slip_in(
    context: &Context<'_>,
    insert: &Insert,
    of: &Option<Reading<LengthDim>>,
    expansion: f64,
    out: &mut Candidates,
) -> Derived {
    let (outside, bore) = diameters(insert)?;
    let of = need(of, "absent-diameter-of-the-part")?;
    let interference = Length::from_exact((outside.value() - bore.value()).exact());
    let sum = metrology::slip_in_temperature(interference, Length::ZERO, of.value(), expansion)
        .map_err(not_computable)?;
    let [per_interference, _, per_diameter] = sum.sensitivity;
    let own = |reading| if std::ptr::eq(of, reading) { per_diameter } else { 0.0 };
    let mut budget = Budget::new(context);
    budget.reading("insert diameter", per_interference + own(outside), outside);
    budget.reading("counterbore diameter", own(bore) - per_interference, bore);
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget));
    Ok(())
}

fn pressure(context: &Context<'_>, port: &Port, out: &mut Candidates) -> Derived {
    let insert = insert(port)?;
    let (outside, bore) = diameters(insert)?;
    let wall = need(&insert.wall_left, "absent-insert-wall")?;
    let throat = need(&port.seat.throat_diameter, "absent-throat-diameter")?;
    let (ring, ring_spread) = elastic(&insert_material(insert)?)?;
    let (around, around_spread) = elastic(&head_material(context.set.head.material))?;
    // A loose insert is held by nothing.
    let interference = Length::from_exact((outside.value() - bore.value()).exact()).max(Length::ZERO);
    let sum = metrology::contact_pressure(
        interference,
        throat.value(),
        bore.value(),
        Length::from_exact(bore.value().exact() + wall.value().exact() + wall.value().exact()),
        &ring,
        &around,
    )
    .map_err(not_computable)?;
    let [per_interference, per_inner, per_interface, per_outer, per_ring, per_around] = sum.sensitivity;
    let mut budget = Budget::new(context);
    budget.reading("insert diameter", per_interference, outside);
    budget.reading("counterbore diameter", per_interface + per_outer - per_interference, bore);
    budget.reading("throat diameter", per_inner, throat);
    budget.reading("wall left behind the insert", 2.0 * per_outer, wall);
    budget.constant("modulus of the insert", Kind::Pressure, per_ring, Some(ring_spread));
    budget.constant("modulus of the head", Kind::Pressure, per_around, Some(around_spread));
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget));
    Ok(())
}

/// The middle of a modulus's range and its standard uncertainty in kPa.
fn elastic(known: &Known) -> Result<(RingMaterial, f64), MissingCause> {
    const KPA_PER_GPA: f64 = 1e6;
    let (least, greatest, poisson) = known.elastic.ok_or_else(no_table)?;
    let material = RingMaterial {
        expansion_per_kelvin: known.expansion,
        youngs_modulus_gpa: 0.5 * (least + greatest),
        poisson,
    };
    let spread = StandardUncertainty::<PressureDim>::from_half_width(0.5 * (greatest - least) * KPA_PER_GPA);
    Ok((material, spread.get()))
}
