//! What worker and renderer say to each other: a head in JSON, then documents byte for byte.

use std::borrow::Cow;
use std::io;

use headproof_sheet::Rendered;
use headproof_store::{JobDocuments, Plan};
use serde::{Deserialize, Serialize};
use tokio::io::{AsyncRead, AsyncWrite, AsyncWriteExt};

use super::frame::{read, write};
use crate::refusal::Refusal;
use crate::render::{Earlier, Head, OnPages, Order, SignedFor};

/// What is asked of a renderer.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Request {
    /// What is to be made.
    pub(crate) order: Order,
    /// Of which heads.
    pub(crate) heads: Vec<Head>,
}

/// The head of a request; the documents of each head of an engine follow it, the set first, then the profile,
/// the evaluation, the plan, the evaluation of an earlier job and the record of a sign-off, where there are such.
#[derive(Serialize, Deserialize)]
struct Announced<'a> {
    order: Cow<'a, Order>,
    /// The most memory the renderer may take from now on, in mebibytes.
    memory_mebibytes: u64,
    digests: Vec<Digests>,
}

/// The digests of what follows.
#[derive(Serialize, Deserialize)]
struct Digests {
    evaluation: String,
    plan: Option<String>,
    earlier: Option<String>,
    sign_off: Option<OnPages>,
}

impl Request {
    /// Sends it.
    ///
    /// # Errors
    /// When the other side is gone.
    pub(super) async fn send(
        &self,
        to: &mut (impl AsyncWrite + Unpin),
        memory_mebibytes: u64,
    ) -> io::Result<()> {
        let digests = self.heads.iter().map(|Head { stored, earlier, sign_off }| Digests {
            evaluation: stored.digest.clone(),
            plan: stored.plan.as_ref().map(|plan| plan.digest.clone()),
            earlier: earlier.as_ref().map(|earlier| earlier.digest.clone()),
            sign_off: sign_off.as_ref().map(|sign_off| sign_off.on_pages.clone()),
        });
        let order = Cow::Borrowed(&self.order);
        let head = Announced { order, memory_mebibytes, digests: digests.collect() };
        write(to, &serde_json::to_vec(&head)?).await?;
        for Head { stored, earlier, sign_off } in &self.heads {
            let plan = stored.plan.as_ref().map(|plan| &plan.document);
            let earlier = earlier.as_ref().map(|earlier| &earlier.document);
            let sign_off = sign_off.as_ref().map(|sign_off| &sign_off.document);
            let always = [&stored.measurement_set, &stored.profile, &stored.evaluation];
            for document in always.into_iter().chain(plan).chain(earlier).chain(sign_off) {
                write(to, document).await?;
            }
        }
        to.flush().await
    }

    /// Takes one in; `bind` keeps to its memory from before the documents are read.
    ///
    /// # Errors
    /// When it is cut off, or is no request.
    pub(super) async fn receive(
        from: &mut (impl AsyncRead + Unpin),
        bind: impl FnOnce(u64) -> io::Result<()>,
    ) -> io::Result<Self> {
        let head: Announced<'_> = serde_json::from_slice(&read(from).await?)?;
        bind(head.memory_mebibytes)?;
        let mut heads = Vec::new();
        for digests in head.digests {
            let stored = JobDocuments {
                measurement_set: read(from).await?,
                profile: read(from).await?,
                evaluation: read(from).await?,
                digest: digests.evaluation,
                plan: match digests.plan {
                    Some(digest) => Some(Plan { document: read(from).await?, digest }),
                    None => None,
                },
            };
            let earlier = match digests.earlier {
                Some(digest) => Some(Earlier { document: read(from).await?, digest }),
                None => None,
            };
            let sign_off = match digests.sign_off {
                Some(on_pages) => Some(SignedFor { document: read(from).await?, on_pages }),
                None => None,
            };
            heads.push(Head { stored, earlier, sign_off });
        }
        Ok(Self { order: head.order.into_owned(), heads })
    }
}

/// What comes back: the file, or why there is none.
pub(super) type Reply = Result<Rendered, Refusal>;

/// Sends a reply.
///
/// # Errors
/// When the other side is gone.
pub(super) async fn send_reply(to: &mut (impl AsyncWrite + Unpin), reply: &Reply) -> io::Result<()> {
    let head: Result<&[char], &Refusal> = reply.as_ref().map(|made| made.unshown.as_slice());
    write(to, &serde_json::to_vec(&head)?).await?;
    if let Ok(made) = reply {
        write(to, &made.bytes).await?;
    }
    to.flush().await
}

/// Takes a reply in.
///
/// # Errors
/// When it is cut off, or is no reply.
pub(super) async fn receive_reply(from: &mut (impl AsyncRead + Unpin)) -> io::Result<Reply> {
    let head: Result<Vec<char>, Refusal> = serde_json::from_slice(&read(from).await?)?;
    Ok(match head {
        Ok(unshown) => Ok(Rendered { bytes: read(from).await?, unshown }),
        Err(refusal) => Err(refusal),
    })
}

#[cfg(test)]
mod tests {
    use headproof_sheet::HeadInIndex;
    use headproof_wire::{Language, Paper, SheetOptions, Stage, Tally};

    use super::*;
    use crate::render::Work;

    fn request() -> Request {
        let stored = |plan: Option<Plan>| JobDocuments {
            measurement_set: b"{\"set\":1}".to_vec(),
            profile: b"not even JSON".to_vec(),
            evaluation: Vec::new(),
            digest: "e1".to_owned(),
            plan,
        };
        let earlier = Earlier { document: b"earlier".to_vec(), digest: "e0".to_owned() };
        let plan = Plan { document: b"plan".to_vec(), digest: "p1".to_owned() };
        let on_pages =
            OnPages { digest: "s1".to_owned(), code: "CODE".to_owned(), address: "CODE".to_owned(), room: 9 };
        let sign_off = SignedFor { document: b"sign-off".to_vec(), on_pages };
        let look = SheetOptions { paper: Paper::Letter, language: Language::De };
        let failed = vec![("A-1".to_owned(), "why".to_owned())];
        Request {
            order: Order {
                work: Work::Report { label: "June".to_owned(), failed, statistics: Some("{}".to_owned()) },
                look,
            },
            heads: vec![
                Head { stored: stored(None), earlier: Some(earlier), sign_off: None },
                Head { stored: stored(Some(plan)), earlier: None, sign_off: Some(sign_off) },
            ],
        }
    }

    #[tokio::test]
    async fn a_request_arrives_with_documents_as_they_were_and_the_memory_is_bound_before_them()
    -> io::Result<()> {
        let mut pipe = Vec::new();
        request().send(&mut pipe, 77).await?;
        let mut bound = None;
        let mut rest = &pipe[..];
        let bind = |mebibytes| {
            bound = Some(mebibytes);
            Ok(())
        };
        assert_eq!(Request::receive(&mut rest, bind).await?, request());
        assert_eq!((bound, rest), (Some(77), &b""[..]));
        for length in 0..pipe.len() {
            assert!(Request::receive(&mut &pipe[..length], |_| Ok(())).await.is_err(), "{length} bytes");
        }
        Ok(())
    }

    #[tokio::test]
    async fn an_index_arrives_with_what_is_said_of_each_head() -> io::Result<()> {
        let tally = Tally { conforms: 9, does_not_conform: 2, not_proven: 1, not_measured: 0, no_limit: 4 };
        let head = |line| HeadInIndex {
            line,
            serial: "ΑΝΤΛΙΑ-7".to_owned(),
            job: "2026-0117".to_owned(),
            stage: Stage::AsReceived,
            disposition: "rework".to_owned(),
            tally,
            failing: vec![("seat-runout".to_owned(), 2)],
            measured_at: "2026-03-02T10:15:00+02:00".to_owned(),
            digest: "e1".to_owned(),
        };
        let failed = vec![("A-1".to_owned(), "why".to_owned())];
        let work =
            Work::Index { label: "June".to_owned(), heads: vec![head(1), head(7)], failed, statistics: None };
        let request = Request { order: Order { work, look: SheetOptions::default() }, heads: Vec::new() };
        let mut pipe = Vec::new();
        request.send(&mut pipe, 77).await?;
        assert_eq!(Request::receive(&mut &pipe[..], |_| Ok(())).await?, request);
        Ok(())
    }

    #[tokio::test]
    async fn replies_arrive() -> io::Result<()> {
        let refusals = [
            Refusal::TooLong("more than 400 pages".to_owned()),
            Refusal::Pages("a typeface".to_owned().into()),
            Refusal::Document { what: "profile".to_owned(), cause: "no JSON".to_owned().into() },
            Refusal::Digest("evaluation".to_owned()),
            Refusal::Stopped("a panic".to_owned().into()),
        ];
        for reply in [Ok(Rendered { bytes: b"%PDF-".to_vec(), unshown: vec!['検'] })]
            .into_iter()
            .chain(refusals.map(Err))
        {
            let mut pipe = Vec::new();
            send_reply(&mut pipe, &reply).await?;
            assert_eq!(receive_reply(&mut &pipe[..]).await?, reply);
        }
        Ok(())
    }

    #[tokio::test]
    async fn what_is_no_reply_is_an_error() -> io::Result<()> {
        for garbage in [&b""[..], b"nonsense", b"{\"Ok\":1}", b"{\"Err\":{\"digest\":2}}"] {
            let mut pipe = Vec::new();
            write(&mut pipe, garbage).await?;
            assert!(receive_reply(&mut &pipe[..]).await.is_err(), "{garbage:?}");
        }
        assert!(receive_reply(&mut &b"%PDF-1.7 of somebody else"[..]).await.is_err());
        Ok(())
    }
}
