//! Invented rework plans for the invented heads, with every kind of step.
//!
//! The sizes follow from the feeds by plane geometry, so that the drawings are those of seats that can be.

mod plan_steps;

use headproof_wire::{
    BeyondPlan, FeedEffect, FeedMoves, FittedShims, MeasureAgain, NewPart, PlanBound, PlanConflict, PlanCut,
    PlanDeckCut, PlanEffect, PlanSearch, PlanTarget, PlanTotals, PlanWay, PortPlan, Prediction, Reading,
    ReworkPlan, SeatWork, Service,
};

use crate::common::Documents;
use plan_steps::steps;

/// What is to be done to a port.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// Three cutters by hand, shims.
    Hand,
    /// A form blade, face and tip ground.
    Form,
    /// A new insert and a new valve.
    Insert,
    /// The throat cut alone, new springs, a lash shim.
    Throat,
    /// The seat cut alone, at another angle than it has.
    OtherAngle,
    /// Its guide first.
    Guide,
    /// Something to measure first.
    Measure,
    /// Nothing.
    Nothing,
    /// No plan.
    NoPlan,
}

impl Kind {
    /// All of them.
    pub(crate) const ALL: [Self; 9] = [
        Self::Hand,
        Self::Form,
        Self::Insert,
        Self::Throat,
        Self::OtherAngle,
        Self::Guide,
        Self::Measure,
        Self::Nothing,
        Self::NoPlan,
    ];
    /// Those with work.
    pub(crate) const WORK: [Self; 5] = [Self::Hand, Self::Form, Self::Insert, Self::Throat, Self::OtherAngle];

    const fn status(self) -> &'static str {
        match self {
            Self::Guide => "guide-first",
            Self::Measure => "measure-first",
            Self::Nothing => "nothing-to-do",
            Self::NoPlan => "no-plan",
            _ => "planned",
        }
    }
}

/// Three cones: their angles in degrees, and the radii of the edges.
#[derive(Clone, Copy)]
struct Cones {
    angles: [f64; 3],
    outer: f64,
    inner: f64,
}

impl Cones {
    /// A seat of some kind for the n-th port.
    fn nth(n: usize) -> Self {
        let angles = [
            [30.0, 45.0, 60.0],
            [15.0, 30.0, 60.0],
            [30.0, 45.5, 70.0],
            [32.0, 44.5, 58.0],
            [40.0, 60.0, 75.0],
            [8.0, 20.0, 45.0],
        ];
        let outer = 11.0 + (n % 7) as f64 * 2.3;
        let angles = angles[n % angles.len()];
        let width = 0.9 + (n % 5) as f64 * 0.6;
        Self { angles, outer, inner: outer - width * libm::cos(angles[1].to_radians()) }
    }

    fn slopes(self) -> [f64; 3] {
        self.angles.map(|angle| libm::tan(angle.to_radians()))
    }

    fn width(self) -> f64 {
        (self.outer - self.inner) / libm::cos(self.angles[1].to_radians())
    }

    /// What the feeds of top, seat and throat cutter leave. Source: plane geometry.
    fn fed(self, [top, seat, throat]: [f64; 3]) -> Self {
        let [slope_top, slope, slope_throat] = self.slopes();
        Self {
            outer: self.outer + (seat - top) / (slope - slope_top),
            inner: self.inner + (throat - seat) / (slope_throat - slope),
            ..self
        }
    }
}

fn cut(kind: &'static str, cutter: Option<&str>, angle: f64, feed: Option<f64>, left: Cones) -> PlanCut {
    PlanCut {
        cut: kind.into(),
        cutter: cutter.map(str::to_owned),
        angle,
        feed,
        tolerance: 0.03,
        outer_diameter: 2.0 * left.outer,
        inner_diameter: 2.0 * left.inner,
        width: left.width(),
        touches_first: None,
    }
}

/// The cuts of a port, with what its seat is before and after them.
fn cuts(kind: Kind, n: usize) -> Option<(Vec<PlanCut>, Cones, Cones)> {
    let old = Cones::nth(n);
    let [top_angle, angle, throat_angle] = old.angles;
    let [slope_top, slope, slope_throat] = old.slopes();
    let feed = 0.08 + (n % 6) as f64 * 0.03;
    let made = match kind {
        Kind::Hand | Kind::Insert => {
            let known = |feed: f64| (kind == Kind::Hand).then_some(feed);
            let aimed = 1.4 * libm::cos(angle.to_radians());
            let outer = old.outer - 0.1;
            let top = feed + 0.01 - (outer - old.outer) * (slope - slope_top);
            let throat = feed + 0.01 + (outer - aimed - old.inner) * (slope_throat - slope);
            let throat = throat.max(0.0);
            let steps = [[0.0, feed, 0.0], [top, feed, 0.0], [top, feed, throat], [top, feed + 0.01, throat]];
            let [one, two, three, four] = steps.map(|feeds| old.fed(feeds));
            let cuts = vec![
                cut("seat", Some("C-SEAT"), angle, known(feed), one),
                cut("top", Some("C-TOP-32"), top_angle, known(top), two),
                cut("throat", None, throat_angle, known(throat), three),
                cut("light-turns", Some("C-SEAT"), angle, Some(0.01), four),
            ];
            (cuts, old, four)
        }
        Kind::Form => {
            let left = old.fed([feed; 3]);
            (vec![cut("form", Some("F-3A"), angle, Some(feed), left)], old, left)
        }
        Kind::Throat => {
            let left = old.fed([0.0, 0.0, 0.4 * feed]);
            (vec![cut("throat", Some("C-THROAT"), throat_angle, Some(0.4 * feed), left)], old, left)
        }
        Kind::OtherAngle => {
            // Half a degree steeper: the inner edge is touched first.
            let steeper = libm::tan((angle + 0.5).to_radians());
            let inner_height = (old.inner - old.outer) * slope;
            let line = inner_height - old.inner * steeper - feed;
            let outer = (line + old.outer * slope_top) / (slope_top - steeper);
            let throat_line = inner_height - old.inner * slope_throat;
            let inner = (throat_line - line) / (steeper - slope_throat);
            let left = Cones { angles: [top_angle, angle + 0.5, throat_angle], outer, inner };
            let mut only = cut("seat", Some("C-SEAT"), angle + 0.5, Some(feed), left);
            only.touches_first = Some("inner-edge".into());
            (vec![only], old, left)
        }
        _ => return None,
    };
    Some(made)
}

fn subject(port: &PortPlan) -> String {
    let service = if port.service == Service::Intake { "intake" } else { "exhaust" };
    format!("cylinder {} {service} {}", port.cylinder, port.index)
}

fn effect(
    id: &'static str,
    unit: &'static str,
    before: Option<f64>,
    after: f64,
    tolerance: f64,
) -> PlanEffect {
    PlanEffect {
        characteristic: id.into(),
        unit: unit.into(),
        before,
        after,
        tolerance,
        least: (id != "seat-runout").then_some(after - 0.1),
        greatest: Some(after + 0.15),
    }
}

fn bound(word: &'static str, characteristic: Option<&'static str>, text: &str) -> PlanBound {
    PlanBound {
        bound: word.into(),
        characteristic: characteristic.map(Into::into),
        text: text.to_owned(),
        says: None,
    }
}

fn conflict(apart: Vec<Vec<PlanBound>>) -> PlanConflict {
    let way = |way: &'static str, text: &str| PlanWay {
        way: way.into(),
        bound: None,
        characteristic: None,
        amount: None,
        unit: None,
        text: text.to_owned(),
        says: None,
    };
    PlanConflict {
        apart,
        between: vec![
            bound("clean-up", None, "The seat cutter has to go deep enough to cut runout and pits away."),
            bound(
                "upper-limit",
                Some("recession"),
                "The upper limit of valve recession: what the gauge and the cuts may be out is kept clear of it.",
            ),
            bound("insert-stock", None, "No more may be fed into the insert, or too little of it is left."),
        ],
        freed_by: vec![
            way("new-insert", "With a new seat insert there is a plan."),
            way(
                "concession",
                "A concession on the upper limit of valve recession, of at least 0.06 mm: for whoever answers for this engine to decide.",
            ),
        ],
    }
}

fn port_plan(kind: Kind, n: usize, (cylinder, service, index): (u8, Service, u8)) -> PortPlan {
    let planned = kind.status() == "planned";
    let target = |size: f64, tolerance: f64| PlanTarget { size, tolerance };
    let seat = cuts(kind, n).map(|(cuts, _, left)| SeatWork {
        cuts,
        outer_diameter: target(2.0 * left.outer, 0.1419),
        inner_diameter: target(2.0 * left.inner, 0.0821),
        width: target(left.width(), 0.06),
    });
    let moves = |outer_diameter: f64, inner_diameter: f64, width: f64, sink: f64| FeedMoves {
        outer_diameter,
        inner_diameter,
        width,
        sink,
    };
    let new = |part: &'static str, id: &str| NewPart { part: part.into(), id: id.to_owned() };
    let new_parts = match kind {
        Kind::Insert => vec![new("insert", "INS-36x31"), new("valve", "V-EX-7")],
        Kind::Throat => vec![new("spring", "SP-12")],
        _ => Vec::new(),
    };
    let effects = vec![
        effect("seat-width", "mm", Some(2.123), 1.4, 0.06),
        effect("overhang", "mm", Some(0.21), 0.62, 0.05),
        effect("seat-runout", "mm", Some(0.071), 0.01, 0.0),
        effect("recession", "mm", None, -0.000_04, 0.03),
        effect("installed-height", "mm", Some(41.02), 40.9, 0.04),
        effect("seat-load", "N", Some(241.3), 249.92, 1.2),
        effect("stem-protrusion", "mm", Some(38.11), 38.24, 0.03),
        effect("seat-angle", "deg", Some(45.2), 45.0, 0.0),
    ];
    let binds = vec![
        bound("clean-up", None, "The seat cutter has to go deep enough to cut runout and pits away."),
        bound(
            "lower-limit",
            Some("overhang"),
            "The lower limit of overhang: what the gauge and the cuts may be out is kept clear of it.",
        ),
        bound(
            "correction",
            None,
            "A cut has to be deep enough to put right what the cut before it may have missed.",
        ),
    ];
    let has_seat = seat.is_some();
    PortPlan {
        cylinder,
        service,
        index,
        status: kind.status().into(),
        seat,
        face_grind: (kind == Kind::Form).then_some(0.05),
        tip_grind: (kind == Kind::Form).then_some(0.12),
        shims: if kind == Kind::Hand {
            vec![FittedShims { thickness: 0.25, count: 1 }, FittedShims { thickness: 0.5, count: 2 }]
        } else {
            Vec::new()
        },
        lash_shim: (kind == Kind::Throat).then_some(2.725),
        new_parts,
        sink: match kind {
            Kind::Insert => -0.214,
            Kind::Throat => -0.000_02,
            _ if planned => 0.1 + n as f64 * 0.003,
            _ => 0.0,
        },
        effects: if planned { effects } else { Vec::new() },
        binds: if planned { binds } else { Vec::new() },
        conflict: (kind == Kind::NoPlan).then(|| conflict(Vec::new())),
        needs: match kind {
            Kind::Measure => vec!["seat-runout".into(), "seat-outer-diameter".into()],
            _ => Vec::new(),
        },
        feed_effect: has_seat.then(|| FeedEffect {
            seat: moves(0.4732, -0.2732, 0.5278, 0.1),
            top: moves(-0.4732, 0.0, -0.3346, 0.0),
            throat: moves(0.0, 0.2732, -0.1932, 0.0),
        }),
    }
}

/// Gives a head a plan in which its ports are of these kinds, one after the other and over again, and posts
/// the sizes of the seats that the plan starts from.
pub(crate) fn add_plan(documents: &mut Documents, kinds: &[Kind]) {
    post_seats(documents, kinds);
    let rows = &documents.evaluation.ports;
    let ports: Vec<PortPlan> = rows
        .iter()
        .enumerate()
        .map(|(n, port)| port_plan(kinds[n % kinds.len()], n, (port.cylinder, port.service, port.index)))
        .collect();
    let has = |status: &str| ports.iter().any(|port| port.status == status);
    let outcome = if has("no-plan") {
        "no-plan"
    } else if has("guide-first") || has("measure-first") {
        "staged"
    } else if has("planned") {
        "planned"
    } else {
        "nothing-to-do"
    };
    let works = has("planned");
    let worked: Vec<&PortPlan> = ports.iter().filter(|port| port.status == "planned").collect();
    let mut evaluation = documents.evaluation.clone();
    evaluation.headline =
        "Predicted, not measured: if each cut stops where it should, the head would be acceptable \
                           at these limits; to be found by measuring only: leak rate."
            .to_owned();
    let predicted = Prediction {
        notice: "Predicted, not measured: these readings are what the plan works out for the head when every cut \
                 stops where it should. Nobody read them on a gauge; only measuring again shows what the head is."
            .to_owned(),
        notice_says: None,
        measurement_set: documents.set.clone(),
        evaluation,
        unpredictable: vec!["leak-rate".into()],
    };
    documents.plan = Some(ReworkPlan {
        format: "headproof/rework-plan/1".to_owned(),
        head_serial: documents.set.head.serial.clone(),
        job_number: documents.set.job.number.clone(),
        stage: documents.set.job.stage,
        measurement_set_digest: None,
        profile: documents.evaluation.profile.clone(),
        workshop: None,
        objective: "least-sink".into(),
        outcome: outcome.into(),
        headline: format!("Plan of an invented head: {}.", outcome.replace('-', " ")),
        headline_says: None,
        totals: PlanTotals {
            ports: worked.len() as u16,
            sink: worked.iter().map(|port| port.sink).sum(),
            new_parts: worked.iter().map(|port| port.new_parts.len() as u16).sum(),
            shims: worked.iter().flat_map(|port| &port.shims).map(|shims| u16::from(shims.count)).sum(),
            minutes: if works { 12.55 * worked.len() as f64 } else { 0.0 },
            cost: if works { 31.4 * worked.len() as f64 } else { 0.0 },
        },
        search: PlanSearch {
            proved_best: outcome == "planned",
            objective: works.then_some(0.4),
            gap: works.then_some(0.0123),
            nodes: 512,
            limit_hit: outcome != "planned",
            joined: true,
        },
        assumptions: vec![
            "No cutters were named: one for each nominal angle of the profile is assumed.".to_owned(),
            "Where an angle was not measured, the nominal of the profile is taken for it.".to_owned(),
        ],
        assumptions_say: Vec::new(),
        deck: works.then_some(PlanDeckCut { depth: 0.12, needed: 0.1 }),
        conflict: (outcome == "no-plan").then(|| {
            conflict(vec![vec![
                bound("deck-most", None, "No more may come off the deck."),
                bound("deck-clean-up", None, "So much has to come off the deck until it is clean all over."),
            ]])
        }),
        beyond: vec![BeyondPlan {
            subject: "head".to_owned(),
            characteristic: "bolt-threads".into(),
            text: "Bolt threads: keeps the head from being accepted, and no work of this kind cures it."
                .to_owned(),
            says: None,
        }],
        steps: steps(kinds, &ports),
        measure_again: worked
            .iter()
            .map(|port| MeasureAgain { subject: subject(port), characteristics: vec!["seat-width".into()] })
            .collect(),
        predicted: works.then(|| Box::new(predicted)),
        ports,
    });
}

/// Posts outer diameter, widths and angles of the seats before the work, in the units of the set.
fn post_seats(documents: &mut Documents, kinds: &[Kind]) {
    let inches = documents.set.units.length == headproof_wire::LengthUnit::Inch;
    let read = |mm: f64| {
        let number = if inches { mm / 25.4 } else { mm };
        Reading::Plain((number * 1e6).round() / 1e6)
    };
    for (n, port) in documents.set.ports.iter_mut().enumerate() {
        let (Some((_, old, _)), Some(seat)) = (cuts(kinds[n % kinds.len()], n), &mut port.seat) else {
            continue;
        };
        seat.outer_diameter = Some(read(2.0 * old.outer));
        seat.widths = vec![read(old.width() - 0.02), read(old.width() + 0.02)];
        seat.seat_angle = Some(Reading::Plain(old.angles[1]));
        if n % 3 != 0 {
            seat.top_angle = Some(Reading::Plain(old.angles[0]));
            seat.throat_angle = Some(Reading::Plain(old.angles[2]));
        }
    }
}

/// Makes every text of a plan as long as a document allows, or longer.
pub(crate) fn lengthen(plan: &mut ReworkPlan) {
    let words = "a long but breakable text of the shop about nothing in particular ".repeat(6);
    let solid = "CUTTER-".to_owned() + &"0123456789ABCDEF".repeat(12);
    plan.headline = words.clone();
    plan.assumptions = vec![words.clone(), solid.clone()];
    for beyond in &mut plan.beyond {
        beyond.text = words.repeat(4);
    }
    for port in &mut plan.ports {
        for new in &mut port.new_parts {
            new.id.clone_from(&solid);
        }
        for cut in port.seat.iter_mut().flat_map(|seat| &mut seat.cuts) {
            cut.cutter = Some(solid.clone());
        }
        for bound in &mut port.binds {
            bound.text.clone_from(&words);
        }
        let ways = port.conflict.iter_mut().flat_map(|conflict| &mut conflict.freed_by);
        ways.for_each(|way| way.text = words.repeat(2));
    }
    for (n, step) in plan.steps.iter_mut().enumerate() {
        step.text = format!("{} {words}", step.text);
        step.check = format!("{} {solid}", step.check);
        if let Some(cut) = &mut step.cut {
            cut.cutter = Some(solid.clone());
        }
        if n % 5 == 0 {
            step.cautions = vec![words.repeat(3); 3];
        }
    }
}
