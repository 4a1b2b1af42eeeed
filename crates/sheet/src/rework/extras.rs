//! What is done to a port besides what its drawing shows, in short phrases.

use headproof_texts::Arg;
use headproof_wire::PortPlan;

use super::{Part, words};

/// What is cut, ground and fitted, and what has to be measured first.
pub(super) fn of_port(part: &Part<'_>, port: &PortPlan) -> Vec<String> {
    let say = part.say();
    let amount = |amount: f64| Arg::from(part.length.with_unit(amount));
    let mut phrases: Vec<String> =
        port.new_parts.iter().map(|new| words::new_part(&new.part, &new.id, say)).collect();
    if let Some(seat) = &port.seat {
        let cuts: Vec<String> = seat.cuts.iter().map(|cut| words::cut(&cut.cut, say)).collect();
        phrases.push(say.with("plan-cuts", &[("cuts", cuts.join(", ").into())]));
    }
    let ground = |id: &'static str| move |stock: f64| say.with(id, &[("stock", amount(stock))]);
    phrases.extend(port.face_grind.map(ground("plan-face-ground")));
    phrases.extend(port.tip_grind.map(ground("plan-tip-ground")));
    for shims in port.shims.iter().filter(|shims| shims.count > 0) {
        let values = [("count", shims.count.into()), ("thickness", amount(shims.thickness))];
        phrases.push(say.with("plan-shims", &values));
    }
    phrases.extend(port.lash_shim.map(|shim| say.with("plan-lash-shim", &[("thickness", amount(shim))])));
    if !port.needs.is_empty() {
        let needs: Vec<_> = port.needs.iter().map(|id| say.named(id)).collect();
        phrases.push(say.with("plan-to-be-measured", &[("what", needs.join(", ").into())]));
    }
    phrases
}
