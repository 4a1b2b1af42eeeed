//! From a section onto paper.

use super::{Point, Profile, Spot};

/// The scales to draw at, as many times larger than life.
const SCALES: [f64; 17] =
    [40.0, 30.0, 25.0, 20.0, 15.0, 12.0, 10.0, 9.0, 8.0, 7.0, 6.0, 5.0, 4.0, 3.0, 2.0, 1.5, 1.0];

/// The largest usual scale that is not above a fitting one.
pub(crate) fn largest_scale(fitting: f64) -> f64 {
    SCALES.into_iter().find(|scale| *scale <= fitting).unwrap_or(fitting)
}

/// A field on paper and how a section lies in it.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Paper {
    /// Upper left corner of the field.
    pub(crate) corner: Spot,
    /// Its width and height.
    pub(crate) size: (f32, f32),
    /// Millimetres on paper for each of the section.
    pub(crate) scale: f64,
    /// A point of the section.
    pub(crate) point: Point,
    /// Where it lies on the page.
    pub(crate) lies_at: Spot,
}

impl Paper {
    /// Where a point of the section lies on the page.
    pub(crate) fn spot(&self, point: Point) -> Spot {
        let across = ((point.radius - self.point.radius) * self.scale) as f32;
        let up = ((point.height - self.point.height) * self.scale) as f32;
        (self.lies_at.0 + across, self.lies_at.1 - up)
    }

    /// Left edge of the field.
    pub(crate) const fn left(&self) -> f32 {
        self.corner.0
    }

    /// Its upper edge.
    pub(crate) const fn top(&self) -> f32 {
        self.corner.1
    }

    /// Its right edge.
    pub(crate) const fn right(&self) -> f32 {
        self.corner.0 + self.size.0
    }

    /// Its lower edge.
    pub(crate) const fn bottom(&self) -> f32 {
        self.corner.1 + self.size.1
    }

    /// Where a line that leaves a spot on a slope meets the edge of the field, to the left or to the right.
    pub(crate) fn end_of_line(&self, (x, y): Spot, slope: f64, right: bool) -> Spot {
        let slope = slope as f32;
        let (end, limit) = if right { (self.right(), self.top()) } else { (self.left(), self.bottom()) };
        let at_end = y - (end - x) * slope;
        let beyond = if right { at_end < limit } else { at_end > limit };
        if beyond && slope > 0.0 { (x - (limit - y) / slope, limit) } else { (end, at_end) }
    }

    /// The four corners of a profile on paper: throat end, inner edge, outer edge, top end.
    pub(crate) fn corners(&self, profile: &Profile) -> [Spot; 4] {
        let (inner, outer) = (self.spot(profile.inner), self.spot(profile.outer));
        [
            self.end_of_line(inner, profile.throat, false),
            inner,
            outer,
            self.end_of_line(outer, profile.top, true),
        ]
    }
}
