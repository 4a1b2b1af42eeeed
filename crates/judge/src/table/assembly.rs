//! How valve, seat and train sit together.

use headproof_head::{MissingCause, Service};
use headproof_quantity::Kind;

use super::direct::{self, direct};
use crate::candidate::Candidates;
use crate::characteristic::{Characteristic, Derived};
use crate::context::Context;

pub(super) static ROWS: &[Characteristic] = &[
    direct!("recession", "Valve recession", Length, |port| port.assembly.recession, "absent-recession"),
    direct!(
        "stem-protrusion",
        "Stem protrusion",
        Length,
        |port| port.assembly.stem_protrusion,
        "absent-stem-protrusion"
    ),
    Characteristic::of_head(
        "stem-protrusion-spread",
        "Stem protrusion spread",
        Kind::Length,
        protrusion_spread,
    )
    .worked_out(
        "greatest − least stem protrusion among the valves of one service; the worse service",
        "definition (common practice, no source)",
        "numpy.ptp",
    )
    .on_request(),
    direct!("lash", "Valve lash", Length, |port| port.assembly.lash, "absent-lash"),
    direct!("lash-shim", "Lash shim", Length, |port| port.assembly.lash_shim, "absent-lash-shim")
        .on_request(),
    direct!(
        "tip-to-retainer",
        "Tip to retainer",
        Length,
        |port| port.assembly.tip_to_retainer,
        "absent-tip-to-retainer"
    ),
    direct!(
        "valve-to-piston",
        "Valve to piston",
        Length,
        |port| port.assembly.valve_to_piston,
        "absent-valve-to-piston"
    ),
];

/// Each service by itself: where the train has no adjustment, valves that open together have to stand alike.
fn protrusion_spread(context: &Context<'_>, out: &mut Candidates) -> Derived {
    let mut all = Ok(());
    for service in [Service::Intake, Service::Exhaust] {
        let ports = || context.set.layout.ports().filter(move |id| id.service == service);
        let reading = |id| context.set.port(id)?.assembly.stem_protrusion.as_ref();
        let readings: Vec<_> = ports().filter_map(reading).collect();
        if readings.len() < ports().count() {
            all = Err(MissingCause::Absent("absent-stem-protrusion-of-all"));
        }
        if readings.len() > 1 {
            direct::spread(context, "stem protrusion", &readings, out)?;
        }
    }
    if out.is_empty() { Err(MissingCause::Absent("absent-stem-protrusion-of-two")) } else { all }
}
