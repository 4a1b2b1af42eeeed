//! The documents as `draw.py` writes them.

use serde::Deserialize;

#[derive(Deserialize)]
pub struct Document {
    pub title: String,
    pub header: Vec<(String, String)>,
    pub summary: Grid,
    pub ports: Vec<Part>,
}

#[derive(Deserialize)]
pub struct Grid {
    pub columns: Vec<String>,
    pub rows: Vec<Row>,
}

#[derive(Deserialize)]
pub struct Row {
    pub label: String,
    pub v: Vec<f64>,
}

#[derive(Deserialize)]
pub struct Part {
    pub name: String,
    pub kind: String,
    #[serde(flatten)]
    pub grid: Grid,
    pub drawing: Drawing,
    pub caution: String,
}

/// Millimetres from the upper left corner of its frame.
#[derive(Deserialize)]
pub struct Drawing {
    pub w: f32,
    pub h: f32,
    pub polyline: Vec<(f32, f32)>,
    pub polygon: Vec<(f32, f32)>,
    pub labels: Vec<Label>,
}

#[derive(Deserialize)]
pub struct Label {
    pub x: f32,
    pub y: f32,
    pub t: String,
}
