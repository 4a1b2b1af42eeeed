//! What a shop posts about itself: every fault is located, and what is left out has its stated default.

use headproof_head::{self as head, Blade, Service};
use headproof_wire::{
    At, Document, Fault, JobRequest, PlanRequest, ReadError, Workshop, default_workshop, examples, read,
    workshop,
};
use serde_json::{Value, json};

/// A shop that states everything there is to state.
fn everything() -> Value {
    json!({
        "units": { "length": "mm", "force": "N", "volume": "mL", "pressure": "kPa", "roughness": "um" },
        "objective": "least-cost",
        "cut_tolerance": 0.02, "light_turns": 0.015, "runout_left": 0.005,
        "cutters": [
            { "id": "S45", "angle": 45 },
            { "id": "F1", "form": { "top_angle": 30, "seat_angle": 45, "throat_angle": 60, "tolerance": 0.01 } }
        ],
        "insert_stock": 1.2, "face_grinding": false, "tip_grinding": 0.25,
        "shims": [{ "thickness": 0.25, "count": 8 }, { "thickness": 0.5, "count": 16 }],
        "shims_per_spring": 2,
        "lash_shims": [{ "thickness": 2.8, "count": 3 }],
        "deck": { "most": 0.2, "flatness_left": 0.01, "roughness_left": 0.6, "open_chamber_area": 4200 },
        "inserts": [{ "id": "I1", "service": "exhaust", "count": 2, "price": 9.5, "minutes": 25,
                      "raises_seat": 1.4, "diameter": 34.5 }],
        "valves": [{ "id": "V1", "service": "intake", "count": 1, "price": 14, "minutes": 2,
                     "head_diameter": 33.5, "margin": 1.4, "face_angle": 44.5, "face_inner_diameter": 28.5,
                     "stem_diameter": 6.97, "overall_length": 108.2 }],
        "springs": [{ "id": "P1", "count": 4, "price": 3, "minutes": 1, "free_length": 44.1,
                      "loads": [{ "height": 34, "load": 240 }, { "height": 25, "load": 540 }],
                      "solid_height": 22 }],
        "costs": { "per_minute": 0.8, "seat_cut": 11, "top_cut": 5, "throat_cut": 6, "form_cut": 7,
                   "face_grind": 8, "tip_grind": 9, "shim": 2, "deck_cut": 50 }
    })
}

fn convert(block: &Value) -> Result<head::Workshop, Vec<Fault>> {
    let block: Workshop = read(block.to_string().as_bytes()).expect("a block of the right form");
    workshop(&block, &At::Root)
}

/// The only fault of a block.
#[track_caller]
fn fault(block: &Value) -> (String, String) {
    let faults = convert(block).expect_err(&format!("faults of {block}"));
    assert_eq!(faults.len(), 1, "{faults:?}");
    (faults[0].pointer.clone(), faults[0].detail.clone())
}

fn mm(number: f64) -> headproof_quantity::Length {
    headproof_quantity::Length::from_f64(number, headproof_quantity::Unit::Millimetre).expect("a length")
}

/// Doubles that have to be the very same.
fn bits<const N: usize>(numbers: [f64; N]) -> [u64; N] {
    numbers.map(f64::to_bits)
}

fn area(deck: head::DeckWork) -> Option<u64> {
    deck.open_chamber_area.map(f64::to_bits)
}

#[test]
fn everything_that_is_stated_arrives() {
    let block = everything();
    let posted: Workshop = serde_json::from_value(block.clone()).expect("a block");
    assert!(Workshop::validator().is_valid(&block));
    let written = serde_json::to_value(&posted).expect("a document");
    assert_eq!(serde_json::from_value::<Workshop>(written).expect("a block"), posted);
    let shop = convert(&block).expect("no faults");
    assert_eq!(shop.objective, head::Objective::LeastCost);
    assert_eq!([shop.cut_tolerance, shop.light_turns, shop.runout_left], [0.02, 0.015, 0.005].map(mm));
    assert_eq!(shop.cutters.len(), 2);
    let Blade::Form { top, seat, throat, tolerance } = shop.cutters[1].blade else { panic!("a form blade") };
    assert_eq!([top, seat, throat].map(|angle| angle.exact().to_string()), ["30", "45", "60"]);
    assert_eq!(tolerance, mm(0.01));
    assert_eq!(
        (shop.insert_stock, shop.tip_limit, shop.face_grinding),
        (Some(mm(1.2)), Some(mm(0.25)), false)
    );
    assert_eq!(shop.shims, [(0.25, 8), (0.5, 16)].map(|(t, count)| head::Stock { thickness: mm(t), count }));
    assert_eq!((shop.shims_per_spring, shop.lash_shims.len()), (2, 1));
    let deck = shop.deck.expect("deck work");
    assert_eq!((deck.most, deck.flatness_left, area(deck)), (mm(0.2), mm(0.01), Some(4200.0f64.to_bits())));
    assert_eq!(deck.roughness_left.exact().to_string(), "0.6");
    let [insert] = shop.spares.inserts.as_slice() else { panic!("one insert") };
    assert_eq!((insert.raises_seat, insert.diameter), (mm(1.4), Some(mm(34.5))));
    assert_eq!(
        (insert.part.id.as_str(), insert.part.service, insert.part.count),
        ("I1", Some(Service::Exhaust), 2)
    );
    assert_eq!(bits([insert.part.price, insert.part.minutes]), bits([9.5, 25.0]));
    let [valve] = shop.spares.valves.as_slice() else { panic!("one valve") };
    assert_eq!((valve.head_diameter, valve.margin, valve.stem_diameter), (mm(33.5), mm(1.4), Some(mm(6.97))));
    assert_eq!((valve.face_inner_diameter, valve.overall_length), (Some(mm(28.5)), Some(mm(108.2))));
    let [spring] = shop.spares.springs.as_slice() else { panic!("one spring") };
    assert_eq!((spring.free_length, spring.solid_height), (Some(mm(44.1)), Some(mm(22.0))));
    assert_eq!((spring.loads.len(), spring.loads[1].0), (2, mm(25.0)));
    assert_eq!((spring.part.service, spring.loads[1].1.exact().to_string()), (None, "540".to_owned()));
    let costs = shop.costs;
    assert_eq!(
        bits([costs.per_minute, costs.seat_cut, costs.top_cut, costs.throat_cut]),
        bits([0.8, 11.0, 5.0, 6.0])
    );
    assert_eq!(bits([costs.form_cut, costs.face_grind, costs.tip_grind]), bits([7.0, 8.0, 9.0]));
    assert_eq!(bits([costs.shim, costs.deck_cut]), bits([2.0, 50.0]));
}

/// The defaults as the schema states them. Common practice, no source.
#[test]
fn what_is_left_out_has_its_default() {
    let shop = convert(&json!({})).expect("nothing has to be stated");
    assert_eq!(shop, default_workshop());
    assert_eq!(shop.objective, head::Objective::LeastSink);
    assert_eq!([shop.cut_tolerance, shop.light_turns, shop.runout_left], [0.03, 0.01, 0.01].map(mm));
    assert!(shop.cutters.is_empty() && shop.shims.is_empty() && shop.lash_shims.is_empty());
    assert!(shop.face_grinding && shop.deck.is_none() && shop.spares.kinds() == 0);
    assert_eq!((shop.insert_stock, shop.tip_limit, shop.shims_per_spring), (None, None, 3));
    let costs = shop.costs;
    assert_eq!(
        bits([costs.per_minute, costs.seat_cut, costs.top_cut, costs.throat_cut]),
        bits([0.0, 10.0, 4.0, 4.0])
    );
    assert_eq!(bits([costs.form_cut, costs.face_grind, costs.tip_grind]), bits([8.0, 6.0, 3.0]));
    assert_eq!(bits([costs.shim, costs.deck_cut]), bits([1.0, 45.0]));
    let one = convert(&json!({ "costs": { "deck_cut": 60 }, "inserts": [] })).expect("no fault");
    assert_eq!(bits([one.costs.deck_cut, one.costs.seat_cut]), bits([60.0, 10.0]));
    let mut block = everything();
    for name in ["price", "minutes", "service", "diameter"] {
        block["inserts"][0].as_object_mut().expect("an insert").remove(name);
    }
    let insert = &convert(&block).expect("no fault").spares.inserts[0];
    assert_eq!(bits([insert.part.price, insert.part.minutes]), bits([0.0, 0.0]));
    assert_eq!(insert.part.service, None);
}

/// 1 in = 25.4 mm exactly, so 1 in² = 645.16 mm² (NIST SP 811 (2008), B.8).
#[test]
fn inches_and_pounds_become_base_units_exactly() {
    let mut block = everything();
    block["units"] =
        json!({ "length": "in", "force": "lbf", "volume": "mL", "pressure": "kPa", "roughness": "uin" });
    block["cut_tolerance"] = json!(0.001);
    block["deck"] =
        json!({ "most": 0.01, "flatness_left": 0.0005, "roughness_left": 25, "open_chamber_area": 2 });
    for (name, number) in
        [("light_turns", 0.0005), ("runout_left", 0.0005), ("insert_stock", 0.05), ("tip_grinding", 0.01)]
    {
        block[name] = json!(number);
    }
    block["cutters"] = json!([]);
    block["shims"] = json!([{ "thickness": 0.015, "count": 4 }]);
    block["lash_shims"] = json!([]);
    block["inserts"] = json!([{ "id": "I", "count": 1, "raises_seat": 0.06 }]);
    block["springs"] = json!([{ "id": "P", "count": 1, "loads": [{ "height": 1.3, "load": 80 }] }]);
    let shop = convert(&block).expect("no fault");
    assert_eq!((shop.cut_tolerance, shop.shims[0].thickness), (mm(0.0254), mm(0.381)));
    let deck = shop.deck.expect("deck work");
    assert_eq!((deck.most, area(deck)), (mm(0.254), Some(1290.32f64.to_bits())));
    assert_eq!(deck.roughness_left.exact().to_string(), "0.635");
    assert_eq!(shop.spares.inserts[0].raises_seat, mm(1.524));
    assert_eq!(shop.spares.springs[0].loads[0].1.exact().to_string(), "355.85772922084");
}

/// One wrong value at a time, where it is looked for and what is said of it.
#[test]
fn every_fault_is_located() {
    let load = |height: f64, load: f64| json!({ "height": height, "load": load });
    let cases = [
        ("/cut_tolerance", json!(-0.01), "", "must not be negative"),
        ("/cut_tolerance", json!(0.501), "", "must be at most 0.5 mm"),
        ("/light_turns", json!(0.6), "", "must be at most 0.5 mm"),
        ("/runout_left", json!(-1), "", "must not be negative"),
        ("/insert_stock", json!(-0.1), "", "must not be negative"),
        ("/insert_stock", json!(21), "", "must be at most 20 mm"),
        ("/tip_grinding", json!(11), "", "must be at most 10 mm"),
        ("/cutters/0/id", json!(" "), "", "must not be empty"),
        ("/cutters/1/id", json!("S45"), "", "another cutter has this id"),
        ("/cutters/0/angle", json!(0), "", "more than 0° and less than 90°"),
        ("/cutters/0/angle", json!(90), "", "more than 0° and less than 90°"),
        ("/cutters/0", json!({ "id": "none" }), "", "exactly one of angle and form"),
        (
            "/cutters/0",
            json!({ "id": "both", "angle": 45,
                    "form": { "top_angle": 30, "seat_angle": 45, "throat_angle": 60, "tolerance": 0 } }),
            "",
            "exactly one of angle and form",
        ),
        ("/cutters/1/form/top_angle", json!(-30), "", "more than 0° and less than 90°"),
        ("/cutters/1/form/top_angle", json!(45), "/cutters/1/form", "a top angle flatter"),
        ("/cutters/1/form/throat_angle", json!(44), "/cutters/1/form", "a steeper throat angle"),
        ("/cutters/1/form/tolerance", json!(0.6), "", "must be at most 0.5 mm"),
        ("/shims/0/thickness", json!(0), "", "must be more than zero"),
        ("/shims/0/thickness", json!(10.5), "", "must be at most 10 mm"),
        ("/shims/1/thickness", json!(0.25), "", "this thickness was already given"),
        ("/shims/1/count", json!(1001), "", "must be 0 to 1000"),
        ("/shims_per_spring", json!(11), "", "must be 0 to 10"),
        ("/lash_shims/0/thickness", json!(-2.8), "", "must be more than zero"),
        ("/deck/most", json!(0), "", "must be more than zero"),
        ("/deck/flatness_left", json!(-0.01), "", "must not be negative"),
        ("/deck/roughness_left", json!(0), "", "must be more than zero"),
        ("/deck/open_chamber_area", json!(0), "", "must be more than zero"),
        ("/deck/open_chamber_area", json!(1e7), "", "is larger than"),
        ("/inserts/0/id", json!("x".repeat(201)), "", "must not be longer than 200"),
        ("/inserts/0/count", json!(1001), "", "must be 0 to 1000"),
        ("/inserts/0/price", json!(-1), "", "must be 0 to"),
        ("/inserts/0/minutes", json!(1e9), "", "must be 0 to"),
        ("/inserts/0/raises_seat", json!(-0.1), "", "must not be negative"),
        ("/inserts/0/raises_seat", json!(25), "", "must be at most 20 mm"),
        ("/inserts/0/diameter", json!(0), "", "must be more than zero"),
        ("/valves/0/head_diameter", json!(0), "", "must be more than zero"),
        ("/valves/0/margin", json!(-1.4), "", "must be more than zero"),
        ("/valves/0/face_angle", json!(91), "", "more than 0° and less than 90°"),
        ("/valves/0/face_inner_diameter", json!(33.5), "/valves/0", "needs a face_inner_diameter"),
        ("/valves/0/stem_diameter", json!(40), "/valves/0", "needs a stem_diameter"),
        ("/valves/0/overall_length", json!(0), "", "must be more than zero"),
        ("/valves/0/price", json!(-0.01), "", "must be 0 to"),
        ("/springs/0/loads", json!([]), "", "must have 1 to 50 elements, has 0"),
        ("/springs/0/loads/0/height", json!(0), "", "must be more than zero"),
        ("/springs/0/loads/0/load", json!(-1), "", "must not be negative"),
        ("/springs/0/loads/0", load(25.0, 600.0), "/springs/0/loads", "two loads at one height"),
        ("/springs/0/loads/0", load(34.0, 540.0), "/springs/0/loads", "a greater load at a lower height"),
        ("/springs/0/loads/0", load(45.0, 1.0), "/springs/0", "between its solid_height and its free_length"),
        (
            "/springs/0/loads/1",
            load(21.0, 700.0),
            "/springs/0",
            "between its solid_height and its free_length",
        ),
        ("/springs/0/solid_height", json!(44.1), "/springs/0", "less than its free_length"),
        ("/costs/per_minute", json!(-0.8), "", "must be 0 to"),
        ("/costs/deck_cut", json!(-1), "", "must be 0 to"),
    ];
    for (place, value, told_at, told) in cases {
        let mut block = everything();
        *block.pointer_mut(place).unwrap_or_else(|| panic!("{place}")) = value;
        let (pointer, detail) = fault(&block);
        assert_eq!(pointer, if told_at.is_empty() { place } else { told_at }, "{detail}");
        assert!(detail.contains(told), "{place}: {detail}");
    }
}

#[test]
fn ids_are_unique_within_their_list_and_lists_are_bounded() {
    for name in ["inserts", "valves", "springs"] {
        let mut block = everything();
        let one = block[name][0].clone();
        block[name] = json!([one.clone(), one.clone()]);
        let (pointer, detail) = fault(&block);
        assert_eq!(pointer, format!("/{name}/1/id"));
        assert!(detail.starts_with("another "), "{detail}");
        let many = |count: usize| -> Value {
            (0..count)
                .map(|index| {
                    let mut part = one.clone();
                    part["id"] = json!(format!("part {index}"));
                    part
                })
                .collect()
        };
        block[name] = many(60);
        assert!(convert(&block).is_ok(), "{name}");
        block[name] = many(61);
        assert_eq!(fault(&block).0, format!("/{name}"));
    }
    let mut block = everything();
    block["cutters"] = (0..61).map(|index| json!({ "id": format!("C{index}"), "angle": 45 })).collect();
    assert_eq!(fault(&block), ("/cutters".to_owned(), "must have 0 to 60 elements, has 61".to_owned()));
    for name in ["shims", "lash_shims"] {
        let mut block = everything();
        block[name] =
            (1..=61).map(|step| json!({ "thickness": f64::from(step) / 50.0, "count": 1 })).collect();
        assert_eq!(fault(&block).0, format!("/{name}"));
    }
}

/// A thousandth of an inch is nearly the usual tolerance, a thousandth of a millimetre is none at all: a block
/// that states amounts and no units is not guessed at.
#[test]
fn amounts_without_units_are_refused() {
    let whole = everything();
    for name in [
        "cut_tolerance",
        "light_turns",
        "runout_left",
        "cutters",
        "insert_stock",
        "tip_grinding",
        "shims",
        "lash_shims",
        "deck",
        "inserts",
        "valves",
        "springs",
    ] {
        let block = json!({ name: whole[name] });
        let (pointer, detail) = fault(&block);
        assert_eq!(pointer, "/units", "{name}");
        assert!(detail.contains("is required"), "{name}: {detail}");
    }
    for name in ["objective", "face_grinding", "shims_per_spring", "costs"] {
        assert!(convert(&json!({ name: whole[name] })).is_ok(), "{name}");
    }
    assert!(convert(&json!({ "cutters": [{ "id": "S45", "angle": 45 }] })).is_ok(), "degrees are degrees");
}

/// What the form alone refuses.
#[test]
fn what_is_misspelt_or_of_another_type_is_refused_when_it_is_read() {
    let faults = |block: Value| match read::<Workshop>(block.to_string().as_bytes()) {
        Err(ReadError::Faults(faults)) => faults.into_iter().map(|fault| fault.pointer).collect::<Vec<_>>(),
        other => panic!("{block}: {other:?}"),
    };
    let units = everything()["units"].take();
    assert_eq!(faults(json!({ "cutter": [] })), ["/cutter"]);
    assert_eq!(faults(json!({ "objective": "best" })), ["/objective"]);
    assert_eq!(
        faults(json!({ "units": units, "shims": [{ "thickness": 1, "count": -1 }] })),
        ["/shims/0/count"]
    );
    assert_eq!(
        faults(json!({ "units": units, "shims": [{ "thickness": 1, "count": 1.5 }] })),
        ["/shims/0/count"]
    );
    assert_eq!(faults(json!({ "costs": { "per_hour": 1 } })), ["/costs/per_hour"]);
    assert_eq!(
        faults(json!({ "units": units, "inserts": [{ "id": "I", "count": 1 }] })),
        ["/inserts/0/raises_seat"]
    );
    // What is wrong in form makes no fault of content beside it: a placeholder is nobody's number.
    let mut block = everything();
    block["cutters"][1]["form"]["seat_angle"] = json!("45");
    assert_eq!(faults(block), ["/cutters/1/form/seat_angle"]);
    let mut block = everything();
    block["valves"][0]["head_diameter"] = json!("33.5");
    assert_eq!(faults(block), ["/valves/0/head_diameter"]);
    let mut block = everything();
    (block["shims"][0]["thickness"], block["shims"][1]["thickness"]) = (json!("1"), json!(1));
    assert_eq!(faults(block), ["/shims/0/thickness"]);
    let mut block = everything();
    block["springs"][0]["loads"][1]["height"] = json!("25");
    block["costs"]["shim"] = json!(-1);
    assert_eq!(faults(block), ["/costs/shim", "/springs/0/loads/1/height"]);
}

#[test]
fn faults_in_a_request_point_into_its_workshop() {
    let (set, profile) = examples::HEADS[0];
    let document = |text: &str| serde_json::from_str::<Value>(text).expect("a demo document");
    let mut request = json!({ "measurement_set": document(set.text), "profile": document(profile.text) });
    assert!(
        read::<PlanRequest>(request.to_string().as_bytes()).is_ok_and(|request| request.workshop.is_none())
    );
    request["workshop"] = everything();
    for request in [
        read::<PlanRequest>(request.to_string().as_bytes()).map(|request| request.workshop),
        read::<JobRequest>(request.to_string().as_bytes()).map(|request| request.workshop),
    ] {
        let posted = request.expect("a request").expect("a workshop");
        assert!(workshop(&posted, &At::Root.member("workshop")).is_ok());
    }
    request["workshop"]["cutters"][0]["angle"] = json!(95);
    request["workshop"]["oops"] = json!(1);
    let Err(ReadError::Faults(faults)) = read::<PlanRequest>(request.to_string().as_bytes()) else {
        panic!("an unknown field is refused")
    };
    let mut pointers: Vec<&str> = faults.iter().map(|fault| fault.pointer.as_str()).collect();
    pointers.sort_unstable();
    assert_eq!(pointers, ["/workshop/cutters/0/angle", "/workshop/oops"]);
    let posted: JobRequest = {
        request["workshop"].as_object_mut().expect("a block").remove("oops");
        read(request.to_string().as_bytes()).expect("a request of the right form")
    };
    assert_eq!(posted.content_faults()[0].pointer, "/workshop/cutters/0/angle");
}
