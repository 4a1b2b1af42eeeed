//! What is done to a port besides what its drawing shows, in short phrases.

use headproof_wire::PortPlan;

use super::{Part, words};

/// What is cut, ground and fitted, and what has to be measured first.
pub(super) fn of_port(part: &Part<'_>, port: &PortPlan) -> Vec<String> {
    let length = &part.length;
    let mut phrases = Vec::new();
    for new in &port.new_parts {
        phrases.push(format!("{} {}", words::new_part(&new.part), new.id));
    }
    if let Some(seat) = &port.seat {
        let cuts: Vec<String> = seat.cuts.iter().map(|cut| words::cut(&cut.cut)).collect();
        phrases.push(format!("cuts: {}", cuts.join(", ")));
    }
    phrases.extend(port.face_grind.map(|stock| format!("face ground by {}", length.with_unit(stock))));
    phrases.extend(port.tip_grind.map(|stock| format!("tip ground by {}", length.with_unit(stock))));
    for shims in port.shims.iter().filter(|shims| shims.count > 0) {
        let noun = if shims.count == 1 { "shim" } else { "shims" };
        phrases.push(format!("{} {noun} of {}", shims.count, length.with_unit(shims.thickness)));
    }
    phrases.extend(port.lash_shim.map(|shim| format!("lash shim of {}", length.with_unit(shim))));
    if !port.needs.is_empty() {
        let needs: Vec<String> =
            port.needs.iter().map(|id| words::inside(&crate::english().title(id))).collect();
        phrases.push(format!("to be measured: {}", needs.join(", ")));
    }
    phrases
}
