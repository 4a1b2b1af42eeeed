//! The steps of invented plans.

use headproof_wire::{PlanCut, PlanStep, PortPlan};

use super::{Kind, subject};

/// Text, check and cautions of a kind of step.
type Words = (&'static str, &'static str, &'static str, &'static [&'static str]);

const EYES: &str =
    "Wear eye protection. Carbide edges and chips cut skin, also when the cutter stands still.";
const SPRINGS: &str = "Springs store energy: use a spring compressor, stand aside, and wear eye protection.";

const DECK: Words = (
    "cut-deck",
    "Cut the deck: 0.12 mm off at its highest place (0.1 mm is what cleans it).",
    "The deck is bright all over; measure its flatness and roughness, the thickness of the head, and the chambers.",
    &[
        "A cut deck moves the cam timing of an overhead-cam head. Where valves can meet pistons, turn the engine two full turns by hand before it is started.",
    ],
);
const GUIDE: Words = (
    "renew-guide",
    "Repair or replace the guide: it comes before any work on this seat.",
    "Measure guide, stem, seat and runout on the new axis and ask for a new plan.",
    &["Guide and seat share one axis: whatever moves the guide makes the readings of its seat void."],
);
const FIRST: Words = (
    "measure-first",
    "Measure first: seat runout, seat outer diameter.",
    "Post the set again with these readings and ask for a new plan; nothing is cut here before.",
    &[],
);
const INSERT: Words = (
    "fit-insert",
    "Take the old insert out, clean its counterbore, and fit insert INS-36x31.",
    "It sits on the floor of its counterbore all round and does not move.",
    &[
        "A warmed head burns and fumes; dry ice and liquid nitrogen burn by cold and drive out the air: gloves, face shield, open doors.",
        "Beryllium copper: never grind it dry, its dust is toxic. Keep it wet and collect what comes off.",
    ],
);
const FACE: Words = (
    "grind-face",
    "Grind the face of the valve: 0.05 mm square to it, no more than cleans it all round.",
    "The face is bright all round; measure the margin left, nowhere a sharp edge.",
    &[EYES, "Sodium in the stem: never grind, cut, weld, drill or break it. Scrap it through a specialist."],
);
const TIP: Words = (
    "grind-tip",
    "Grind the tip of the valve: 0.12 mm off, square to the stem, with coolant.",
    "The tip is flat and square, and stands clear of the retainer.",
    &[EYES],
);
const VALVE: Words = (
    "fit-valve",
    "New valve V-EX-7 goes here in place of the old one; mark it for this seat.",
    "It slides and turns freely in its guide, and its mark is that of its seat.",
    &[],
);
const MARKING: Words = (
    "check-marking",
    "Put marking compound thinly on the face, set the valve on its seat, turn it a little, and lift it out.",
    "The band is 1.40 mm wide, unbroken and even all round; if not, measure before more is cut.",
    &[],
);
const LEAK: Words = (
    "leak-test",
    "Test this port for leaks, valve closed, before the springs go in.",
    "It holds. Held cold is no proof of a hot engine.",
    &[],
);
const FIT_SPRINGS: Words = (
    "fit-springs",
    "Fit shims: 1 × 0.25 mm and 2 × 0.5 mm; installed height then 40.90 mm.",
    "Measure the installed height from spring seat to retainer; the keepers sit in their groove all round.",
    &[SPRINGS],
);
const LASH_SHIM: Words = (
    "fit-lash-shim",
    "Fit a lash shim of 2.725 mm; lash then 0.25 mm.",
    "Measure the lash with the heel of its cam on the follower.",
    &["Lash that is too tight holds a valve off its seat and burns it."],
);
const LASH: Words = (
    "set-lash",
    "Set the lash by its screw, with the heel of its cam on the follower, to what the engine maker says.",
    "Measure it again after two full turns by hand.",
    &["Lash that is too tight holds a valve off its seat and burns it."],
);
const AGAIN: Words = (
    "measure-again",
    "Measure again: seat width, overhang, seat runout, valve recession, installed height, seat load.",
    "Post these readings: only they show whether it conforms. The numbers of this plan are predicted.",
    &[],
);

fn step(subject: &str, (operation, text, check, cautions): Words) -> PlanStep {
    PlanStep {
        number: 0,
        subject: subject.to_owned(),
        operation: operation.into(),
        text: text.to_owned(),
        check: check.to_owned(),
        cautions: cautions.iter().map(|text| (*text).to_owned()).collect(),
        says: None,
        check_says: None,
        cautions_say: Vec::new(),
        cut: None,
        high_side: None,
    }
}

fn cut_step(subject: &str, cut: &PlanCut) -> PlanStep {
    let operation = match cut.cut.as_ref() {
        "light-turns" => "light-turns".to_owned(),
        kind => format!("{kind}-cut"),
    };
    let cutter = cut.cutter.as_deref().map(|cutter| format!(" ({cutter})")).unwrap_or_default();
    PlanStep {
        number: 0,
        subject: subject.to_owned(),
        operation: operation.into(),
        text: format!(
            "Ink the seat. {}° cutter{cutter}: turn until the bright ring is unbroken; the ring shows first at 120° \
             from the first dial reading and the last ink goes opposite.",
            cut.angle
        ),
        check: "No ink is left on the ring. The stem of a reference valve tells the feed: it has risen by about as much."
            .to_owned(),
        cautions: vec![EYES.to_owned()],
        says: None,
        check_says: None,
        cautions_say: Vec::new(),
        cut: Some(cut.clone()),
        high_side: Some(120.0),
    }
}

/// All steps, in the order of the bench.
pub(crate) fn steps(kinds: &[Kind], ports: &[PortPlan]) -> Vec<PlanStep> {
    let each = || ports.iter().enumerate().map(|(n, port)| (kinds[n % kinds.len()], subject(port), port));
    let of = |kind: Kind, words: Words| {
        each().filter(move |(this, ..)| *this == kind).map(move |(_, subject, _)| step(&subject, words))
    };
    let mut steps: Vec<PlanStep> = of(Kind::Measure, FIRST).collect();
    steps.extend(of(Kind::Guide, GUIDE));
    steps.extend(of(Kind::Insert, INSERT));
    let worked = |kind: Kind| kind.status() == "planned";
    if kinds.iter().any(|kind| worked(*kind)) {
        steps.push(step("head", DECK));
    }
    for (kind, subject, port) in each().filter(|(kind, ..)| worked(*kind)) {
        let cuts = port.seat.iter().flat_map(|seat| &seat.cuts);
        steps.extend(cuts.map(|cut| cut_step(&subject, cut)));
        let fitted: &[Words] = match kind {
            Kind::Form => &[FACE, TIP],
            Kind::Insert => &[VALVE],
            _ => &[],
        };
        let rest = [MARKING, LEAK, FIT_SPRINGS, if kind == Kind::Throat { LASH_SHIM } else { LASH }, AGAIN];
        steps.extend(fitted.iter().chain(&rest).map(|words| step(&subject, *words)));
    }
    for (step, number) in steps.iter_mut().zip(1..) {
        step.number = number;
    }
    steps
}
