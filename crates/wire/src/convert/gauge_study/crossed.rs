//! The readings of a crossed study, each in its cell.

use std::collections::{BTreeMap, HashMap};

use headproof_line::{CrossedCell, CrossedFactor, CrossedFault, CrossedReading, CrossedShape, CrossedStudy};

use super::{LARGEST, More, Readings};
use crate::convert::block::Conversion;
use crate::gauge_study::{CrossedGaugeReading, CrossedGaugeReadings};
use crate::pointer::At;

/// Readings of the smallest and of the largest study.
const READINGS: std::ops::RangeInclusive<usize> = 8..=80_000;
/// Most trials of a study.
const MOST_TRIALS: u8 = 20;
/// Most repeats that a mean is taken of.
const MOST_REPEATS: u16 = 100;
/// AIAG practice (from memory).
const USUAL_POOLING: f64 = 0.25;

pub(super) fn readings(c: &mut Conversion<'_>, at: &At<'_>, doc: &CrossedGaugeReadings) -> Option<Readings> {
    let pooling_above = doc.pooling_above.unwrap_or(USUAL_POOLING);
    c.number(&at.member("pooling_above"), pooling_above, More::OrEqual(0.0), 1.0);
    let repeats = doc.repeats.unwrap_or(1);
    if !(1..=MOST_REPEATS).contains(&repeats) {
        let detail = format!("must be 1 to {MOST_REPEATS}");
        c.fault(&at.member("repeats"), detail, Some(repeats.into()));
    }
    let list = at.member("readings");
    let rows = c.bounded(&list, &doc.readings, READINGS);
    let before = c.faults.len();
    for (index, row) in rows.iter().enumerate() {
        let at = list.element(index);
        c.text(&at.member("part"), &row.part);
        c.text(&at.member("operator"), &row.operator);
    }
    trials(c, &list, rows);
    let are_placed = c.faults.len() == before;
    for (index, row) in rows.iter().enumerate() {
        let at = list.element(index);
        c.number(&at.member("value"), row.value, More::OrEqual(-LARGEST), LARGEST);
    }
    // A reading that belongs nowhere would make others seem to be missing.
    if !are_placed {
        return None;
    }
    let grid = Grid::of(rows);
    let study = CrossedStudy::new(grid.shape, &grid.readings)
        .map_err(|faults| faults.iter().for_each(|fault| grid.tell(c, &list, rows, *fault)))
        .ok()?;
    Some(Readings::Crossed { study, pooling_above, repeats: repeats.into() })
}

/// Trials are stated in all rows or in none: what is told is what the fewer do.
fn trials(c: &mut Conversion<'_>, list: &At<'_>, rows: &[CrossedGaugeReading]) {
    let stated = rows.iter().filter(|row| row.trial.is_some()).count();
    let most_state = 2 * stated >= rows.len();
    for (index, row) in rows.iter().enumerate() {
        let at = list.element(index);
        let at = at.member("trial");
        match row.trial {
            None if stated > 0 && most_state => {
                c.fault(&at, "is missing, and other readings state theirs", None);
            }
            Some(trial) if !(1..=MOST_TRIALS).contains(&trial) => {
                c.fault(&at, format!("must be 1 to {MOST_TRIALS}"), Some(trial.into()));
            }
            Some(trial) if !most_state => {
                c.fault(&at, "is stated, and other readings state none", Some(trial.into()));
            }
            _ => {}
        }
    }
}

/// Codes as numbers, in the order in which they come up.
#[derive(Default)]
struct Codes<'d> {
    numbers: HashMap<&'d str, usize>,
    codes: Vec<&'d str>,
}

impl<'d> Codes<'d> {
    fn number(&mut self, code: &'d str) -> usize {
        *self.numbers.entry(code).or_insert_with(|| {
            self.codes.push(code);
            self.codes.len() - 1
        })
    }
}

/// Readings by part, operator and trial.
struct Grid<'d> {
    parts: Codes<'d>,
    operators: Codes<'d>,
    shape: CrossedShape,
    readings: Vec<CrossedReading>,
    /// The rows of each part with each operator, in their order.
    rows: HashMap<(usize, usize), Vec<usize>>,
}

impl<'d> Grid<'d> {
    fn of(docs: &'d [CrossedGaugeReading]) -> Self {
        let (mut parts, mut operators) = (Codes::default(), Codes::default());
        let mut rows: HashMap<(usize, usize), Vec<usize>> = HashMap::new();
        let mut readings = Vec::with_capacity(docs.len());
        for (index, doc) in docs.iter().enumerate() {
            let (part, operator) = (parts.number(&doc.part), operators.number(&doc.operator));
            let same = rows.entry((part, operator)).or_default();
            let trial = doc.trial.map_or(same.len(), |trial| usize::from(trial) - 1);
            same.push(index);
            readings.push(CrossedReading { cell: CrossedCell { part, operator, trial }, value: doc.value });
        }
        // As many trials as most have: one reading too many is then one fault, not one of all others.
        let mut frequency: BTreeMap<usize, usize> = BTreeMap::new();
        rows.values().for_each(|rows| *frequency.entry(rows.len()).or_default() += 1);
        let trials = frequency.into_iter().max_by_key(|(_, count)| *count).map_or(0, |(trials, _)| trials);
        let shape = CrossedShape { parts: parts.codes.len(), operators: operators.codes.len(), trials };
        Self { parts, operators, shape, readings, rows }
    }

    fn name(&self, cell: CrossedCell) -> String {
        let (part, operator) = (self.parts.codes[cell.part], self.operators.codes[cell.operator]);
        format!("part {part:?} by operator {operator:?}")
    }

    /// A reading that is missing is told at the last one of the same part and operator, where there is one.
    fn tell(&self, c: &mut Conversion<'_>, list: &At<'_>, docs: &[CrossedGaugeReading], fault: CrossedFault) {
        let trials = self.shape.trials;
        match fault {
            CrossedFault::Count { factor, count, least, most } => {
                let what = match factor {
                    CrossedFactor::Parts => "parts",
                    CrossedFactor::Operators => "operators",
                    CrossedFactor::Trials => "readings of a part by an operator",
                };
                c.fault(list, format!("must have {least} to {most} {what}, has {count}"), None);
            }
            CrossedFault::Missing(cell) => {
                let name = self.name(cell);
                let Some(rows) = self.rows.get(&(cell.part, cell.operator)) else {
                    if cell.trial == 0 {
                        c.fault(list, format!("there is no reading of {name}"), None);
                    }
                    return;
                };
                let Some(last) = rows.last().copied() else { return };
                let at = list.element(last);
                if docs[last].trial.is_some() {
                    c.fault(&at, format!("there is no trial {} of {name}", cell.trial + 1), None);
                } else if cell.trial == rows.len() {
                    let detail = format!("of {name} there are {} readings, of most {trials}", rows.len());
                    c.fault(&at, detail, None);
                }
            }
            CrossedFault::Surplus { index, cell } => {
                let at = list.element(index);
                let detail = format!("there is this trial of {} already", self.name(cell));
                c.fault(&at.member("trial"), detail, docs[index].trial.map(Into::into));
            }
            CrossedFault::Outside { index, cell } => {
                let at = list.element(index);
                let detail = format!(
                    "is reading {} of {}, of most there are {trials}",
                    cell.trial + 1,
                    self.name(cell)
                );
                c.fault(&at, detail, None);
            }
            // Told before, where the bounds of a value are.
            CrossedFault::Unusable { .. } => {}
        }
    }
}
