//! Why there is no plan: an irreducible set of bounds that fight each other, and what would free them.

use headproof_head::{
    Bound, CharacteristicId, Conflict, DecisionRule, Part, SpareInsert, SpareSpring, SpareValve, Spares,
    Stock, Way, Workshop,
};
use headproof_quantity::{Force, Kind, Rounded, Unit};

use crate::case::{Case, Shared, Worked, feasible_without, work_out};
use crate::course::ValveCourse;
use crate::facts::nominal;
use crate::grid::length;
use crate::head_rules::HeadRule;
use crate::moved::{HAIR, Moved, Zone, row_of};
use crate::port_model::PortModel;
use crate::search::{every_way, feasible_together, least_excess};
use crate::solver::{Decision, Effort};

/// Fights that are told apart: of a port, and of the head, where each takes far longer to find.
const MOST_OF_A_PORT: usize = 6;
const MOST_OF_THE_HEAD: usize = 2;

/// Why one port has no plan. `enough` says how far a limit has to give way, from an amount on, for the judge to let a
/// plan pass.
pub(crate) fn of_port<'a>(
    case: &Case<'a>,
    shared: &Shared<'a>,
    enough: impl Fn(Bound, f64) -> Option<f64>,
) -> Conflict {
    let models = models(case, shared);
    if models.is_empty() {
        return of_banned(case);
    }
    let all =
        unique(models.iter().flat_map(|model| model.rules.iter().filter_map(|rule| rule.bound)).collect());
    let (between, apart) =
        conflicts(all, MOST_OF_A_PORT, |dropped| feasible_without(&models, dropped, shared.effort));
    let least = |bound| least_of(case, shared, &models, bound).and_then(|least| enough(bound, least));
    let mut freed_by = concessions(&models, shared.effort, &between, least);
    freed_by.extend(parts(case, shared));
    Conflict { between, apart, freed_by }
}

/// No plan of this port was let pass: what the judge found of each.
pub(crate) fn of_banned(case: &Case<'_>) -> Conflict {
    let banned = case.banned.iter().map(|(_, id)| Bound::AsItIs(*id));
    Conflict { between: unique(banned.collect()), apart: Vec::new(), freed_by: Vec::new() }
}

/// Every course of a port as a model.
fn models<'a>(case: &Case<'a>, shared: &Shared<'a>) -> Vec<PortModel<'a>> {
    // Beyond the first few dozen a course differs from those before it by nothing but the part it names.
    const MOST: usize = 60;
    case.courses(shared).list.into_iter().take(MOST).map(|course| case.model(shared, course)).collect()
}

/// By how much a limit has to give way at least, before anything is judged.
pub(crate) fn least_concession(case: &Case<'_>, shared: &Shared<'_>, bound: Bound) -> Option<f64> {
    least_of(case, shared, &models(case, shared), bound)
}

fn least_of(case: &Case<'_>, shared: &Shared<'_>, models: &[PortModel<'_>], bound: Bound) -> Option<f64> {
    let passed = models.iter().filter_map(|model| excess(model, shared.effort, bound));
    passed.chain(left_as_it_is(case, shared, bound)).reduce(f64::min)
}

/// Why ports that have a plan each have none together.
pub(crate) fn of_head<'a>(
    cases: &[Case<'a>],
    alone: &[Worked<'a>],
    rules: &[HeadRule],
    shared: &Shared<'a>,
) -> Conflict {
    let mut all: Vec<Bound> = rules.iter().map(HeadRule::bound).collect();
    all.extend(alone.iter().flat_map(|worked| worked.model.rules.iter().filter_map(|rule| rule.bound)));
    /// Decisions in one program, where dozens of them have to be solved.
    const ROOM: usize = 2_000;
    let ways = every_way(cases, alone, shared, ROOM).0;
    let feasible = |dropped: &[Bound]| feasible_together(&ways, rules, dropped, shared);
    let (between, apart) = conflicts(unique(all), MOST_OF_THE_HEAD, feasible);
    let concession = |bound: &Bound| {
        let (Bound::Upper(id) | Bound::Lower(id)) = bound else { return None };
        if is_load(*id) {
            return None;
        }
        let by = least_excess(&ways, rules, *bound, shared)?;
        Some(Way::Concession { bound: *bound, by: Rounded::from_computed(by, kind_of(*id))? })
    };
    let mut freed_by: Vec<Way> = between.iter().filter_map(concession).collect();
    if between.contains(&Bound::ShimStock) && feasible(&[Bound::ShimStock]) {
        freed_by.push(Way::MoreShims);
    }
    Conflict { between, apart, freed_by }
}

fn unique(bounds: Vec<Bound>) -> Vec<Bound> {
    let mut unique: Vec<Bound> = Vec::new();
    for bound in bounds {
        if !unique.contains(&bound) {
            unique.push(bound);
        }
    }
    unique
}

/// A conflict among these bounds, and those that are left when all of it is left out.
fn conflicts(
    all: Vec<Bound>,
    most: usize,
    feasible: impl Fn(&[Bound]) -> bool,
) -> (Vec<Bound>, Vec<Vec<Bound>>) {
    let mut found: Vec<Vec<Bound>> = Vec::new();
    while found.len() < most {
        let gone = found.concat();
        let open: Vec<Bound> = all.iter().copied().filter(|bound| !gone.contains(bound)).collect();
        let conflict = irreducible(&open, |dropped| feasible(&[dropped, &gone[..]].concat()));
        if conflict.is_empty() {
            break;
        }
        found.push(conflict);
    }
    let between = if found.is_empty() { Vec::new() } else { found.remove(0) };
    (between, found)
}

/// A smallest part of these bounds for which there is still no plan: without any one of its members there is one
/// for the rest of it. Nothing where there is a plan.
///
/// Halves are tried before single bounds (QuickXplain: Junker, AAAI 2004; from memory). `feasible` is asked
/// whether there is a plan when these bounds are left out.
fn irreducible(all: &[Bound], feasible: impl Fn(&[Bound]) -> bool) -> Vec<Bound> {
    let fights = |kept: &[Bound]| {
        let dropped: Vec<Bound> = all.iter().copied().filter(|bound| !kept.contains(bound)).collect();
        !feasible(&dropped)
    };
    if fights(all) { narrowed(&[], false, all, &fights) } else { Vec::new() }
}

fn narrowed(kept: &[Bound], is_new: bool, open: &[Bound], fights: &impl Fn(&[Bound]) -> bool) -> Vec<Bound> {
    if is_new && fights(kept) {
        return Vec::new();
    }
    if open.len() <= 1 {
        return open.to_vec();
    }
    let (first, second) = open.split_at(open.len() / 2);
    let of_second = narrowed(&[kept, first].concat(), true, second, fights);
    let of_first = narrowed(&[kept, &of_second[..]].concat(), !of_second.is_empty(), first, fights);
    [of_first, of_second].concat()
}

/// Each limit of the conflict that a concession would take out of it, and how large that has to be at least.
fn concessions(
    models: &[PortModel<'_>],
    effort: Effort,
    between: &[Bound],
    least: impl Fn(Bound) -> Option<f64>,
) -> Vec<Way> {
    let way = |bound: &Bound| match bound {
        // Loads are bound as heights of their springs: what a concession would have to be is not told by that.
        Bound::Lower(id) | Bound::Upper(id) if is_load(*id) => None,
        Bound::Lower(id) | Bound::Upper(id) => {
            Some(Way::Concession { bound: *bound, by: Rounded::from_computed(least(*bound)?, kind_of(*id))? })
        }
        Bound::TooCoarse(id) => feasible_without(models, &[*bound], effort).then_some(Way::BetterGauge(*id)),
        _ => None,
    };
    between.iter().filter_map(way).collect()
}

/// By how much one limit has to be passed at least for all the others to be met.
fn excess(model: &PortModel<'_>, effort: Effort, bound: Bound) -> Option<f64> {
    const FAR: f64 = 1e4;
    let mut free = model.clone();
    for decision in &mut free.decisions {
        decision.price = 0.0;
    }
    let passed = free.decisions.len();
    free.decisions.push(Decision { least: 0.0, most: FAR, price: 1.0, whole: false });
    if free.rules.iter().any(|rule| rule.at_most == f64::NEG_INFINITY) {
        return None;
    }
    for rule in free.rules.iter_mut().filter(|rule| rule.bound == Some(bound)) {
        rule.terms.push((passed, -1.0));
    }
    free.price = 0.0;
    work_out(free, effort).map(|worked| worked.price)
}

/// How far a limit has to give way for a value to be let pass as it is.
fn left_as_it_is(case: &Case<'_>, shared: &Shared<'_>, bound: Bound) -> Option<f64> {
    let (Bound::Lower(id) | Bound::Upper(id)) = bound else { return None };
    let row = row_of(&case.rows.rows, id)?;
    let (_, limit) = shared.profile.limit(id, Some(case.port.id.service), shared.stage)?;
    // What need not be proved has only to be inside.
    let rule = if row.required { shared.profile.rule } else { DecisionRule::Simple };
    let zone = Zone::of(limit, rule, row.uncertainty);
    let value = row.amount()?.to_f64();
    let short = match bound {
        Bound::Lower(_) => zone.below(value),
        _ => zone.above(value),
    };
    (short > HAIR).then_some(short - HAIR)
}

fn is_load(id: CharacteristicId) -> bool {
    id == Moved::SeatLoad.id() || id == Moved::OpenLoad.id()
}

fn kind_of(id: CharacteristicId) -> Kind {
    headproof_judge::characteristic(id.as_str()).map_or(Kind::Length, headproof_judge::Characteristic::kind)
}

/// New parts and shims, imagined on the shelf one kind at a time, with no other new part.
fn parts<'a>(case: &Case<'a>, shared: &Shared<'a>) -> Vec<Way> {
    let imagined = [
        (Way::NewInsert, with_insert(case, shared)),
        (Way::OtherValve, with_valve(case, shared)),
        (Way::OtherSprings, with_springs(case, shared)),
        (Way::MoreShims, Some(with_shims(shared.workshop))),
    ];
    let leads_to_a_plan = |way: Way, workshop: &Workshop| {
        let shared = Shared { workshop, ..*shared };
        let case: Case<'_> = case.clone();
        let mut courses = case.courses(&shared).list;
        courses.retain(|course| match way {
            Way::NewInsert => course.new_parts() == 1 && course.insert.is_some(),
            Way::OtherValve => course.new_parts() == 1 && matches!(course.valve, ValveCourse::New(_)),
            Way::OtherSprings => course.new_parts() == 1 && course.springs.is_some(),
            _ => course.new_parts() == 0,
        });
        case.cheapest_of(&shared, courses).is_some()
    };
    imagined
        .into_iter()
        .filter(|(way, workshop)| workshop.as_ref().is_some_and(|workshop| leads_to_a_plan(*way, workshop)))
        .map(|(way, _)| way)
        .collect()
}

fn imagined_part() -> Part {
    Part { id: String::new(), service: None, count: 1, price: 0.0, minutes: 0.0 }
}

/// An insert as thick as a worn seat may be deep.
fn with_insert<'a>(case: &Case<'a>, shared: &Shared<'a>) -> Option<Workshop> {
    const RAISES: f64 = 1.5;
    case.port.seat.insert.as_ref()?;
    let mut workshop = shared.workshop.clone();
    workshop.spares = Spares::default();
    workshop.spares.inserts.push(SpareInsert {
        part: imagined_part(),
        raises_seat: length(RAISES),
        diameter: None,
    });
    Some(workshop)
}

/// A valve like the one that is there, unworn.
fn with_valve<'a>(case: &Case<'a>, shared: &Shared<'a>) -> Option<Workshop> {
    const FULL_MARGIN: f64 = 0.3;
    let face = case.facts.face?;
    let angle = nominal(shared.profile, Moved::FaceAngle, case.port, shared.stage).unwrap_or(face.angle);
    let least = case.zones.get(Moved::Margin).and_then(|zone| zone.least);
    let margin = face.margin.unwrap_or(0.0).max(least.unwrap_or(0.0)) + FULL_MARGIN;
    let mut workshop = shared.workshop.clone();
    workshop.spares = Spares::default();
    workshop.spares.valves.push(SpareValve {
        part: imagined_part(),
        head_diameter: length(2.0 * face.outer_radius),
        margin: length(margin),
        face_angle: headproof_quantity::Angle::from_f64((angle * 1e6).round() / 1e6, Unit::Degree).ok()?,
        face_inner_diameter: face.inner_radius.map(|radius| length(2.0 * radius)),
        stem_diameter: None,
        overall_length: face.length.map(length),
    });
    Some(workshop)
}

/// A spring that has the loads the profile aims for, where it aims for them.
fn with_springs<'a>(case: &Case<'a>, shared: &Shared<'a>) -> Option<Workshop> {
    const COILS_APART: f64 = 3.0;
    let aimed = |moved| nominal(shared.profile, moved, case.port, shared.stage);
    let height = aimed(Moved::InstalledHeight).or(case.facts.installed)?;
    let lift = case.facts.lift?;
    let force = |newton: f64| Force::from_f64((newton * 1e6).round() / 1e6, Unit::Newton).ok();
    let (closed, open) = (force(aimed(Moved::SeatLoad)?)?, force(aimed(Moved::OpenLoad)?)?);
    let mut workshop = shared.workshop.clone();
    workshop.spares = Spares::default();
    workshop.spares.springs.push(SpareSpring {
        part: imagined_part(),
        free_length: None,
        loads: vec![(length(height), closed), (length(height - lift), open)],
        solid_height: Some(length(height - lift - COILS_APART)),
    });
    Some(workshop)
}

/// Shims in steps of a twentieth of a millimetre, as many as anyone could want.
fn with_shims(workshop: &Workshop) -> Workshop {
    let stock = |step: u32| Stock { thickness: length(0.05 * f64::from(step)), count: u16::MAX };
    let shims = [1, 2, 5, 10, 20, 40].map(stock).to_vec();
    Workshop { shims, shims_per_spring: 6, ..workshop.clone() }
}

#[cfg(test)]
mod tests {
    use super::*;

    const ALL: [Bound; 6] = [
        Bound::CleanUp,
        Bound::Throat,
        Bound::FaceEdge,
        Bound::InsertEdge,
        Bound::TipLimit,
        Bound::SpringReadings,
    ];

    /// There is a plan as soon as one member of each of these fights is left out.
    fn fights(fights: &[&[Bound]]) -> impl Fn(&[Bound]) -> bool + use<> {
        let fights: Vec<Vec<Bound>> = fights.iter().map(|fight| fight.to_vec()).collect();
        move |dropped: &[Bound]| fights.iter().all(|fight| fight.iter().any(|bound| dropped.contains(bound)))
    }

    fn sorted(mut bounds: Vec<Bound>) -> Vec<Bound> {
        bounds.sort_by_key(|bound| ALL.iter().position(|own| own == bound));
        bounds
    }

    #[test]
    fn exactly_those_that_fight_are_named() {
        for fight in [&ALL[..1], &ALL[2..4], &[ALL[0], ALL[3], ALL[5]], &ALL[..]] {
            let found = irreducible(&ALL, fights(&[fight]));
            assert_eq!(sorted(found), fight.to_vec());
        }
        assert!(irreducible(&ALL, |_| true).is_empty());
    }

    #[test]
    fn fights_apart_from_each_other_are_told_apart() {
        let (first, rest) = conflicts(ALL.to_vec(), MOST_OF_A_PORT, fights(&[&ALL[..2], &ALL[4..5]]));
        assert_eq!(rest.len(), 1);
        let mut both = [first, rest.concat()];
        both.sort_by_key(Vec::len);
        assert_eq!(both.map(sorted), [ALL[4..5].to_vec(), ALL[..2].to_vec()]);
    }

    /// Where fights share a bound, each that is named is one on its own.
    #[test]
    fn what_is_named_is_irreducible() {
        let feasible = fights(&[&ALL[..3], &ALL[2..5]]);
        let found = irreducible(&ALL, &feasible);
        let rest = |out: Option<Bound>| -> Vec<Bound> {
            ALL.iter().copied().filter(|bound| !found.contains(bound) || Some(*bound) == out).collect()
        };
        assert!(!feasible(&rest(None)));
        assert!(found.iter().all(|bound| feasible(&rest(Some(*bound)))));
    }
}
