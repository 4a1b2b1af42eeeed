//! Numbers that look random and are the same every time.

/// A generator of the kind of Marsaglia's xorshift (2003, from memory): good enough to vary heads.
pub(crate) struct Dice {
    state: u64,
    spared: bool,
}

impl Dice {
    pub(crate) fn new(seed: u64) -> Self {
        Self { state: seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1, spared: false }
    }

    /// One under which nothing is worn or broken.
    pub(crate) fn sparing(seed: u64) -> Self {
        Self { spared: true, ..Self::new(seed) }
    }

    fn next(&mut self) -> u64 {
        self.state ^= self.state << 13;
        self.state ^= self.state >> 7;
        self.state ^= self.state << 17;
        self.state
    }

    /// Evenly between two ends.
    pub(crate) fn between(&mut self, least: f64, most: f64) -> f64 {
        let share = (self.next() >> 11) as f64 / (1u64 << 53) as f64;
        share.mul_add(most - least, least)
    }

    /// True in so many cases of a hundred.
    pub(crate) fn chance(&mut self, percent: u64) -> bool {
        self.next() % 100 < percent
    }

    /// Something is worn or broken in so many cases of a hundred.
    pub(crate) fn fault(&mut self, percent: u64) -> bool {
        self.chance(percent) && !self.spared
    }

    /// A whole number below `end`.
    pub(crate) fn below(&mut self, end: u64) -> u64 {
        self.next() % end
    }
}
