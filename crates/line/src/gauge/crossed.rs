//! A crossed gauge study: every operator measures every part the same number of times.

use super::sums::{clean, grain, mean, usable};

/// How large a crossed study is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub struct CrossedShape {
    /// Parts measured, 2 to 200.
    pub parts: usize,
    /// Operators who measured, 2 to 20. A study of one operator says nothing of reproducibility, and a gauge
    /// looks better in it than it is: it is refused. For one operator see
    /// [`ReferenceStudy`](super::ReferenceStudy).
    pub operators: usize,
    /// Times every operator measured every part, 2 to 20.
    pub trials: usize,
}

/// What a study is made of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum CrossedFactor {
    /// Parts.
    Parts,
    /// Operators.
    Operators,
    /// Trials.
    Trials,
}

/// Which part, operator and trial a reading belongs to, each counted from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct CrossedCell {
    /// The part.
    pub part: usize,
    /// The operator.
    pub operator: usize,
    /// The trial.
    pub trial: usize,
}

/// One reading of a crossed study.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CrossedReading {
    /// Where it belongs.
    pub cell: CrossedCell,
    /// What was read, in the caller's unit.
    pub value: f64,
}

/// Why readings are no crossed study. `index` is the place of the reading among those given, from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CrossedFault {
    /// Fewer or more than a study may have.
    Count {
        /// Of what.
        factor: CrossedFactor,
        /// How many there are.
        count: usize,
        /// The fewest there may be.
        least: usize,
        /// The most there may be.
        most: usize,
    },
    /// No reading for this cell.
    Missing(CrossedCell),
    /// A second reading for a cell that has one.
    Surplus {
        /// Which reading.
        index: usize,
        /// Its cell.
        cell: CrossedCell,
    },
    /// A reading for a cell the shape has no room for.
    Outside {
        /// Which reading.
        index: usize,
        /// Its cell.
        cell: CrossedCell,
    },
    /// A reading that is not a number, or one beyond 1e15.
    Unusable {
        /// Which reading.
        index: usize,
        /// Its cell.
        cell: CrossedCell,
    },
}

/// A complete and balanced crossed study.
#[derive(Debug, Clone, PartialEq)]
pub struct CrossedStudy {
    pub(super) shape: CrossedShape,
    /// By part, then operator, then trial.
    values: Vec<f64>,
}

impl CrossedStudy {
    /// Puts readings, in any order, into their cells.
    ///
    /// # Errors
    /// All faults at once: first those of the counts (alone, as cells mean nothing then), else those of
    /// readings in the order given, then missing cells in the order of part, operator, trial.
    pub fn new(shape: CrossedShape, readings: &[CrossedReading]) -> Result<Self, Vec<CrossedFault>> {
        let counts = [
            (CrossedFactor::Parts, shape.parts, 200),
            (CrossedFactor::Operators, shape.operators, 20),
            (CrossedFactor::Trials, shape.trials, 20),
        ];
        let mut faults: Vec<_> = counts
            .into_iter()
            .filter(|(_, count, most)| !(2..=*most).contains(count))
            .map(|(factor, count, most)| CrossedFault::Count { factor, count, least: 2, most })
            .collect();
        if !faults.is_empty() {
            return Err(faults);
        }
        let mut values = vec![None; shape.parts * shape.operators * shape.trials];
        for (index, &CrossedReading { cell, value }) in readings.iter().enumerate() {
            let inside =
                cell.part < shape.parts && cell.operator < shape.operators && cell.trial < shape.trials;
            if !inside {
                faults.push(CrossedFault::Outside { index, cell });
                continue;
            }
            let place =
                &mut values[(cell.part * shape.operators + cell.operator) * shape.trials + cell.trial];
            if place.is_some() {
                faults.push(CrossedFault::Surplus { index, cell });
                continue;
            }
            // Kept even when unusable, so that its cell is not called missing too.
            *place = Some(value);
            if !usable(value) {
                faults.push(CrossedFault::Unusable { index, cell });
            }
        }
        for (at, _) in values.iter().enumerate().filter(|(_, value)| value.is_none()) {
            let (row, trial) = (at / shape.trials, at % shape.trials);
            let (part, operator) = (row / shape.operators, row % shape.operators);
            faults.push(CrossedFault::Missing(CrossedCell { part, operator, trial }));
        }
        if faults.is_empty() {
            Ok(Self { shape, values: values.into_iter().flatten().collect() })
        } else {
            Err(faults)
        }
    }

    /// How large the study is.
    #[must_use]
    pub fn shape(&self) -> CrossedShape {
        self.shape
    }

    pub(super) fn grain(&self) -> f64 {
        grain(&self.values)
    }

    /// The readings of every cell of part and operator, by part, then operator.
    pub(super) fn rows(&self) -> impl Iterator<Item = &[f64]> {
        self.values.chunks(self.shape.trials)
    }

    pub(super) fn means(&self) -> Means {
        let operators = self.shape.operators;
        // Everything is taken as a distance from one reading first; what is common to all readings costs no
        // digits.
        let base = self.values[0];
        let cells: Vec<f64> = self.rows().map(|row| mean(row.iter().map(|value| value - base))).collect();
        let parts: Vec<f64> = cells.chunks(operators).map(|row| mean(row.iter().copied())).collect();
        let by_operator: Vec<f64> =
            (0..operators).map(|o| mean(cells.iter().skip(o).step_by(operators).copied())).collect();
        let all = mean(parts.iter().copied());
        Means { base, cells, parts, operators: by_operator, all }
    }

    /// The sums of squares of the two-way layout with interaction.
    pub(super) fn squares(&self) -> Squares {
        let grain = self.grain();
        let means = self.means();
        let (n, k, r) = (self.shape.parts as f64, self.shape.operators as f64, self.shape.trials as f64);
        let square = |difference: f64| clean(difference, grain).powi(2);
        let mut interaction = 0.0;
        let (mut error, mut total) = (0.0, 0.0);
        for (at, row) in self.rows().enumerate() {
            let (part, operator) = (at / self.shape.operators, at % self.shape.operators);
            let cell = means.cells[at];
            interaction += square((cell - means.parts[part]) - (means.operators[operator] - means.all));
            error += row.iter().map(|value| square((value - means.base) - cell)).sum::<f64>();
            total += row.iter().map(|value| square((value - means.base) - means.all)).sum::<f64>();
        }
        Squares {
            part: k * r * means.parts.iter().map(|mean| square(mean - means.all)).sum::<f64>(),
            operator: n * r * means.operators.iter().map(|mean| square(mean - means.all)).sum::<f64>(),
            interaction: r * interaction,
            error,
            total,
        }
    }
}

/// Means as distances from `base`.
pub(super) struct Means {
    pub(super) base: f64,
    pub(super) cells: Vec<f64>,
    pub(super) parts: Vec<f64>,
    pub(super) operators: Vec<f64>,
    pub(super) all: f64,
}

/// Sums of squares.
pub(super) struct Squares {
    pub(super) part: f64,
    pub(super) operator: f64,
    pub(super) interaction: f64,
    pub(super) error: f64,
    pub(super) total: f64,
}
