//! Readings prepared for the search: one row each, heights scaled by a power of two.

/// Readings as rows of the linear program of a face with `M` − 1 coefficients: what each coefficient is
/// multiplied by at the place of the reading, and last the side, +1 for the upper face and −1 for the
/// lower, which is set per use. The last coefficient is the level, whose multiplier is 1.
#[derive(Clone, Copy)]
pub(crate) struct Cloud<'a, const M: usize> {
    /// Places, of a size of at most 1.
    pub(crate) rows: &'a [[f64; M]],
    /// Heights, of a size of at most 1.
    pub(crate) heights: &'a [f64],
}

impl<const M: usize> Cloud<'_, M> {
    /// The row of a point on a side.
    pub(super) fn row(&self, point: usize, side: f64) -> [f64; M] {
        let mut row = self.rows[point];
        row[M - 1] = side;
        row
    }

    /// Height of each point above the middle face, whose last number (the half width) is not used.
    pub(super) fn residuals(&self, face: &[f64; M]) -> impl Iterator<Item = f64> {
        let level = |row: &[f64; M]| -> f64 { (0..M - 1).map(|k| row[k] * face[k]).sum() };
        self.rows.iter().zip(self.heights).map(move |(row, height)| height - level(row))
    }
}

/// Amounts about the middle of their range, and half that range.
pub(crate) fn centred(mut amounts: Vec<f64>) -> (Vec<f64>, f64) {
    let none = (f64::INFINITY, f64::NEG_INFINITY);
    let (least, greatest) =
        amounts.iter().fold(none, |(least, greatest), a| (least.min(*a), greatest.max(*a)));
    let middle = 0.5 * (least + greatest);
    amounts.iter_mut().for_each(|amount| *amount -= middle);
    (amounts, greatest - middle)
}

/// Amounts over the power of two next above `size` (1 for nothing), and that power: no digit is rounded
/// away.
pub(crate) fn scaled(mut amounts: Vec<f64>, size: f64) -> (Vec<f64>, f64) {
    let scale = if size > 0.0 { libm::scalbn(1.0, libm::frexp(size).1) } else { 1.0 };
    amounts.iter_mut().for_each(|amount| *amount /= scale);
    (amounts, scale)
}
