//! Keys that were looked up not long ago.

use std::collections::HashMap;
use std::sync::{Arc, PoisonError, RwLock};
use std::time::{Duration, Instant};

use headproof_store::{KeyRecord, Store, Who};
use headproof_wire::Scope;
use time::OffsetDateTime;
use uuid::Uuid;

use super::Caller;
use super::secret::{KeySecret, scopes};
use crate::ApiError;

/// How long a key is remembered: so long may a key that was revoked elsewhere still open.
const MEMORY: Duration = Duration::from_secs(30);
/// More keys than any installation has in use within that time.
const MANY: usize = 10_000;

/// A key with what is to be said of who shows it.
struct Known {
    key: KeyRecord,
    caller: Caller,
    seen: Instant,
}

/// Keys by their id, and how often all were forgotten.
#[derive(Default)]
struct Memory {
    known: HashMap<Uuid, Arc<Known>>,
    forgotten: u64,
}

/// The keys of the store.
#[derive(Clone)]
pub(crate) struct Keys {
    store: Store,
    memory: Arc<RwLock<Memory>>,
}

impl Keys {
    pub(super) fn new(store: Store) -> Self {
        Self { store, memory: Arc::default() }
    }

    /// Who shows this key; none where it is not, or no longer, good.
    pub(super) async fn caller(&self, shown: &KeySecret) -> Result<Option<Caller>, ApiError> {
        let Some(known) = self.find(shown.id()).await? else {
            return Ok(None);
        };
        let key = &known.key;
        let is_over = |end: Option<OffsetDateTime>| end.is_some_and(|end| end <= OffsetDateTime::now_utc());
        let good = shown.is(&key.content.secret_sha256)
            && !is_over(key.revoked_at)
            && !is_over(key.content.expires_at);
        Ok(good.then(|| known.caller.clone()))
    }

    /// Forgets all, so that what was revoked in this process opens nothing from now on.
    pub(crate) fn forget(&self) {
        let mut memory = self.memory.write().unwrap_or_else(PoisonError::into_inner);
        memory.known.clear();
        memory.forgotten += 1;
    }

    async fn find(&self, id: Uuid) -> Result<Option<Arc<Known>>, ApiError> {
        let (remembered, forgotten) = {
            let memory = self.memory.read().unwrap_or_else(PoisonError::into_inner);
            (memory.known.get(&id).cloned(), memory.forgotten)
        };
        if let Some(known) = remembered.filter(|known| known.seen.elapsed() < MEMORY) {
            return Ok(Some(known));
        }
        let seen = Instant::now();
        let Some(key) = self.store.key(id).await? else { return Ok(None) };
        let caller = self.introduced(&key).await?;
        let known = Arc::new(Known { key, caller, seen });
        let mut memory = self.memory.write().unwrap_or_else(PoisonError::into_inner);
        // What was read before all was forgotten may be what was to be forgotten.
        if memory.forgotten == forgotten {
            if memory.known.len() >= MANY {
                memory.known.retain(|_, known| known.seen.elapsed() < MEMORY);
            }
            memory.known.insert(id, Arc::clone(&known));
        }
        Ok(Some(known))
    }

    /// The caller a key speaks for. Without a person who is still there it does not sign.
    async fn introduced(&self, key: &KeyRecord) -> Result<Caller, ApiError> {
        let content = &key.content;
        let person = match content.person {
            Some(id) => self.store.person(&key.shop, id).await?.filter(|person| person.left_at.is_none()),
            None => None,
        };
        let mut scopes = scopes(&content.scopes);
        if person.is_none() {
            scopes.retain(|scope| *scope != Scope::Sign);
        }
        let name = person.as_ref().map_or_else(|| content.label.clone(), |person| person.name.clone());
        Ok(Caller {
            shop: key.shop.clone(),
            who: Who { kind: "key".to_owned(), id: content.id.to_string(), name },
            scopes,
            person: person.map(|person| person.id),
        })
    }
}
