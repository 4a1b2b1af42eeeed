//! The block on the first page: signed off by whom, what for, when, and where that can be looked up.

use headproof_texts::Say;
use headproof_wire::{Meaning, SignOff};
use qrcode::EcLevel;

use super::words::{is_released_before, meaning};
use crate::canvas::{Ink, Pen};
use crate::dates::to_the_second;
use crate::document::Placed;
use crate::face::Face;
use crate::flow::{Flow, LEFT};
use crate::square_code::SquareCode;
use crate::structure::Tag;
use crate::text::{Style, clipped, held, wrap};
use crate::words::short_digest;
use crate::{SheetError, SignOffInput};

const WORD: Style = Style::new(Face::Bold, 14.0);
const NAME: Style = Style::new(Face::NarrowBold, 10.0);
const CODE: Style = Style::new(Face::Bold, 10.0);
/// Largest edge of the square code in millimetres, where its squares need not be too small for that.
const LARGEST: f32 = 22.0;
/// From the frame to what is inside.
const PAD: f32 = 2.6;
/// Width of the bar of a concession.
const BAR: f32 = 1.4;
const GUTTER: f32 = 3.0;
/// Shares of the width: who, what they are, when; below them code, record, sign-off.
const SHARES: [f32; 3] = [0.44, 0.28, 0.28];
/// A longer value ends in an ellipsis: it stands in full in the section.
const MOST_LINES: usize = 2;
/// Earlier signatures that are listed where there is room for them, and where there is not.
const MOST_EARLIER: usize = 8;
const LEAST_EARLIER: usize = 2;
/// From what stands above it.
const GAP: f32 = 3.0;

/// A labelled value.
struct Field {
    label: &'static str,
    style: Style,
    lines: Vec<String>,
}

/// The block, laid out but not yet drawn.
pub(crate) struct Block {
    meaning: Meaning,
    label: &'static str,
    word: (Style, &'static str),
    says: Vec<String>,
    rows: [Vec<Field>; 2],
    /// Meaning, name and role, and time of each earlier signature, as wide as their columns.
    earlier: Vec<[String; 3]>,
    /// How many there are.
    earlier_count: usize,
    /// That not all of them are listed.
    more: Option<String>,
    earlier_label: &'static str,
    check: Vec<String>,
    code: SquareCode,
    address: String,
    /// Width of the frame.
    width: f32,
    /// Width of what stands beside the square code.
    inner: f32,
}

impl Block {
    /// Lays it out over a width.
    ///
    /// # Errors
    /// [`SheetError::Write`] for an address that no square code holds.
    pub(crate) fn new(sign_off: SignOffInput<'_>, measure: f32, say: Say) -> Result<Self, SheetError> {
        let record = sign_off.record;
        let code = SquareCode::of(sign_off.address, EcLevel::M, LARGEST)?;
        let inner = measure - code.edge() - 2.0 * PAD - GUTTER;
        let (word, says) = meaning_in_full(record, say);
        let owned = |lines: Vec<&str>| lines.into_iter().map(str::to_owned).collect::<Vec<_>>();
        let skipped = record.beside.len().saturating_sub(MOST_EARLIER);
        let earlier = record.beside.iter().skip(skipped).map(|signature| {
            let who = say.with(
                "name-and-role",
                &[("name", (&signature.name).into()), ("role", (&signature.role).into())],
            );
            let texts =
                [meaning(signature.meaning, say).to_owned(), who, to_the_second(&signature.signed_at, say)];
            let mut widths = earlier_columns(inner).into_iter().map(|(_, width)| width);
            texts.map(|text| clipped(Style::TABLE, widths.next().unwrap_or(inner), &text))
        });
        Ok(Self {
            meaning: record.meaning,
            label: say.text("signed-off"),
            word: (WORD.fitted(word, inner, 8.0), word),
            says: owned(wrap(Style::BODY, inner, &says)),
            rows: rows(sign_off, inner, say),
            earlier: earlier.collect(),
            earlier_count: record.beside.len(),
            more: more(skipped, say),
            earlier_label: say.text("signed-before"),
            check: owned(wrap(Style::SMALL, inner, say.text("sign-off-check"))),
            code,
            address: sign_off.address.to_owned(),
            width: measure,
            inner,
        })
    }

    /// Lists fewer earlier signatures, the latest of them, so that it takes no more than a height with what parts it from
    /// what stands above it; two are listed in any case.
    pub(crate) fn shrink_to(&mut self, height: f32, say: Say) {
        while GAP + self.height() > height && self.earlier.len() > LEAST_EARLIER {
            self.earlier.remove(0);
            self.more = more(self.earlier_count - self.earlier.len(), say);
        }
    }

    /// Height of the frame.
    fn height(&self) -> f32 {
        let beside = Style::LABEL.leading()
            + self.word.0.leading()
            + self.says.len() as f32 * Style::BODY.leading()
            + 1.0
            + self.rows.iter().map(|row| row_height(row)).sum::<f32>()
            + self.earlier_height()
            + self.check.len() as f32 * Style::SMALL.leading();
        beside.max(self.code.edge()) + 2.0 * PAD
    }

    fn earlier_height(&self) -> f32 {
        if self.earlier.is_empty() {
            return 0.0;
        }
        let lines = self.earlier.len() + usize::from(self.more.is_some());
        Style::LABEL.leading() + lines as f32 * Style::TABLE.leading() + 1.0
    }

    /// Draws it; tells where it stands.
    pub(crate) fn draw(&self, flow: &mut Flow) -> Placed {
        let height = self.height();
        flow.ensure(GAP + height);
        flow.gap(GAP);
        let (top, page) = (flow.y, flow.pages_before());
        let size = (self.width, height);
        self.draw_frame(flow, top, size);
        let code_at = (LEFT + self.width - PAD - self.code.edge(), top + PAD);
        flow.y = top + PAD;
        let element = flow.canvas().structure.open(Tag::Form);
        flow.canvas().structure.close();
        flow.canvas().structure.open(Tag::Paragraph);
        self.write(flow, Style::LABEL, self.label);
        flow.canvas().structure.close();
        flow.canvas().structure.open(Tag::Paragraph);
        self.write(flow, self.word.0, self.word.1);
        flow.canvas().structure.close();
        flow.canvas().structure.open(Tag::Paragraph);
        for line in &self.says {
            self.write(flow, Style::BODY, line);
        }
        flow.canvas().structure.close();
        flow.y += 1.0;
        for row in &self.rows {
            self.draw_row(flow, row);
        }
        self.draw_earlier(flow);
        flow.canvas().structure.open(Tag::Paragraph);
        for line in &self.check {
            self.write(flow, Style::SMALL, line);
        }
        flow.canvas().structure.close();
        flow.canvas().structure.open(Tag::Figure);
        flow.canvas().structure.describe(&self.address);
        self.code.draw(flow.canvas(), code_at);
        flow.canvas().structure.close();
        flow.y = top + height;
        Placed { page, at: (LEFT, top), size, element }
    }

    /// The frame: of one stroke where the head may leave, dashed where nobody says so; a bar beside a concession.
    fn draw_frame(&self, flow: &mut Flow, top: f32, size: (f32, f32)) {
        let pen = match self.meaning {
            Meaning::Inspected => Pen::new(Ink::Black, 0.8).dashed(4.0, 2.4),
            Meaning::Released | Meaning::Concession => Pen::new(Ink::Black, 1.4),
        };
        flow.canvas().rectangle(None, Some(pen), (LEFT, top), size);
        if self.meaning == Meaning::Concession {
            flow.canvas().rectangle(Some(Ink::Accent), None, (LEFT, top), (BAR, size.1));
        }
    }

    /// A line of text from the left.
    fn write(&self, flow: &mut Flow, style: Style, text: &str) {
        let at = (LEFT + PAD, flow.y + style.ascent());
        flow.canvas().text(style.face, style.size, style.ink, at, text);
        flow.y += style.leading();
    }

    fn draw_row(&self, flow: &mut Flow, row: &[Field]) {
        let mut x = LEFT + PAD;
        for (field, share) in row.iter().zip(SHARES) {
            let label = Style::LABEL;
            flow.canvas().structure.begin_item();
            let at = (x, flow.y + label.ascent());
            flow.canvas().text(label.face, label.size, label.ink, at, field.label);
            flow.canvas().structure.begin_body();
            for (n, line) in field.lines.iter().enumerate() {
                let style = field.style;
                let base = flow.y + label.leading() + n as f32 * style.leading() + style.ascent();
                flow.canvas().text(style.face, style.size, style.ink, (x, base), line);
            }
            flow.canvas().structure.end_item();
            x += share * self.inner;
        }
        flow.y += row_height(row);
    }

    fn draw_earlier(&self, flow: &mut Flow) {
        if self.earlier.is_empty() {
            return;
        }
        flow.canvas().structure.open(Tag::Paragraph);
        self.write(flow, Style::LABEL, self.earlier_label);
        flow.canvas().structure.close();
        let style = Style::TABLE;
        if let Some(more) = &self.more {
            flow.canvas().structure.open(Tag::Paragraph);
            self.write(flow, style, more);
            flow.canvas().structure.close();
        }
        for texts in &self.earlier {
            let base = flow.y + style.ascent();
            flow.canvas().structure.begin_item();
            for (n, (text, (x, _))) in texts.iter().zip(earlier_columns(self.inner)).enumerate() {
                if n == 1 {
                    flow.canvas().structure.begin_body();
                }
                let at = (LEFT + PAD + x, base);
                flow.canvas().text(style.face, style.size, style.ink, at, text);
            }
            flow.canvas().structure.end_item();
            flow.y += style.leading();
        }
        flow.y += 1.0;
    }
}

/// What the signature means: in a word, and what the word says.
fn meaning_in_full(record: &SignOff, say: Say) -> (&'static str, String) {
    let count = [("count", record.concessions.len().into())];
    match record.meaning {
        Meaning::Inspected if is_released_before(record) => {
            (say.text("signed-inspected-too"), say.text("signed-inspected-too-says").to_owned())
        }
        Meaning::Inspected => (say.text("signed-inspected"), say.text("signed-inspected-says").to_owned()),
        Meaning::Released => (say.text("signed-released"), say.text("signed-released-says").to_owned()),
        Meaning::Concession => (say.text("signed-concession"), say.with("signed-concession-says", &count)),
    }
}

fn rows(sign_off: SignOffInput<'_>, inner: f32, say: Say) -> [Vec<Field>; 2] {
    let record = sign_off.record;
    let upper = [
        (say.text("label-signed-by"), NAME, record.signer.name.clone()),
        (say.text("label-signer-role"), Style::BODY, record.signer.role.clone()),
        (say.text("label-signed-at"), Style::BODY, to_the_second(&record.signed_at, say)),
    ];
    let lower = [
        (say.text("label-code"), CODE, sign_off.code.to_owned()),
        (say.text("label-signed-record"), Style::BODY, short_digest(&record.evaluation_digest)),
        (say.text("label-sign-off-record"), Style::BODY, short_digest(sign_off.digest)),
    ];
    [upper, lower].map(|row| {
        let fields = row.into_iter().zip(SHARES).map(|((label, style, value), share)| {
            let width = share * inner - GUTTER;
            let style = style.fitted(&value, width, 7.5);
            Field { label, style, lines: held(style, width, MOST_LINES, &value) }
        });
        fields.collect()
    })
}

fn row_height(row: &[Field]) -> f32 {
    let values = row.iter().map(|field| field.lines.len() as f32 * field.style.leading());
    Style::LABEL.leading() + values.fold(0.0, f32::max) + 1.0
}

/// That so many earlier signatures are not listed.
fn more(count: usize, say: Say) -> Option<String> {
    (count > 0).then(|| say.with("signed-before-more", &[("count", count.into())]))
}

/// Where the columns of earlier signatures begin, and how wide their texts are.
fn earlier_columns(inner: f32) -> [(f32, f32); 3] {
    let (who, time) = (32.0, (SHARES[0] + SHARES[1]) * inner);
    [(0.0, who - GUTTER), (who, time - who - GUTTER), (time, inner - time)]
}
