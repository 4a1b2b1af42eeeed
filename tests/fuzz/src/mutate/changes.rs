//! The ways to change a document.

use super::scene::{Scene, Splice};
use crate::dice::Dice;
use crate::grow::grow;
use crate::numbers;
use crate::outline::{Kind, Spot};
use crate::shape::{characteristic, forms, forms_at, inside, members, requires, words};

/// One way; none where it finds nothing to change.
pub(super) type Change = fn(&Scene<'_>, &mut Dice) -> Option<Vec<Splice>>;

/// Ways, and how often each is taken.
pub(super) type Changes = [(usize, Change)];

/// Ways that mostly leave a document of the right form: its values change.
pub(super) const MILD: &Changes = &[
    (6, number),
    (1, scale),
    (1, unit),
    (3, word),
    (2, drop_optional),
    (2, copy_namesake),
    (4, grow_member),
    (2, grow_element),
    (1, regrow),
];

/// Ways that mostly make it a faulty one.
pub(super) const WILD: &Changes = &[
    (3, odd_number),
    (1, text),
    (2, drop),
    (1, repeat),
    (1, exchange),
    (1, copy),
    (1, reorder),
    (1, transplant),
    (1, confuse),
    (1, rename),
    (1, empty),
];

/// Texts that no field is made for.
const ODD_TEXTS: [&str; 8] = [
    r#""""#,
    r#"" ""#,
    r#""\u0000""#,
    r#""\u202e""#,
    r#""\ud83d""#,
    r#""9999-12-31""#,
    r#""1/0~""#,
    r#""ß㎜""#,
];

/// Values of every type.
const ODD_VALUES: [&str; 10] = ["null", "true", "false", "0", "-1", "1e308", r#""""#, r#""0""#, "[]", "{}"];

/// Most that one member or element is repeated.
const CROWD: usize = 500;

fn instead(spot: &Spot, text: impl Into<Vec<u8>>) -> Option<Vec<Splice>> {
    Some(vec![(spot.value.clone(), text.into())])
}

fn as_text<'t>(scene: &Scene<'t>, spot: &Spot) -> &'t str {
    str::from_utf8(scene.outline.text_of(spot)).unwrap_or_default()
}

/// Another number.
fn number(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let spot = &scene.outline.spots[scene.any(dice, |spot| spot.kind == Kind::Number)?];
    instead(spot, numbers::other(as_text(scene, spot), dice))
}

/// A number at the bounds of some format.
fn odd_number(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let spot = &scene.outline.spots[scene.any(dice, |spot| spot.kind == Kind::Number)?];
    instead(spot, numbers::odd(as_text(scene, spot), dice))
}

/// All numbers of one part, as if they had been read in another unit.
fn scale(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let part = scene.any(dice, Spot::is_container)?;
    let factor = numbers::factor(dice);
    let inside = &scene.outline.spots[part..scene.outline.spots[part].end];
    let numbers = inside.iter().filter(|spot| spot.kind == Kind::Number);
    let scaled = numbers.filter_map(|spot| {
        let number: f64 = as_text(scene, spot).parse().ok()?;
        Some((spot.value.clone(), numbers::scaled(number, factor).into_bytes()))
    });
    Some(scaled.collect())
}

/// Another unit.
fn unit(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let units = scene.any(dice, |spot| scene.outline.name_of(spot) == Some(br#""units""#))?;
    let children: Vec<usize> = scene.outline.children(units).collect();
    other_word(scene, *dice.pick(&children)?, dice)
}

/// Another word of the same enumeration.
fn word(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let spot = scene.any(dice, |spot| matches!(spot.kind, Kind::Text | Kind::Word))?;
    other_word(scene, spot, dice)
}

fn other_word(scene: &Scene<'_>, at: usize, dice: &mut Dice) -> Option<Vec<Splice>> {
    let spot = &scene.outline.spots[at];
    match scene.outline.text_of(spot) {
        b"true" => instead(spot, "false"),
        b"false" => instead(spot, "true"),
        _ if is_characteristic(scene, spot) => instead(spot, format!("{:?}", characteristic(dice))),
        _ => instead(spot, format!("{:?}", dice.pick(&words(&forms_at(&scene.outline, at)))?)),
    }
}

fn is_characteristic(scene: &Scene<'_>, spot: &Spot) -> bool {
    headproof_judge::characteristic(as_text(scene, spot).trim_matches('"')).is_some()
}

/// Another text: one that stands elsewhere, an odd one, a long one.
fn text(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let is_text = |spot: &Spot| spot.kind == Kind::Text;
    let spot = &scene.outline.spots[scene.any(dice, is_text)?];
    match dice.below(4) {
        0 => instead(spot, *dice.pick(&ODD_TEXTS)?),
        1 => instead(spot, format!("\"{}\"", "x".repeat(dice.below(700)))),
        _ => instead(spot, scene.outline.text_of(&scene.outline.spots[scene.any(dice, is_text)?])),
    }
}

/// One member or element less.
fn drop(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    Some(scene.without(scene.any(dice, |spot| spot.parent.is_some())?))
}

/// One member less that need not be there, or one element.
fn drop_optional(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let child = scene.any(dice, |spot| spot.parent.is_some())?;
    let spot = &scene.outline.spots[child];
    let name = scene.outline.plain_name(spot).unwrap_or_default();
    (!requires(&forms_at(&scene.outline, spot.parent?), &name)).then(|| scene.without(child))
}

/// One member or element once more, or very often.
fn repeat(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let (child, _) = scene.any_child(dice)?;
    let slot = scene.outline.spots[child].slot();
    let times = if dice.once_in(8) { dice.below(CROWD) } else { 1 };
    let again = [b", ", &scene.outline.text[slot.clone()]].concat().repeat(times);
    Some(vec![(slot.end..slot.end, again)])
}

/// Two values change places, mostly two of a kind.
fn exchange(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let (one, other) = two(scene, dice)?;
    let is_apart = one.value.end <= other.value.start || other.value.end <= one.value.start;
    is_apart.then(|| {
        let text = |spot| scene.outline.text_of(spot).to_vec();
        vec![(one.value.clone(), text(other)), (other.value.clone(), text(one))]
    })
}

/// A value stands at another place as well, in place of what was there.
fn copy(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let (one, other) = two(scene, dice)?;
    instead(one, scene.outline.text_of(other))
}

/// The same with what has the same name, as a reading of another port has.
fn copy_namesake(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let one = &scene.outline.spots[scene.any(dice, |spot| spot.name.is_some())?];
    let name = scene.outline.name_of(one);
    let other = &scene.outline.spots[scene.any(dice, |spot| scene.outline.name_of(spot) == name)?];
    instead(one, scene.outline.text_of(other))
}

fn two<'s>(scene: &'s Scene<'_>, dice: &mut Dice) -> Option<(&'s Spot, &'s Spot)> {
    let one = &scene.outline.spots[scene.any(dice, |spot| spot.parent.is_some())?];
    let of_any_kind = dice.once_in(8);
    let other = scene.any(dice, |spot| of_any_kind || spot.kind == one.kind)?;
    Some((one, &scene.outline.spots[other]))
}

/// Two members or elements of the same part change places.
fn reorder(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let (child, all) = scene.any_child(dice)?;
    let slot = |index: usize| scene.outline.spots[index].slot();
    let (one, other) = (slot(child), slot(*dice.pick(&all)?));
    let (one_text, other_text) = (&scene.outline.text[one.clone()], &scene.outline.text[other.clone()]);
    (one != other).then(|| vec![(one.clone(), other_text.to_vec()), (other.clone(), one_text.to_vec())])
}

/// A member or element stands in another object or array as well.
fn transplant(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let (child, _) = scene.any_child(dice)?;
    let spot = &scene.outline.spots[child];
    scene.insertion(dice, scene.outline.name_of(spot), scene.outline.text_of(spot))
}

/// A member that the schema knows and that is not there.
fn grow_member(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let into = scene.any(dice, |spot| spot.kind == Kind::Object)?;
    let children = scene.outline.children(into);
    let there: Vec<_> =
        children.filter_map(|at| scene.outline.plain_name(&scene.outline.spots[at])).collect();
    let mut absent = members(&forms_at(&scene.outline, into));
    absent.retain(|(name, _)| !there.iter().any(|other| other == name));
    let (name, schema) = dice.pick(&absent)?;
    let value = grow(&scene.outline, name, &forms(schema), dice);
    Some(scene.insertion_at(into, Some(format!("{name:?}").as_bytes()), value.as_bytes()))
}

/// One element more.
fn grow_element(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let into = scene.any(dice, |spot| spot.kind == Kind::Array)?;
    let name = scene.outline.plain_name(&scene.outline.spots[into]).unwrap_or_default();
    let value = grow(&scene.outline, &name, &inside(&forms_at(&scene.outline, into), None), dice);
    Some(scene.insertion_at(into, None, value.as_bytes()))
}

/// A value made anew from its schema.
fn regrow(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let at = scene.any(dice, |spot| spot.parent.is_some())?;
    let spot = &scene.outline.spots[at];
    let name = scene.outline.plain_name(spot).unwrap_or_default();
    instead(spot, grow(&scene.outline, &name, &forms_at(&scene.outline, at), dice))
}

/// A value of another type.
fn confuse(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let at = scene.any(dice, |_| true)?;
    instead(&scene.outline.spots[at], *dice.pick(&ODD_VALUES)?)
}

/// Nothing left inside an object or array.
fn empty(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let spot = &scene.outline.spots[scene.any(dice, Spot::is_container)?];
    Some(vec![(spot.value.start + 1..spot.value.end - 1, Vec::new())])
}

/// A member under the name of another.
fn rename(scene: &Scene<'_>, dice: &mut Dice) -> Option<Vec<Splice>> {
    let is_named = |spot: &Spot| spot.name.is_some();
    let spot = &scene.outline.spots[scene.any(dice, is_named)?];
    let other = &scene.outline.spots[scene.any(dice, is_named)?];
    Some(vec![(spot.name.clone()?, scene.outline.name_of(other)?.to_vec())])
}
