//! What was looked for or tried on the head as a whole.

use headproof_head::CharacteristicId;

use super::direct::{self, state};
use crate::characteristic::{Characteristic, Derive, Measure};

pub(super) static ROWS: &[Characteristic] = &[
    state!("crack-test", "No crack found", HeadState, |set| set
        .tests
        .crack
        .as_ref()
        .map(|test| !test.crack_found)),
    state!("pressure-test", "Pressure test held", HeadState, |set| set
        .tests
        .pressure
        .as_ref()
        .map(|test| test.held)),
    state!("dowels", "Dowels", HeadState, |set| set.deck.dowels.map(direct::good)),
    state!("bolt-threads", "Bolt threads", HeadState, |set| set.deck.bolt_threads.map(direct::good)),
    state!("plugs", "Plugs", HeadState, |set| set.deck.plugs.map(direct::good)),
];
