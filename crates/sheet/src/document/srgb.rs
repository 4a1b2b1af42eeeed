//! The colour space of the pages as an ICC profile, worked out from its definition.
//!
//! Sources: primaries, white and transfer function of IEC 61966-2-1 (sRGB); layout of the file and its tags of
//! ICC.1:2001-04 (profile version 2.4.0); the Bradford adaptation and the white of the connection space of ICC.1,
//! annex E. All from memory; tests hold the outcome against published figures.

use std::sync::OnceLock;

use lopdf::{Stream, dictionary};

use crate::SheetError;
use crate::deflate::Deflater;

/// A vector, or the row of a matrix.
type Row = [f64; 3];

/// White of the profile connection space (D50): ICC.1.
const D50: Row = [0.9642, 1.0, 0.8249];
/// Chromaticities of the primaries and of white (D65): IEC 61966-2-1.
const RED: (f64, f64) = (0.64, 0.33);
const GREEN: (f64, f64) = (0.30, 0.60);
const BLUE: (f64, f64) = (0.15, 0.06);
const WHITE: (f64, f64) = (0.3127, 0.3290);
/// From XYZ to the responses of Bradford.
const BRADFORD: [Row; 3] = [[0.8951, 0.2664, -0.1614], [-0.7502, 1.7135, 0.0367], [0.0389, -0.0685, 1.0296]];
/// Points of the transfer function.
const POINTS: usize = 1024;

/// The profile as a stream, made and deflated once for all documents.
///
/// # Errors
/// [`SheetError::Write`], which deflating does not give.
pub(super) fn stream(deflater: &mut Deflater) -> Result<Stream, SheetError> {
    static STREAM: OnceLock<Stream> = OnceLock::new();
    if let Some(made) = STREAM.get() {
        return Ok(made.clone());
    }
    let made = deflater.stream(dictionary! { "N" => 3 }, &build())?;
    Ok(STREAM.get_or_init(|| made).clone())
}

fn build() -> Vec<u8> {
    let adapt = adaptation();
    let [red, green, blue] = colorants(&adapt);
    let curve = curve();
    let tags: [(&[u8; 4], Vec<u8>); 8] = [
        (b"desc", description()),
        (b"cprt", text(b"text", b"No copyright, use freely.\0")),
        (b"wtpt", xyz(&[D50])),
        (b"chad", fixed(b"sf32", &adapt)),
        (b"rXYZ", xyz(&[red])),
        (b"gXYZ", xyz(&[green])),
        (b"bXYZ", xyz(&[blue])),
        (b"rTRC", curve),
    ];
    assemble(&tags)
}

/// Header, table of tags, tags; the three transfer functions are one.
fn assemble(tags: &[(&[u8; 4], Vec<u8>)]) -> Vec<u8> {
    const HEADER: usize = 128;
    let count = tags.len() + 2;
    let mut table = (count as u32).to_be_bytes().to_vec();
    let mut body = Vec::new();
    let mut entry = |name: &[u8; 4], at: usize, length: usize| {
        table.extend_from_slice(name);
        table.extend((at as u32).to_be_bytes());
        table.extend((length as u32).to_be_bytes());
    };
    let begin = HEADER + 4 + 12 * count;
    for (name, data) in tags {
        entry(name, begin + body.len(), data.len());
        if *name == b"rTRC" {
            entry(b"gTRC", begin + body.len(), data.len());
            entry(b"bTRC", begin + body.len(), data.len());
        }
        body.extend_from_slice(data);
        body.resize(body.len().next_multiple_of(4), 0);
    }
    let mut profile = header(begin + body.len());
    profile.extend(table);
    profile.extend(body);
    profile
}

/// ICC.1:2001-04, 6.1: a display profile between RGB and XYZ, dated by the publication of its source, with
/// perceptual rendering.
fn header(size: usize) -> Vec<u8> {
    let mut header = vec![0; 128];
    let mut put = |at: usize, bytes: &[u8]| header[at..at + bytes.len()].copy_from_slice(bytes);
    put(0, &(size as u32).to_be_bytes());
    put(8, &[2, 0x40, 0, 0]);
    put(12, b"mntrRGB XYZ ");
    for (n, part) in [1999_u16, 10, 1, 0, 0, 0].into_iter().enumerate() {
        put(24 + 2 * n, &part.to_be_bytes());
    }
    put(36, b"acsp");
    for (n, part) in D50.into_iter().enumerate() {
        put(68 + 4 * n, &s15_fixed16(part));
    }
    header
}

/// A matrix from device white to that of the connection space.
fn adaptation() -> [Row; 3] {
    let (from, to) = (times(&BRADFORD, &xyz_of(WHITE)), times(&BRADFORD, &D50));
    let mut scaled = BRADFORD;
    for (row, (to, from)) in scaled.iter_mut().zip(to.into_iter().zip(from)) {
        row.iter_mut().for_each(|number| *number *= to / from);
    }
    product(&inverse(&BRADFORD), &scaled)
}

/// XYZ of the primaries under the white of the connection space.
fn colorants(adapt: &[Row; 3]) -> [Row; 3] {
    let primaries = [RED, GREEN, BLUE].map(xyz_of);
    let columns = transposed(&primaries);
    let amounts = times(&inverse(&columns), &xyz_of(WHITE));
    let mut adapted = primaries.map(|primary| times(adapt, &primary));
    for (primary, amount) in adapted.iter_mut().zip(amounts) {
        primary.iter_mut().for_each(|number| *number *= amount);
    }
    adapted
}

/// XYZ of a chromaticity, with Y = 1.
fn xyz_of((x, y): (f64, f64)) -> Row {
    [x / y, 1.0, (1.0 - x - y) / y]
}

fn times(matrix: &[Row; 3], vector: &Row) -> Row {
    matrix.map(|row| row.iter().zip(vector).map(|(a, b)| a * b).sum())
}

fn transposed(m: &[Row; 3]) -> [Row; 3] {
    [0, 1, 2].map(|n| m.map(|row| row[n]))
}

fn product(a: &[Row; 3], b: &[Row; 3]) -> [Row; 3] {
    transposed(&transposed(b).map(|column| times(a, &column)))
}

/// By cofactors; none of the matrices here is singular.
fn inverse(m: &[Row; 3]) -> [Row; 3] {
    let minor = |r: usize, c: usize| {
        let (r1, r2, c1, c2) = ((r + 1) % 3, (r + 2) % 3, (c + 1) % 3, (c + 2) % 3);
        m[r1][c1] * m[r2][c2] - m[r1][c2] * m[r2][c1]
    };
    let determinant: f64 = [0, 1, 2].map(|c| m[0][c] * minor(0, c)).iter().sum();
    [0, 1, 2].map(|r| [0, 1, 2].map(|c| minor(c, r) / determinant))
}

/// IEC 61966-2-1: from the encoded value to light.
fn light(value: f64) -> f64 {
    if value <= 0.040_45 { value / 12.92 } else { libm::pow((value + 0.055) / 1.055, 2.4) }
}

fn curve() -> Vec<u8> {
    let mut curve = text(b"curv", &(POINTS as u32).to_be_bytes());
    for n in 0..POINTS {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 0 and 65535")]
        let value = (light(n as f64 / (POINTS - 1) as f64) * 65535.0).round() as u16;
        curve.extend(value.to_be_bytes());
    }
    curve
}

fn s15_fixed16(number: f64) -> [u8; 4] {
    #[expect(clippy::cast_possible_truncation, reason = "no number here is above 2")]
    let count = (number * 65536.0).round() as i32;
    count.to_be_bytes()
}

fn fixed(kind: &[u8; 4], rows: &[Row]) -> Vec<u8> {
    let numbers: Vec<u8> = rows.iter().flatten().flat_map(|number| s15_fixed16(*number)).collect();
    text(kind, &numbers)
}

fn xyz(rows: &[Row]) -> Vec<u8> {
    fixed(b"XYZ ", rows)
}

/// A tag of a kind with its data.
fn text(kind: &[u8; 4], data: &[u8]) -> Vec<u8> {
    [kind, &[0; 4][..], data].concat()
}

/// textDescriptionType with ASCII only: ICC.1:2001-04, 6.5.17.
fn description() -> Vec<u8> {
    const NAME: &[u8] = b"sRGB IEC61966-2.1\0";
    let mut data = (NAME.len() as u32).to_be_bytes().to_vec();
    data.extend_from_slice(NAME);
    // No Unicode (language, count), no ScriptCode (code, count, 67 bytes).
    data.resize(data.len() + 4 + 4 + 2 + 1 + 67, 0);
    text(b"desc", &data)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The colorants that published sRGB profiles carry, to their four decimals (from memory).
    #[test]
    fn colorants_are_those_of_published_profiles() {
        let published = [[0.4361, 0.2225, 0.0139], [0.3851, 0.7169, 0.0971], [0.1431, 0.0606, 0.7141]];
        for (ours, theirs) in colorants(&adaptation()).iter().flatten().zip(published.iter().flatten()) {
            assert!((ours - theirs).abs() < 2e-4, "{ours} {theirs}");
        }
    }

    #[test]
    fn white_is_the_white_of_the_connection_space() {
        let sum =
            colorants(&adaptation()).into_iter().fold([0.0; 3], |sum, c| [0, 1, 2].map(|n| sum[n] + c[n]));
        for (ours, white) in sum.iter().zip(D50) {
            assert!((ours - white).abs() < 1e-9, "{sum:?}");
        }
    }

    /// IEC 61966-2-1: half the encoded range is 21.4 % of the light.
    #[test]
    fn the_transfer_function_bends_as_it_should() {
        assert!((light(0.5) - 0.214_041).abs() < 1e-6);
        assert!((light(0.040_45) - 0.003_131).abs() < 1e-6);
        assert!((light(1.0) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn tags_lie_within_the_profile_and_at_fours() {
        let profile = build();
        let number = |at: usize| u32::from_be_bytes(profile[at..at + 4].try_into().unwrap()) as usize;
        assert_eq!(number(0), profile.len());
        for n in 0..number(128) {
            let (at, length) = (number(136 + 12 * n), number(140 + 12 * n));
            assert!(at % 4 == 0 && at + length <= profile.len(), "tag {n}");
        }
    }
}
