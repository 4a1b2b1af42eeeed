//! A document on its way to become another.

use std::ops::Range;

use crate::dice::Dice;
use crate::outline::{Kind, Outline, Spot};

/// Bytes to be put in place of others.
pub(super) type Splice = (Range<usize>, Vec<u8>);

/// A text with its outline.
pub(super) struct Scene<'t> {
    pub(super) outline: Outline<'t>,
}

impl<'t> Scene<'t> {
    pub(super) fn of(text: &'t [u8]) -> Option<Self> {
        Outline::of(text).map(|outline| Self { outline })
    }

    /// Any of the spots that fit: half of the time all alike, otherwise on a way down that takes every branch
    /// alike, so that what stands alone is found as often as what stands in long lists.
    pub(super) fn any(&self, dice: &mut Dice, fits: impl Fn(&Spot) -> bool) -> Option<usize> {
        if dice.once_in(2)
            && let Some(found) = (0..10).find_map(|_| self.descend(dice, &fits))
        {
            return Some(found);
        }
        let spots = self.outline.spots.iter().enumerate();
        let all: Vec<usize> = spots.filter(|(_, spot)| fits(spot)).map(|(index, _)| index).collect();
        dice.pick(&all).copied()
    }

    fn descend(&self, dice: &mut Dice, fits: impl Fn(&Spot) -> bool) -> Option<usize> {
        let mut at = 0;
        loop {
            let children: Vec<usize> = self.outline.children(at).collect();
            if children.is_empty() || dice.once_in(8) {
                return fits(&self.outline.spots[at]).then_some(at);
            }
            at = *dice.pick(&children)?;
        }
    }

    /// Any member or element, and with it its neighbours.
    pub(super) fn any_child(&self, dice: &mut Dice) -> Option<(usize, Vec<usize>)> {
        let child = self.any(dice, |spot| spot.parent.is_some())?;
        Some((child, self.outline.children(self.outline.spots[child].parent?).collect()))
    }

    /// Puts a value into some object under a name, or into some array without.
    pub(super) fn insertion(
        &self,
        dice: &mut Dice,
        name: Option<&[u8]>,
        value: &[u8],
    ) -> Option<Vec<Splice>> {
        let wanted = if name.is_some() { Kind::Object } else { Kind::Array };
        let into = self.any(dice, |spot| spot.kind == wanted)?;
        Some(self.insertion_at(into, name, value))
    }

    /// The same, into this one.
    pub(super) fn insertion_at(&self, into: usize, name: Option<&[u8]>, value: &[u8]) -> Vec<Splice> {
        let start = self.outline.spots[into].value.start + 1;
        let mut text = Vec::new();
        if let Some(name) = name {
            text.extend_from_slice(name);
            text.push(b':');
        }
        text.extend_from_slice(value);
        if self.outline.children(into).next().is_some() {
            text.push(b',');
        }
        vec![(start..start, text)]
    }

    /// Takes a member or element away, with the comma behind it, or before it when it is the last.
    pub(super) fn without(&self, child: usize) -> Vec<Splice> {
        let slot = |index: usize| self.outline.spots[index].slot();
        let parent = self.outline.spots[child].parent;
        let all: Vec<usize> = parent.into_iter().flat_map(|parent| self.outline.children(parent)).collect();
        let at = all.iter().position(|other| *other == child).unwrap_or_default();
        let place = match (at.checked_sub(1).and_then(|before| all.get(before)), all.get(at + 1)) {
            (_, Some(next)) => slot(child).start..slot(*next).start,
            (Some(before), None) => slot(*before).end..slot(child).end,
            (None, None) => slot(child),
        };
        vec![(place, Vec::new())]
    }

    /// The text with other bytes at some places. Of places that overlap, the first counts.
    pub(super) fn with(&self, mut splices: Vec<Splice>) -> Vec<u8> {
        splices.sort_by_key(|(place, _)| place.start);
        let text = self.outline.text;
        let mut out = Vec::with_capacity(text.len() + 64);
        let mut done = 0;
        for (place, new) in splices {
            if place.start < done {
                continue;
            }
            out.extend_from_slice(&text[done..place.start]);
            out.extend_from_slice(&new);
            done = place.end;
        }
        out.extend_from_slice(&text[done..]);
        out
    }
}
