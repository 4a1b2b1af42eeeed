//! Which documents go into a file, and what they are called there.

use crate::SheetInput;
use crate::document::{Attachment, Relationship};

/// The documents of one head, in a fixed order: those that were worked out, then those they were worked out from.
///
/// `place` is nothing where the file is about this head alone, else the head's number, how many digits such numbers
/// have, and the page its sheet begins on, from 0.
pub(crate) fn record<'a>(
    input: &SheetInput<'a>,
    place: Option<(usize, usize, usize)>,
) -> impl Iterator<Item = Attachment<'a>> {
    let head = format!("head {}, job {}", input.set.head.serial, input.set.job.number);
    let record = input.record;
    let plan = input.plan.map(|plan| ("rework-plan", "Rework plan", Relationship::Data, plan.canonical));
    let documents =
        [("evaluation", "Evaluation", Relationship::Data, record.evaluation)].into_iter().chain(plan);
    let earlier = input.earlier.map(|earlier| {
        ("earlier-evaluation", "Evaluation of an earlier stage", Relationship::Source, earlier.canonical)
    });
    let sources = [
        ("measurement-set", "Measurement set", Relationship::Source, record.measurement_set),
        ("target-profile", "Target profile", Relationship::Source, record.profile),
    ];
    documents.chain(sources).chain(earlier).map(move |(name, what, relationship, bytes)| Attachment {
        name: match place {
            None => format!("{name}.json"),
            Some((number, digits, _)) => format!("{number:0digits$}-{name}.json"),
        },
        description: format!("{what} of {head}"),
        relationship,
        bytes,
        page: place.map(|(_, _, page)| page),
    })
}
