//! Cut profiles, first contact and the place of the band, against profiles cut and valves lowered point by
//! point, and against printed limits; the source stands beside each.

use headproof_metrology::{
    ContactEdge, band_offset, band_offset_from_diameters, contact_line, edge_after_feeds,
    inner_edge_clearance, inner_edge_clearance_from_diameters, overhang_from_diameters, width_from_diameters,
};
use headproof_quantity::{Angle, Length, Unit};

fn mm(amount: f64) -> Length {
    Length::from_f64((amount * 1e9).round() / 1e9, Unit::Millimetre).expect("a length")
}

fn inch(amount: f64) -> Length {
    Length::from_f64(amount, Unit::Inch).expect("a length")
}

fn degrees(amount: f64) -> Angle {
    Angle::from_f64(amount, Unit::Degree).expect("an angle")
}

fn tangent(angle: f64) -> f64 {
    libm::tan(angle.to_radians())
}

#[track_caller]
fn close(value: f64, expected: f64, tolerance: f64) {
    assert!((value - expected).abs() <= tolerance, "{value} is not {expected}");
}

fn edge(radius: f64, angles: (f64, f64), feeds: (f64, f64)) -> f64 {
    edge_after_feeds(mm(radius), degrees(angles.0), degrees(angles.1), mm(feeds.0), mm(feeds.1))
        .expect("an edge")
        .value
        .get()
}

/// Computed with numpy 2.4.6 from a brute-force cut of the same profile.
#[test]
fn a_seat_of_45_30_and_60_degrees_after_three_cuts() {
    let outer = edge(16.5, (45.0, 30.0), (0.10, 0.15));
    let inner = edge(15.0, (60.0, 45.0), (0.12, 0.10));
    close(outer, 16.381_70, 5e-6);
    close(inner, 15.027_32, 5e-6);
    let width = width_from_diameters(mm(2.0 * outer), mm(2.0 * inner), degrees(45.0)).expect("a width");
    close(width.value.get(), 1.915_38, 5e-6);
    let diameter_lost = 2.0 * (16.5 - edge(16.5, (45.0, 30.0), (0.0, 0.10)));
    close(diameter_lost, 0.473, 5e-4);
}

/// Cuts a profile point by point: what a cutter reaches above its cone goes. Gives the radii where the
/// lowest cone changes.
fn cut(angles: &[f64], edges: &[f64], feeds: &[f64], step: f64) -> Vec<f64> {
    let slopes: Vec<_> = angles.iter().map(|angle| tangent(*angle)).collect();
    let mut heights = vec![0.0];
    for (index, radius) in edges.iter().enumerate() {
        heights.push(heights[index] + (slopes[index] - slopes[index + 1]) * radius);
    }
    let metal = |radius: f64| {
        let cones = slopes.iter().zip(&heights).map(|(slope, height)| slope * radius + height);
        cones.fold(f64::INFINITY, f64::min)
    };
    let cutter = |index: usize, radius: f64| slopes[index] * radius + heights[index] - feeds[index];
    let mut found = Vec::new();
    let mut last = 0;
    let mut radius = 13.0;
    while radius < 19.0 {
        let (lowest, height) = (0..angles.len())
            .map(|index| (index, cutter(index, radius)))
            .min_by(|a, b| a.1.total_cmp(&b.1))
            .expect("a cone");
        assert!(height <= metal(radius), "a cutter reaches no metal at {radius}");
        if lowest != last {
            found.push(radius);
            last = lowest;
        }
        radius += step;
    }
    found
}

/// Angles and feeds from the port outwards, and the radii of the edges before.
#[track_caller]
fn check_cut(angles: &[f64], edges: &[f64], feeds: &[f64]) {
    let step = 1e-4;
    let found = cut(angles, edges, feeds, step);
    assert_eq!(found.len(), edges.len(), "an edge is gone");
    for (index, found) in found.iter().enumerate() {
        let (inner, outer) = (index, index + 1);
        let stated = edge(edges[index], (angles[inner], angles[outer]), (feeds[inner], feeds[outer]));
        close(stated, found - 0.5 * step, step);
    }
}

/// Brute force: the profile is cut on a grid of 0.1 µm.
#[test]
fn edges_of_three_and_five_angle_seats_lie_where_the_cutters_leave_them() {
    check_cut(&[60.0, 45.0, 30.0], &[15.0, 16.5], &[0.12, 0.10, 0.15]);
    check_cut(&[60.0, 45.0, 30.0], &[15.0, 16.5], &[0.0, 0.05, 0.0]);
    check_cut(&[60.0, 30.0, 0.0], &[14.8, 16.9], &[0.2, 0.1, 0.3]);
    check_cut(&[75.0, 60.0, 45.0, 30.0, 15.0], &[14.2, 15.0, 16.5, 17.3], &[0.05, 0.12, 0.10, 0.15, 0.08]);
    // One blade with all angles moves no edge.
    check_cut(&[70.0, 60.0, 45.0, 35.0, 20.0], &[14.2, 15.0, 16.5, 17.3], &[0.2; 5]);
}

/// Lowers a face onto a seat on a grid of radii and measures what is left open.
#[track_caller]
fn check_contact(
    seat: f64,
    face: f64,
    seat_at: (f64, f64),
    face_at: Option<(f64, f64)>,
    touches: ContactEdge,
) {
    let (outer, inner) = (
        face_at.map_or(seat_at.0, |at| at.0.min(seat_at.0)) / 2.0,
        face_at.map_or(seat_at.1, |at| at.1.max(seat_at.1)) / 2.0,
    );
    let (rise, fall) = (tangent(seat), tangent(face));
    let over = |radius: f64| (fall - rise) * radius;
    let radius = |step: i32| inner + (outer - inner) * f64::from(step) / 1000.0;
    let first = (0..=1000).min_by(|a, b| over(radius(*a)).total_cmp(&over(radius(*b)))).expect("a radius");
    let (at, away) = if first == 0 { (inner, outer) } else { (outer, inner) };
    assert!(first == 0 || first == 1000, "touches between the edges");
    let open = over(away) - over(at);
    let (seat_cosine, seat_sine) = (libm::cos(seat.to_radians()), libm::sin(seat.to_radians()));
    let line = contact_line(
        degrees(seat),
        degrees(face),
        mm(seat_at.0),
        mm(seat_at.1),
        face_at.map(|at| mm(at.0)),
        face_at.map(|at| mm(at.1)),
    )
    .expect("a contact");
    assert_eq!(line.edge, touches);
    assert_eq!(first == 1000, matches!(touches, ContactEdge::SeatOuter | ContactEdge::FaceOuter));
    close(line.gap_square_to_face.value.get(), open * libm::cos(face.to_radians()), 1e-12);
    close(line.gap_square_to_seat.value.get(), open / (seat_cosine + fall * seat_sine), 1e-12);
}

/// Brute force: a straight face lowered onto a straight seat. The first pair of angles is that of
/// TM 9-2815-237-34, Table 2-2 (US Army, public domain), the second that of TM 5-6115-400-35, Table 2.1
/// (US Army, public domain: seat 31°) with a face of 30°.
#[test]
fn a_face_touches_where_it_is_lowered_to() {
    let seat = (33.0, 30.0);
    check_contact(46.0, 45.0, seat, None, ContactEdge::SeatOuter);
    check_contact(31.0, 30.0, seat, Some((34.0, 29.0)), ContactEdge::SeatOuter);
    check_contact(46.0, 45.0, seat, Some((32.5, 29.0)), ContactEdge::FaceOuter);
    check_contact(46.0, 45.0, seat, Some((32.5, 30.5)), ContactEdge::FaceOuter);
    check_contact(46.0, 45.0, seat, Some((34.0, 30.5)), ContactEdge::SeatOuter);
    check_contact(44.0, 45.5, seat, None, ContactEdge::SeatInner);
    check_contact(44.0, 45.5, seat, Some((32.5, 29.0)), ContactEdge::SeatInner);
    check_contact(44.0, 45.5, seat, Some((34.0, 30.5)), ContactEdge::FaceInner);
    check_contact(60.0, 20.0, seat, None, ContactEdge::SeatOuter);
}

/// TM 10-3930-671-24 (US Army, public domain): contact 1/16 to 3/32 in wide, at least 1/64 in clear on
/// each side: so a face of 1/8 in holds the widest band, in its middle.
#[test]
fn the_widest_band_of_an_army_manual_just_fits_its_face() {
    let (outer, inner, flat) = (inch(1.25), inch(1.0), degrees(0.0));
    let clear =
        inner_edge_clearance(outer, inner, flat, inch(0.015_625), inch(0.093_75)).expect("a clearance");
    close(clear.value.get(), 25.4 / 64.0, 1e-14);
    let offset = band_offset(outer, inner, flat, inch(0.015_625), inch(0.093_75)).expect("an offset");
    close(offset.value.get(), 0.0, 1e-14);
    // The narrowest band at the same outer place lies 1/64 in too far out.
    let offset = band_offset(outer, inner, flat, inch(0.015_625), inch(0.062_5)).expect("an offset");
    close(offset.value.get(), -25.4 / 64.0, 1e-14);
}

/// Plane geometry: the same band by its diameters and by its distance from the edge and width.
#[test]
fn diameters_and_distances_along_the_face_tell_the_same_band() {
    let (outer, inner, angle) = (mm(34.0), mm(29.5), degrees(44.5));
    let (contact_outer, contact_inner) = (mm(33.1), mm(30.9));
    let from_edge = overhang_from_diameters(outer, contact_outer, angle).expect("an overhang").value.get();
    let width = width_from_diameters(contact_outer, contact_inner, angle).expect("a width").value.get();
    let by_distance =
        inner_edge_clearance(outer, inner, angle, mm(from_edge), mm(width)).expect("a clearance");
    let by_diameter = inner_edge_clearance_from_diameters(contact_inner, inner, angle).expect("a clearance");
    close(by_distance.value.get(), by_diameter.value.get(), 2e-9);
    let by_distance = band_offset(outer, inner, angle, mm(from_edge), mm(width)).expect("an offset");
    let by_diameter =
        band_offset_from_diameters(outer, inner, contact_outer, contact_inner, angle).expect("an offset");
    close(by_distance.value.get(), by_diameter.value.get(), 2e-9);
    // Farther in than the middle: towards the stem.
    let lower = band_offset_from_diameters(outer, inner, mm(32.1), mm(29.9), angle).expect("an offset");
    assert!(lower.value.get() > by_diameter.value.get());
}
