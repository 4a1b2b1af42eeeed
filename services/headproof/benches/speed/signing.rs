//! The sheet of a whole head, signed and not signed.
//!
//! Both are taken turn by turn on one core. What signing adds is the block and the section of the sign-off, the record
//! attached, and the signature itself, which is also timed alone.

use std::error::Error;
use std::hint::black_box;
use std::time::{Duration, Instant};

use headproof_seal::{Identity, PdfToSign, canonical, digest, inspect_pdf, room_for};
use headproof_sheet::{SheetInput, SignOffInput, inspection_sheet};
use headproof_wire::{Checkpoint, Meaning, SIGN_OFF_FORMAT, SignOff, Signer};
use time::OffsetDateTime;
use uuid::Uuid;

use super::pinned::pinned;
use super::sheets::Head;
use super::{median, microseconds};

const ROUNDS: usize = 60;

/// Prints the times of both, what one costs more, and how many of each come a second.
pub(crate) fn report(body: &[u8]) -> Result<(), Box<dyn Error>> {
    let head = Head::new(body)?;
    let now = OffsetDateTime::now_utc();
    let person = Identity::new_authority("bench", now)?.issue("N. N.", "inspector", "bench", now)?;
    let record = record(&head, &person);
    let kept = canonical(&record)?;
    let kept_digest = digest(&kept);
    let plain = head.input(false);
    let sign_off = SignOffInput {
        record: &record,
        digest: &kept_digest,
        canonical: &kept,
        code: "AAAA-AAAA-AAAA-AAAA",
        address: "AAAA-AAAA-AAAA-AAAA",
        room: room_for(&person, false),
    };
    let signed = SheetInput { sign_off: Some(sign_off), ..plain };
    let mut times: [Vec<Duration>; 4] = Default::default();
    let mut size = 0;
    pinned(|| {
        for _ in 0..ROUNDS {
            let begin = Instant::now();
            black_box(inspection_sheet(&plain)?);
            times[0].push(begin.elapsed());
            let begin = Instant::now();
            let pages = inspection_sheet(&signed)?.bytes;
            let drawn = Instant::now();
            let file = sign(pages, &person)?;
            times[1].push(begin.elapsed());
            times[2].push(drawn.elapsed());
            size = file.len();
            let begin = Instant::now();
            let found = inspect_pdf(&file).is_some_and(|signed| signed.is_intact());
            times[3].push(begin.elapsed());
            if !found {
                return Err("the signature does not hold".into());
            }
        }
        Ok(())
    })?;
    let [plain, signed, signature, check] = times.map(|mut times| microseconds(median(&mut times)) / 1e3);
    println!(
        "a sheet of 16 valves signed with P-256 on one core, {} kB, median of {ROUNDS} rounds:",
        size / 1000
    );
    println!("  {plain:6.2} ms  not signed: {:.1} a second", 1e3 / plain);
    println!(
        "  {signed:6.2} ms  signed: {:.1} a second, ratio {:.2} to not signed",
        1e3 / signed,
        signed / plain
    );
    println!("  {:6.2} ms  added by signing (goal: at most 5)", signed - plain);
    println!("  {signature:6.2} ms  of it the signature alone; {check:.2} ms to check it");
    Ok(())
}

fn sign(pages: Vec<u8>, person: &Identity) -> Result<Vec<u8>, headproof_seal::Error> {
    let pages = PdfToSign::new(pages)?;
    let signature = pages.sign(person)?;
    pages.finish(signature)
}

fn record(head: &Head, person: &Identity) -> SignOff {
    let fingerprint = person.certificate().fingerprint();
    SignOff {
        format: SIGN_OFF_FORMAT.to_owned(),
        id: Uuid::nil(),
        shop: "bench".to_owned(),
        job: Uuid::nil(),
        head_serial: head.evaluation.head_serial.clone(),
        stage: head.evaluation.stage,
        revision: 1,
        evaluation_digest: head.digests[0].clone(),
        disposition: head.evaluation.disposition.to_string(),
        meaning: Meaning::Inspected,
        signer: Signer {
            id: Uuid::nil(),
            name: "N. N.".to_owned(),
            role: "inspector".to_owned(),
            certificate: fingerprint.clone(),
            authority: fingerprint.clone(),
        },
        signed_at: "2026-03-12T09:40:00Z".to_owned(),
        concessions: Vec::new(),
        note: None,
        beside: Vec::new(),
        supersedes: Vec::new(),
        checkpoint: Checkpoint { size: 1, head: fingerprint },
    }
}
