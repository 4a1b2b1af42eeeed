//! What a shop can do and wants.

mod spares;

use headproof_head::{self as head, Instruments};
use headproof_quantity::{Dimension, Exact, Length, Quantity};

use self::spares::spares;
use super::block::{Conversion, Range};
use crate::pointer::At;
use crate::{Costs, Cutter, DeckWork, Fault, FormBlade, LengthUnit, ShimStock, Units, Workshop};

/// Most entries of a list of cutters, shims or spare parts.
const MOST_KINDS: usize = 60;

/// Most shims that can lie under one spring.
const MOST_SHIMS: u8 = 10;

/// Most things of one kind on a shelf.
const MOST_OF_A_KIND: u16 = 1000;

/// Half a millimetre: a cut that may miss by more, or runout left of more, is no work on a seat.
/// Common practice, no source.
const HALF_A_MILLIMETRE: Exact = Exact::from_count(5, 1);
/// More than any shim is thick, any tip stands to lose, or any deck.
const TEN_MILLIMETRES: Exact = Exact::from_count(10, 0);
/// More than any insert is high.
const TWENTY_MILLIMETRES: Exact = Exact::from_count(20, 0);

/// Most money or minutes for one thing: far beyond any, and far below what a sum of doubles loses cents at.
const MOST_COST: f64 = 1e6;

/// mm² in one in²: 25.4² exactly.
const SQUARE_MILLIMETRES_PER_SQUARE_INCH: f64 = 645.16;

/// What holds where nobody says otherwise. Common practice, no source.
#[must_use]
pub fn default_workshop() -> head::Workshop {
    let hundredths = |count: i64| Length::from_exact(Exact::from_count(count, 2));
    head::Workshop {
        objective: head::Objective::LeastSink,
        cut_tolerance: hundredths(3),
        light_turns: hundredths(1),
        runout_left: hundredths(1),
        cutters: Vec::new(),
        insert_stock: None,
        face_grinding: true,
        tip_limit: None,
        shims: Vec::new(),
        shims_per_spring: 3,
        lash_shims: Vec::new(),
        deck: None,
        spares: head::Spares::default(),
        costs: head::Costs {
            per_minute: 0.0,
            seat_cut: 10.0,
            top_cut: 4.0,
            throat_cut: 4.0,
            form_cut: 8.0,
            face_grind: 6.0,
            tip_grind: 3.0,
            shim: 1.0,
            deck_cut: 45.0,
        },
    }
}

/// A posted workshop as the domain knows it; what was left out is that of [`default_workshop`].
///
/// # Errors
/// Every fault of content, with its JSON Pointer below `at`.
///
/// ```
/// use headproof_wire::{At, Workshop, default_workshop, workshop};
///
/// assert_eq!(workshop(&Workshop::default(), &At::Root), Ok(default_workshop()));
/// let silent = Workshop { cut_tolerance: Some(0.001), ..Workshop::default() };
/// let faults = workshop(&silent, &At::Root).unwrap_err();
/// assert_eq!(faults[0].pointer, "/units", "a thousandth of what?");
/// ```
pub fn workshop(doc: &Workshop, at: &At<'_>) -> Result<head::Workshop, Vec<Fault>> {
    let none = Instruments::default();
    let units = doc.units.unwrap_or(Units::BASE);
    let mut conversion = Conversion { faults: Vec::new(), units, instruments: &none };
    let c = &mut conversion;
    let usual = default_workshop();
    if doc.units.is_none() && states_amounts(doc) {
        c.fault(&at.member("units"), "is required where lengths, forces or roughness are stated", None);
    }
    let workshop = head::Workshop {
        objective: doc.objective.map_or(usual.objective, Into::into),
        cut_tolerance: slack(c, &at.member("cut_tolerance"), doc.cut_tolerance, usual.cut_tolerance),
        light_turns: slack(c, &at.member("light_turns"), doc.light_turns, usual.light_turns),
        runout_left: slack(c, &at.member("runout_left"), doc.runout_left, usual.runout_left),
        cutters: cutters(c, &at.member("cutters"), &doc.cutters),
        insert_stock: doc.insert_stock.and_then(|number| {
            up_to(c, &at.member("insert_stock"), number, Range::NonNegative, TWENTY_MILLIMETRES)
        }),
        face_grinding: doc.face_grinding.unwrap_or(usual.face_grinding),
        tip_limit: doc.tip_grinding.and_then(|number| {
            up_to(c, &at.member("tip_grinding"), number, Range::NonNegative, TEN_MILLIMETRES)
        }),
        shims: stock(c, &at.member("shims"), &doc.shims),
        shims_per_spring: shims_per_spring(c, at, doc).unwrap_or(usual.shims_per_spring),
        lash_shims: stock(c, &at.member("lash_shims"), &doc.lash_shims),
        deck: doc.deck.as_ref().and_then(|doc| deck(c, &at.member("deck"), doc)),
        spares: spares(c, at, doc),
        costs: costs(c, &at.member("costs"), doc.costs.unwrap_or_default(), usual.costs),
    };
    let faults = conversion.faults;
    if faults.is_empty() { Ok(workshop) } else { Err(faults) }
}

/// Is there a number whose unit has to be known? Angles are degrees whatever the units are.
fn states_amounts(doc: &Workshop) -> bool {
    [doc.cut_tolerance, doc.light_turns, doc.runout_left, doc.insert_stock, doc.tip_grinding]
        .iter()
        .any(Option::is_some)
        || doc.cutters.iter().any(|cutter| cutter.form.is_some())
        || !(doc.shims.is_empty() && doc.lash_shims.is_empty() && doc.inserts.is_empty())
        || !(doc.valves.is_empty() && doc.springs.is_empty())
        || doc.deck.is_some()
}

/// A length of at most so many millimetres.
fn up_to(c: &mut Conversion<'_>, at: &At<'_>, number: f64, range: Range, most: Exact) -> Option<Length> {
    let length: Length = c.quantity(at, number, range)?;
    if length.exact() > most {
        c.fault(at, format!("must be at most {most} mm"), Some(number.into()));
        return None;
    }
    Some(length)
}

/// What may be missed or left.
fn slack(c: &mut Conversion<'_>, at: &At<'_>, number: Option<f64>, usual: Length) -> Length {
    number.and_then(|number| up_to(c, at, number, Range::NonNegative, HALF_A_MILLIMETRE)).unwrap_or(usual)
}

fn shims_per_spring(c: &mut Conversion<'_>, at: &At<'_>, doc: &Workshop) -> Option<u8> {
    let count = doc.shims_per_spring?;
    if count > MOST_SHIMS {
        c.fault(&at.member("shims_per_spring"), format!("must be 0 to {MOST_SHIMS}"), Some(count.into()));
    }
    Some(count)
}

fn cutters(c: &mut Conversion<'_>, at: &At<'_>, docs: &[Cutter]) -> Vec<head::Cutter> {
    let mut ids = Vec::new();
    let cutters = c.bounded(at, docs, 0..=MOST_KINDS).iter().enumerate().filter_map(|(index, doc)| {
        let at = at.element(index);
        let id = own_name(c, &at, &doc.id, &mut ids, "cutter");
        let blade = blade(c, &at, doc)?;
        Some(head::Cutter { id, blade })
    });
    cutters.collect()
}

/// A name of the shop's own that no other of its kind has.
fn own_name<'d>(
    c: &mut Conversion<'_>,
    at: &At<'_>,
    id: &'d str,
    seen: &mut Vec<&'d str>,
    kind: &str,
) -> String {
    let at = at.member("id");
    if seen.contains(&id) {
        c.fault(&at, format!("another {kind} has this id"), Some(id.into()));
    }
    seen.push(id);
    c.text(&at, id)
}

fn blade(c: &mut Conversion<'_>, at: &At<'_>, doc: &Cutter) -> Option<head::Blade> {
    match (doc.angle, &doc.form) {
        (Some(angle), None) => {
            Some(head::Blade::Single(c.quantity(&at.member("angle"), angle, Range::Slope)?))
        }
        (None, Some(form)) => form_blade(c, &at.member("form"), form),
        _ => {
            c.fault(at, "needs exactly one of angle and form", None);
            None
        }
    }
}

fn form_blade(c: &mut Conversion<'_>, at: &At<'_>, doc: &FormBlade) -> Option<head::Blade> {
    let top = c.quantity(&at.member("top_angle"), doc.top_angle, Range::Slope);
    let seat = c.quantity(&at.member("seat_angle"), doc.seat_angle, Range::Slope);
    let throat = c.quantity(&at.member("throat_angle"), doc.throat_angle, Range::Slope);
    let tolerance = up_to(c, &at.member("tolerance"), doc.tolerance, Range::NonNegative, HALF_A_MILLIMETRE);
    let (top, seat, throat) = (top?, seat?, throat?);
    if top >= seat || seat >= throat {
        c.fault(at, "needs a top angle flatter than the seat angle and a steeper throat angle", None);
    }
    Some(head::Blade::Form { top, seat, throat, tolerance: tolerance? })
}

fn stock(c: &mut Conversion<'_>, at: &At<'_>, docs: &[ShimStock]) -> Vec<head::Stock> {
    let mut stock: Vec<head::Stock> = Vec::new();
    for (index, doc) in c.bounded(at, docs, 0..=MOST_KINDS).iter().enumerate() {
        let at = at.element(index);
        count(c, &at, doc.count);
        let at = at.member("thickness");
        let Some(thickness) = up_to(c, &at, doc.thickness, Range::Positive, TEN_MILLIMETRES) else {
            continue;
        };
        if stock.iter().any(|other| other.thickness == thickness) {
            c.fault(&at, "this thickness was already given", Some(doc.thickness.into()));
        }
        stock.push(head::Stock { thickness, count: doc.count });
    }
    stock
}

fn count(c: &mut Conversion<'_>, at: &At<'_>, count: u16) {
    if count > MOST_OF_A_KIND {
        c.fault(&at.member("count"), format!("must be 0 to {MOST_OF_A_KIND}"), Some(count.into()));
    }
}

fn deck(c: &mut Conversion<'_>, at: &At<'_>, doc: &DeckWork) -> Option<head::DeckWork> {
    let most = up_to(c, &at.member("most"), doc.most, Range::Positive, TEN_MILLIMETRES);
    let flatness_left =
        up_to(c, &at.member("flatness_left"), doc.flatness_left, Range::NonNegative, HALF_A_MILLIMETRE);
    let roughness_left = c.quantity(&at.member("roughness_left"), doc.roughness_left, Range::Positive);
    let open_chamber_area =
        doc.open_chamber_area.and_then(|number| area(c, &at.member("open_chamber_area"), number));
    Some(head::DeckWork {
        most: most?,
        flatness_left: flatness_left?,
        roughness_left: roughness_left?,
        open_chamber_area,
    })
}

/// An area in mm². No dimension of its own is kept for it: nothing but a chamber is ever worked out from one.
fn area(c: &mut Conversion<'_>, at: &At<'_>, number: f64) -> Option<f64> {
    if let Err(error) = Exact::from_f64(number) {
        c.fault(at, error.to_string(), Some(number.into()));
        return None;
    }
    if number <= 0.0 {
        c.fault(at, "must be more than zero", Some(number.into()));
        return None;
    }
    Some(match c.units.length {
        LengthUnit::Millimetre => number,
        LengthUnit::Inch => number * SQUARE_MILLIMETRES_PER_SQUARE_INCH,
    })
}

fn costs(c: &mut Conversion<'_>, at: &At<'_>, doc: Costs, usual: head::Costs) -> head::Costs {
    let mut cost = |name: &str, number: Option<f64>, usual: f64| cost(c, &at.member(name), number, usual);
    head::Costs {
        per_minute: cost("per_minute", doc.per_minute, usual.per_minute),
        seat_cut: cost("seat_cut", doc.seat_cut, usual.seat_cut),
        top_cut: cost("top_cut", doc.top_cut, usual.top_cut),
        throat_cut: cost("throat_cut", doc.throat_cut, usual.throat_cut),
        form_cut: cost("form_cut", doc.form_cut, usual.form_cut),
        face_grind: cost("face_grind", doc.face_grind, usual.face_grind),
        tip_grind: cost("tip_grind", doc.tip_grind, usual.tip_grind),
        shim: cost("shim", doc.shim, usual.shim),
        deck_cut: cost("deck_cut", doc.deck_cut, usual.deck_cut),
    }
}

/// A price or a time.
fn cost(c: &mut Conversion<'_>, at: &At<'_>, number: Option<f64>, usual: f64) -> f64 {
    let Some(number) = number else { return usual };
    if !(0.0..=MOST_COST).contains(&number) {
        c.fault(at, format!("must be 0 to {MOST_COST}"), Some(number.into()));
    }
    number
}

/// A quantity that may be left out.
fn optional<D: Dimension>(
    c: &mut Conversion<'_>,
    at: &At<'_>,
    number: Option<f64>,
    range: Range,
) -> Option<Quantity<D>> {
    number.and_then(|number| c.quantity(at, number, range))
}
