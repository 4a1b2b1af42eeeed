//! Which characteristics are looked at, and what limits them.

use headproof_head::{Limit, Service, Stage, TargetProfile};

use crate::characteristic::{Characteristic, Scope, Shown};
use crate::row::Applied;
use crate::table::{place_in_table, table};
use crate::verdict::GridLimits;

/// One characteristic with the limits that apply to each service in this stage.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Line<'a> {
    pub(crate) row: &'static Characteristic,
    pub(crate) intake: Option<Applied<'a>>,
    pub(crate) exhaust: Option<Applied<'a>>,
    /// Did the profile ask for it by name?
    pub(crate) requested: bool,
}

/// All lines, by what they belong to.
#[derive(Debug)]
pub(crate) struct Lines<'a> {
    pub(crate) head: Vec<Line<'a>>,
    pub(crate) cylinder: Vec<Line<'a>>,
    pub(crate) port: Vec<Line<'a>>,
}

impl<'a> Lines<'a> {
    /// The lines of a profile in a stage. What is neither limited nor asked for is worked out only where it
    /// belongs on every sheet.
    pub(crate) fn new(profile: &'a TargetProfile, stage: Stage) -> Self {
        let mut all: Vec<_> =
            table().map(|row| Line { row, intake: None, exhaust: None, requested: false }).collect();
        let mut wanted: Vec<bool> = all.iter().map(|line| line.row.shown() == Shown::Measured).collect();
        for (at, limit) in
            profile.limits.iter().enumerate().filter(|(_, limit)| limit.limit_use.rank(stage).is_some())
        {
            let Some(place) = place_in_table(limit.characteristic) else { continue };
            let Line { row, intake, exhaust, .. } = &mut all[place];
            let grid = GridLimits::new(limit.lower, limit.upper, row.kind());
            let applied = Applied { at, limit, grid };
            for (service, slot) in [(Service::Intake, intake), (Service::Exhaust, exhaust)] {
                if limit.service.is_none_or(|of| of == service) && goes_before(limit, slot.as_ref(), stage) {
                    *slot = Some(applied);
                }
            }
            wanted[place] = true;
        }
        for place in profile.also_report.iter().filter_map(|id| place_in_table(*id)) {
            wanted[place] = true;
            all[place].requested = true;
        }
        let of = |scope| {
            let chosen =
                all.iter().zip(&wanted).filter(|(line, wanted)| **wanted && line.row.scope() == scope);
            chosen.map(|(line, _)| *line).collect()
        };
        Self { head: of(Scope::Head), cylinder: of(Scope::Cylinder), port: of(Scope::Port) }
    }
}

/// Of two that count, the one of the higher rank.
fn goes_before(limit: &Limit, held: Option<&Applied<'_>>, stage: Stage) -> bool {
    held.is_none_or(|held| limit.limit_use.rank(stage) > held.limit.limit_use.rank(stage))
}
