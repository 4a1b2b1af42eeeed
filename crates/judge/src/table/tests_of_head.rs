//! What was looked for or tried on the head as a whole.

use headproof_head::CharacteristicId;

use super::direct::{self, head_state};
use crate::characteristic::{Characteristic, Derive, Measure};

pub(super) static ROWS: &[Characteristic] = &[
    head_state!("crack-test", "No crack found", |set| set.tests.crack.as_ref().map(|test| !test.crack_found)),
    head_state!("pressure-test", "Pressure test held", |set| set
        .tests
        .pressure
        .as_ref()
        .map(|test| test.held)),
    head_state!("dowels", "Dowels", |set| set.deck.dowels.map(direct::good)),
    head_state!("bolt-threads", "Bolt threads", |set| set.deck.bolt_threads.map(direct::good)),
    head_state!("plugs", "Plugs", |set| set.deck.plugs.map(direct::good)),
];
