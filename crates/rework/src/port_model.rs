//! One port under one course of action, as a small linear program with whole numbers for shims.

mod assembly;
mod seat;

use headproof_head::{Bound, Stock};

use crate::affine::{Affine, CUTS, Var};
use crate::cones::CutSeat;
use crate::course::{Course, Ground, SeatCourse};
use crate::heights::LoadCurve;
use crate::moved::{HAIR, Moved, Zones};
use crate::solver::Decision;
use crate::weights::Weights;

/// Σ coefficient · decision ≤ `at_most`, and what asks for it; nothing does where it only says what a decision
/// means.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Rule {
    pub(crate) terms: Vec<(Var, f64)>,
    pub(crate) at_most: f64,
    pub(crate) bound: Option<Bound>,
}

impl Rule {
    /// Can no decision meet it?
    pub(crate) fn is_hopeless(&self) -> bool {
        const NEARLY: f64 = 1e-9;
        self.at_most == f64::NEG_INFINITY || (self.terms.is_empty() && self.at_most < -NEARLY)
    }
}

/// The deck as all ports share it: the least and the most that comes off, in mm.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct DeckRange {
    pub(crate) least: f64,
    pub(crate) most: f64,
    /// What cleans it, where it is cut though it need not be.
    pub(crate) clean: f64,
    /// Over how many ports its price is spread while each is planned alone.
    pub(crate) ports: usize,
}

/// Where the decisions that others share stand.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Handles {
    pub(crate) tip: Option<Var>,
    pub(crate) deck: Option<Var>,
    /// Shims of each thickness in the workshop's list.
    pub(crate) shims: Vec<Var>,
    /// The lash shim as any thickness.
    pub(crate) lash_shim: Option<Var>,
    /// One of the lash shims in the workshop's list.
    pub(crate) lash_shims: Vec<Var>,
}

/// One port under one course.
#[derive(Debug, Clone)]
pub(crate) struct PortModel<'a> {
    pub(crate) course: Course<'a>,
    pub(crate) decisions: Vec<Decision>,
    pub(crate) rules: Vec<Rule>,
    /// Price of the course before anything is decided.
    pub(crate) price: f64,
    pub(crate) handles: Handles,
    pub(crate) seat: Option<CutSeat>,
    /// How far a cut may miss its stop.
    pub(crate) tolerance: f64,
    /// How much deeper the valve's head sits.
    pub(crate) sink: Affine,
    /// How much further its stem stands out, before the tip is ground.
    pub(crate) rise: Affine,
    /// How far the margin is ground off, along the axis.
    pub(crate) face_stock: f64,
    /// Its screw is set anew.
    pub(crate) sets_lash: bool,
    /// Loads over the installed height, where they are limited.
    pub(crate) loads: Vec<(Moved, LoadCurve)>,
    /// What every moved characteristic becomes.
    pub(crate) values: Vec<(Moved, Affine)>,
    pub(crate) length_taken_for_granted: bool,
}

/// Deeper than any cutter is fed.
pub(crate) const MOST_FEED: f64 = 6.0;

/// A worn tip is clean when so much is off; common practice, no source.
pub(crate) const TIP_CLEAN: f64 = 0.05;

/// What a course costs at least, whatever is decided: cheaper ones are tried first, and one that costs more
/// than a plan already found need not be tried.
pub(crate) fn least_price(ground: &Ground<'_, '_>, course: &Course<'_>, weights: &Weights) -> f64 {
    let sink = match (course.insert, course.seat, &ground.facts.seat) {
        (None, SeatCourse::Hand { .. } | SeatCourse::Form { .. }, Some(facts)) => facts.need,
        _ => 0.0,
    };
    let sink = if course.new_parts() == 0 { sink } else { 0.0 };
    fixed_price(ground, course, weights) + sink * weights.sink
}

/// What a course costs before anything is decided.
fn fixed_price(ground: &Ground<'_, '_>, course: &Course<'_>, weights: &Weights) -> f64 {
    let (_, money) = course.fixed_cost(ground.workshop);
    weights.price(course.new_parts(), money)
}

/// The model of one port under one course.
pub(crate) fn build<'a>(
    ground: &Ground<'a, '_>,
    zones: &Zones,
    course: Course<'a>,
    deck: DeckRange,
    weights: &Weights,
) -> PortModel<'a> {
    let mut builder = Builder::new(ground, zones, course, weights);
    builder.seat();
    builder.assembly(deck);
    builder.what_stays_wrong();
    builder.model
}

/// Working state of one model.
struct Builder<'a, 'g> {
    ground: &'g Ground<'a, 'g>,
    zones: &'g Zones,
    weights: &'g Weights,
    model: PortModel<'a>,
}

impl<'a, 'g> Builder<'a, 'g> {
    fn new(ground: &'g Ground<'a, 'g>, zones: &'g Zones, course: Course<'a>, weights: &'g Weights) -> Self {
        let tolerance = match course.seat {
            SeatCourse::Leave => 0.0,
            SeatCourse::Hand { .. } => ground.workshop.cut_tolerance.approx(),
            SeatCourse::Form { tolerance, .. } => tolerance,
        };
        let model = PortModel {
            course,
            decisions: Vec::with_capacity(12),
            rules: Vec::with_capacity(40),
            price: fixed_price(ground, &course, weights),
            handles: Handles::default(),
            seat: None,
            tolerance,
            sink: Affine::default(),
            rise: Affine::default(),
            face_stock: 0.0,
            sets_lash: false,
            loads: Vec::new(),
            values: Vec::with_capacity(Moved::ALL.len()),
            length_taken_for_granted: false,
        };
        Self { ground, zones, weights, model }
    }

    fn decide(&mut self, least: f64, most: f64, price: f64) -> Var {
        self.model.decisions.push(Decision { least, most, price, whole: false });
        self.model.decisions.len() - 1
    }

    fn count(&mut self, most: u16, price: f64) -> Var {
        self.model.decisions.push(Decision { least: 0.0, most: f64::from(most), price, whole: true });
        self.model.decisions.len() - 1
    }

    /// `value` is nothing or less, also when every cut misses its stop.
    fn at_most_nothing(&mut self, value: &Affine, bound: impl Into<Option<Bound>>) {
        let at_most = -value.constant - value.spread(self.model.tolerance);
        self.model.rules.push(Rule { terms: value.terms.clone(), at_most, bound: bound.into() });
    }

    fn at_most(&mut self, value: &Affine, most: f64, bound: Bound) {
        self.at_most_nothing(&value.clone().plus_constant(-most), bound);
    }

    fn at_least(&mut self, value: &Affine, least: f64, bound: Bound) {
        self.at_most_nothing(&value.clone().times(-1.0).plus_constant(least), bound);
    }

    /// A rule that nothing can meet, by any amount.
    fn impossible(&mut self, bound: Bound) {
        let never = Rule { terms: Vec::new(), at_most: f64::NEG_INFINITY, bound: Some(bound) };
        self.model.rules.push(never);
    }

    /// What a characteristic becomes, kept inside its zone.
    fn becomes(&mut self, moved: Moved, value: Affine) {
        if let Some(zone) = self.zones.get(moved) {
            // What nothing is decided about lies where it lies, also on the very limit.
            let zone = if value.terms.is_empty() { zone.narrowed(-HAIR) } else { zone };
            let id = moved.id();
            if zone.too_coarse {
                self.impossible(Bound::TooCoarse(id));
            }
            if let Some(least) = zone.least {
                self.at_least(&value, least, Bound::Lower(id));
            }
            if let Some(greatest) = zone.greatest {
                self.at_most(&value, greatest, Bound::Upper(id));
            }
        }
        self.model.values.push((moved, value));
    }
}

impl PortModel<'_> {
    /// Adds what draws free sizes to the middle of their zones: for each of them one more decision, its
    /// distance from the middle.
    pub(crate) fn drawn_to_the_middle(&self, zones: &Zones, weights: &Weights) -> Self {
        const DRAWN: [Moved; 6] = [
            Moved::SeatWidth,
            Moved::ContactOffset,
            Moved::Recession,
            Moved::InstalledHeight,
            Moved::Protrusion,
            Moved::Lash,
        ];
        const FAR: f64 = 50.0;
        let mut model = self.clone();
        let mut drawn: Vec<(&Affine, f64)> = Vec::new();
        for moved in DRAWN {
            // On new metal the band may lie where it likes, and likes the middle of the face.
            let on_new_metal = moved == Moved::ContactOffset && self.course.insert.is_some();
            let middle = zones.get(moved).and_then(|zone| zone.middle()).or(on_new_metal.then_some(0.0));
            drawn.extend(self.value(moved).zip(middle));
        }
        if self.course.new_parts() > 0 {
            // A new part puts the valve back where it was, unless a limit has a better place for it.
            drawn.push((&self.sink, 0.0));
        }
        for (value, middle) in drawn.into_iter().filter(|(value, _)| !value.terms.is_empty()) {
            let away = model.decisions.len();
            model.decisions.push(Decision { least: 0.0, most: FAR, price: weights.middle, whole: false });
            for sign in [1.0, -1.0] {
                let mut terms: Vec<_> = value.terms.iter().map(|(var, c)| (*var, sign * c)).collect();
                terms.push((away, -1.0));
                let at_most = sign * (middle - value.constant);
                model.rules.push(Rule { terms, at_most, bound: None });
            }
        }
        model
    }

    /// Do these decisions meet every rule?
    pub(crate) fn is_met_by(&self, decisions: &[f64]) -> bool {
        const NEARLY: f64 = 1e-9;
        self.rules.iter().all(|rule| {
            let sum: f64 = rule.terms.iter().map(|(var, coefficient)| coefficient * decisions[*var]).sum();
            sum <= rule.at_most + NEARLY
        })
    }

    /// What it costs with these decisions.
    pub(crate) fn price_of(&self, decisions: &[f64]) -> f64 {
        let spent = self.decisions.iter().zip(decisions).map(|(decision, size)| decision.price * size);
        self.price + spent.sum::<f64>()
    }

    /// What a characteristic becomes.
    pub(crate) fn value(&self, moved: Moved) -> Option<&Affine> {
        self.values.iter().find(|(own, _)| *own == moved).map(|(_, value)| value)
    }

    /// As it comes out when each cut misses its stop by so many times its tolerance.
    pub(crate) fn miss(&mut self, corner: [f64; CUTS]) {
        let by = corner.map(|times| times * self.tolerance);
        let values = self.values.iter_mut().map(|(_, value)| value);
        for value in values.chain([&mut self.sink, &mut self.rise]) {
            value.miss(by);
        }
    }

    /// Does a miss of this cut move anything?
    pub(crate) fn can_miss(&self, cut: usize) -> bool {
        self.tolerance > 0.0 && self.values.iter().any(|(_, value)| value.errors[cut] != 0.0)
    }

    /// Without the rules that `bound` asks for.
    pub(crate) fn without(&self, dropped: impl Fn(Bound) -> bool) -> Self {
        let mut model = self.clone();
        model.rules.retain(|rule| !rule.bound.is_some_and(&dropped));
        model
    }

    /// Thickness of all shims together.
    pub(crate) fn shim_stack(&self, stocks: &[Stock]) -> Affine {
        self.handles.shims.iter().zip(stocks).fold(Affine::default(), |sum, (var, stock)| {
            sum.plus(&Affine::var(*var).times(stock.thickness.approx()))
        })
    }
}
