//! Sizes as they depend on what the bench does.

/// Place of a decision in the list of decisions of one port.
pub(crate) type Var = usize;

/// The errors that cuts by hand make: of the seat cut, of the top cut's stop, of the throat cut's stop.
pub(crate) const CUTS: usize = 3;

/// A constant and a multiple of each decision; beside it, what one unit of each cut's own error does.
#[derive(Debug, Clone, PartialEq, Default)]
pub(crate) struct Affine {
    pub(crate) constant: f64,
    pub(crate) terms: Vec<(Var, f64)>,
    pub(crate) errors: [f64; CUTS],
}

impl Affine {
    pub(crate) fn constant(constant: f64) -> Self {
        Self { constant, ..Self::default() }
    }

    pub(crate) fn var(var: Var) -> Self {
        Self { terms: vec![(var, 1.0)], ..Self::default() }
    }

    pub(crate) fn plus(mut self, other: &Self) -> Self {
        self.add(other, 1.0);
        self
    }

    pub(crate) fn minus(mut self, other: &Self) -> Self {
        self.add(other, -1.0);
        self
    }

    pub(crate) fn plus_constant(mut self, constant: f64) -> Self {
        self.constant += constant;
        self
    }

    pub(crate) fn times(mut self, factor: f64) -> Self {
        self.constant *= factor;
        for (_, coefficient) in &mut self.terms {
            *coefficient *= factor;
        }
        for error in &mut self.errors {
            *error *= factor;
        }
        self
    }

    /// The same decisions, missed otherwise: a cut that stops by sight corrects what the cut before missed.
    pub(crate) fn missed_by(mut self, errors: [f64; CUTS]) -> Self {
        self.errors = errors;
        self
    }

    fn add(&mut self, other: &Self, factor: f64) {
        self.constant += factor * other.constant;
        for (var, coefficient) in &other.terms {
            match self.terms.iter_mut().find(|(own, _)| own == var) {
                Some((_, own)) => *own += factor * coefficient,
                None => self.terms.push((*var, factor * coefficient)),
            }
        }
        for (own, error) in self.errors.iter_mut().zip(other.errors) {
            *own += factor * error;
        }
    }

    /// Its value for given decisions.
    pub(crate) fn at(&self, decisions: &[f64]) -> f64 {
        self.terms.iter().fold(self.constant, |sum, (var, coefficient)| {
            coefficient.mul_add(decisions.get(*var).copied().unwrap_or(0.0), sum)
        })
    }

    /// As it comes out when each cut misses its stop by so much.
    pub(crate) fn miss(&mut self, by: [f64; CUTS]) {
        self.constant += self.errors.iter().zip(by).map(|(error, by)| error * by).sum::<f64>();
    }

    /// How far it may be off when every cut misses its stop by as much as `tolerance`.
    pub(crate) fn spread(&self, tolerance: f64) -> f64 {
        self.errors.iter().map(|error| error.abs()).sum::<f64>() * tolerance
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn equal_decisions_are_gathered() {
        let sum = Affine::var(0).times(2.0).plus(&Affine::var(1)).minus(&Affine::var(0)).plus_constant(3.0);
        assert_eq!(sum.terms, vec![(0, 1.0), (1, 1.0)]);
        assert!((sum.at(&[5.0, 7.0]) - 15.0).abs() < 1e-15);
    }

    #[test]
    fn independent_misses_add_up_in_the_worst_case() {
        let width = Affine::constant(1.3).missed_by([0.0, -3.0, 2.0]);
        assert!((width.spread(0.03) - 0.15).abs() < 1e-15);
    }

    #[test]
    fn a_miss_moves_what_its_cut_moves() {
        let mut width = Affine::var(0).plus_constant(1.3).missed_by([0.0, -3.0, 2.0]);
        width.miss([0.03, 0.03, -0.03]);
        assert!((width.at(&[0.0]) - 1.15).abs() < 1e-15);
    }
}
