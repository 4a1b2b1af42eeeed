//! Whether a trail hangs together.

use serde::{Deserialize, Serialize};

use crate::{BEGINNING, Entry, digest};

/// How far a trail reached at some time.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Checkpoint {
    /// How many entries it had.
    pub size: u64,
    /// The digest of the last of them.
    pub head: String,
}

/// Where a trail is broken.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum Break {
    /// A line is no entry, or is not written as entries are.
    #[error("line {0} is no entry")]
    NoEntry(u64),
    /// An entry has the number of another place.
    #[error("line {line} has the number {number}: an entry is missing, or stands elsewhere")]
    Number {
        /// Which line.
        line: u64,
        /// The number it has.
        number: u64,
    },
    /// An entry is of another shop than the first.
    #[error("line {0} is of another shop")]
    Shop(u64),
    /// The entry before this one is not the one it was written after.
    #[error("line {0} does not follow the line before it: one of them was changed")]
    Previous(u64),
    /// The trail is shorter than it once was.
    #[error("the trail ends after {size} entries, but had {known} once")]
    Shorter {
        /// How many there are.
        size: u64,
        /// How many there were.
        known: u64,
    },
    /// The trail is not the one that a checkpoint was taken of.
    #[error("the first {0} entries are not those the checkpoint was taken of")]
    Checkpoint(u64),
}

/// A trail that is being read, line by line.
#[derive(Debug, Clone, Default)]
pub struct Chain {
    size: u64,
    head: Option<String>,
    shop: Option<String>,
}

impl Chain {
    /// Takes the next line.
    ///
    /// # Errors
    /// A [`Break`] at this line.
    pub fn push(&mut self, line: &[u8]) -> Result<(), Break> {
        let number = self.size + 1;
        let entry: Entry = serde_json::from_slice(line).map_err(|_| Break::NoEntry(number))?;
        if entry.line().ok().as_deref() != Some(line) {
            return Err(Break::NoEntry(number));
        }
        if entry.sequence != number {
            return Err(Break::Number { line: number, number: entry.sequence });
        }
        if self.shop.get_or_insert_with(|| entry.shop.clone()) != &entry.shop {
            return Err(Break::Shop(number));
        }
        if entry.previous != self.head.as_deref().unwrap_or(BEGINNING) {
            return Err(Break::Previous(number));
        }
        self.size = number;
        self.head = Some(digest(line));
        Ok(())
    }

    /// How far it reaches by now.
    #[must_use]
    pub fn checkpoint(&self) -> Checkpoint {
        Checkpoint { size: self.size, head: self.head.clone().unwrap_or_else(|| BEGINNING.to_owned()) }
    }
}

/// Reads a whole trail and holds it against checkpoints that were noted elsewhere; gives how far it reaches.
///
/// # Errors
/// The first [`Break`]. A trail that was cut off or written anew behind the newest checkpoint has none.
pub fn verify<L: AsRef<[u8]>>(
    lines: impl IntoIterator<Item = L>,
    known: &[Checkpoint],
) -> Result<Checkpoint, Break> {
    let mut chain = Chain::default();
    let agree = |chain: &Chain| {
        let now = chain.checkpoint();
        match known.iter().find(|known| known.size == now.size && known.head != now.head) {
            Some(known) => Err(Break::Checkpoint(known.size)),
            None => Ok(()),
        }
    };
    agree(&chain)?;
    for line in lines {
        chain.push(line.as_ref())?;
        agree(&chain)?;
    }
    let end = chain.checkpoint();
    match known.iter().map(|known| known.size).max() {
        Some(known) if known > end.size => Err(Break::Shorter { size: end.size, known }),
        _ => Ok(end),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::{Event, Happening, Who};

    fn trail(length: u64) -> Vec<Vec<u8>> {
        let mut lines: Vec<Vec<u8>> = Vec::new();
        for sequence in 1..=length {
            let happening = Happening {
                who: Who { kind: "key".into(), id: "1".into(), name: "Büro".into() },
                what: Event::Submitted,
                to: format!("job {sequence}"),
                digest: Some("ab".into()),
                note: None,
                request: None,
            };
            let previous = lines.last().map_or_else(|| BEGINNING.to_owned(), |line| digest(line));
            let at = "2026-03-12T09:40:00Z".to_owned();
            lines.push(Entry::new("s".into(), sequence, at, happening, previous).line().unwrap());
        }
        lines
    }

    #[test]
    fn a_trail_hangs_together_and_says_how_far_it_reaches() {
        assert_eq!(verify(trail(0), &[]), Ok(Checkpoint { size: 0, head: BEGINNING.into() }));
        let end = verify(trail(5), &[verify(trail(3), &[]).unwrap()]).unwrap();
        assert_eq!((end.size, end.head.len()), (5, 64));
    }

    #[test]
    fn every_change_of_a_byte_before_a_checkpoint_is_found() {
        let lines = trail(4);
        let known = [verify(&lines, &[]).unwrap()];
        for line in 0..4 {
            for byte in 0..lines[line].len() {
                let mut changed = lines.clone();
                changed[line][byte] ^= 1;
                assert!(verify(&changed, &known).is_err(), "line {line}, byte {byte}");
            }
        }
    }

    #[test]
    fn entries_taken_out_put_in_or_exchanged_are_found() {
        let lines = trail(4);
        let mut without = lines.clone();
        without.remove(1);
        assert_eq!(verify(&without, &[]), Err(Break::Number { line: 2, number: 3 }));
        let mut twice = lines.clone();
        twice.insert(1, lines[0].clone());
        assert_eq!(verify(&twice, &[]), Err(Break::Number { line: 2, number: 1 }));
        let mut exchanged = lines.clone();
        exchanged.swap(1, 2);
        assert!(verify(&exchanged, &[]).is_err());
        let spaced = [[&lines[0][..], b" "].concat()];
        assert_eq!(verify(spaced, &[]), Err(Break::NoEntry(1)));
    }

    #[test]
    fn a_trail_written_anew_is_found_by_the_checkpoint_alone() {
        let known = [verify(trail(3), &[]).unwrap()];
        let mut anew = trail(2);
        let entry: Entry = serde_json::from_slice(&trail(3)[2]).unwrap();
        anew.push(Entry { to: "job 7".into(), ..entry }.line().unwrap());
        assert!(verify(&anew, &[]).is_ok(), "it hangs together");
        assert_eq!(verify(&anew, &known), Err(Break::Checkpoint(3)));
        assert_eq!(verify(trail(2), &known), Err(Break::Shorter { size: 2, known: 3 }));
    }

    /// What the documentation warns of.
    #[test]
    fn what_is_cut_off_after_the_checkpoint_is_not_found() {
        let known = [verify(trail(2), &[]).unwrap()];
        assert!(verify(trail(2), &known).is_ok(), "of the trail of 5 nobody knows");
    }
}
