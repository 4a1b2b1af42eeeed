//! The head from the deck side as a scheme: one mark per port.

use headproof_texts::Say;
use headproof_wire::{Evaluation, Layout, Service};

use crate::canvas::{Canvas, Ink, Pen};
use crate::face::Face;
use crate::flow::{Flow, LEFT};
use crate::marks::mark;
use crate::structure::Tag;
use crate::text::Style;
use crate::words::{Verdict, service_word};

const NAME: Style = Style::new(Face::Narrow, 6.6);
const WORDS: Style = Style::new(Face::NarrowBold, 6.6);
const NUMBER: Style = Style::new(Face::Bold, 11.0).ink(Ink::Grey);
/// Air between the ports' labels.
const AIR: f32 = 1.2;
/// From the outline to what is inside.
const INSET: f32 = 2.0;
/// Between two rows of cylinders.
const BETWEEN: f32 = 3.0;
/// In a smaller chamber its number is printed small.
const ROOMY: f32 = 12.5;
/// With labels no wider than this four cylinders of five valves stand abreast, and sixteen of them on one page.
const WIDEST_LABEL: f32 = 12.8;
const WIDEST_CELL: f32 = 56.0;
const LARGEST_CHAMBER: f32 = 15.0;
/// Half the height of the smallest mark that is told apart at arm's length.
const SMALLEST_MARK: f32 = 2.2;
/// A mark in its port: their radii.
const MARK_IN_PORT: f32 = 0.62;

/// The scheme, laid out but not yet drawn.
pub(crate) struct PlanView<'a> {
    layout: &'a Layout,
    evaluation: &'a Evaluation,
    say: Say,
    per_row: usize,
    rows: usize,
    cell: f32,
    chamber: f32,
}

impl<'a> PlanView<'a> {
    /// Fits the cylinders of a head into rows of a width.
    pub(crate) fn new(layout: &'a Layout, evaluation: &'a Evaluation, measure: f32, say: Say) -> Self {
        let cylinders = usize::from(layout.cylinders).max(1);
        let abreast = f32::from(layout.intake_per_cylinder.max(layout.exhaust_per_cylinder).max(1));
        let least = abreast * (label_width(say) + AIR) + AIR;
        let room = measure - 2.0 * INSET;
        let fitting = ((room / least) as usize).clamp(1, cylinders);
        let rows = cylinders.div_ceil(fitting);
        let per_row = cylinders.div_ceil(rows);
        let cell = (room / per_row as f32).min(WIDEST_CELL);
        let chamber = (cell * 0.47).min(LARGEST_CHAMBER);
        Self { layout, evaluation, say, per_row, rows, cell, chamber }
    }

    /// Makes the chambers smaller, down to a size at which their marks can still be read, so that the
    /// scheme takes no more than a height; grows them again as far as their cells allow.
    pub(crate) fn shrink_to(&mut self, height: f32) {
        let largest = (self.cell * 0.47).min(LARGEST_CHAMBER);
        let counts = [self.layout.intake_per_cylinder, self.layout.exhaust_per_cylinder];
        let port = counts.map(|count| place_in_chamber(count, 1).2).into_iter().fold(1.0, f32::min);
        let smallest = (SMALLEST_MARK / MARK_IN_PORT / port).min(largest);
        let too_high = self.height() - height;
        let radius = self.chamber - too_high / (2.0 * self.rows as f32);
        self.chamber = radius.clamp(smallest, largest);
    }

    /// Height of the labels above or below a chamber.
    fn labels(&self) -> f32 {
        NAME.leading() + 2.0 * WORDS.leading()
    }

    fn row_height(&self) -> f32 {
        2.0 * (self.chamber + self.labels() + INSET) + 1.6
    }

    /// Height it takes, legend included.
    pub(crate) fn height(&self) -> f32 {
        let rows = self.rows as f32;
        4.0 + rows * self.row_height() + (rows - 1.0) * BETWEEN + 1.6 + Style::SMALL.leading() + 2.4
    }

    /// Draws it with its legend.
    pub(crate) fn draw(&self, flow: &mut Flow) {
        flow.ensure(self.height());
        flow.gap(4.0);
        flow.canvas().structure.open(Tag::Figure);
        for row in 0..self.rows {
            self.draw_row(flow, row);
            flow.y += self.row_height() + if row + 1 < self.rows { BETWEEN } else { 1.6 };
        }
        self.draw_legend(flow);
        flow.canvas().structure.close();
    }

    fn draw_row(&self, flow: &mut Flow, row: usize) {
        let first = row * self.per_row + 1;
        let last = ((row + 1) * self.per_row).min(usize::from(self.layout.cylinders));
        let width = self.per_row as f32 * self.cell + 2.0 * INSET;
        let drawn = (last + 1 - first) as f32 * self.cell + 2.0 * INSET;
        let left = LEFT + (flow.measure() - width) / 2.0;
        self.draw_outline(flow, (left, drawn), row);
        let middle = flow.y + self.row_height() / 2.0;
        for cylinder in first..=last {
            let x = left + INSET + (cylinder - first) as f32 * self.cell + self.cell / 2.0;
            self.draw_cylinder(flow.canvas(), cylinder as u8, (x, middle));
        }
    }

    /// The deck; an end at which the head goes on in another row is dashed.
    fn draw_outline(&self, flow: &mut Flow, (left, width): (f32, f32), row: usize) {
        let (top, bottom, right) = (flow.y, flow.y + self.row_height(), left + width);
        let whole = Pen::new(Ink::Black, 0.9);
        let broken = Pen::new(Ink::Grey, 0.6).dashed(3.0, 2.0);
        let corner = 2.2;
        let canvas = flow.canvas();
        canvas.line(whole, &[(left + corner, top), (right - corner, top)]);
        canvas.line(whole, &[(left + corner, bottom), (right - corner, bottom)]);
        let side = |canvas: &mut Canvas, x: f32, inner: f32, open: bool| {
            let points = [(inner, top), (x, top + corner), (x, bottom - corner), (inner, bottom)];
            canvas.line(if open { broken } else { whole }, &points);
        };
        side(canvas, left, left + corner, row > 0);
        side(canvas, right, right - corner, row + 1 < self.rows);
    }

    fn draw_cylinder(&self, canvas: &mut Canvas, cylinder: u8, (x, y): (f32, f32)) {
        canvas.circle(None, Some(Pen::new(Ink::Pale, 0.5)), (x, y), self.chamber);
        for service in [Service::Intake, Service::Exhaust] {
            let count = match service {
                Service::Intake => self.layout.intake_per_cylinder,
                Service::Exhaust => self.layout.exhaust_per_cylinder,
            };
            for index in 1..=count {
                self.draw_port(canvas, (cylinder, service, index), count, (x, y));
            }
        }
        let number = cylinder.to_string();
        let style = if self.crowded() || self.chamber < ROOMY { NUMBER.sized(7.5) } else { NUMBER };
        // Between two ports that stand one above the other there is no room: beside them there is.
        let aside = if self.is_in_line() { -0.66 * self.chamber } else { 0.0 };
        let at = (x + aside - style.width(&number) / 2.0, y + style.cap_height() / 2.0);
        canvas.text(style.face, style.size, style.ink, at, &number);
    }

    const fn is_in_line(&self) -> bool {
        self.layout.intake_per_cylinder == 1 && self.layout.exhaust_per_cylinder == 1
    }

    const fn crowded(&self) -> bool {
        self.layout.intake_per_cylinder > 2 || self.layout.exhaust_per_cylinder > 2
    }

    fn draw_port(&self, canvas: &mut Canvas, port: (u8, Service, u8), count: u8, (x, y): (f32, f32)) {
        let (cylinder, service, index) = port;
        let up = if service == Service::Intake { -1.0 } else { 1.0 };
        let (across, away, size) = place_in_chamber(count, index);
        let size = if service == Service::Exhaust { size * 0.92 } else { size };
        let centre = (x + across * self.chamber, y + up * away * self.chamber);
        let radius = size * self.chamber;
        canvas.circle(Some(Ink::White), Some(Pen::new(Ink::Black, 0.5)), centre, radius);
        let verdict = self.verdict(port);
        mark(canvas, verdict, centre, radius * MARK_IN_PORT);

        let slot = (self.cell - 2.0 * AIR) / f32::from(count.max(1));
        let slot = slot.min(label_width(self.say) + 8.0);
        let middle = x + (f32::from(index) - (f32::from(count) + 1.0) / 2.0) * slot;
        let full = format!("{cylinder} {} {index}", service_word(service, self.say));
        canvas.structure.describe(&format!("{full}: {}", verdict.words(self.say)));
        let short = format!("{cylinder} {} {index}", short_word(service, self.say));
        let name = if NAME.width(&full) <= slot - 0.6 { full } else { short };
        let [first, second] = verdict.two_lines(self.say);
        let one_line = verdict.words(self.say);
        let words = if WORDS.width(one_line) <= slot - 0.6 { [one_line, ""] } else { [first, second] };
        // From the outline inwards for the intake, from the chamber outwards for the exhaust.
        let lines = [(NAME, name.as_str()), (WORDS, words[0]), (WORDS, words[1])];
        let used = if words[1].is_empty() { 2 } else { 3 };
        let depth: f32 = lines.iter().take(used).map(|(style, _)| style.leading()).sum();
        let mut top = if up < 0.0 { y - self.chamber - 0.8 - depth } else { y + self.chamber + 0.8 };
        for (style, text) in lines.iter().take(used) {
            let style = style.fitted(text, slot - 0.4, 4.5);
            let at = (middle - style.width(text) / 2.0, top + style.ascent());
            canvas.text(style.face, style.size, style.ink, at, text);
            top += style.leading();
        }
    }

    /// A port that the evaluation does not list was not measured.
    fn verdict(&self, (cylinder, service, index): (u8, Service, u8)) -> Verdict {
        let is_it = |port: &&headproof_wire::PortRows| {
            port.cylinder == cylinder && port.service == service && port.index == index
        };
        let found = self.evaluation.ports.iter().find(is_it);
        found.map_or(Verdict::NotMeasured, |port| Verdict::from_code(&port.verdict))
    }

    fn draw_legend(&self, flow: &mut Flow) {
        let style = Style::SMALL;
        let base = flow.y + style.ascent();
        let mut x = LEFT + 2.0;
        for verdict in Verdict::JUDGED {
            mark(flow.canvas(), verdict, (x, base - style.cap_height() / 2.0), 1.35);
            flow.canvas().text(style.face, style.size, style.ink, (x + 2.6, base), verdict.words(self.say));
            x += 2.6 + style.width(verdict.words(self.say)) + 4.5;
        }
        let remark = self.say.text("plan-view-remark");
        flow.canvas().structure.describe(remark);
        let remark_style = Style::LABEL.fitted(remark, flow.right() - x, 4.5);
        let at = (flow.right() - remark_style.width(remark), base);
        flow.canvas().text(remark_style.face, remark_style.size, remark_style.ink, at, remark);
        flow.y += style.leading() + 1.0;
    }
}

/// Service of a valve, cut short.
fn short_word(service: Service, say: Say) -> &'static str {
    say.text(match service {
        Service::Intake => "service-intake-short",
        Service::Exhaust => "service-exhaust-short",
    })
}

/// Width that the words of any verdict take on two lines, and the short name of any port; a longer word shrinks.
fn label_width(say: Say) -> f32 {
    let longest = NAME.width(&format!("16 {} 4", short_word(Service::Exhaust, say)));
    let words = Verdict::JUDGED.iter().flat_map(|verdict| verdict.two_lines(say));
    words.map(|word| WORDS.width(word)).fold(longest, f32::max).min(WIDEST_LABEL)
}

/// Where the n-th of some ports stands in its half of a chamber of radius 1: across, away from the
/// middle line, and its own radius.
fn place_in_chamber(count: u8, index: u8) -> (f32, f32, f32) {
    let n = usize::from(index.saturating_sub(1));
    match count {
        1 => (0.0, 0.53, 0.40),
        2 => ([-0.43, 0.43][n.min(1)], 0.45, 0.34),
        3 => ([-0.62, 0.0, 0.62][n.min(2)], [0.34, 0.64, 0.34][n.min(2)], 0.28),
        _ => ([-0.72, -0.27, 0.27, 0.72][n.min(3)], [0.27, 0.66, 0.66, 0.27][n.min(3)], 0.22),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ports_lie_inside_the_chamber_and_clear_of_each_other() {
        let far = |a: (f32, f32), b: (f32, f32)| ((a.0 - b.0).powi(2) + (a.1 - b.1).powi(2)).sqrt();
        for (intake, exhaust) in [(1, 1), (2, 1), (2, 2), (3, 2), (1, 2), (4, 1)] {
            let half = |count: u8, up: f32| (1..=count).map(move |n| (place_in_chamber(count, n), up));
            let ports: Vec<_> = half(intake, -1.0).chain(half(exhaust, 1.0)).collect();
            for (n, ((ax, ay, ar), aside)) in ports.iter().enumerate() {
                let a = (*ax, ay * aside);
                assert!(far(a, (0.0, 0.0)) + ar <= 1.0, "{count} ports", count = ports.len());
                for ((bx, by, br), bside) in ports.iter().skip(n + 1) {
                    assert!(far(a, (*bx, by * bside)) >= ar + br, "{a:?} {bx} {by}");
                }
            }
        }
    }
}
