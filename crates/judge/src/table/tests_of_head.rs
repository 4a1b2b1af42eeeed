//! What was looked for or tried on the head as a whole.

use super::direct;
use crate::characteristic::Characteristic;

pub(super) static ROWS: &[Characteristic] = &[
    Characteristic::state_of_head("crack-test", "No crack found", |set| {
        set.tests.crack.as_ref().map(|test| !test.crack_found)
    }),
    Characteristic::state_of_head("pressure-test", "Pressure test held", |set| {
        set.tests.pressure.as_ref().map(|test| test.held)
    }),
    Characteristic::state_of_head("dowels", "Dowels", |set| set.deck.dowels.map(direct::good)),
    Characteristic::state_of_head("bolt-threads", "Bolt threads", |set| {
        set.deck.bolt_threads.map(direct::good)
    }),
    Characteristic::state_of_head("plugs", "Plugs", |set| set.deck.plugs.map(direct::good)),
];
