//! What ports have in common: chambers, protrusions, one deck, one shelf.

use headproof_head::{
    Bound, CharacteristicId, Evaluation, MeasurementSet, Row, Service, Stage, TargetProfile, Workshop,
};

use crate::affine::Affine;
use crate::case::{Case, Worked};
use crate::course::ValveCourse;
use crate::cure::is_bad;
use crate::facts::base;
use crate::moved::{Moved, Zone, row_of};
use crate::port_model::PortModel;

/// What of one port a rule of the head looks at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) enum Share {
    /// How much deeper its valve sits.
    Sink,
    /// Its stem's protrusion.
    Protrusion,
    /// What comes off the deck, as it sees it.
    Deck,
    /// How many of the n-th shims it takes.
    Shim(usize),
    /// Whether it takes the n-th lash shim.
    LashShim(usize),
    /// Whether it takes the n-th spare insert.
    Insert(usize),
    /// Whether it takes the n-th spare valve.
    Valve(usize),
    /// Whether it takes the n-th spare springs.
    Spring(usize),
}

/// A sum over ports.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Total {
    pub(crate) constant: f64,
    /// Which case, what of it, how many times.
    pub(crate) terms: Vec<(usize, Share, f64)>,
}

/// A rule over several ports.
#[derive(Debug, Clone, PartialEq)]
pub(crate) enum HeadRule {
    /// A total is at most so much, also when every cut misses its stop.
    AtMost { total: Total, at_most: f64, bound: Bound },
    /// The greatest of several totals is at most so much above the least.
    Spread { totals: Vec<Total>, at_most: f64, bound: Bound },
    /// All ports see the same deck.
    OneDeck,
}

impl HeadRule {
    pub(crate) const fn bound(&self) -> Bound {
        match self {
            Self::AtMost { bound, .. } | Self::Spread { bound, .. } => *bound,
            Self::OneDeck => Bound::DeckCleanUp,
        }
    }
}

/// What a share is in a model.
pub(crate) fn share_of(share: Share, model: &PortModel<'_>, workshop: &Workshop) -> Affine {
    let taken = |taken: bool| Affine::constant(if taken { 1.0 } else { 0.0 });
    let var = |var: Option<&usize>| var.map_or_else(Affine::default, |var| Affine::var(*var));
    let spares = &workshop.spares;
    match share {
        Share::Sink => model.sink.clone(),
        Share::Protrusion => model.value(Moved::Protrusion).cloned().unwrap_or_default(),
        Share::Deck => var(model.handles.deck.as_ref()),
        Share::Shim(n) => var(model.handles.shims.get(n)),
        Share::LashShim(n) => var(model.handles.lash_shims.get(n)),
        Share::Insert(n) => {
            taken(model.course.insert.is_some_and(|own| std::ptr::eq(own, &raw const spares.inserts[n])))
        }
        Share::Valve(n) => {
            let own = |own: &_| std::ptr::eq(own, &raw const spares.valves[n]);
            taken(matches!(model.course.valve, ValveCourse::New(spare) if own(spare)))
        }
        Share::Spring(n) => {
            taken(model.course.springs.is_some_and(|own| std::ptr::eq(own, &raw const spares.springs[n])))
        }
    }
}

impl Total {
    /// Its value and how far it may be off.
    fn at(&self, chosen: &[Worked<'_>], workshop: &Workshop) -> (f64, f64) {
        self.terms.iter().fold((self.constant, 0.0), |(sum, off), (case, share, times)| {
            let worked = &chosen[*case];
            let share = share_of(*share, &worked.model, workshop).times(*times);
            (sum + share.at(&worked.decisions), off + share.spread(worked.model.tolerance))
        })
    }
}

impl HeadRule {
    /// Do the ports, each planned alone, meet it?
    pub(crate) fn is_met(&self, chosen: &[Worked<'_>], workshop: &Workshop) -> bool {
        const NEARLY: f64 = 1e-9;
        match self {
            Self::AtMost { total, at_most, .. } => {
                let (sum, off) = total.at(chosen, workshop);
                sum + off <= at_most + NEARLY
            }
            Self::Spread { totals, .. } if totals.len() < 2 => true,
            Self::Spread { totals, at_most, .. } => {
                let ends = totals.iter().map(|total| total.at(chosen, workshop));
                let (low, high) = ends.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (sum, off)| {
                    (low.min(sum - off), high.max(sum + off))
                });
                high - low <= at_most + NEARLY
            }
            Self::OneDeck => {
                let decks = chosen
                    .iter()
                    .map(|worked| share_of(Share::Deck, &worked.model, workshop).at(&worked.decisions));
                let (low, high) = decks.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), deck| {
                    (low.min(deck), high.max(deck))
                });
                high - low <= NEARLY
            }
        }
    }
}

/// What the rules of a head are drawn from.
#[derive(Debug, Clone, Copy)]
pub(crate) struct HeadGround<'a> {
    pub(crate) set: &'a MeasurementSet,
    pub(crate) profile: &'a TargetProfile,
    pub(crate) workshop: &'a Workshop,
    pub(crate) evaluation: &'a Evaluation,
    pub(crate) stage: Stage,
    pub(crate) deck_can_move: bool,
}

impl HeadGround<'_> {
    /// Every rule over several of these ports.
    pub(crate) fn rules(&self, cases: &[Case<'_>]) -> Vec<HeadRule> {
        let mut rules = Vec::new();
        self.chambers(cases, &mut rules);
        self.protrusions(cases, &mut rules);
        self.shelf(cases, &mut rules);
        if self.deck_can_move {
            rules.push(HeadRule::OneDeck);
        }
        rules
    }

    fn zone(&self, rows: &[Row], id: CharacteristicId) -> Option<(Zone, f64)> {
        let (_, limit) = self.profile.limit(id, None, self.stage)?;
        let row = row_of(rows, id)?;
        let amount = row.amount()?.to_f64();
        let zone = Zone::of(limit, self.profile.rule, row.uncertainty);
        let zone = if is_bad(row) { zone } else { zone.holding(amount) };
        (!zone.too_coarse).then_some((zone, amount))
    }

    fn chambers(&self, cases: &[Case<'_>], rules: &mut Vec<HeadRule>) {
        let totals: Option<Vec<(f64, Total)>> =
            (1..=self.set.layout.cylinders).map(|cylinder| self.chamber(cases, cylinder)).collect();
        for (cylinder, rows) in &self.evaluation.cylinders {
            let Some((volume, total)) = self.chamber(cases, *cylinder) else { continue };
            for (id, zone) in self.volume_zones(rows, volume) {
                self.inside(&total, zone, id, rules);
            }
        }
        let Some(totals) = totals.filter(|totals| totals.len() > 1) else { return };
        let least_volume = totals.iter().map(|(volume, _)| *volume).fold(f64::INFINITY, f64::min);
        for (id, at_most) in self.volume_spreads(least_volume) {
            let totals = totals.iter().map(|(_, total)| total.clone()).collect();
            rules.push(HeadRule::Spread { totals, at_most, bound: Bound::Upper(id) });
        }
    }

    /// Volume of one chamber, and what becomes of it: a sunk valve adds about its own disc, a cut deck takes
    /// its open area.
    fn chamber(&self, cases: &[Case<'_>], cylinder: u8) -> Option<(f64, Total)> {
        const CUBIC_MILLIMETRES: f64 = 1e-3;
        let chamber = self.set.chambers.iter().find(|chamber| chamber.cylinder == cylinder)?;
        let volume = base(Some(&chamber.volume))?;
        let mut terms = Vec::new();
        for (index, case) in cases.iter().enumerate().filter(|(_, case)| case.port.id.cylinder == cylinder) {
            let area = disc(case) * CUBIC_MILLIMETRES;
            terms.push((index, Share::Sink, area));
        }
        if let (true, Some(first)) = (self.deck_can_move, (!cases.is_empty()).then_some(0)) {
            let area = self.workshop.deck.and_then(|deck| deck.open_chamber_area)?;
            terms.push((first, Share::Deck, -area * CUBIC_MILLIMETRES));
        }
        Some((volume, Total { constant: volume, terms }))
    }

    /// Limits of chamber volume and compression ratio, as zones of the volume.
    fn volume_zones(&self, rows: &[Row], volume: f64) -> Vec<(CharacteristicId, Zone)> {
        let mut zones = Vec::new();
        if let Some((zone, _)) = self.zone(rows, CHAMBER_VOLUME) {
            zones.push((CHAMBER_VOLUME, zone));
        }
        if let (Some((zone, ratio)), Some(swept)) = (self.zone(rows, COMPRESSION_RATIO), self.swept()) {
            // (swept + clearance) / clearance falls as the clearance grows.
            let others = swept / (ratio - 1.0) - volume;
            let at = |ratio: f64| swept / (ratio - 1.0) - others;
            let turned =
                Zone { least: zone.greatest.map(at), greatest: zone.least.map(at), ..Zone::default() };
            zones.push((COMPRESSION_RATIO, turned));
        }
        zones
    }

    /// Limits of the spreads, as greatest spreads of the volume.
    fn volume_spreads(&self, least_volume: f64) -> Vec<(CharacteristicId, f64)> {
        let head = &self.evaluation.head;
        let mut spreads = Vec::new();
        if let Some(greatest) = self.zone(head, CHAMBER_SPREAD).and_then(|(zone, _)| zone.greatest) {
            spreads.push((CHAMBER_SPREAD, greatest));
        }
        let greatest = self.zone(head, RATIO_SPREAD).and_then(|(zone, _)| zone.greatest);
        if let (Some(greatest), Some(steepest)) = (greatest, self.steepest_ratio(least_volume)) {
            spreads.push((RATIO_SPREAD, greatest / steepest));
        }
        spreads
    }

    /// How much the compression ratio changes with a chamber's volume where it changes most: at the smallest
    /// chamber. Over a small spread the ratios spread no more than that.
    fn steepest_ratio(&self, least_volume: f64) -> Option<f64> {
        let swept = self.swept()?;
        let ratio = |rows| Some(row_of(rows, COMPRESSION_RATIO)?.amount()?.to_f64());
        let ratios = self.evaluation.cylinders.iter().filter_map(|(_, rows)| ratio(rows));
        let clearance = swept / (ratios.fold(f64::NEG_INFINITY, f64::max) - 1.0);
        let taken_off = self.workshop.deck.filter(|_| self.deck_can_move);
        let shrinks =
            taken_off.map_or(0.0, |deck| deck.most.approx() * deck.open_chamber_area.unwrap_or(0.0) * 1e-3);
        let clearance = clearance - shrinks.min(0.5 * least_volume);
        (clearance.is_finite() && clearance > 0.0).then(|| swept / (clearance * clearance))
    }

    /// Swept volume of one cylinder in mL.
    fn swept(&self) -> Option<f64> {
        let terms = &self.set.layout.compression;
        let (bore, stroke) = (terms.bore.as_ref()?.value(), terms.stroke.as_ref()?.value());
        Some(headproof_metrology::swept_volume(bore, stroke).value.get())
    }

    fn inside(&self, total: &Total, zone: Zone, id: CharacteristicId, rules: &mut Vec<HeadRule>) {
        if let Some(greatest) = zone.greatest {
            let total = total.clone();
            rules.push(HeadRule::AtMost { total, at_most: greatest, bound: Bound::Upper(id) });
        }
        if let Some(least) = zone.least {
            let terms = total.terms.iter().map(|(case, share, times)| (*case, *share, -times)).collect();
            let total = Total { constant: -total.constant, terms };
            rules.push(HeadRule::AtMost { total, at_most: -least, bound: Bound::Lower(id) });
        }
    }

    /// Equal protrusion within a band, where the profile asks for it.
    fn protrusions(&self, cases: &[Case<'_>], rules: &mut Vec<HeadRule>) {
        let spread = self.zone(&self.evaluation.head, PROTRUSION_SPREAD);
        let Some(at_most) = spread.and_then(|(zone, _)| zone.greatest) else { return };
        for service in [Service::Intake, Service::Exhaust] {
            let mut totals = Vec::new();
            for id in self.set.layout.ports().filter(|id| id.service == service) {
                let case = cases.iter().position(|case| case.port.id == id);
                let fixed = self.set.port(id).and_then(|port| base(port.assembly.stem_protrusion.as_ref()));
                // A port that waits for its guide or a reading will stand otherwise than it does now.
                if let (Some(case), Some(_)) = (case, fixed) {
                    totals.push(Total { constant: 0.0, terms: vec![(case, Share::Protrusion, 1.0)] });
                }
            }
            rules.push(HeadRule::Spread { totals, at_most, bound: Bound::Upper(PROTRUSION_SPREAD) });
        }
    }

    fn shelf(&self, cases: &[Case<'_>], rules: &mut Vec<HeadRule>) {
        let mut stock = |share: Share, count: u16, bound: Bound| {
            let terms = (0..cases.len()).map(|case| (case, share, 1.0)).collect();
            let total = Total { constant: 0.0, terms };
            rules.push(HeadRule::AtMost { total, at_most: f64::from(count), bound });
        };
        for (n, shim) in self.workshop.shims.iter().enumerate() {
            stock(Share::Shim(n), shim.count, Bound::ShimStock);
        }
        for (n, shim) in self.workshop.lash_shims.iter().enumerate() {
            stock(Share::LashShim(n), shim.count, Bound::LashShimStock);
        }
        let spares = &self.workshop.spares;
        for (n, spare) in spares.inserts.iter().enumerate() {
            stock(Share::Insert(n), spare.part.count, Bound::SpareStock);
        }
        for (n, spare) in spares.valves.iter().enumerate() {
            stock(Share::Valve(n), spare.part.count, Bound::SpareStock);
        }
        for (n, spare) in spares.springs.iter().enumerate() {
            stock(Share::Spring(n), spare.part.count, Bound::SpareStock);
        }
    }
}

/// Area of a valve's head in mm²; of its seat where the valve was not measured, and nothing where neither was.
pub(crate) fn disc(case: &Case<'_>) -> f64 {
    let face = case.facts.face.map(|face| face.outer_radius);
    let radius = face.or(case.facts.seat.map(|seat| seat.outer_radius)).unwrap_or(0.0);
    std::f64::consts::PI * radius * radius
}

const CHAMBER_VOLUME: CharacteristicId = CharacteristicId::new("chamber-volume");
const COMPRESSION_RATIO: CharacteristicId = CharacteristicId::new("compression-ratio");
const CHAMBER_SPREAD: CharacteristicId = CharacteristicId::new("chamber-spread");
const RATIO_SPREAD: CharacteristicId = CharacteristicId::new("compression-ratio-spread");
pub(crate) const PROTRUSION_SPREAD: CharacteristicId = CharacteristicId::new("stem-protrusion-spread");
