//! What fails most.

use std::collections::BTreeMap;

/// Counts by key, for a Pareto chart. Parts of several workers merge in any order to the same counts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pareto<K: Ord> {
    counts: BTreeMap<K, u64>,
}

/// One bar of a Pareto chart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ParetoRow<'a, K> {
    /// What was counted.
    pub key: &'a K,
    /// How often.
    pub count: u64,
    /// Its share of all counts, 0 to 1.
    pub share: f64,
    /// The share of this and all rows before it; exactly 1 in the last row.
    pub cumulative: f64,
}

impl<K: Ord> Default for Pareto<K> {
    fn default() -> Self {
        Self { counts: BTreeMap::new() }
    }
}

impl<K: Ord> Pareto<K> {
    /// Counts `key` another `times`. A count stays at its largest number instead of running over.
    pub fn add(&mut self, key: K, times: u64) {
        if times > 0 {
            let count = self.counts.entry(key).or_default();
            *count = count.saturating_add(times);
        }
    }

    /// Takes in the counts of another part.
    pub fn merge(&mut self, other: Self) {
        for (key, count) in other.counts {
            self.add(key, count);
        }
    }

    /// How much was counted altogether.
    #[must_use]
    pub fn total(&self) -> u128 {
        self.counts.values().map(|&count| u128::from(count)).sum()
    }

    /// The rows, the greatest count first, equal counts in the order of their keys; none where nothing was counted.
    ///
    /// ```
    /// let mut pareto = headproof_line::Pareto::default();
    /// pareto.add("runout", 1);
    /// pareto.add("width", 3);
    /// let rows = pareto.rows();
    /// assert!(*rows[0].key == "width" && rows[0].cumulative == 0.75 && rows[1].cumulative == 1.0);
    /// ```
    #[must_use]
    pub fn rows(&self) -> Vec<ParetoRow<'_, K>> {
        let total = self.total() as f64;
        let mut sorted: Vec<(&K, u64)> = self.counts.iter().map(|(key, &count)| (key, count)).collect();
        // Stable: equal counts stay in the order of their keys.
        sorted.sort_by_key(|&(_, count)| std::cmp::Reverse(count));
        let mut so_far = 0_u128;
        sorted
            .into_iter()
            .map(|(key, count)| {
                so_far += u128::from(count);
                ParetoRow { key, count, share: count as f64 / total, cumulative: so_far as f64 / total }
            })
            .collect()
    }
}
