//! The section of the sign-off: every part of the record that a reader needs to check it by eye.

use headproof_texts::Say;
use headproof_wire::{EarlierSignOff, SignOff};

use super::words::{meaning, meaning_of};
use crate::dates::to_the_second;
use crate::flow::Flow;
use crate::reasons::amounts_of;
use crate::said::place;
use crate::table::{Align, Cell, Column, Line, Place, Table};
use crate::words::{disposition, sentence, short_digest, stage};
use crate::{SheetInput, SignOffInput};

/// Digits of a digest side by side; then a space, so that an eye keeps its place.
const GROUP: usize = 8;

/// Draws it; nothing where nobody signed.
pub(crate) fn draw(flow: &mut Flow, input: &SheetInput<'_>) {
    let Some(sign_off) = input.sign_off else { return };
    let (record, say, measure) = (sign_off.record, flow.say(), flow.measure());
    draw_table(flow, &particulars(sign_off, measure, say));
    if !record.concessions.is_empty() {
        draw_table(flow, &concessions(input, record, measure));
    }
    for (caption, signatures) in
        [(say.text("signed-before"), &record.beside), (say.text("sign-off-supersedes"), &record.supersedes)]
    {
        if !signatures.is_empty() {
            draw_table(flow, &earlier(caption, signatures, measure, say));
        }
    }
}

fn draw_table(flow: &mut Flow, table: &Table) {
    flow.heading(&table.caption, table.least_height());
    table.draw(flow);
}

/// The particulars of the signature. Printed name, date and time, and meaning are what 21 CFR 11.50 wants to be
/// readable on what is signed.
fn particulars(sign_off: SignOffInput<'_>, measure: f32, say: Say) -> Table {
    let SignOffInput { record, digest, code, address, .. } = sign_off;
    let evaluation = say.with(
        "signed-evaluation-is",
        &[
            ("head", (&record.head_serial).into()),
            ("stage", stage(record.stage, say).into()),
            ("revision", record.revision.into()),
            ("disposition", disposition(&record.disposition, say).into()),
        ],
    );
    let trail = [("count", record.checkpoint.size.into())];
    let mut rows = vec![
        (say.text("label-signed-name"), record.signer.name.clone()),
        (say.text("label-signer-role"), record.signer.role.clone()),
        (say.text("label-signed-at"), to_the_second(&record.signed_at, say)),
        (say.text("label-meaning"), sentence(meaning_of(record, say))),
    ];
    rows.extend(record.note.clone().map(|note| (say.text("label-signer-note"), note)));
    rows.extend([
        (say.text("label-signed-evaluation"), evaluation),
        (say.text("label-evaluation-digest"), grouped(&record.evaluation_digest)),
        (say.text("label-sign-off-digest"), grouped(digest)),
        (say.text("label-signer-certificate"), grouped(&record.signer.certificate)),
        (say.text("label-authority-certificate"), grouped(&record.signer.authority)),
        (say.text("label-code"), code.to_owned()),
    ]);
    if address != code {
        rows.push((say.text("label-square-code"), address.to_owned()));
    }
    rows.push((say.text("label-shop"), record.shop.clone()));
    rows.push((say.text("label-audit-trail"), say.with("audit-trail-is", &trail)));
    rows.push((say.text("label-audit-trail-head"), grouped(&record.checkpoint.head)));
    let columns = vec![
        Column::new(say.text("column-particular"), 58.0, Align::Left).naming(),
        Column::new(say.text("column-as-signed"), measure - 58.0, Align::Left),
    ];
    let lines = rows.into_iter().map(|(label, value)| {
        let cells = vec![Cell::Text(label.to_owned()), Cell::Text(value)];
        Line::new(cells)
    });
    let caption = say.text("sign-off-heading").to_owned();
    Table { columns, lines: lines.collect(), caption, note_column: 1, place: Place::PAGE }
}

/// The deviations that are accepted, with their amounts.
fn concessions(input: &SheetInput<'_>, record: &SignOff, measure: f32) -> Table {
    let say = input.say();
    let columns = vec![
        Column::new(say.text("reasons-subject"), 31.0, Align::Left),
        Column::new(say.text("concession-characteristic"), 36.0, Align::Left),
        Column::new(say.text("reasons-amounts"), 36.0, Align::Left),
        Column::new(say.text("concession-reason"), measure - 103.0, Align::Left),
    ];
    let lines = record.concessions.iter().map(|concession| {
        let characteristic = concession.characteristic.as_deref();
        let title = match characteristic {
            Some(id) => say.title(id).into_owned(),
            None => say.text("concession-doubt").to_owned(),
        };
        Line::new(vec![
            Cell::Text(sentence(&place(&concession.subject, say))),
            Cell::Text(title),
            Cell::figure(amounts_of(input, &concession.subject, characteristic)),
            Cell::Text(concession.reason.clone()),
        ])
    });
    let caption = say.text("concessions-heading").to_owned();
    Table { columns, lines: lines.collect(), caption, note_column: 0, place: Place::PAGE }
}

/// Earlier signatures, oldest first.
fn earlier(caption: &str, signatures: &[EarlierSignOff], measure: f32, say: Say) -> Table {
    let columns = vec![
        Column::new(say.text("label-meaning"), 27.0, Align::Left),
        Column::new(say.text("label-signed-by"), (measure - 129.0) * 0.55, Align::Left).naming(),
        Column::new(say.text("label-signer-role"), (measure - 129.0) * 0.45, Align::Left),
        Column::new(say.text("label-signed-at"), 36.0, Align::Left),
        Column::new(say.text("label-stage"), 24.0, Align::Left),
        Column::new(say.text("column-revision"), 16.0, Align::Right),
        Column::new(say.text("label-sign-off-record"), 26.0, Align::Left),
    ];
    let lines = signatures.iter().map(|signature| {
        Line::new(vec![
            Cell::Text(meaning(signature.meaning, say).to_owned()),
            Cell::Text(signature.name.clone()),
            Cell::Text(signature.role.clone()),
            Cell::Text(to_the_second(&signature.signed_at, say)),
            Cell::Text(stage(signature.stage, say).to_owned()),
            Cell::Text(signature.revision.to_string()),
            Cell::Text(short_digest(&signature.digest)),
        ])
    });
    Table { columns, lines: lines.collect(), caption: caption.to_owned(), note_column: 1, place: Place::PAGE }
}

/// A digest in groups of its digits.
fn grouped(digest: &str) -> String {
    let digits: Vec<char> = digest.chars().collect();
    let groups = digits.chunks(GROUP).map(|group| group.iter().collect::<String>());
    groups.collect::<Vec<_>>().join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_digest_is_read_in_groups() {
        assert_eq!(grouped("0123456789abcdef01"), "01234567 89abcdef 01");
        assert_eq!(grouped(""), "");
    }
}
