//! The top of the first page: disposition, headline, rule and tally.

use headproof_wire::Evaluation;

use crate::canvas::{Ink, Pen};
use crate::face::Face;
use crate::flow::{Flow, LEFT};
use crate::marks::mark;
use crate::said::said;
use crate::structure::Tag;
use crate::text::Style;
use crate::words::{Verdict, decision_rule, disposition, disposition_mark};

const WORD: Style = Style::new(Face::Bold, 25.0);
const HEADLINE: Style = Style::new(Face::NarrowBold, 11.0);
const COUNT: Style = Style::new(Face::NarrowBold, 14.0);

/// Draws it.
pub(crate) fn draw(flow: &mut Flow, evaluation: &Evaluation) {
    draw_word(flow, &evaluation.disposition);
    // The first sentence says what to do; the rest of a headline may be long.
    let headline = said(&evaluation.headline, evaluation.headline_says.as_ref(), flow.say());
    let (opening, rest) = match headline.find(". ") {
        Some(end) => (&headline[..=end], &headline[end + 2..]),
        None => (headline.as_str(), ""),
    };
    flow.paragraph(HEADLINE, LEFT, flow.measure(), opening);
    if !rest.is_empty() {
        flow.paragraph(Style::STRONG, LEFT, flow.measure(), rest);
    }
    flow.y += 1.0;
    flow.paragraph(Style::BODY, LEFT, flow.measure(), &decision_rule(evaluation, flow.say()));
    flow.y += 2.4;
    draw_tally(flow, evaluation);
}

fn draw_word(flow: &mut Flow, code: &str) {
    let say = flow.say();
    let height = 11.5;
    let middle = flow.y + height / 2.0;
    mark(flow.canvas(), disposition_mark(code), (LEFT + 5.4, middle), 4.9);
    let word = disposition(code, say).to_uppercase();
    let x = LEFT + 15.0;
    let style = WORD.fitted(&word, flow.measure() - 20.0, 8.0);
    let base = middle + style.cap_height() / 2.0;
    let mut ink = Ink::Black;
    if code == "reject" {
        let size = (style.width(&word) + 5.0, height - 0.6);
        flow.canvas().rectangle(Some(Ink::Accent), None, (x - 2.5, middle - size.1 / 2.0), size);
        ink = Ink::White;
    }
    flow.canvas().structure.open_heading(1);
    flow.canvas().text(style.face, style.size, ink, (x, base), &word);
    flow.canvas().structure.close();
    let label = Style::LABEL.sized(8.0);
    let what = say.text("sheet-of-a-head");
    let at = (flow.right() - label.width(what), base);
    if at.0 > x + style.width(&word) + 4.0 {
        flow.canvas().structure.open(Tag::Paragraph);
        flow.canvas().text(label.face, label.size, label.ink, at, what);
        flow.canvas().structure.close();
    }
    flow.y += height + 2.2;
}

/// The counts; with their marks they are the key to the sheet.
fn draw_tally(flow: &mut Flow, evaluation: &Evaluation) {
    let (tally, say) = (&evaluation.tally, flow.say());
    let counts = [
        (Verdict::Conforms, tally.conforms, say.text("tally-conforms")),
        (Verdict::DoesNotConform, tally.does_not_conform, say.text("tally-does-not-conform")),
        (Verdict::NotProven, tally.not_proven, say.text("tally-not-proven")),
        (Verdict::NotMeasured, tally.not_measured, say.text("tally-not-measured")),
        (Verdict::NoLimit, tally.no_limit, say.text("tally-no-limit")),
    ];
    let height = 10.0;
    let width = flow.measure() / counts.len() as f32;
    let (top, measure) = (flow.y, flow.measure());
    let frame = Pen::new(Ink::Black, 0.5);
    flow.canvas().rectangle(None, Some(frame), (LEFT, top), (measure, height));
    for (n, (verdict, count, words)) in counts.into_iter().enumerate() {
        let left = LEFT + n as f32 * width;
        if n > 0 {
            flow.canvas().line(Pen::new(Ink::Pale, 0.4), &[(left, top + 1.2), (left, top + height - 1.2)]);
        }
        mark(flow.canvas(), verdict, (left + 4.4, top + height / 2.0), 2.5);
        let figure = count.to_string();
        let style = COUNT.fitted(&figure, 11.0, 6.0);
        let base = top + height / 2.0 + style.cap_height() / 2.0;
        flow.canvas().structure.begin_item();
        flow.canvas().text(style.face, style.size, Ink::Black, (left + 8.7, base), &figure);
        let x = left + 8.7 + style.width(&figure) + 1.4;
        let words_style = Style::BODY.fitted(words, left + width - x - 1.8, 5.5);
        flow.canvas().structure.begin_body();
        flow.canvas().text(words_style.face, words_style.size, Ink::Black, (x, base), words);
        flow.canvas().structure.end_item();
    }
    flow.y += height;
}
