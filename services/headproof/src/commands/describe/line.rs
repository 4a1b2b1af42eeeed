//! Statistics as an example: of twelve heads made from the demo pump's, whose valves sit a little deeper from head to head.

use std::error::Error;

use headproof_line::{Asked, Line, ObservedHead, RuleSet, Standing};
use headproof_wire::examples::HEADS;
use headproof_wire::statistics::{Selection, Statistics};
use headproof_wire::{At, Gathered, Reading, measurement_set, statistics_document, target_profile};

use crate::commands::examples;

const COUNT: u32 = 12;
/// The characteristic that is asked for.
const SHOWN: &str = "recession";

/// The statistics of these heads.
pub(super) fn statistics() -> Result<Statistics, Box<dyn Error>> {
    let (pump, limits) = HEADS[0];
    let profile = target_profile(&examples::profile(limits)?, &At::Root)
        .map_err(|faults| format!("{}: {faults:?}", limits.name))?;
    let (mut line, mut serials) = (Line::default(), Vec::new());
    for number in 0..COUNT {
        let mut posted = examples::set(pump)?;
        posted.head.serial = format!("DEMO-WP-{}", 417 + number);
        posted.job.measured_at = format!("2026-03-{:02}T09:40:00+01:00", 12 + number);
        for (port, place) in posted.ports.iter_mut().zip(0..) {
            let deeper = f64::from((7 * number + 3 * place) % 5) - 2.0 + f64::from(number) / 4.0;
            let reading = port.assembly.as_mut().and_then(|assembly| assembly.recession.as_mut());
            if let Some(Reading::Plain(recession)) = reading {
                *recession = (*recession * 100.0 + deeper).round() / 100.0;
            }
        }
        let set =
            measurement_set(&posted, &At::Root).map_err(|faults| format!("{}: {faults:?}", pump.name))?;
        let mut head = ObservedHead::of(&set, &profile, &headproof_judge::evaluate(&set, &profile));
        head.rows.retain(|row| row.characteristic.as_str() == SHOWN);
        line.observe(number, &head, Standing::default())?;
        line.observe_first(&head);
        serials.push(posted.head.serial);
    }
    let gathered = Gathered {
        line: &line,
        serials: &serials,
        superseded: 0,
        without_values: 0,
        asked: Asked { confidence: 0.95, rules: RuleSet::WesternElectric, chart: None, method: None },
        points: COUNT as usize,
    };
    let of = Selection { characteristic: Some(SHOWN.to_owned()), ..Selection::default() };
    Ok(statistics_document(gathered, of))
}
