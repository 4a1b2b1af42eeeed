//! Artifacts: the files that tasks make, and how each becomes visible exactly once.

use std::{path::PathBuf, time::Duration};

use headproof_trail::digest;
use time::OffsetDateTime;
use uuid::Uuid;

use crate::{
    By, Claim, Error, Event, Happening, Result, ShopId, Store, TaskState, Telling, Who, clock::unix_ms,
    db::Files, sql,
};

/// How many files are removed under one lock: few, because a bucket takes its time and whoever finishes waits.
const SWEEP_AT_ONCE: usize = 20;

/// What a task makes. The only place that knows the names and content types of artifacts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ArtifactKind {
    /// The sheet of a job.
    Sheet,
    /// The sheet of a job with a sign-off on it, signed.
    SignedSheet,
    /// The report over the jobs of a batch.
    BatchReport,
}

impl ArtifactKind {
    const ALL: [Self; 3] = [Self::Sheet, Self::SignedSheet, Self::BatchReport];

    /// The name it is stored and published under.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Sheet => "sheet",
            Self::SignedSheet => "signed-sheet",
            Self::BatchReport => "batch-report",
        }
    }

    /// The media type of its bytes.
    pub fn content_type(self) -> &'static str {
        match self {
            Self::Sheet | Self::SignedSheet | Self::BatchReport => "application/pdf",
        }
    }

    /// The name a client may save it under.
    pub fn file_name(self, owner: Uuid) -> String {
        format!("{}-{owner}.{}", self.as_str(), self.extension())
    }

    pub(crate) fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.as_str() == name)
    }

    fn extension(self) -> &'static str {
        match self {
            Self::Sheet | Self::SignedSheet | Self::BatchReport => "pdf",
        }
    }

    /// What its owner is called in the names of events.
    pub(crate) fn subject(self) -> &'static str {
        match self {
            Self::Sheet => "job",
            Self::SignedSheet => "sign_off",
            Self::BatchReport => "batch",
        }
    }

    /// Where an attempt puts its file. No two attempts, nor two tries of one attempt, share a name:
    /// a worker that lost its lease cannot touch what others have made.
    fn path(self, owner: Uuid, attempt: u32, artifact: Uuid) -> String {
        format!("{owner}.{}.{attempt}.{artifact}.{}", self.as_str(), self.extension())
    }
}

/// A finished artifact.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ArtifactRecord {
    /// The artifact.
    pub id: Uuid,
    /// The job, sign-off or batch it was made of.
    pub owner: Uuid,
    /// What it is.
    pub kind: ArtifactKind,
    /// Its file, relative to the artifacts directory; see [`Store::artifact_path`].
    pub path: String,
    /// Its size in bytes.
    pub size: u64,
    /// The SHA-256 of its bytes in lower-case hexadecimal.
    pub sha256: String,
    /// When it was finished, to the millisecond.
    pub created_at: OffsetDateTime,
}

impl Store {
    /// Stores what a task was to make and ends the task, both or neither.
    ///
    /// Finishing again under the same claim, because the first answer was lost, gives the record of
    /// the first time.
    ///
    /// # Errors
    /// [`Error::Fenced`] when the task is no longer this worker's; its bytes are dropped then.
    pub async fn finish(&self, claim: &Claim, bytes: Vec<u8>) -> Result<ArtifactRecord> {
        let id = Uuid::now_v7();
        let path = claim.kind.path(claim.owner, claim.attempt, id);
        let (size, sha256) = (bytes.len() as u64, digest(&bytes));
        if let Err(error) = self.objects.put(&path, bytes).await {
            // It may be there all the same, when only the answer got lost.
            self.objects.remove(&path).await;
            return Err(error);
        }
        let file = path.clone();
        let now = self.clock.now();
        let artifact =
            ArtifactRecord { id, owner: claim.owner, kind: claim.kind, path, size, sha256, created_at: now };
        let outcome = self.publish(claim, artifact).await;
        // A commit whose answer got lost may have happened: only a file that was surely refused goes.
        let unwanted = match &outcome {
            Ok(record) => record.id != id,
            Err((_, unwanted)) => *unwanted,
        };
        if unwanted {
            self.objects.remove(&file).await;
        }
        outcome.map_err(|(error, _)| error)
    }

    /// Ends the task and records its artifact. An error comes with whether the record surely is not there.
    async fn publish(
        &self,
        claim: &Claim,
        artifact: ArtifactRecord,
    ) -> Result<ArtifactRecord, (Error, bool)> {
        let refused = |error: Error| (error, true);
        let mut tx = self.begin().await.map_err(refused)?;
        // A sweep is shut out from here on: the record never names a file swept away.
        tx.shut_out_files(Files::Named).await.map_err(refused)?;
        self.objects.must_have(&artifact.path).await.map_err(refused)?;
        tx.shut_out(&claim.shop).await.map_err(refused)?;
        let now = unix_ms(artifact.created_at);
        let held = sql::queue::end(&mut tx, claim, TaskState::Done, None, now).await.map_err(refused)?;
        if !held {
            let mine = sql::artifacts::made_by(&mut tx, claim).await.map_err(refused)?;
            return mine.ok_or_else(|| refused(claim.fenced()));
        }
        sql::artifacts::insert(&mut tx, &claim.shop, &artifact).await.map_err(refused)?;
        let rendered = rendered(claim, &artifact);
        let at = artifact.created_at;
        sql::audit::append(&mut tx, &claim.shop, at, [rendered]).await.map_err(refused)?;
        let event = Telling::of(claim.kind, TaskState::Done, claim.owner);
        sql::deliveries::tell(&mut tx, &claim.shop, event, &claim.origin, now).await.map_err(refused)?;
        let record = sql::artifacts::find(&mut tx, &claim.shop, claim.owner, claim.kind).await;
        let record = record.map_err(refused)?.ok_or_else(|| refused(sqlx::Error::RowNotFound.into()))?;
        tx.commit().await.map_err(|error| (error.into(), false))?;
        Ok(record)
    }

    /// The artifact of a job or batch of this shop.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn artifact(
        &self,
        shop: &ShopId,
        owner: Uuid,
        kind: ArtifactKind,
    ) -> Result<Option<ArtifactRecord>> {
        sql::artifacts::find(&mut self.read().await?, shop, owner, kind).await
    }

    /// The artifact of these very bytes, if the shop has made it.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn artifact_of_digest(&self, shop: &ShopId, sha256: &str) -> Result<Option<ArtifactRecord>> {
        sql::artifacts::of_digest(&mut self.read().await?, shop, sha256).await
    }

    /// The file of an artifact, where artifacts are files.
    pub fn artifact_path(&self, artifact: &ArtifactRecord) -> Option<PathBuf> {
        self.objects.file(&artifact.path)
    }

    /// The bytes of an artifact.
    ///
    /// # Errors
    /// [`Error::Corrupt`] when the file is gone or is not what was stored.
    pub async fn read_artifact(&self, artifact: &ArtifactRecord) -> Result<Vec<u8>> {
        match self.objects.get(&artifact.path).await? {
            Some(bytes) if digest(&bytes) == artifact.sha256 => Ok(bytes),
            Some(_) => Err(Error::Corrupt(format!("artifact file {} was changed", artifact.path))),
            None => Err(Error::Corrupt(format!("artifact file {} is gone", artifact.path))),
        }
    }

    /// Removes files that no artifact names and that were last written `age` ago or earlier: what
    /// crashes left. Returns how many. The age must be far above the time a worker needs to store a
    /// file, an hour for example.
    ///
    /// # Errors
    /// Only when the store fails.
    pub async fn sweep(&self, age: Duration) -> Result<usize> {
        let limit = self.clock.now() - age;
        let old = self.objects.older_than(limit).await?;
        let mut removed = 0;
        for names in old.chunks(SWEEP_AT_ONCE) {
            // Held until the files are gone, so that none is named by a record meanwhile.
            let mut tx = self.begin().await?;
            tx.shut_out_files(Files::Swept).await?;
            for name in names {
                if !sql::artifacts::is_named(&mut tx, name).await? && self.objects.remove(name).await {
                    removed += 1;
                }
            }
            tx.rollback().await?;
        }
        if removed > 0 {
            tracing::info!(files = removed, "removed files that no artifact names");
        }
        Ok(removed)
    }
}

/// What the audit trail says of a finished task.
fn rendered(claim: &Claim, artifact: &ArtifactRecord) -> Happening {
    let who = Who { kind: "worker".to_owned(), id: claim.task.to_string(), name: "worker".to_owned() };
    let by = By { who, request: Some(claim.origin.request_id.clone()) };
    let digest = Some(artifact.sha256.clone());
    let to = format!("{} {}", artifact.kind.as_str(), artifact.owner);
    Happening { digest, ..by.did(Event::Rendered, to) }
}
