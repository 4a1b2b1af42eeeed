//! Chance from a seed, so that a run can be repeated.

/// A generator of numbers that look random.
///
/// Source: `SplitMix64`; Steele, Lea, Flood, Fast splittable pseudorandom number generators, OOPSLA 2014
/// (constants from memory).
pub(crate) struct Dice(u64);

impl Dice {
    pub(crate) fn new(seed: u32) -> Self {
        Self(seed.into())
    }

    fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    /// A number below `bound`; zero when nothing is below it.
    pub(crate) fn below(&mut self, bound: usize) -> usize {
        let bound = u64::try_from(bound).unwrap_or(u64::MAX).max(1);
        usize::try_from(self.next() % bound).unwrap_or(0)
    }

    /// True once in so many times.
    pub(crate) fn once_in(&mut self, times: usize) -> bool {
        self.below(times) == 0
    }

    /// One of several; none of none.
    pub(crate) fn pick<'a, T>(&mut self, from: &'a [T]) -> Option<&'a T> {
        from.get(self.below(from.len()))
    }

    /// One of several, each as often as its weight says.
    pub(crate) fn weighted<'a, T>(&mut self, from: &'a [(usize, T)]) -> Option<&'a T> {
        let mut left = self.below(from.iter().map(|(weight, _)| weight).sum());
        let chosen = from.iter().find(|(weight, _)| match left.checked_sub(*weight) {
            Some(rest) => {
                left = rest;
                false
            }
            None => true,
        });
        chosen.map(|(_, one)| one)
    }
}
