//! Branch and bound over blocks of windows.

use std::cmp::Ordering;
use std::collections::BinaryHeap;
use std::ops::Range;

use headproof_quantity::Length;

use super::axis::{Axis, middle};
use crate::MetrologyError;
use crate::deck::LEAST_POINTS;
use crate::deck::prepared::{Least, Points, Prepared};

/// What a least zone costs however few its points are, in looks at a point.
const FEWEST_STEPS: usize = 1000;
/// What it costs to prepare a point for the zone, in looks at it.
const PREPARING: usize = 8;

/// The windows whose left edges begin some spans of the x axis and whose lower edges begin some of the
/// y axis.
#[derive(Debug, Clone, PartialEq)]
struct Block {
    x: Range<usize>,
    y: Range<usize>,
}

/// A block and the least zone of all the points in its windows: no window's own is wider.
struct Bounded {
    block: Block,
    least: Least,
    /// The number of the bound, for ties.
    turn: usize,
}

/// A window.
pub(super) struct Window {
    pub(super) corner: [Length; 2],
    pub(super) points: Vec<usize>,
}

/// What to do with a block.
enum Next {
    /// The zone of the block is that of this window in it.
    Found(Window),
    /// No window of the block holds the points that decide the zone.
    Divide([Block; 2]),
    /// The one window of the block says nothing.
    Drop,
}

/// The search for the worst window of a deck.
pub(super) struct Search<'a> {
    points: &'a [(Length, Length, Length)],
    doubles: Points,
    x: Axis,
    y: Axis,
    open: BinaryHeap<Bounded>,
    bounds: usize,
    steps: usize,
    most_steps: usize,
}

impl<'a> Search<'a> {
    pub(super) fn new(
        points: &'a [(Length, Length, Length)],
        length: Length,
        width: Length,
        most_steps: usize,
    ) -> Self {
        let axis = |coordinate: fn(&(Length, Length, Length)) -> Length, side| {
            Axis::new(&points.iter().map(coordinate).collect::<Vec<_>>(), side)
        };
        Self {
            points,
            doubles: Points::new(points),
            x: axis(|point| point.0, length),
            y: axis(|point| point.1, width),
            open: BinaryHeap::new(),
            bounds: 0,
            steps: 0,
            most_steps,
        }
    }

    /// The worst window and its zone; `None` when no window says anything.
    ///
    /// Blocks are taken from the widest zone down, so that the first one whose zone belongs to one of
    /// its windows is the end.
    pub(super) fn worst(mut self) -> Result<Option<(Window, Least)>, MetrologyError> {
        self.bound(Block { x: 0..self.x.spans(), y: 0..self.y.spans() })?;
        while let Some(Bounded { block, least, .. }) = self.open.pop() {
            match self.next(&block, &least)? {
                Next::Found(window) => return Ok(Some((window, least))),
                Next::Divide(parts) => parts.into_iter().try_for_each(|part| self.bound(part))?,
                Next::Drop => {}
            }
        }
        Ok(None)
    }

    /// Puts a block among the open ones, unless too few of its points say anything.
    fn bound(&mut self, block: Block) -> Result<(), MetrologyError> {
        let members = self.members(&block)?;
        let Ok(prepared) = Prepared::new(self.doubles.pick(&members)) else { return Ok(()) };
        let mut least = prepared.least()?;
        self.step(FEWEST_STEPS + members.len() * (PREPARING + least.passes))?;
        least.touching.iter_mut().for_each(|touching| touching.point = members[touching.point]);
        self.bounds += 1;
        self.open.push(Bounded { block, least, turn: self.bounds });
        Ok(())
    }

    /// The points that are in any window of a block.
    fn members(&mut self, block: &Block) -> Result<Vec<usize>, MetrologyError> {
        let (across_x, across_y) = (self.x.cover(&block.x), self.y.cover(&block.y));
        self.step(across_x.len().min(across_y.len()))?;
        // Of the two strips that cross in the block, the one with fewer points is looked through.
        Ok(if across_x.len() <= across_y.len() {
            let strip = self.x.at(across_x).iter().copied();
            strip.filter(|point| self.y.has(&across_y, *point)).collect()
        } else {
            let strip = self.y.at(across_y).iter().copied();
            strip.filter(|point| self.x.has(&across_x, *point)).collect()
        })
    }

    /// Counts some work, and gives up when it is too much.
    fn step(&mut self, steps: usize) -> Result<(), MetrologyError> {
        self.steps += steps;
        if self.steps > self.most_steps {
            return Err(MetrologyError::TooMany { points: self.points.len(), steps: self.most_steps });
        }
        Ok(())
    }

    fn next(&mut self, block: &Block, least: &Least) -> Result<Next, MetrologyError> {
        let deciding = || least.touching.iter().map(|touching| touching.point);
        let x = self.x.holding(&block.x, deciding());
        let y = self.y.holding(&block.y, deciding());
        // A block of one row or column of windows can only be divided along it.
        let by_x = block.x.len() > block.y.len();
        Ok(match (x, y) {
            (Ok(x), Ok(y)) => match self.window(x, y)? {
                Some(window) => Next::Found(window),
                None if by_x => Next::Divide(block.divided_in_x(middle(&block.x))),
                None if block.y.len() > 1 => Next::Divide(block.divided_in_y(middle(&block.y))),
                None => Next::Drop,
            },
            (Err(x), Err(_)) if by_x => Next::Divide(block.divided_in_x(x)),
            (Err(x), Ok(_)) => Next::Divide(block.divided_in_x(x)),
            (_, Err(y)) => Next::Divide(block.divided_in_y(y)),
        })
    }

    /// The window at a span of each axis, unless it says nothing: the zone of its block may be decided by
    /// three points in a line or two at one place.
    fn window(&mut self, x: usize, y: usize) -> Result<Option<Window>, MetrologyError> {
        let mut points = self.members(&Block { x: x..x + 1, y: y..y + 1 })?;
        points.sort_unstable();
        let place = |point: usize| (self.points[point].0, self.points[point].1);
        let apart = points.iter().any(|point| place(*point) != place(points[0]));
        let corner = [self.points[self.x.begin(x)].0, self.points[self.y.begin(y)].1];
        Ok((points.len() >= LEAST_POINTS && apart).then_some(Window { corner, points }))
    }
}

impl Block {
    fn divided_in_x(&self, at: usize) -> [Self; 2] {
        let part = |x| Self { x, y: self.y.clone() };
        [part(self.x.start..at), part(at..self.x.end)]
    }

    fn divided_in_y(&self, at: usize) -> [Self; 2] {
        let part = |y| Self { x: self.x.clone(), y };
        [part(self.y.start..at), part(at..self.y.end)]
    }
}

/// Wider zones first; of equal ones the latest, which is the smallest block.
impl Ord for Bounded {
    fn cmp(&self, other: &Self) -> Ordering {
        self.least.along_z.total_cmp(&other.least.along_z).then(self.turn.cmp(&other.turn))
    }
}

impl PartialOrd for Bounded {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl PartialEq for Bounded {
    fn eq(&self, other: &Self) -> bool {
        self.cmp(other) == Ordering::Equal
    }
}

impl Eq for Bounded {}
