//! Propagation of uncertainty.

/// Contributions to the uncertainty of one value, summed up.
///
/// A contribution is `c · u`: the value's sensitivity to an input times the input's standard uncertainty,
/// in the base unit of the value, with its sign.
///
/// Source: JCGM 100:2008, 5.1.2, equation 10 (independent inputs) and 5.2.2, equation 13 (correlated
/// ones); clauses from memory.
#[derive(Debug, Clone, Default)]
pub struct Combination {
    squares: f64,
    /// Inputs whose errors go together: the source they share, how far, and the sums of their
    /// contributions and of their squares.
    shared: Vec<Shared>,
}

#[derive(Debug, Clone, Copy)]
struct Shared {
    source: u16,
    correlation: f64,
    sum: f64,
    squares: f64,
}

impl Combination {
    /// Adds a contribution whose error has nothing to do with any other.
    pub fn independent(&mut self, contribution: f64) {
        self.squares += contribution * contribution;
    }

    /// Adds a contribution whose error goes together with every other of the same `source`.
    ///
    /// `correlation` is the coefficient between any two of them, 0 to 1; all contributions of one source
    /// state the same.
    pub fn shared(&mut self, source: u16, correlation: f64, contribution: f64) {
        let squares = contribution * contribution;
        match self.shared.iter_mut().find(|shared| shared.source == source) {
            Some(shared) => {
                shared.sum += contribution;
                shared.squares += squares;
            }
            None => self.shared.push(Shared { source, correlation, sum: contribution, squares }),
        }
    }

    /// The combined standard uncertainty, to first order.
    ///
    /// ```
    /// use headproof_metrology::Combination;
    /// // A diameter difference by one micrometer of 3 µm: its common error cancels as far as it is common.
    /// let of = |correlation| {
    ///     let mut all = Combination::default();
    ///     all.shared(0, correlation, 3.0);
    ///     all.shared(0, correlation, -3.0);
    ///     all.total()
    /// };
    /// assert_eq!([of(0.0), of(0.5), of(1.0)], [18f64.sqrt(), 3.0, 0.0]);
    /// ```
    #[must_use]
    pub fn total(&self) -> f64 {
        let shared = self.shared.iter().map(|shared| {
            // Σ c²u² + 2 r Σ Σ c u c' u' = (1 − r) Σ c²u² + r (Σ c u)²
            (1.0 - shared.correlation) * shared.squares + shared.correlation * shared.sum * shared.sum
        });
        libm::sqrt(self.squares + shared.sum::<f64>())
    }
}

/// The combined standard uncertainty of independent inputs, to first order.
///
/// Units: each part is (sensitivity, standard uncertainty of the input) in base units; the result is in
/// the base unit of the value whose sensitivities they are. No parts give 0.
///
/// Source: JCGM 100:2008, 5.1.2, equation 10 (clause from memory).
///
/// ```
/// // End gauge calibration, rounded parts in nm: JCGM 100:2008, H.1 (from memory).
/// let u = headproof_metrology::combined([(1.0, 25.0), (1.0, 9.7), (1.0, 2.9), (1.0, 16.6)].into_iter());
/// assert!((u - 31.6711225).abs() < 1e-7);
/// ```
#[must_use]
pub fn combined(parts: impl Iterator<Item = (f64, f64)>) -> f64 {
    let mut all = Combination::default();
    parts.for_each(|(sensitivity, u)| all.independent(sensitivity * u));
    all.total()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ten resistors in series, each compared with one standard of 0.1 Ω: JCGM 100:2008, example in 5.2.2
    /// (from memory), which prints 1 Ω, and 0.32 Ω for what independence would give.
    #[test]
    fn ten_resistors_set_by_one_standard_err_together() {
        let of = |correlation| {
            let mut series = Combination::default();
            (0..10).for_each(|_| series.shared(7, correlation, 0.1));
            series.total()
        };
        assert!((of(1.0) - 1.0).abs() < 1e-15);
        assert!((of(0.0) - 0.316_227_766).abs() < 1e-9);
    }

    #[test]
    fn sources_are_kept_apart() {
        let mut all = Combination::default();
        all.shared(0, 1.0, 3.0);
        all.shared(1, 1.0, -3.0);
        all.independent(4.0);
        all.shared(0, 1.0, -3.0);
        assert!((all.total() - 5.0).abs() < 1e-15);
    }
}
