//! How much work may wait. Beyond it no more is taken in: what waits for days is no longer work but a list.

use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

use headproof_store::{ShopId, Store};

use crate::{ApiError, ProblemKind};

/// How long a count is good for.
const FRESH: Duration = Duration::from_secs(1);
/// Shops that are remembered.
const SHOPS: usize = 1000;

/// The bounds of what waits. Clones share what they counted.
#[derive(Debug, Clone)]
pub(crate) struct Backlog {
    most: u32,
    counted: Arc<Mutex<HashMap<ShopId, (Instant, u64)>>>,
}

impl Backlog {
    /// With so many open tasks of a shop at the most.
    pub(crate) fn of(most: u32) -> Self {
        Self { most, counted: Arc::default() }
    }

    /// Whether more of a shop can be taken in.
    ///
    /// # Errors
    /// [`ProblemKind::QueueFull`] when too much waits.
    pub(crate) async fn admit(&self, store: &Store, shop: &ShopId) -> Result<(), ApiError> {
        let open = match self.known(shop) {
            Some(open) => open,
            None => {
                let open = store.open_tasks(shop, self.most).await?;
                self.remember(shop.clone(), open);
                open
            }
        };
        if open < u64::from(self.most) {
            return Ok(());
        }
        let detail = format!("{} sheets of this shop are still to be made", self.most);
        Err(ApiError::because(ProblemKind::QueueFull, detail))
    }

    fn known(&self, shop: &ShopId) -> Option<u64> {
        let counted = self.counted.lock().unwrap_or_else(PoisonError::into_inner);
        counted.get(shop).filter(|(at, _)| at.elapsed() < FRESH).map(|(_, open)| *open)
    }

    fn remember(&self, shop: ShopId, open: u64) {
        let mut counted = self.counted.lock().unwrap_or_else(PoisonError::into_inner);
        if counted.len() >= SHOPS {
            counted.clear();
        }
        counted.insert(shop, (Instant::now(), open));
    }
}
