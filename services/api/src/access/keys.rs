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

/// The keys of the store.
#[derive(Clone)]
pub(crate) struct Keys {
    store: Store,
    known: Arc<RwLock<HashMap<Uuid, Arc<Known>>>>,
}

impl Keys {
    pub(super) fn new(store: Store) -> Self {
        Self { store, known: Arc::default() }
    }

    /// Who shows this key; none where it is not, or no longer, good.
    pub(super) async fn caller(&self, shown: &KeySecret) -> Result<Option<Caller>, ApiError> {
        let Some(known) = self.find(shown.id()).await? else {
            // As much work as for a key that is known.
            let _ = shown.is(&[0; 32]);
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
        self.known.write().unwrap_or_else(PoisonError::into_inner).clear();
    }

    async fn find(&self, id: Uuid) -> Result<Option<Arc<Known>>, ApiError> {
        let remembered = self.known.read().unwrap_or_else(PoisonError::into_inner).get(&id).cloned();
        if let Some(known) = remembered.filter(|known| known.seen.elapsed() < MEMORY) {
            return Ok(Some(known));
        }
        let seen = Instant::now();
        let Some(key) = self.store.key(id).await? else { return Ok(None) };
        let caller = self.introduced(&key).await?;
        let known = Arc::new(Known { key, caller, seen });
        let mut all = self.known.write().unwrap_or_else(PoisonError::into_inner);
        if all.len() >= MANY {
            all.retain(|_, known| known.seen.elapsed() < MEMORY);
        }
        all.insert(id, Arc::clone(&known));
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
