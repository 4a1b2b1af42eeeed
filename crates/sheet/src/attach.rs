//! Which documents go into a file, and what they are called there.

use headproof_texts::Say;

use crate::SheetInput;
use crate::document::{Attachment, Relationship};

/// The documents of one head, in a fixed order: those that were worked out, then those they were worked out from.
///
/// `place` is nothing where the file is about this head alone, else the head's number, how many digits such numbers
/// have, and the page its sheet begins on, from 0.
pub(crate) fn record<'a>(
    input: &SheetInput<'a>,
    place: Option<(usize, usize, usize)>,
) -> impl Iterator<Item = Attachment<'a>> + use<'a> {
    let (say, record) = (input.say(), input.record);
    let (head, job) = (input.set.head.serial.as_str(), input.set.job.number.as_str());
    let plan =
        input.plan.map(|plan| ("rework-plan", "attached-rework-plan", Relationship::Data, plan.canonical));
    let documents = [("evaluation", "attached-evaluation", Relationship::Data, record.evaluation)]
        .into_iter()
        .chain(plan);
    let earlier = input.earlier.map(|earlier| {
        ("earlier-evaluation", "attached-earlier-evaluation", Relationship::Source, earlier.canonical)
    });
    let sources = [
        ("measurement-set", "attached-measurement-set", Relationship::Source, record.measurement_set),
        ("target-profile", "attached-target-profile", Relationship::Source, record.profile),
    ];
    // It speaks of these pages; they were not made from it.
    let sign_off = input
        .sign_off
        .map(|sign_off| ("sign-off", "attached-sign-off", Relationship::Supplement, sign_off.canonical));
    documents.chain(sources).chain(earlier).chain(sign_off).map(
        move |(name, description, relationship, bytes)| Attachment {
            name: match place {
                None => format!("{name}.json"),
                Some((number, digits, _)) => format!("{number:0digits$}-{name}.json"),
            },
            description: say.with(description, &[("head", head.into()), ("job", job.into())]),
            relationship,
            bytes,
            page: place.map(|(_, _, page)| page),
        },
    )
}

/// What many heads say together; the pages show it.
pub(crate) fn statistics<'a>(canonical: &'a [u8], title: &str, say: Say) -> Attachment<'a> {
    Attachment {
        name: "statistics.json".to_owned(),
        description: say.with("attached-statistics", &[("title", title.into())]),
        relationship: Relationship::Data,
        bytes: canonical,
        page: None,
    }
}
