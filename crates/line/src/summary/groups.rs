//! One characteristic by bench, cutter, gauge or operator.

use std::collections::BTreeMap;

use super::moments::{Moments, SumOverflow};
use super::trend::Trend;
use super::wide::Wide;
use crate::special::f_upper_tail;

/// The most codes that are kept apart.
pub const MOST_GROUPS: usize = 100;

/// Sums by a text code, with the moments of all further codes together.
///
/// Kept apart are the [`MOST_GROUPS`] codes that come first in the order of their bytes; the values of all
/// others are summed as one. A code that gives way to one before it never comes back, and none that stays has
/// ever given way, so the outcome is the same to the bit in whatever order values come and parts are merged.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Groups {
    by: BTreeMap<String, CodeSums>,
    others: Moments,
}

/// What is summed of a code.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct CodeSums {
    /// All values.
    pub values: Moments,
    /// Of each head the mean of its values, in counts, over the time of measurement. Values of one head are more alike
    /// than those of two, so that only heads can be told from chance.
    pub heads: Trend,
}

impl CodeSums {
    /// Takes in what another has summed.
    ///
    /// # Errors
    /// [`SumOverflow`] when a sum no longer fits; then nothing has changed.
    pub fn merge(&mut self, other: &Self) -> Result<(), SumOverflow> {
        let mut merged = *self;
        merged.values.merge(&other.values)?;
        merged.heads.merge(&other.heads)?;
        *self = merged;
        Ok(())
    }
}

impl Groups {
    /// Takes in what another has gathered.
    ///
    /// # Errors
    /// [`SumOverflow`] when a sum no longer fits; then nothing has changed.
    pub fn merge(&mut self, other: &Self) -> Result<(), SumOverflow> {
        let mut merged = self.clone();
        merged.others.merge(&other.others)?;
        for (code, sums) in &other.by {
            merged.add(code, sums)?;
        }
        *self = merged;
        Ok(())
    }

    /// Takes in what was summed of a code.
    ///
    /// # Errors
    /// [`SumOverflow`] when a sum no longer fits; then nothing has changed.
    pub fn add(&mut self, code: &str, sums: &CodeSums) -> Result<(), SumOverflow> {
        if let Some(known) = self.by.get_mut(code) {
            return known.merge(sums);
        }
        if self.by.len() < MOST_GROUPS {
            self.by.insert(code.to_owned(), *sums);
            return Ok(());
        }
        match self.by.last_entry() {
            Some(last) if code < last.key().as_str() => {
                self.others.merge(&last.get().values)?;
                last.remove();
                self.by.insert(code.to_owned(), *sums);
                Ok(())
            }
            _ => self.others.merge(&sums.values),
        }
    }

    /// The codes that are kept apart with their sums, in the order of their bytes.
    pub fn iter(&self) -> impl Iterator<Item = (&str, &CodeSums)> {
        self.by.iter().map(|(code, sums)| (code.as_str(), sums))
    }

    fn heads(&self) -> impl Iterator<Item = &Moments> {
        self.by.values().map(|sums| sums.heads.values())
    }

    /// The moments of all further codes together; empty when there are none.
    #[must_use]
    pub const fn others(&self) -> &Moments {
        &self.others
    }

    /// One-way analysis of variance of the heads' means between the codes that are kept apart; the others, being a
    /// mixture, are left out. With as many values in each head it is that of values nested in heads nested in codes.
    ///
    /// Units: sums of squares in squared counts, s in counts, the rest pure numbers. The differences the sums
    /// of squares are made of are exact integers; only quotients and sums of terms of one sign are rounded.
    ///
    /// # Errors
    /// [`NoAnova`] says why there is none.
    ///
    /// Source: NIST/SEMATECH e-Handbook of Statistical Methods, 7.4.3 (from memory).
    pub fn anova(&self) -> Result<Anova, NoAnova> {
        if self.by.len() < 2 {
            return Err(NoAnova::FewerThanTwoGroups);
        }
        let mut all = Moments::default();
        for moments in self.heads() {
            all.merge(moments).map_err(|_| NoAnova::TooLarge)?;
        }
        let (groups, n) = (self.by.len() as u64, all.n());
        if n == groups {
            return Err(NoAnova::NoneRepeated);
        }
        let within = self.heads().map(Moments::squared_deviations).sum::<f64>();
        let between = self.heads().map(|moments| between(moments, &all)).sum::<f64>();
        if within <= 0.0 {
            return Err(NoAnova::NoSpreadWithin);
        }
        let (degrees_between, degrees_within) = (groups - 1, n - groups);
        let mean_square = within / degrees_within as f64;
        let f = between / degrees_between as f64 / mean_square;
        Ok(Anova {
            between,
            within,
            degrees_between,
            degrees_within,
            f,
            p: f_upper_tail(f, degrees_between as f64, degrees_within as f64),
            r_squared: between / (between + within),
            s: libm::sqrt(mean_square),
        })
    }
}

/// n_g (x̄_g − x̄)² as (S_g N − S n_g)²/(n_g N²) with the numerator's root an exact integer.
fn between(group: &Moments, all: &Moments) -> f64 {
    let product = |sum: i128, n: u64| Wide::new(sum).times(Wide::new(n.into()));
    let apart = product(group.sum(), all.n()).minus(product(all.sum(), group.n())).to_f64() / all.n() as f64;
    apart * apart / group.n() as f64
}

/// Why there is no analysis of variance.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoAnova {
    /// There are fewer than two codes.
    FewerThanTwoGroups,
    /// Each code has one head only.
    NoneRepeated,
    /// The heads of each code do not differ.
    NoSpreadWithin,
    /// The sums over all codes would not fit any more.
    TooLarge,
}

/// One-way analysis of variance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Anova {
    /// Sum of squares between groups, in squared counts.
    pub between: f64,
    /// Sum of squares within groups, in squared counts.
    pub within: f64,
    /// Degrees of freedom between groups.
    pub degrees_between: u64,
    /// Degrees of freedom within groups.
    pub degrees_within: u64,
    /// The ratio of the mean squares.
    pub f: f64,
    /// The probability of an F as great or greater when the groups do not differ.
    pub p: f64,
    /// Which part of the whole sum of squares lies between the groups, 0 to 1.
    pub r_squared: f64,
    /// The standard deviation within groups, pooled, in counts.
    pub s: f64,
}
