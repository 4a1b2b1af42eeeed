//! Invented heads, profiles and shops: no engine's, no shop's.

use headproof_head::{
    Assembly, Camshaft, Chamber, CompressionTerms, Contact, ContactMark, Costs, DecisionRule, Deck,
    DeckHeight, DeckWork, Dial, DialDirection, Guide, HeadIdentity, HeadTests, IfOutside, Insert, InsertFit,
    InsertMaterial, Instruments, JobNote, Layout, Leak, LengthUnit, Lifter, Limit, LimitUse, LoadPoint,
    Material, MeasurementSet, Objective, Part, Pit, Port, PortId, Reading, RecessionDatum, Seat, Service,
    SpareInsert, SpareSpring, SpareValve, Spares, Spring, SpringPack, Stage, State, StemDiameters, Stock,
    TargetProfile, Valve, Workshop,
};
use headproof_judge::characteristic;
use headproof_quantity::{
    Angle, Dimension, Exact, Force, Length, LengthDim, Quantity, Roughness, StandardUncertainty, Unit, Volume,
};
use time::OffsetDateTime;

use crate::dice::Dice;

fn exact(amount: f64) -> Exact {
    Exact::from_count((amount * 1e4).round() as i64, 4)
}

pub(crate) fn mm(amount: f64) -> Length {
    Length::from_exact(exact(amount))
}

fn read<D: Dimension>(amount: f64, u: f64) -> Reading<D> {
    let u = StandardUncertainty::from_expanded(2.0 * u, 2.0).ok();
    Reading::once(Quantity::from_exact(exact(amount)), u, None)
}

fn length(amount: f64, u: f64) -> Option<Reading<LengthDim>> {
    Some(read(amount, u))
}

/// What a head is drawn with.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Kind {
    pub(crate) cylinders: u8,
    pub(crate) per_service: u8,
    pub(crate) lifter: Lifter,
    pub(crate) guarded: bool,
}

impl Kind {
    pub(crate) fn thrown(dice: &mut Dice) -> Self {
        let lifter = [Lifter::Adjustable, Lifter::Hydraulic, Lifter::BucketWithShim][dice.below(3) as usize];
        Self {
            cylinders: 1 + dice.below(4) as u8,
            per_service: 1 + dice.below(2) as u8,
            lifter,
            guarded: dice.chance(60),
        }
    }
}

/// A head with the wear and the faults of one that comes in.
pub(crate) fn head(dice: &mut Dice, kind: Kind) -> MeasurementSet {
    let layout = Layout {
        camshaft: Camshaft::Pushrod,
        lifter: kind.lifter,
        cylinders: kind.cylinders,
        intake_per_cylinder: kind.per_service,
        exhaust_per_cylinder: kind.per_service,
        compression: CompressionTerms {
            bore: length(86.0, 0.004),
            stroke: length(86.0, 0.02),
            gasket_bore: length(87.0, 0.02),
            gasket_thickness: length(1.2, 0.01),
            deck_clearance: length(0.3, 0.01),
            piston_volume: Some(read(2.0, 0.05)),
            ..CompressionTerms::default()
        },
    };
    let ports: Vec<PortId> = layout.ports().collect();
    let warp = if dice.fault(25) { dice.between(0.06, 0.25) } else { 0.02 };
    MeasurementSet {
        lengths: LengthUnit::Millimetre,
        head: HeadIdentity {
            serial: "INVENTED".into(),
            engine_family: None,
            casting: None,
            material: Material::CastIron,
            overheated: false,
            welded: false,
            hardness: None,
        },
        customer: None,
        job: JobNote {
            number: "INVENTED".into(),
            stage: Stage::AsReceived,
            measured_by: "nobody".into(),
            measured_at: OffsetDateTime::UNIX_EPOCH,
            bench: None,
            cutter: None,
            operator: None,
            temperature: None,
        },
        instruments: Instruments::default(),
        deck: Deck {
            heights: (0..6).map(|n| height(n, warp)).collect(),
            thickness: Vec::new(),
            ..Deck::default()
        },
        cam_bores: None,
        diesel: Vec::new(),
        chambers: (1..=kind.cylinders)
            .map(|cylinder| Chamber { cylinder, volume: read(45.0 + dice.between(-0.6, 0.6), 0.05) })
            .collect(),
        ports: ports.into_iter().enumerate().map(|(at, id)| port(dice, id, at)).collect(),
        tests: HeadTests::default(),
        layout,
    }
}

fn height(n: u32, warp: f64) -> DeckHeight {
    let (along, across) = (f64::from(n % 3), f64::from(n / 3));
    let bow = 1.0 - (along - 1.0).abs();
    DeckHeight { x: mm(150.0 * along), y: mm(120.0 * across), z: read(warp * bow, 0.002) }
}

fn port(dice: &mut Dice, id: PortId, ordinal: usize) -> Port {
    let intake = id.service == Service::Intake;
    let outer = if intake { 33.0 } else { 28.0 } + dice.between(-0.3, 0.5);
    let width = if dice.fault(40) { dice.between(1.8, 3.0) } else { dice.between(1.1, 1.7) };
    let inner = 2.0f64.sqrt().mul_add(-width, outer);
    let valve = if intake { 34.6 } else { 29.6 } + dice.between(-0.2, 0.3);
    let runout = if dice.fault(40) { dice.between(0.05, 0.15) } else { dice.between(0.005, 0.04) };
    let sunk = if dice.fault(20) { dice.between(0.4, 1.0) } else { dice.between(0.0, 0.2) };
    let seat = Seat {
        seat_angle: Some(read(if dice.chance(30) { dice.between(44.6, 45.4) } else { 45.0 }, 0.05)),
        top_angle: Some(read(30.0, 0.1)),
        throat_angle: Some(read(60.0, 0.1)),
        inner_diameter: length(inner, 0.01),
        outer_diameter: length(outer, 0.01),
        widths: Vec::new(),
        runout: Some(dial(dice, runout, 8)),
        insert: dice.chance(50).then(|| insert(dice, outer)),
        throat_diameter: length(inner - dice.between(1.0, 3.0), 0.02),
        pit: dice
            .fault(25)
            .then(|| Pit { depth: read(dice.between(0.02, 0.2), 0.01), inside_band: dice.chance(70) }),
    };
    let margin = if dice.fault(12) { dice.between(0.5, 1.0) } else { dice.between(1.3, 1.8) };
    Port {
        id,
        ordinal,
        guide: Guide { fit: Some(if dice.fault(4) { State::Bad } else { State::Good }), ..Guide::default() },
        valve: Valve {
            tag: Some(format!("V{ordinal}")),
            stem: StemDiameters::default(),
            head_diameter: length(valve, 0.01),
            margin: length(margin, 0.01),
            face_angle: Some(read(if dice.chance(70) { 44.5 } else { 45.0 }, 0.05)),
            face_inner_diameter: length(valve - 5.6, 0.02),
            face_runout: {
                let runout = if dice.fault(15) { 0.07 } else { 0.01 };
                Some(dial(dice, runout, 8))
            },
            overall_length: length(105.0, 0.02),
            tip: Some(if dice.fault(10) { State::Worn } else { State::Good }),
            sodium_filled: dice.fault(5),
            ..Valve::default()
        },
        seat,
        contact: Contact {
            marks: (0..4).map(|_| mark(dice, (valve - outer) * 0.7, width)).collect(),
            gaps: Some(Vec::new()),
        },
        springs: springs(dice, sunk),
        assembly: Assembly {
            recession: length(0.5 + sunk, 0.01),
            recession_datum: Some(if dice.chance(50) {
                RecessionDatum::Deck
            } else {
                RecessionDatum::Chamber
            }),
            stem_protrusion: length(40.0 + sunk + dice.between(-0.15, 0.15), 0.01),
            lash: length(0.25, 0.01),
            lash_shim: length(2.5, 0.003),
            tip_to_retainer: length(1.2, 0.02),
            valve_to_piston: length(1.6, 0.02),
        },
        leak: Leak { held: Some(!dice.fault(20)), ..Leak::default() },
    }
}

fn mark(dice: &mut Dice, from_edge: f64, width: f64) -> ContactMark {
    let mut off = || dice.between(-0.02, 0.02);
    ContactMark { from_edge: read(from_edge + off(), 0.02), width: Some(read(width + off(), 0.02)) }
}

fn insert(dice: &mut Dice, outer: f64) -> Insert {
    Insert {
        fit: Some(if dice.fault(8) { InsertFit::Loose } else { InsertFit::Tight }),
        material: Some(InsertMaterial::Iron),
        diameter: length(outer + 3.0, 0.01),
        counterbore_diameter: None,
        depth: None,
        wall_left: None,
    }
}

/// Eccentric by half the runout.
fn dial(dice: &mut Dice, runout: f64, count: u32) -> Dial {
    let from = dice.between(0.0, 1.0);
    let mut turn = |n: u32| {
        let turned = std::f64::consts::TAU * (f64::from(n) / f64::from(count) + from);
        0.5 * runout * libm::cos(turned) + dice.between(-0.001, 0.001)
    };
    Dial {
        direction: DialDirection::Square,
        readings: (0..count).map(|n| read(turn(n), 0.001)).collect(),
        angles: None,
    }
}

fn springs(dice: &mut Dice, sunk: f64) -> SpringPack {
    let weak = if dice.fault(8) { 0.85 } else { dice.between(0.97, 1.03) };
    let point =
        |height: f64, load: f64| LoadPoint { height: read(height, 0.02), load: read(load * weak, 1.0) };
    SpringPack {
        installed_height: length(35.0 + sunk + dice.between(-0.2, 0.3), 0.02),
        lift: length(9.0, 0.02),
        retainer_travel: length(11.0, 0.05),
        shims: length(0.0, 0.0),
        springs: vec![Spring {
            free_length: length(44.0, 0.1),
            loads: vec![point(36.5, 200.0), point(35.0, 250.0), point(30.0, 400.0), point(25.0, 560.0)],
            solid_height: length(23.5, 0.05),
            ..Spring::default()
        }],
    }
}

/// A profile for these heads: common practice, no source.
pub(crate) fn profile(kind: Kind) -> TargetProfile {
    let limits = [
        ("seat-angle", Some(44.0), Some(46.0), Some(45.0)),
        ("top-cut-angle", Some(28.0), Some(32.0), Some(30.0)),
        ("throat-cut-angle", Some(58.0), Some(62.0), Some(60.0)),
        ("face-angle", Some(43.5), Some(45.5), Some(44.5)),
        ("seat-width", Some(1.0), Some(1.8), Some(1.4)),
        ("overhang", Some(0.4), None, None),
        ("inner-edge-clearance", Some(0.2), None, None),
        ("seat-runout", None, Some(0.05), None),
        ("face-runout", None, Some(0.04), None),
        ("margin", Some(0.8), None, None),
        ("recession", Some(0.2), Some(1.2), Some(0.5)),
        ("stem-protrusion", Some(39.4), Some(40.7), Some(40.0)),
        ("tip-to-retainer", Some(0.6), None, None),
        ("valve-to-piston", Some(1.2), None, None),
        ("installed-height", Some(34.6), Some(35.6), Some(35.0)),
        ("seat-load", Some(225.0), Some(280.0), Some(250.0)),
        ("open-load", Some(480.0), Some(575.0), Some(528.0)),
        ("coil-bind-margin", Some(1.2), None, None),
        ("retainer-margin", Some(1.5), None, None),
        ("lash", Some(0.15), Some(0.35), Some(0.25)),
        ("chamber-spread", None, Some(1.0), None),
        ("compression-ratio", Some(9.0), Some(12.0), None),
        ("deck-flatness", None, Some(0.08), None),
    ];
    let states = ["insert-fit", "guide-fit", "valve-tip", "leak-held"];
    let bounded = limits.iter().map(|(id, lower, upper, nominal)| limit(id, *lower, *upper, *nominal));
    let found = states.iter().map(|id| limit(id, None, None, None));
    TargetProfile {
        id: "invented".into(),
        revision: "1".into(),
        title: "Invented".into(),
        notice: None,
        rule: if kind.guarded { DecisionRule::Guarded { probability: 0.95 } } else { DecisionRule::Simple },
        limits: bounded.chain(found).collect(),
        also_report: Vec::new(),
    }
}

pub(crate) fn limit(id: &str, lower: Option<f64>, upper: Option<f64>, nominal: Option<f64>) -> Limit {
    Limit {
        characteristic: characteristic(id).unwrap_or_else(|| panic!("{id}")).id,
        service: None,
        limit_use: LimitUse::Build,
        lower: lower.map(exact),
        upper: upper.map(exact),
        nominal: nominal.map(exact),
        window: None,
        required: id != "insert-fit",
        if_outside: IfOutside::Rework,
        source: "common practice, no source".into(),
    }
}

/// A shop with everything on its shelf.
pub(crate) fn workshop(dice: &mut Dice, objective: Objective) -> Workshop {
    let count = 1 + dice.below(12) as u16;
    let stock = |thickness: f64| Stock { thickness: mm(thickness), count };
    let part = |id: &str, price: f64| Part { id: id.into(), service: None, count: 2, price, minutes: 20.0 };
    let spares = Spares {
        inserts: vec![SpareInsert { part: part("insert", 14.0), raises_seat: mm(1.0), diameter: None }],
        valves: vec![SpareValve {
            part: Part { service: Some(Service::Intake), ..part("valve", 22.0) },
            head_diameter: mm(34.6),
            margin: mm(1.6),
            face_angle: Angle::from_f64(44.5, Unit::Degree).expect("an angle"),
            face_inner_diameter: Some(mm(29.0)),
            stem_diameter: None,
            overall_length: Some(mm(105.0)),
        }],
        springs: vec![SpareSpring {
            part: part("spring", 9.0),
            free_length: Some(mm(44.0)),
            loads: [(36.5, 205.0), (35.0, 252.0), (25.0, 565.0)]
                .map(|(height, load)| (mm(height), Force::from_exact(exact(load))))
                .to_vec(),
            solid_height: Some(mm(23.5)),
        }],
    };
    Workshop {
        objective,
        cut_tolerance: mm(0.03),
        light_turns: mm(0.01),
        runout_left: mm(0.01),
        cutters: Vec::new(),
        insert_stock: Some(mm(1.0)),
        face_grinding: dice.chance(80),
        tip_limit: dice.chance(80).then(|| mm(0.3)),
        shims: if dice.chance(80) { [0.25, 0.4, 0.5].map(stock).to_vec() } else { Vec::new() },
        shims_per_spring: 3,
        lash_shims: Vec::new(),
        deck: dice.chance(60).then(|| DeckWork {
            most: mm(0.4),
            flatness_left: mm(0.01),
            roughness_left: Roughness::from_exact(exact(0.6)),
            open_chamber_area: Some(3600.0),
        }),
        spares: if dice.chance(60) { spares } else { Spares::default() },
        costs: Costs {
            per_minute: 0.9,
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

/// One chamber of a set.
pub(crate) fn set_volume(set: &mut MeasurementSet, cylinder: u8, millilitres: f64) {
    for chamber in set.chambers.iter_mut().filter(|chamber| chamber.cylinder == cylinder) {
        chamber.volume = chamber.volume.at(Volume::from_exact(exact(millilitres)));
    }
}
