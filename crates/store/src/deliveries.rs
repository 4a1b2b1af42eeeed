//! Deliveries: what receivers are told, at least once each and in no order.

use std::time::Duration;

use time::OffsetDateTime;
use uuid::Uuid;

use crate::clock::{duration_ms, unix_ms};
use crate::{ArtifactKind, Error, Origin, Page, ReceiverRecord, Result, ShopId, Store, TaskState, sql};

/// A receiver that failed so often in a row is failing: one failure may be chance.
const FAILING: u32 = 2;
const LIMITS: Limits = Limits { at_once: 4, failing: FAILING };
/// One that is failing is let be for so long at first; doubles with every failure.
const FIRST_PAUSE: Duration = Duration::from_secs(1);
/// And for so long at the most.
const LONGEST_PAUSE: Duration = Duration::from_secs(300);

/// How much one receiver gets.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Limits {
    /// Messages at a time, while it is not failing.
    pub(crate) at_once: u32,
    /// Failures in a row from which on it gets one at a time.
    pub(crate) failing: u32,
}

/// Something that receivers are told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Telling {
    pub(crate) event: String,
    pub(crate) owner: Uuid,
}

impl Telling {
    /// That a task has come to its end.
    pub(crate) fn of(kind: ArtifactKind, state: TaskState, owner: Uuid) -> Self {
        Self { event: format!("{}.{}", kind.subject(), state.as_str()), owner }
    }
}

/// Where a delivery stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DeliveryState {
    /// It waits.
    Queued,
    /// It is under way.
    Running,
    /// It got through.
    Delivered,
    /// It was given up, until somebody has it sent again.
    Dead,
}

impl DeliveryState {
    /// All states.
    pub const ALL: [Self; 4] = [Self::Queued, Self::Running, Self::Delivered, Self::Dead];

    /// The name it is stored and published under.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Queued => "queued",
            Self::Running => "running",
            Self::Delivered => "delivered",
            Self::Dead => "dead",
        }
    }

    /// The state of a name.
    #[must_use]
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|state| state.as_str() == name)
    }
}

/// What is told.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Message {
    /// Its id: the same at every try.
    pub id: Uuid,
    /// Whose it is.
    pub shop: ShopId,
    /// The name of the event.
    pub event: String,
    /// The job, sign-off or batch it is about.
    pub owner: Uuid,
    /// When it happened, to the millisecond.
    pub occurred_at: OffsetDateTime,
    /// The request that was the beginning of it.
    pub origin: Origin,
}

/// A delivery.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeliveryRecord {
    /// What is told.
    pub message: Message,
    /// Where it stands.
    pub state: DeliveryState,
    /// How often it was tried.
    pub attempt: u32,
    /// When it is tried next.
    pub not_before: OffsetDateTime,
    /// The status of the last answer.
    pub status: Option<u16>,
    /// Why the last try failed.
    pub reason: Option<String>,
    /// When it came to its end.
    pub finished_at: Option<OffsetDateTime>,
}

/// A delivery in the hands of a worker.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DeliveryClaim {
    /// What is told.
    pub message: Message,
    /// Whom.
    pub receiver: ReceiverRecord,
    /// Which attempt this is, from 1; anew from 1 for a message that is sent again.
    pub attempt: u32,
    /// How often it was ever handed out; the fencing token.
    pub(crate) fence: u32,
}

/// What came of a try.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Failure {
    /// The status of the answer, if there was one.
    pub status: Option<u16>,
    /// Why it failed.
    pub reason: String,
    /// After how long it is tried again; not at all without.
    pub again: Option<Duration>,
    /// The receiver wants no more.
    pub gone: bool,
    /// A receiver that fails for longer is disabled.
    pub disable_after: Duration,
}

impl Store {
    /// Takes the next delivery for the length of a lease, or nothing when there is none.
    ///
    /// The receiver that has waited longest is served first. One that failed twice in a row is let be for a while and
    /// then tried with one message at a time, so that it keeps nobody else waiting.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn claim_delivery(&self, lease: Duration) -> Result<Option<DeliveryClaim>> {
        let now = self.clock.now_ms();
        if sql::deliveries::due(&mut self.read().await?, None, now, LIMITS).await?.is_empty() {
            return Ok(None);
        }
        let mut tx = self.begin().await?;
        let mut claim = None;
        for receiver in sql::deliveries::due(&mut tx, None, now, LIMITS).await? {
            if !sql::deliveries::hold(&mut tx, receiver, now, LIMITS).await? {
                continue;
            }
            if let Some(id) = sql::deliveries::next(&mut tx, receiver, now).await? {
                let until = now.saturating_add(duration_ms(lease));
                claim = sql::deliveries::take(&mut tx, id, until).await?;
                break;
            }
        }
        tx.commit().await?;
        Ok(claim)
    }

    /// A message got through.
    ///
    /// # Errors
    /// [`Error::Fenced`] when another worker has it.
    pub async fn delivered(&self, claim: &DeliveryClaim, status: u16) -> Result<()> {
        let now = self.clock.now_ms();
        let mut tx = self.begin().await?;
        if !sql::deliveries::end(&mut tx, claim, DeliveryState::Delivered, Some(status), None, now).await? {
            return Err(Error::Fenced { task: claim.message.id, attempt: claim.attempt });
        }
        sql::receivers::got_through(&mut tx, claim.receiver.id, now).await?;
        tx.commit().await?;
        Ok(())
    }

    /// A message did not get through.
    ///
    /// # Errors
    /// [`Error::Fenced`] when another worker has it.
    pub async fn not_delivered(&self, claim: &DeliveryClaim, failure: &Failure) -> Result<()> {
        let now = self.clock.now_ms();
        let Failure { status, reason, again, gone, disable_after } = failure;
        let mut tx = self.begin().await?;
        let held = match again {
            Some(wait) if !gone => {
                let at = now.saturating_add(duration_ms(*wait));
                sql::deliveries::requeue(&mut tx, claim, *status, reason, at).await?
            }
            _ => {
                let state = DeliveryState::Dead;
                sql::deliveries::end(&mut tx, claim, state, *status, Some(reason), now).await?
            }
        };
        if !held {
            return Err(Error::Fenced { task: claim.message.id, attempt: claim.attempt });
        }
        let receiver = claim.receiver.id;
        if let Some((since, failures)) = sql::receivers::did_not(&mut tx, receiver, reason, now).await? {
            if let Some(more) = failures.checked_sub(FAILING) {
                let pause = FIRST_PAUSE.saturating_mul(1 << more.min(16)).min(LONGEST_PAUSE);
                sql::receivers::let_be(&mut tx, receiver, now.saturating_add(duration_ms(pause))).await?;
            }
            if *gone {
                sql::receivers::disable(&mut tx, receiver, "it said that it is gone (410)").await?;
            } else if since.saturating_add(duration_ms(*disable_after)) < now {
                sql::receivers::disable(&mut tx, receiver, "nothing has got through for too long").await?;
            }
        }
        tx.commit().await?;
        Ok(())
    }

    /// A message could not be sent, and the receiver had no part in that: the try does not count.
    ///
    /// # Errors
    /// [`Error::Fenced`] when another worker has it.
    pub async fn put_delivery_back(&self, claim: &DeliveryClaim, wait: Duration) -> Result<()> {
        let at = self.clock.now_ms().saturating_add(duration_ms(wait));
        let mut tx = self.begin().await?;
        if !sql::deliveries::put_back(&mut tx, claim, at).await? {
            return Err(Error::Fenced { task: claim.message.id, attempt: claim.attempt });
        }
        tx.commit().await?;
        Ok(())
    }

    /// Whether any receiver of this shop wants to be told of such.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn wants(&self, shop: &ShopId, event: &str) -> Result<bool> {
        Ok(!sql::deliveries::wanting(&mut self.read().await?, shop, event).await?.is_empty())
    }

    /// Queues a message for each receiver that wants to be told of such and was not told of this owner before. Returns for
    /// how many.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn tell_once(&self, shop: &ShopId, event: &str, owner: Uuid, origin: &Origin) -> Result<u64> {
        let mut tx = self.write(shop).await?;
        let telling = Telling { event: event.to_owned(), owner };
        let (now, mut told) = (self.clock.now_ms(), 0);
        for receiver in sql::deliveries::wanting(&mut tx, shop, event).await? {
            if !sql::deliveries::was_told(&mut tx, receiver, &telling).await? {
                sql::deliveries::insert(&mut tx, shop, receiver, &telling, origin, now).await?;
                told += 1;
            }
        }
        tx.commit().await?;
        Ok(told)
    }

    /// Has a message of this kind sent to one receiver, whether it asked for such or not.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn send_to(
        &self,
        shop: &ShopId,
        receiver: Uuid,
        event: &str,
        origin: &Origin,
    ) -> Result<Option<Uuid>> {
        let mut tx = self.write(shop).await?;
        if sql::receivers::find(&mut tx, shop, receiver).await?.is_none() {
            return Ok(None);
        }
        let telling = Telling { event: event.to_owned(), owner: receiver };
        let id =
            sql::deliveries::insert(&mut tx, shop, receiver, &telling, origin, self.clock.now_ms()).await?;
        tx.commit().await?;
        Ok(Some(id))
    }

    /// Deliveries to a receiver, the oldest first.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn deliveries(
        &self,
        shop: &ShopId,
        receiver: Uuid,
        state: Option<DeliveryState>,
        page: Page,
    ) -> Result<Vec<DeliveryRecord>> {
        sql::deliveries::list(&mut self.read().await?, shop, receiver, state, &page).await
    }

    /// Has messages sent again that are dead or were delivered: one, or all dead ones. Returns how many.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn send_again(&self, shop: &ShopId, receiver: Uuid, one: Option<Uuid>) -> Result<u64> {
        let mut tx = self.write(shop).await?;
        let again = sql::deliveries::again(&mut tx, shop, receiver, one, self.clock.now_ms()).await?;
        // Whoever asks for it knows that the receiver is there again.
        sql::receivers::let_be(&mut tx, receiver, 0).await?;
        tx.commit().await?;
        Ok(again)
    }

    /// Forgets messages that were over so long ago. Returns how many.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn forget_deliveries(&self, age: Duration) -> Result<u64> {
        let limit = unix_ms(self.clock.now() - age);
        let mut tx = self.begin().await?;
        let forgotten = sql::deliveries::forget_before(&mut tx, limit).await?;
        tx.commit().await?;
        Ok(forgotten)
    }
}
