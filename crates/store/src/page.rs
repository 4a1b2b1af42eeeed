//! Lists that are read page by page.

use time::OffsetDateTime;
use uuid::Uuid;

use crate::clock::unix_ms;

/// The place of something in a list that is in the order of time.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Place {
    /// When it came.
    pub at: OffsetDateTime,
    /// Which of those that came then.
    pub id: Uuid,
}

/// A part of a list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Page {
    /// What comes after this; from the beginning without.
    pub after: Option<Place>,
    /// So many at the most.
    pub most: u32,
}

impl Page {
    pub(crate) fn after_at(&self) -> i64 {
        self.after.map_or(i64::MIN, |place| unix_ms(place.at))
    }

    pub(crate) fn after_id(&self) -> String {
        self.after.map(|place| place.id.to_string()).unwrap_or_default()
    }
}
