//! Who answers for the head, and what for: a block on the first page, a section further back, and the last line of
//! every page.

mod block;
mod details;
mod words;

pub(crate) use self::block::Block;
pub(crate) use self::details::draw;
pub(crate) use self::words::closing;
use crate::SignOffInput;
use crate::document::{Placed, Signature};
use headproof_texts::Say;

/// The signature that a file is to have room for.
pub(crate) fn signature<'a>(sign_off: SignOffInput<'a>, place: Placed, say: Say) -> Signature<'a> {
    let SignOffInput { record, room, .. } = sign_off;
    Signature {
        name: &record.signer.name,
        reason: words::meaning_of(record, say).to_owned(),
        signed_at: &record.signed_at,
        label: say.with("signature-of", &[("name", (&record.signer.name).into())]),
        room,
        place,
    }
}
