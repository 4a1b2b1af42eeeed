//! Bookmarks: ISO 32000-1, 12.3.3.

use lopdf::{Dictionary, Document, Object, ObjectId, dictionary};

use super::metadata::text_string;
use crate::face::POINTS;

/// A place in a document that has a name.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Mark {
    /// How deep it lies: a mark belongs to the last one before it that lies less deep.
    pub(crate) level: usize,
    /// Its name.
    pub(crate) name: String,
    /// Its page, from 0.
    pub(crate) page: usize,
    /// Its place from the top of the page in millimetres; `None` for the whole page.
    pub(crate) y: Option<f32>,
}

/// An item with the places of those it hangs together with.
struct Item {
    dictionary: Dictionary,
    parent: Option<usize>,
    children: Vec<usize>,
}

/// Adds the bookmarks; gives the outline for the catalogue, or nothing where there are none.
///
/// Only the uppermost ones are open at first.
pub(super) fn add_to(
    file: &mut Document,
    marks: &[Mark],
    pages: &[ObjectId],
    height: f32,
) -> Option<ObjectId> {
    let (items, top) = arrange(marks, pages, height);
    let (first, last) = (*top.first()?, *top.last()?);
    let root = file.new_object_id();
    let ids: Vec<ObjectId> = items.iter().map(|_| file.new_object_id()).collect();
    let reference = |n: usize| Object::Reference(ids[n]);
    let siblings = |item: &Item| item.parent.map_or(&top, |parent| &items[parent].children);
    for (n, item) in items.iter().enumerate() {
        let mut dictionary = item.dictionary.clone();
        dictionary.set("Parent", item.parent.map_or(Object::Reference(root), reference));
        let row = siblings(item);
        let place = row.binary_search(&n).unwrap_or_default();
        if let Some(before) = place.checked_sub(1).and_then(|place| row.get(place)) {
            dictionary.set("Prev", reference(*before));
        }
        if let Some(next) = row.get(place + 1) {
            dictionary.set("Next", reference(*next));
        }
        if let (Some(first), Some(last)) = (item.children.first(), item.children.last()) {
            dictionary.set("First", reference(*first));
            dictionary.set("Last", reference(*last));
            // Below zero: closed.
            dictionary.set("Count", -(item.children.len() as i64));
        }
        file.set_object(ids[n], dictionary);
    }
    let outline = dictionary! {
        "Type" => "Outlines",
        "First" => reference(first),
        "Last" => reference(last),
        "Count" => top.len() as i64,
    };
    file.set_object(root, outline);
    Some(root)
}

/// The items in the order of the marks, and which of them are uppermost. Marks of no page are left out.
fn arrange(marks: &[Mark], pages: &[ObjectId], height: f32) -> (Vec<Item>, Vec<usize>) {
    let mut items: Vec<Item> = Vec::with_capacity(marks.len());
    let (mut top, mut above): (Vec<usize>, Vec<(usize, usize)>) = (Vec::new(), Vec::new());
    for mark in marks {
        let Some(page) = pages.get(mark.page) else { continue };
        let n = items.len();
        above.retain(|(level, _)| *level < mark.level);
        let parent = above.last().map(|(_, parent)| *parent);
        parent.map_or(&mut top, |parent| &mut items[parent].children).push(n);
        above.push((mark.level, n));
        let upper = mark.y.map_or(Object::Null, |y| Object::Real(((height - y) * POINTS).round()));
        let place = vec![Object::Reference(*page), "XYZ".into(), Object::Null, upper, Object::Null];
        let dictionary = dictionary! { "Title" => text_string(&mark.name), "Dest" => place };
        items.push(Item { dictionary, parent, children: Vec::new() });
    }
    (items, top)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn mark(level: usize, name: &str, page: usize) -> Mark {
        Mark { level, name: name.to_owned(), page, y: Some(30.0) }
    }

    #[test]
    fn every_mark_hangs_below_the_last_one_that_lies_less_deep() {
        let marks = [mark(0, "a", 0), mark(1, "b", 0), mark(2, "c", 1), mark(1, "d", 1), mark(0, "e", 1)];
        let (items, top) = arrange(&marks, &[(1, 0), (2, 0)], 297.0);
        let parents: Vec<Option<usize>> = items.iter().map(|item| item.parent).collect();
        assert_eq!(parents, [None, Some(0), Some(1), Some(0), None]);
        assert_eq!(top, [0, 4]);
        assert_eq!(items[0].children, [1, 3]);
    }

    #[test]
    fn marks_of_no_page_and_marks_that_begin_deep_do_no_harm() {
        let (items, top) = arrange(&[mark(2, "a", 0), mark(0, "b", 7), mark(1, "c", 0)], &[(1, 0)], 297.0);
        assert_eq!((items.len(), top), (2, vec![0, 1]));
        assert_eq!(add_to(&mut Document::with_version("1.7"), &[], &[], 297.0), None);
    }
}
