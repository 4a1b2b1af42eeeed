//! Finds room for the names inside a drawing: where nothing is drawn.

use super::Spot;

/// A rectangle on the page.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rect {
    pub(super) left: f32,
    pub(super) top: f32,
    pub(super) right: f32,
    pub(super) bottom: f32,
}

impl Rect {
    /// From its upper left corner and its size.
    pub(super) const fn new((left, top): Spot, (width, height): (f32, f32)) -> Self {
        Self { left, top, right: left + width, bottom: top + height }
    }

    const fn grown(self, by: f32) -> Self {
        Self { left: self.left - by, top: self.top - by, right: self.right + by, bottom: self.bottom + by }
    }

    fn holds(&self, other: &Self) -> bool {
        self.left <= other.left
            && other.right <= self.right
            && self.top <= other.top
            && other.bottom <= self.bottom
    }

    fn meets(&self, other: &Self) -> bool {
        self.left < other.right
            && other.left < self.right
            && self.top < other.bottom
            && other.top < self.bottom
    }

    /// The part of a line inside; none when it passes by. Liang and Barsky's method (from memory).
    pub(super) fn clip(&self, from: Spot, to: Spot) -> Option<(Spot, Spot)> {
        let (dx, dy) = (to.0 - from.0, to.1 - from.1);
        let (mut enter, mut leave) = (0.0_f32, 1.0_f32);
        let sides = [
            (-dx, from.0 - self.left),
            (dx, self.right - from.0),
            (-dy, from.1 - self.top),
            (dy, self.bottom - from.1),
        ];
        for (step, room) in sides {
            if step.abs() < 1e-9 {
                if room < 0.0 {
                    return None;
                }
            } else if step < 0.0 {
                enter = enter.max(room / step);
            } else {
                leave = leave.min(room / step);
            }
        }
        let at = |share: f32| (from.0 + share * dx, from.1 + share * dy);
        (enter < leave).then(|| (at(enter), at(leave)))
    }
}

/// What is drawn so far, and where names may stand.
pub(super) struct Labels {
    field: Rect,
    lines: Vec<(Spot, Spot)>,
    taken: Vec<Rect>,
}

/// Air around a name.
const AIR: f32 = 0.6;

impl Labels {
    /// For names inside a field.
    pub(super) const fn new(field: Rect) -> Self {
        Self { field, lines: Vec::new(), taken: Vec::new() }
    }

    /// Something was drawn along points.
    pub(super) fn line(&mut self, points: &[Spot]) {
        self.lines.extend(points.windows(2).map(|pair| (pair[0], pair[1])));
    }

    /// Something fills a rectangle.
    pub(super) fn take(&mut self, rect: Rect) {
        self.taken.push(rect);
    }

    /// The first of some corners at which a size finds room; it is taken then.
    pub(super) fn place(
        &mut self,
        size: (f32, f32),
        corners: impl IntoIterator<Item = Spot>,
    ) -> Option<Spot> {
        let clear = |corner: &Spot| {
            let rect = Rect::new(*corner, size).grown(AIR);
            self.field.holds(&rect)
                && !self.taken.iter().any(|other| other.meets(&rect))
                && !self.lines.iter().any(|(from, to)| rect.clip(*from, *to).is_some())
        };
        let corner = corners.into_iter().find(clear)?;
        self.taken.push(Rect::new(corner, size));
        Some(corner)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_goes_where_nothing_is_drawn() {
        let mut labels = Labels::new(Rect::new((0.0, 0.0), (50.0, 50.0)));
        labels.line(&[(0.0, 12.0), (50.0, 12.0)]);
        let corners = || [(10.0, 10.0), (10.0, 20.0), (10.0, 30.0), (45.0, 40.0)];
        assert_eq!(
            labels.place((10.0, 4.0), corners()),
            Some((10.0, 20.0)),
            "the line runs through the first"
        );
        assert_eq!(labels.place((10.0, 4.0), corners()), Some((10.0, 30.0)), "the second is taken");
        assert_eq!(labels.place((10.0, 4.0), corners()), None, "the last leaves the field");
    }

    #[test]
    fn a_line_is_cut_at_the_sides() {
        let rect = Rect::new((0.0, 0.0), (10.0, 10.0));
        assert_eq!(rect.clip((-6.0, 5.0), (26.0, 5.0)), Some(((0.0, 5.0), (10.0, 5.0))));
        assert_eq!(rect.clip((2.0, 18.0), (2.0, -14.0)), Some(((2.0, 10.0), (2.0, 0.0))));
        assert_eq!(rect.clip((-5.0, 11.0), (20.0, 11.0)), None);
    }
}
