//! Other documents out of one: the JSON is kept whole, what it says is not.

mod changes;
mod scene;

use self::changes::{MILD, WILD};
use self::scene::Scene;
use crate::dice::Dice;

/// A document made from another one by a few changes; none where bytes are better changed without looking:
/// the text is no JSON, the result has no room, and now and then.
#[must_use]
pub fn mutate(text: &[u8], room: usize, seed: u32) -> Option<Vec<u8>> {
    let mut dice = Dice::new(seed);
    if dice.once_in(16) {
        return None;
    }
    let changes = if dice.once_in(4) { WILD } else { MILD };
    let mut changed = text.to_vec();
    loop {
        let scene = Scene::of(&changed)?;
        let change = dice.weighted(changes)?;
        let next = change(&scene, &mut dice).map(|splices| scene.with(splices));
        if let Some(next) = next.filter(|next| next.len() <= room) {
            changed = next;
        }
        if dice.once_in(2) {
            break;
        }
    }
    (changed != text).then_some(changed)
}

/// One document with something of another in it: in place of what has the same name there, or beside it.
#[must_use]
pub fn cross(one: &[u8], other: &[u8], room: usize, seed: u32) -> Option<Vec<u8>> {
    let mut dice = Dice::new(seed);
    let (scene, other) = (Scene::of(one)?, Scene::of(other)?);
    let taken = other.outline.spots.get(other.any(&mut dice, |spot| spot.parent.is_some())?)?;
    let text = other.outline.text_of(taken);
    let name = other.outline.name_of(taken);
    let splices = match scene.any(&mut dice, |spot| scene.outline.name_of(spot) == name) {
        Some(place) => vec![(scene.outline.spots[place].value.clone(), text.to_vec())],
        None => scene.insertion(&mut dice, name, text)?,
    };
    Some(scene.with(splices)).filter(|crossed| crossed.len() <= room)
}

#[cfg(test)]
mod tests {
    use std::collections::BTreeSet;

    use super::*;
    use crate::outline::Outline;

    const TEXT: &[u8] =
        br#"{"profile": {"units": {"length": "mm"}, "limits": [{"lower": 1, "upper": 2.5}, {"lower": 3}]}}"#;

    #[test]
    fn json_stays_json_and_is_changed_in_many_ways() {
        let changed: Vec<_> = (0..2000).filter_map(|seed| mutate(TEXT, 4000, seed)).collect();
        for text in &changed {
            assert!(Outline::of(text).is_some(), "{}", String::from_utf8_lossy(text));
            assert!(text.len() <= 4000);
        }
        assert!(changed.iter().collect::<BTreeSet<_>>().len() > 1000);
        let says = |what: &str| changed.iter().any(|text| String::from_utf8_lossy(text).contains(what));
        for what in [
            r#""length":"in""#,
            r#""length": "in""#,
            r#""lower": 3, "lower": 3"#,
            "1e308",
            r#""rule""#,
            r#""characteristic""#,
        ] {
            assert!(says(what), "{what}");
        }
    }

    #[test]
    fn every_change_finds_something_to_do() {
        let scene = Scene::of(TEXT).unwrap();
        for (index, (_, change)) in MILD.iter().chain(WILD).enumerate() {
            let does = |seed| change(&scene, &mut Dice::new(seed)).is_some_and(|to| scene.with(to) != TEXT);
            assert!((0..200).any(does), "{index}");
        }
    }

    #[test]
    fn a_crossing_holds_something_of_both() {
        let other = br#"{"profile": {"limits": [{"lower": 77}]}, "extra": 88}"#;
        let crossed: Vec<_> = (0..200).filter_map(|seed| cross(TEXT, other, 4000, seed)).collect();
        let says = |what: &str| crossed.iter().any(|text| String::from_utf8_lossy(text).contains(what));
        assert!(says(r#""lower": 77, "upper": 2.5"#) && says(r#""extra":88"#));
        assert!(crossed.iter().all(|text| Outline::of(text).is_some()));
    }

    #[test]
    fn what_has_no_room_is_not_made() {
        assert!(
            (0..200).filter_map(|seed| mutate(TEXT, TEXT.len(), seed)).all(|text| text.len() <= TEXT.len())
        );
        assert!((0..200).all(|seed| mutate(b"no json", 100, seed).is_none()));
    }
}
