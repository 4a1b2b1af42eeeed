//! The pages of a blank worksheet, read back from the finished files.

#[path = "common/ink.rs"]
mod ink;
#[path = "common/worksheets.rs"]
mod worksheets;

use std::sync::LazyLock;

use headproof_sheet::{SheetError, worksheet};
use headproof_wire::Paper;
use ink::{Ink, MM, check_page, pages};
use worksheets::{Blank, DIGEST, inches, specimens};

/// ISO 216 and ANSI/ASME Y14.1.
const PAPERS: [(Paper, (f64, f64)); 2] =
    [(Paper::A4, (210.0 * MM, 297.0 * MM)), (Paper::Letter, (612.0, 792.0))];

fn file(blank: &Blank, paper: Paper) -> Vec<u8> {
    worksheet(&blank.input(paper)).expect("the specimen has a worksheet").bytes
}

/// A text without white space: lines break where the layout wants.
fn solid(text: &str) -> String {
    text.split_whitespace().collect()
}

fn text_of(page: &[Ink]) -> String {
    let texts =
        page.iter().filter_map(|ink| if let Ink::Text(_, text) = ink { Some(text.as_str()) } else { None });
    solid(&texts.collect::<String>())
}

fn text(blank: &Blank) -> String {
    pages(&file(blank, Paper::A4)).iter().map(|page| text_of(page)).collect()
}

/// One specimen on one paper, read back.
struct Drawn {
    name: &'static str,
    blank: Blank,
    size: (f64, f64),
    pages: Vec<Vec<Ink>>,
}

/// All specimens, drawn once.
static DRAWN: LazyLock<Vec<Drawn>> = LazyLock::new(|| {
    let on_both = |(name, blank): (&'static str, Blank)| {
        PAPERS.map(|(paper, size)| Drawn {
            name,
            blank: blank.clone(),
            size,
            pages: pages(&file(&blank, paper)),
        })
    };
    specimens().into_iter().flat_map(on_both).collect()
});

/// Width and height in millimetres of every outlined rectangle: the boxes to write in.
fn boxes(page: &[Ink]) -> Vec<(f64, f64)> {
    let sides = |points: &Vec<(f64, f64)>| {
        let closed = points.len() >= 5 && points.first() == points.last();
        let size = |pick: fn(&(f64, f64)) -> f64| (pick(&points[2]) - pick(&points[0])).abs() / MM;
        closed.then(|| (size(|p| p.0), size(|p| p.1)))
    };
    page.iter()
        .filter_map(|ink| if let Ink::Stroke(points, _) = ink { sides(points) } else { None })
        .collect()
}

#[test]
fn nothing_overlaps_leaves_the_page_or_is_hidden() {
    for drawn in DRAWN.iter() {
        for (n, page) in drawn.pages.iter().enumerate() {
            check_page(page, drawn.size, &format!("{} on {:?}, page {}", drawn.name, drawn.size, n + 1));
        }
    }
}

#[test]
fn every_size_of_head_in_either_unit_finds_room() {
    for (cylinders, intake, exhaust) in [(1, 1, 1), (5, 4, 1), (6, 1, 2), (12, 2, 2)] {
        for units in [worksheets::metric(), inches()] {
            let blank = Blank { units, ..Blank::of(cylinders, intake, exhaust) };
            let (paper, size) = PAPERS[usize::from(cylinders) % 2];
            for (n, page) in pages(&file(&blank, paper)).iter().enumerate() {
                check_page(page, size, &format!("{cylinders} × {intake}+{exhaust}, page {}", n + 1));
            }
        }
    }
}

/// A hand needs room: 8 mm clear inside the outline.
#[test]
fn every_box_is_high_enough_to_write_in_and_wide_enough_for_a_figure() {
    const OUTLINE: f64 = 0.5 / MM;
    for Drawn { name, pages, .. } in DRAWN.iter() {
        let boxes: Vec<_> = pages.iter().flat_map(|page| boxes(page)).collect();
        for (width, height) in &boxes {
            assert!(height - OUTLINE >= 8.0, "{name}: {height}");
            assert!(width - OUTLINE >= 8.0, "{name}: {width}");
        }
        assert!(boxes.len() > 60, "{name}: {} boxes", boxes.len());
    }
}

#[test]
fn no_writing_stands_in_a_box_but_what_is_known() {
    for Drawn { name, pages, .. } in DRAWN.iter() {
        for page in pages {
            let text =
                |ink| if let &Ink::Text(extent, ref words) = ink { Some((extent, words)) } else { None };
            let words: Vec<_> = page.iter().filter_map(text).collect();
            for ink in page {
                let Ink::Fill(extent, grey) = ink else { continue };
                if *grey < 0.99 {
                    continue;
                }
                for (place, words) in
                    words.iter().filter(|(place, _)| place.shrunk(0.4).meets(extent.shrunk(0.4)))
                {
                    let known = *name == "terms" && ["92", "98.5", "0.7; 0.71"].contains(&words.as_str());
                    assert!(known, "{name}: “{words}” stands in a box at {place:?}");
                }
            }
        }
    }
}

#[test]
fn every_limited_characteristic_appears_with_its_limits() {
    let blank = Blank::of(1, 1, 1).with_every_limit();
    let all = text(&blank);
    for row in headproof_judge::table() {
        assert!(all.contains(&solid(row.title)), "{} is missing", row.title);
    }
    let limits = |lower: &str, upper: &str| all.matches(&format!("≥{lower}≤{upper}")).count();
    let of = |scope| {
        let amounts = headproof_judge::table().filter(|row| !row.measure().is_in_order());
        amounts.filter(|row| row.scope() == scope).count()
    };
    use headproof_judge::Scope::{Cylinder, Head, Port};
    // Each stands there for build and for wear; a port's for the intake and for the exhaust.
    let expected = 2 * (of(Head) + of(Cylinder) + 2 * of(Port));
    let found = limits("−123.4567", "1234.5678") + limits("−123.45670", "1234.56780");
    assert_eq!(found, expected);
}

#[test]
fn a_limit_of_one_service_stands_at_its_ports_only() {
    let pages = pages(&file(&Blank::of(1, 1, 1), Paper::A4));
    let all: String = pages.iter().map(|page| text_of(page)).collect();
    let (intake, exhaust) = all.split_once("Cylinder1,exhaust1Nam").expect("both ports");
    // The demo profile: 1.000 to 1.600 mm and, as received, 0.800 to 2.000; exhaust 1.400 to 2.000.
    let seat_width = |text: &str, limits: &str| text.contains(&format!("Seatwidth,mm{limits}"));
    assert!(seat_width(intake, "≥1.000≤1.600nominal1.300asreceived≥0.800≤2.000"), "{intake}");
    assert!(seat_width(exhaust, "≥1.400≤2.000nominal1.700asreceived≥1.200≤2.400"), "{exhaust}");
}

/// 1 in = 25.4 mm, 1 lbf = 4.448 221 615 260 5 N: NIST SP 811 (2008), Appendix B.8.
#[test]
fn limits_are_converted_to_the_units_asked_for() {
    let all = text(&Blank { units: inches(), ..Blank::of(1, 1, 1) });
    for words in [
        "Seatwidth,in≥0.03937≤0.06299nominal0.05118",
        "Seatload,lbf≥50.58≤61.82nominal56.20",
        "DeckroughnessRa,µin≤31.5",
        "Leaktest",
    ] {
        assert!(all.contains(words), "{words} is not in {all}");
    }
    for wrong in ["−0.000≤", "-0.0", "NaN", "inf≤", ",mm"] {
        assert!(!all.contains(wrong), "{wrong}");
    }
}

#[test]
fn only_what_the_profile_and_the_layout_ask_for_is_printed() {
    let mut blank = Blank::of(2, 1, 1);
    blank.profile.also_report.clear();
    blank.profile.limits.retain(|limit| limit.characteristic == "seat-width");
    let all = text(&blank);
    for words in ["Seatwidth", "Oldgasketsandsoot", "Turningover"] {
        assert!(all.contains(words), "{words}");
    }
    for words in [
        "Springs",
        "Valvesprings",
        "Compressedair",
        "Deckandhead",
        "Guidebore",
        "Heightsofthedeck",
        "Warpeddeck",
    ] {
        assert!(!all.contains(words), "{words}");
    }
    blank.layout.camshaft = headproof_wire::Camshaft::Pushrod;
    assert!(!text(&blank).contains("Turningover"));
}

#[test]
fn readings_of_what_is_worked_out_have_boxes_of_their_own() {
    let mut blank = Blank::of(1, 1, 1);
    blank.profile.also_report.clear();
    blank.profile.limits.retain(|limit| limit.characteristic == "stem-to-guide-clearance");
    let all = text(&blank);
    for words in ["Guidebore,mm", "top,axis1", "bottom,2", "Stemdiameter,mm", "unworn"] {
        assert!(all.contains(words), "{words}");
    }
    blank.profile = Blank::of(1, 1, 1).profile;
    for (characteristic, needs) in [
        ("seat-runout", "Dialonceroundtheseat"),
        ("seat-width-uniformity", "Seatwidth,mm"),
        ("seat-load", "Loadsattwoheights"),
        ("contact-offset", "Diameteratwhichthefacebegins"),
        ("deck-flatness", "Heightsofthedeckoveradatum"),
        ("stem-protrusion-spread", "Stemprotrusion,mm"),
        ("compression-ratio", "Chambervolume,mL"),
        ("pressure-test", "medium"),
    ] {
        blank.profile.limits.truncate(1);
        blank.profile.also_report = Vec::new();
        characteristic.clone_into(&mut blank.profile.limits[0].characteristic);
        assert!(text(&blank).contains(needs), "{characteristic}: {needs}");
    }
}

#[test]
fn every_page_says_what_it_belongs_to_or_leaves_room_to_write_it() {
    for Drawn { name, blank, pages, .. } in DRAWN.iter() {
        let known: Vec<&String> = blank.head_serial.iter().chain(&blank.job_number).collect();
        for (n, page) in pages.iter().enumerate() {
            assert!(text_of(page).contains(&DIGEST[..12]), "{name}, page {}", n + 1);
            // Room for what is not known stands in the running head, above everything else.
            let heads = page
                .iter()
                .filter(|ink| matches!(ink, Ink::Text(_, text) if text == "Head" || text == "Job"));
            assert!(heads.count() >= 2, "{name}, page {}", n + 1);
            assert!(boxes(page).len() >= 2 - known.len(), "{name}, page {}", n + 1);
        }
        let first = text_of(&pages[0]);
        for text in known.iter().filter(|text| !text.contains('\u{5D0}')) {
            assert!(first.contains(&solid(text)), "{name}: {text} is not in {first}");
        }
    }
}

#[test]
fn every_block_names_its_port() {
    let blank = Blank::of(2, 2, 1);
    let all = text(&blank);
    for port in ["Cylinder1,intake1", "Cylinder1,intake2", "Cylinder1,exhaust1", "Cylinder2,exhaust1"] {
        for block in
            ["Guideandstem", "Valve", "Seat", "Contactbandonthevalveface", "Heights", "Springs", "Leaktest"]
        {
            assert!(all.contains(&format!("{block}{port}")), "{block} of {port}");
        }
    }
}

#[test]
fn the_same_request_gives_the_same_bytes_and_another_another_file() {
    let identity = |file: &[u8]| {
        let document = lopdf::Document::load_mem(file).expect("the file can be read");
        format!("{:?}", document.trailer.get(b"ID"))
    };
    let blank = Blank::of(2, 1, 1);
    let first = file(&blank, Paper::A4);
    assert!(first == file(&blank.clone(), Paper::A4), "other bytes");
    let others = [
        Blank { job_number: Some("7".into()), ..blank.clone() },
        Blank { head_serial: Some("7".into()), ..blank.clone() },
        Blank { units: inches(), ..blank.clone() },
        Blank::of(2, 1, 2),
    ];
    let mut seen = vec![identity(&first), identity(&file(&blank, Paper::Letter))];
    seen.extend(others.iter().map(|other| identity(&file(other, Paper::A4))));
    let count = seen.len();
    seen.sort();
    seen.dedup();
    assert_eq!(seen.len(), count);
}

/// Whatever a document may hold, it either fits or is refused in words.
#[test]
fn the_largest_head_with_every_limit_is_refused_or_fits() {
    let blank = Blank::of(16, 3, 2).with_every_limit();
    match worksheet(&blank.input(Paper::Letter)) {
        Ok(file) => assert!(pages(&file.bytes).len() <= 400),
        Err(error) => assert!(matches!(error, SheetError::TooLarge { limit: 400, .. }), "{error}"),
    }
}
