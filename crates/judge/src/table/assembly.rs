//! How valve, seat and train sit together.

use headproof_quantity::Kind;

use super::direct::{self, direct};
use crate::characteristic::Characteristic;

pub(super) static ROWS: &[Characteristic] = &[
    direct!("recession", "Valve recession", Length, |port| port.assembly.recession, "recession"),
    direct!(
        "stem-protrusion",
        "Stem protrusion",
        Length,
        |port| port.assembly.stem_protrusion,
        "stem protrusion"
    ),
    direct!("lash", "Valve lash", Length, |port| port.assembly.lash, "lash"),
    direct!("lash-shim", "Lash shim", Length, |port| port.assembly.lash_shim, "lash shim").on_request(),
    direct!(
        "tip-to-retainer",
        "Tip to retainer",
        Length,
        |port| port.assembly.tip_to_retainer,
        "tip to retainer"
    ),
    direct!(
        "valve-to-piston",
        "Valve to piston",
        Length,
        |port| port.assembly.valve_to_piston,
        "valve to piston"
    ),
];
