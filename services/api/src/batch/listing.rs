//! What came of each line of a batch, a line of JSON each.

use actix_web::web::Bytes;
use futures_util::stream::{self, Stream};
use headproof_store::{JobRecord, RefusedLine, ShopId, Store};
use headproof_wire::{BatchLine, LineOutcome};
use uuid::Uuid;

use crate::{ApiError, present};

/// Lines that are read at once.
const AT_ONCE: u32 = 500;

/// The lines of a batch in their order.
pub(crate) fn lines(store: Store, shop: ShopId, batch: Uuid) -> impl Stream<Item = Result<Bytes, ApiError>> {
    stream::try_unfold(Some(0), move |after| {
        let (store, shop) = (store.clone(), shop.clone());
        async move {
            let Some(after) = after else { return Ok(None) };
            let (piece, next) = some(&store, &shop, batch, after).await?;
            Ok(Some((piece, next)))
        }
    })
}

/// Some lines, and after which one the next follow.
async fn some(
    store: &Store,
    shop: &ShopId,
    batch: Uuid,
    after: u32,
) -> Result<(Bytes, Option<u32>), ApiError> {
    let jobs = store.jobs_of_batch(shop, batch, after, AT_ONCE).await?;
    let refused = store.refused_lines(shop, batch, after, AT_ONCE).await?;
    let is_full = |length: usize| length == AT_ONCE as usize;
    // Beyond the end of a full list there may be lines that belong before those of the other.
    let until = [
        jobs.last().filter(|_| is_full(jobs.len())).and_then(|job| job.line),
        refused.last().filter(|_| is_full(refused.len())).map(|line| line.line),
    ];
    let until = until.into_iter().flatten().min();
    let mut lines: Vec<BatchLine> = jobs.iter().map(accepted).collect();
    for line in &refused {
        lines.push(of_refused(line)?);
    }
    lines.retain(|line| until.is_none_or(|until| line.line <= until));
    lines.sort_by_key(|line| line.line);
    let mut piece = Vec::new();
    for line in lines {
        serde_json::to_writer(&mut piece, &line).map_err(|error| ApiError::internal(&error))?;
        piece.push(b'\n');
    }
    Ok((piece.into(), until))
}

fn accepted(job: &JobRecord) -> BatchLine {
    BatchLine {
        line: job.line.unwrap_or_default(),
        client_reference: job.client_reference.clone(),
        outcome: LineOutcome::Accepted,
        job: Some(job.id),
        head_serial: Some(job.head_reference.clone()),
        state: Some(present::state(job.task.state)),
        disposition: Some(job.disposition.clone()),
        problem: None,
    }
}

fn of_refused(line: &RefusedLine) -> Result<BatchLine, ApiError> {
    let problem = serde_json::from_slice(&line.problem).map_err(|error| ApiError::internal(&error))?;
    Ok(BatchLine {
        line: line.line,
        client_reference: line.client_reference.clone(),
        outcome: LineOutcome::Refused,
        job: None,
        head_serial: None,
        state: None,
        disposition: None,
        problem: Some(problem),
    })
}
