//! Points in the order of one coordinate.

use std::ops::Range;

use headproof_quantity::Length;

/// The points in ascending order of one coordinate, and the sets of neighbours that one side of a window
/// can cover.
pub(super) struct Axis {
    /// Index of the point at each position.
    order: Vec<usize>,
    /// Position of each point.
    position: Vec<usize>,
    /// Positions that a side covers when it begins at the first of them: only those that no other covers
    /// as well, so that both ends ascend.
    spans: Vec<Range<usize>>,
}

impl Axis {
    pub(super) fn new(coordinates: &[Length], side: Length) -> Self {
        let count = coordinates.len();
        let mut order: Vec<usize> = (0..count).collect();
        order.sort_by_key(|point| coordinates[*point]);
        let mut position = vec![0; count];
        order.iter().enumerate().for_each(|(at, point)| position[*point] = at);
        let mut spans: Vec<Range<usize>> = Vec::new();
        let mut end = 0;
        for start in 0..count {
            // Exact: a point on the far edge is inside.
            let covered =
                |at: usize| (coordinates[order[at]] - coordinates[order[start]]).exact() <= side.exact();
            while end < count && covered(end) {
                end += 1;
            }
            if spans.last().is_none_or(|last| end > last.end) {
                spans.push(start..end);
            }
        }
        Self { order, position, spans }
    }

    /// The number of spans.
    pub(super) fn spans(&self) -> usize {
        self.spans.len()
    }

    /// The point at which a span begins.
    pub(super) fn begin(&self, span: usize) -> usize {
        self.order[self.spans[span].start]
    }

    /// The positions that some spans cover together.
    pub(super) fn cover(&self, spans: &Range<usize>) -> Range<usize> {
        self.spans[spans.start].start..self.spans[spans.end - 1].end
    }

    /// The points at some positions.
    pub(super) fn at(&self, positions: Range<usize>) -> &[usize] {
        &self.order[positions]
    }

    /// Whether a point is at one of some positions.
    pub(super) fn has(&self, positions: &Range<usize>, point: usize) -> bool {
        positions.contains(&self.position[point])
    }

    /// The first of some spans that holds all of some points; else the number of spans after which to
    /// divide them so that neither part covers all the points.
    pub(super) fn holding(
        &self,
        spans: &Range<usize>,
        points: impl Iterator<Item = usize>,
    ) -> Result<usize, usize> {
        let cover = self.cover(spans);
        let (mut first, mut last) = (cover.end, cover.start);
        for position in points.map(|point| self.position[point]) {
            (first, last) = (first.min(position), last.max(position));
        }
        // Spans before `reaching` end before the last point, those from `beyond` on begin after the
        // first.
        let reaching = self.spans.partition_point(|span| span.end <= last).max(spans.start);
        let beyond = self.spans.partition_point(|span| span.start <= first).min(spans.end);
        if reaching < beyond {
            return Ok(reaching);
        }
        Err(middle(spans).clamp(beyond, reaching))
    }
}

/// Where to divide some spans in equal parts.
pub(super) fn middle(spans: &Range<usize>) -> usize {
    spans.start + spans.len() / 2
}
