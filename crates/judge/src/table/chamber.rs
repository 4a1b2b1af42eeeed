//! Chambers, compression, and what stands out of a diesel deck.

use headproof_head::{DieselParts, MissingCause, Place, Reading};
use headproof_metrology::{self as metrology, CompressionInputs};
use headproof_quantity::{Dimension, Exact, Kind, LengthDim, Quantity, RatioDim, VolumeDim};

use super::direct;
use crate::budget::Budget;
use crate::candidate::{Candidate, Candidates};
use crate::characteristic::{Characteristic, CylinderSum, Derived};
use crate::context::{Context, need, not_computable};

pub(super) static ROWS: &[Characteristic] = &[
    Characteristic::of_cylinder(
        "chamber-volume",
        "Chamber volume",
        Kind::Volume,
        |context, cylinder, out| direct::one(chamber(context, cylinder).ok(), "absent-chamber-volume", out),
    ),
    Characteristic::of_cylinder("compression-ratio", "Compression ratio", Kind::Ratio, compression_ratio)
        .worked_out(
            "(swept + clearance) / clearance; clearance = chamber + gasket + deck + piston",
            "definition; volume of a cylinder",
            "numpy on random engines; Monte Carlo of its uncertainty",
        ),
    protrusion("prechamber-protrusion", "Pre-chamber protrusion", |context, cylinder, out| {
        diesel(context, cylinder, |parts| parts.prechamber.as_ref(), "absent-pre-chamber-protrusion", out)
    }),
    protrusion("injector-protrusion", "Injector protrusion", |context, cylinder, out| {
        diesel(context, cylinder, |parts| parts.injector.as_ref(), "absent-injector-protrusion", out)
    }),
    protrusion("sleeve-protrusion", "Injector sleeve protrusion", |context, cylinder, out| {
        diesel(context, cylinder, |parts| parts.sleeve.as_ref(), "absent-injector-sleeve-protrusion", out)
    }),
    Characteristic::of_head("chamber-spread", "Chamber volume spread", Kind::Volume, spread).worked_out(
        "greatest − least chamber volume over all cylinders",
        "definition",
        "numpy.ptp",
    ),
    Characteristic::of_head(
        "compression-ratio-spread",
        "Compression ratio spread",
        Kind::Ratio,
        compression_ratio_spread,
    )
    .worked_out(
        "greatest − least compression ratio over all cylinders",
        "definition",
        "numpy.ptp on random engines; Monte Carlo of its uncertainty",
    )
    .with_uncertainty(
        "first order, readings of one gauge as correlated as it states; bore, stroke, gasket, deck and \
         piston count as the same for all cylinders",
    )
    .on_request(),
];

const fn protrusion(id: &'static str, title: &'static str, derive: CylinderSum) -> Characteristic {
    Characteristic::of_cylinder(id, title, Kind::Length, derive)
}

fn diesel(
    context: &Context<'_>,
    cylinder: u8,
    part: impl Fn(&DieselParts) -> Option<&Reading<LengthDim>>,
    absent: &'static str,
    out: &mut Candidates,
) -> Derived {
    let parts = context.set.diesel.iter().find(|parts| parts.cylinder == cylinder);
    direct::one(parts.and_then(part), absent, out)
}

fn chamber<'a>(context: &Context<'a>, cylinder: u8) -> Result<&'a Reading<VolumeDim>, MissingCause> {
    let found = context.set.chambers.iter().find(|chamber| chamber.cylinder == cylinder);
    found.map(|chamber| &chamber.volume).ok_or(MissingCause::Absent("absent-chamber-volume"))
}

fn spread(context: &Context<'_>, out: &mut Candidates) -> Derived {
    let cylinders = context.set.layout.cylinders;
    let readings: Vec<_> = (1..=cylinders).filter_map(|cylinder| chamber(context, cylinder).ok()).collect();
    let all = if readings.len() == usize::from(cylinders) {
        Ok(())
    } else {
        Err(MissingCause::Absent("absent-chamber-volume-of-all"))
    };
    if readings.len() < 2 {
        // One chamber has no spread; of several, one known chamber says nothing.
        out.extend(all.is_ok().then(|| Candidate::known(Place::Whole, Exact::ZERO)));
        return all;
    }
    direct::spread(context, "chamber volume", &readings, out)?;
    all
}

/// The readings behind the compression ratio of one cylinder.
struct Terms<'a> {
    bore: &'a Reading<LengthDim>,
    stroke: &'a Reading<LengthDim>,
    chamber: &'a Reading<VolumeDim>,
    gasket_bore: &'a Reading<LengthDim>,
    gasket_thickness: &'a Reading<LengthDim>,
    deck_clearance: &'a Reading<LengthDim>,
    piston: &'a Reading<VolumeDim>,
    /// Told only where they matter; left out they add nothing.
    prechamber: Option<&'a Reading<VolumeDim>>,
    crevice: Option<&'a Reading<VolumeDim>>,
}

impl<'a> Terms<'a> {
    fn of(context: &Context<'a>, cylinder: u8) -> Result<Self, MissingCause> {
        let terms = &context.set.layout.compression;
        Ok(Self {
            bore: need(&terms.bore, "absent-cylinder-bore")?,
            stroke: need(&terms.stroke, "absent-stroke")?,
            gasket_bore: need(&terms.gasket_bore, "absent-gasket-bore")?,
            gasket_thickness: need(&terms.gasket_thickness, "absent-gasket-thickness")?,
            deck_clearance: need(&terms.deck_clearance, "absent-piston-deck-clearance")?,
            piston: need(&terms.piston_volume, "absent-piston-volume")?,
            chamber: chamber(context, cylinder)?,
            prechamber: terms.prechamber.as_ref(),
            crevice: terms.crevice.as_ref(),
        })
    }

    fn ratio(&self) -> Result<metrology::Sum<RatioDim, 8>, MissingCause> {
        let inputs = CompressionInputs {
            bore: self.bore.value(),
            stroke: self.stroke.value(),
            chamber: self.chamber.value(),
            gasket_bore: self.gasket_bore.value(),
            gasket_thickness: self.gasket_thickness.value(),
            deck_clearance: self.deck_clearance.value(),
            piston: self.piston.value(),
            extra: total([self.prechamber, self.crevice].into_iter().flatten()),
        };
        metrology::compression_ratio(&inputs).map_err(not_computable)
    }

    /// Everything but the chamber, which all cylinders share.
    fn add_shared(&self, budget: &mut Budget<'_>, sensitivity: [f64; 8]) {
        let [bore, stroke, _, gasket_bore, gasket, deck, piston, extra] = sensitivity;
        budget.reading("cylinder bore", bore, self.bore);
        budget.reading("stroke", stroke, self.stroke);
        budget.reading("gasket bore", gasket_bore, self.gasket_bore);
        budget.reading("gasket thickness", gasket, self.gasket_thickness);
        budget.reading("piston deck clearance", deck, self.deck_clearance);
        budget.reading("piston volume", piston, self.piston);
        for (name, reading) in [("pre-chamber volume", self.prechamber), ("crevice volume", self.crevice)] {
            if let Some(reading) = reading {
                budget.reading(name, extra, reading);
            }
        }
    }
}

/// Place of the chamber among the sensitivities of a compression ratio.
const CHAMBER: usize = 2;

fn compression_ratio(context: &Context<'_>, cylinder: u8, out: &mut Candidates) -> Derived {
    let terms = Terms::of(context, cylinder)?;
    let sum = terms.ratio()?;
    let mut budget = Budget::new(context);
    budget.reading("chamber volume", sum.sensitivity[CHAMBER], terms.chamber);
    terms.add_shared(&mut budget, sum.sensitivity);
    out.push(Candidate::computed(Place::Whole, sum.value.get(), budget));
    Ok(())
}

fn compression_ratio_spread(context: &Context<'_>, out: &mut Candidates) -> Derived {
    let ratio = |cylinder| {
        let terms = Terms::of(context, cylinder)?;
        let sum = terms.ratio()?;
        Ok((terms, sum))
    };
    let ratios: Vec<_> =
        (1..=context.set.layout.cylinders).map(ratio).collect::<Result<_, MissingCause>>()?;
    let value = |of: &&(Terms<'_>, metrology::Sum<RatioDim, 8>)| of.1.value.get();
    let by_value = |a: &&_, b: &&_| value(a).total_cmp(&value(b));
    // Of equal ratios the last and the first: two, where there are two.
    let Some((greatest, least)) = ratios.iter().max_by(by_value).zip(ratios.iter().min_by(by_value)) else {
        return Err(MissingCause::Absent("absent-chamber-volume"));
    };
    let mut budget = Budget::new(context);
    if ratios.len() > 1 {
        budget.reading("chamber of the greatest ratio", greatest.1.sensitivity[CHAMBER], greatest.0.chamber);
        budget.reading("chamber of the least ratio", -least.1.sensitivity[CHAMBER], least.0.chamber);
    }
    let apart = std::array::from_fn(|term| greatest.1.sensitivity[term] - least.1.sensitivity[term]);
    greatest.0.add_shared(&mut budget, apart);
    let spread = greatest.1.value.get() - least.1.value.get();
    out.push(Candidate::computed(Place::Whole, spread, budget));
    Ok(())
}

fn total<'a, D: Dimension>(readings: impl Iterator<Item = &'a Reading<D>>) -> Quantity<D> {
    readings.fold(Quantity::ZERO, |sum, reading| sum + (reading.value() - Quantity::ZERO))
}
