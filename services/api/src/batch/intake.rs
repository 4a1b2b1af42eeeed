//! From the lines of a batch to its jobs: each line is judged and accepted or refused on its own, and stored with some
//! others.

use std::collections::HashMap;
use std::fs::File;
use std::io::Seek;

use actix_web::{HttpMessage, HttpRequest, web};
use futures_util::{StreamExt, stream};
use headproof_store::{
    BatchRecord, BatchRefused, Line, LineContent, NewBatch, Once, OpenBatch, Priority, RefusedLine, ShopId,
};
use headproof_wire::{Fault, JobRequest, Problem, ProfileSelector, Tally, read};

use super::lines::{Said, Text, Texts};
use super::{Form, Spooled};
use crate::access::Caller;
use crate::judging::{Resolved, content_of, judged, priority, profile_of};
use crate::once::{BodyDigest, once};
use crate::turns::AT_ONCE;
use crate::{ApiError, ApiState, ProblemKind, metered, present};

/// Lines that are judged and stored together.
const LINES: usize = 64;
/// Or as many as have so many bytes.
const BYTES: usize = 4 << 20;
/// Faults that are told when no line was accepted.
const FAULTS: usize = 1000;

/// What came of a batch.
pub(crate) enum TakenIn {
    /// It is stored, now or by an earlier request.
    Stored(Box<BatchRecord>),
    /// No line was accepted, and nothing is stored; the faults of the lines, each with its number.
    Nothing(Vec<Fault>),
}

/// Stores a batch.
///
/// # Errors
/// [`ProblemKind::TooLarge`] for too many lines, [`ProblemKind::NotJson`] for what should be an array and is none, before
/// anything is stored; [`ProblemKind::StillRunning`] while another request of the same key is at it.
pub(crate) async fn take_in(
    state: web::Data<ApiState>,
    caller: Caller,
    http: HttpRequest,
    spooled: Spooled,
) -> Result<TakenIn, ApiError> {
    let Spooled { form, file, digest, place } = spooled;
    let file = looked_through(file, form, &state).await?;
    http.extensions_mut().insert(BodyDigest(digest.clone()));
    // Without a key, a batch is known by what it says.
    let by_content =
        || Once { operation: "batches", key: format!("content {digest}"), fingerprint: digest.clone() };
    let once = once(&http, "batches")?.unwrap_or_else(by_content);
    let new = NewBatch { shop: caller.shop, who: caller.who, origin: present::origin(&http), once };
    // To its end, whether or not the client waits for it: else it would be left half-way until it is sent again.
    let taking = async move {
        let _place = place;
        match state.store.begin_batch(&new).await {
            Ok(open) => {
                Intake { state, new, profiles: HashMap::new() }.run(open.into_inner(), file, form).await
            }
            Err(BatchRefused::Ended(record)) => Ok(TakenIn::Stored(record)),
            Err(BatchRefused::Store(error)) => Err(error.into()),
        }
    };
    actix_web::rt::spawn(taking).await.map_err(|stopped| ApiError::internal(&stopped))?
}

/// What can be said of all lines before the first is judged.
async fn looked_through(file: File, form: Form, state: &ApiState) -> Result<File, ApiError> {
    let (longest, most) = (state.limits.document_bytes, state.limits.batch_lines);
    let looking = move || {
        let file = file.try_clone().map_err(|error| ApiError::internal(&error)).map(|copy| (file, copy))?;
        let (mut file, mut texts) = (file.0, Texts::new(file.1, form, longest)?);
        let mut lines = 0;
        while texts.next()?.is_some() {
            lines += 1;
            if lines > most {
                let detail = format!("a batch has at most {most} lines");
                return Err(ApiError::because(ProblemKind::TooLarge, detail));
            }
        }
        if lines == 0 {
            return Err(ApiError::because(ProblemKind::BadRequest, "the batch has no line"));
        }
        // The copy shares its place with the file.
        file.rewind().map_err(|error| ApiError::internal(&error))?;
        Ok(file)
    };
    web::block(looking).await.map_err(|stopped| ApiError::internal(&stopped))?
}

/// Whoever stores the lines.
struct Intake {
    state: web::Data<ApiState>,
    new: NewBatch,
    /// Stored profiles that lines have named; thousands name the same.
    profiles: HashMap<ProfileSelector, Resolved>,
}

impl Intake {
    async fn run(mut self, mut open: OpenBatch, file: File, form: Form) -> Result<TakenIn, ApiError> {
        let stored = self.store_lines(&mut open, file, form).await;
        match stored {
            Ok(faults) => {
                let ended = self.state.store.end_batch(&self.new, &open).await?;
                (self.state.wake)();
                Ok(ended.map_or(TakenIn::Nothing(faults), |record| TakenIn::Stored(Box::new(record))))
            }
            Err(error) => {
                // So that the next request of the same key can go on at once.
                if let Err(error) = self.state.store.let_go_of_batch(&self.new, &open).await {
                    tracing::warn!(%error, "a batch is left to be gone on with later");
                }
                Err(error)
            }
        }
    }

    /// Stores what is not stored yet; gives the first faults.
    async fn store_lines(
        &mut self,
        open: &mut OpenBatch,
        file: File,
        form: Form,
    ) -> Result<Vec<Fault>, ApiError> {
        let mut texts = Texts::new(file, form, self.state.limits.document_bytes)?;
        let mut faults = Vec::new();
        loop {
            let after = open.last_line;
            let reading = move || {
                let some = some(&mut texts, after);
                some.map(|some| (texts, some))
            };
            let read = web::block(reading).await.map_err(|stopped| ApiError::internal(&stopped))?;
            let (rest, some) = read?;
            texts = rest;
            if some.is_empty() {
                return Ok(faults);
            }
            let (lines, tallies) =
                self.judge(some, &mut faults).await?.into_iter().unzip::<_, _, Vec<_>, Vec<_>>();
            self.state.store.add_lines(&self.new, open, &lines).await?;
            (self.state.wake)();
            count(&lines, &tallies);
        }
    }

    /// As many at once as there are processors; in the order of the lines all the same.
    async fn judge(&mut self, texts: Vec<Text>, faults: &mut Vec<Fault>) -> Result<Vec<Counted>, ApiError> {
        let mut parsed = Vec::with_capacity(texts.len());
        for Text { number, said } in texts {
            let mut reference = None;
            let request = self.parse(said, &mut reference).await;
            parsed.push((number, reference, request));
        }
        let judging = stream::iter(parsed).map(|(number, client_reference, request)| async move {
            let outcome = match request {
                Ok((request, profile)) => job(request, profile).await,
                Err(error) => Err(error),
            };
            (number, client_reference, outcome)
        });
        let judged: Vec<_> = judging.buffered(*AT_ONCE).collect().await;
        judged
            .into_iter()
            .map(|(number, reference, outcome)| line(number, reference, outcome, faults))
            .collect()
    }

    async fn parse(
        &mut self,
        said: Said,
        reference: &mut Option<String>,
    ) -> Result<(JobRequest, Resolved), ApiError> {
        let mut request = match said {
            Said::TooMuch => return Err(ApiError::new(ProblemKind::TooLarge)),
            Said::Json(bytes) => {
                let parsed = web::block(move || read::<JobRequest>(&bytes)).await;
                parsed.map_err(|stopped| ApiError::internal(&stopped))??
            }
            Said::Rows(request, of_client) => {
                *reference = of_client;
                (*request).map_err(ApiError::faults)?
            }
        };
        reference.clone_from(&request.client_reference);
        if request.follows.is_some() {
            let detail = "a line of a batch cannot follow an earlier job; post it on its own".to_owned();
            return Err(ApiError::faults(vec![Fault::new("/follows".into(), detail, None)]));
        }
        let inline = request.profile.take();
        let named = request.profile_ref.clone();
        let profile = match (&inline, &named) {
            (None, Some(named)) => self.stored_profile(named).await?,
            _ => profile_of(&self.state, &self.new.shop, inline, named.as_ref()).await?,
        };
        Ok((request, profile))
    }

    async fn stored_profile(&mut self, named: &ProfileSelector) -> Result<Resolved, ApiError> {
        if let Some(known) = self.profiles.get(named) {
            return Ok(known.clone());
        }
        let shop: &ShopId = &self.new.shop;
        let found = profile_of(&self.state, shop, None, Some(named)).await?;
        self.profiles.insert(named.clone(), found.clone());
        Ok(found)
    }
}

/// The next lines that are not stored yet.
fn some(texts: &mut Texts, after: u32) -> Result<Vec<Text>, ApiError> {
    let (mut some, mut bytes) = (Vec::new(), 0);
    while some.len() < LINES && bytes < BYTES {
        let Some(text) = texts.next()? else { break };
        if text.number > after {
            bytes += text.said.size();
            some.push(text);
        }
    }
    Ok(some)
}

/// A line, and how many rows of its evaluation came out how.
type Counted = (Line, Option<Tally>);

/// Counts what was just stored.
fn count(lines: &[Line], tallies: &[Option<Tally>]) {
    for (line, tally) in lines.iter().zip(tallies) {
        match (&line.outcome, tally) {
            (LineContent::Job(job, _), Some(tally)) => metered::accepted(&job.evaluation.disposition, tally),
            _ => metered::refused(),
        }
    }
}

async fn job(request: JobRequest, profile: Resolved) -> Result<(LineContent, Tally), ApiError> {
    let priority = priority(request.priority, Priority::Bulk);
    let judging = tokio::task::spawn_blocking(move || judged(&request, &profile));
    let judged = judging.await.map_err(|stopped| ApiError::internal(&stopped))??;
    let tally = judged.tally;
    Ok((LineContent::Job(Box::new(content_of(judged).await?), priority), tally))
}

/// A line to be stored. That somebody could not be served at all is no fault of the line.
fn line(
    number: u32,
    client_reference: Option<String>,
    outcome: Result<(LineContent, Tally), ApiError>,
    faults: &mut Vec<Fault>,
) -> Result<Counted, ApiError> {
    let mut counted = None;
    let outcome = match outcome {
        Ok((job, tally)) => {
            counted = Some(tally);
            job
        }
        Err(error) if error.is_ours() => return Err(error),
        Err(error) => {
            let problem = error.problem();
            if faults.len() < FAULTS {
                faults.extend(numbered(number, &problem));
                faults.truncate(FAULTS);
            }
            let problem = serde_json::to_vec(&problem).map_err(|error| ApiError::internal(&error))?;
            LineContent::Refused(RefusedLine { line: number, client_reference, problem })
        }
    };
    Ok((Line { number, outcome }, counted))
}

/// The faults of a line with its number.
fn numbered(number: u32, problem: &Problem) -> Vec<Fault> {
    let with = |detail: &str| format!("line {number}: {detail}");
    if problem.errors.is_empty() {
        let detail = problem.detail.as_deref().unwrap_or(&problem.title);
        return vec![Fault::new(String::new(), with(detail), None)];
    }
    problem.errors.iter().map(|fault| Fault { detail: with(&fault.detail), ..fault.clone() }).collect()
}
