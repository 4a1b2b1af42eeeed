//! Drawings: what was measured, to scale.
//!
//! Each is made from the documents alone and drawn into a box it is given; one whose readings are missing is
//! left out. What a drawing says in words stands under it, so that no line can run through it; the names
//! inside a section are put where nothing is drawn.

mod bars;
mod block;
mod caption;
mod cones;
mod deck;
mod guard;
mod labels;
mod metal;
mod paper;
mod polar;
mod posted;
mod ring;
mod runout;
mod seat;
mod section;
mod spring;
mod strip;
mod strokes;

use headproof_wire::{PortRows, Row};

use crate::canvas::Canvas;
use crate::face::Face;
use crate::text::Style;

pub(crate) use bars::{Bars, draw_key as draw_key_of_bars};
pub(crate) use block::{Key, PortFigures};
pub(crate) use cones::{Cone, Known, Point, Profile, USUAL_STEP, tangent};
pub(crate) use deck::DeckMap;
pub(crate) use metal::draw_metal;
pub(crate) use paper::{Paper, largest_scale};
pub(crate) use posted::{Angles, Posted, Sizes};
pub(crate) use strokes::{draw_arrow, draw_masked, draw_scale_bar};

/// A point on paper, in millimetres from the upper left corner of the page.
pub(crate) type Spot = (f32, f32);

/// Over a drawing.
const TITLE: Style = Style::new(Face::NarrowBold, 7.8);
/// Under it.
const CAPTION: Style = Style::new(Face::Narrow, 7.2);
/// Inside it.
const NAME: Style = Style::new(Face::Narrow, 7.2);

/// A drawing that is ready to be drawn.
pub(crate) trait Figure {
    /// Height it takes with its title and its words, at a width; in millimetres.
    fn height(&self, width: f32) -> f32;
    /// Draws it with its upper left corner at a spot.
    fn draw(&self, canvas: &mut Canvas, at: Spot, width: f32);
}

/// The row of a characteristic.
fn row_of<'a>(port: &'a PortRows, characteristic: &str) -> Option<&'a Row> {
    port.rows.iter().find(|row| row.characteristic == characteristic)
}

/// Draws the title of a figure; returns where what is under it begins.
pub(crate) fn draw_title(canvas: &mut Canvas, (x, y): Spot, width: f32, title: &str) -> f32 {
    canvas.structure.describe(title);
    let style = TITLE.fitted(title, width, 4.0);
    canvas.text(style.face, style.size, style.ink, (x, y + TITLE.ascent()), title);
    y + TITLE_HEIGHT
}

/// What a title takes.
pub(crate) const TITLE_HEIGHT: f32 = 4.4;
