//! The structure tree as objects of a file: ISO 32000-1, 14.7.2 to 14.7.4, with the attributes of 14.8.5.7.

use std::io::Write;

use super::packed::Packed;
use crate::SheetError;
use crate::structure::{Element, Heads, Tag, Tree};

/// Pages to a leaf of the tree of parents.
const LEAF: usize = 64;

/// Adds the tree, whose root gets the number `root`, and the others numbers after it; gives the last of them.
///
/// `pages` holds for each page the elements its marked-content sequences belong to, and its object number; `field` is
/// the field of a form, where there is one.
///
/// # Errors
/// [`SheetError::Write`], which compressing into memory does not give.
pub(super) fn add_to(
    packed: &mut Packed,
    root: u32,
    tree: &Tree,
    pages: (&[Vec<u32>], &[u32]),
    field: Option<Field>,
) -> Result<u32, SheetError> {
    let (owners, page_numbers) = pages;
    let elements = tree.elements.len() as u32;
    let numbers = Numbers { root, elements, pages: owners.len(), field };
    packed.add(root, |object| write_root(object, numbers))?;
    let parents = tree.elements.iter().map(|element| element.parent.map_or(0, |parent| parent + 1));
    let children = Grouped::new(parents.zip(0..), elements + 1);
    let sequences = owners.iter().zip(page_numbers).flat_map(|(owners, page)| {
        owners.iter().zip(0..).map(|(owner, sequence)| (*owner, (*page, sequence)))
    });
    let contents = Grouped::new(sequences, elements);
    packed.add(numbers.document(), |object| {
        let _ = write!(object, "<</P {} 0 R/S/Document/K[", numbers.root);
        write_children(object, numbers, children.of(0));
        object.extend_from_slice(b"]>>");
    })?;
    // Near the elements it speaks of a page's list takes less room.
    let mut pages = owners.iter().enumerate().peekable();
    let mut alternatives = tree.alternatives.iter().peekable();
    for (place, element) in (0..).zip(&tree.elements) {
        let alternative = alternatives.next_if(|(figure, _)| *figure == place).map(|(_, text)| text.as_str());
        packed.add(numbers.element(place), |object| {
            let kids = (contents.of(place), children.of(place + 1));
            match field.filter(|field| field.element == place) {
                Some(field) => write_field(object, numbers, *element, field),
                None => write_element(object, numbers, (*element, alternative), kids),
            }
        })?;
        while let Some((page, owners)) =
            pages.next_if(|(_, owners)| owners.iter().all(|owner| *owner <= place))
        {
            packed.add(numbers.page(page), |object| {
                object.push(b'[');
                write_children(object, numbers, owners);
                object.push(b']');
            })?;
        }
    }
    for leaf in 0..numbers.leaves() {
        packed.add(numbers.leaf(leaf), |object| write_leaf(object, numbers, leaf))?;
    }
    Ok(numbers.leaf(numbers.leaves()) - 1)
}

/// Which number what object has: root, document, elements in their order, for each page the list of whom its
/// sequences belong to, leaves of the tree of these lists.
#[derive(Clone, Copy)]
struct Numbers {
    root: u32,
    elements: u32,
    pages: usize,
    field: Option<Field>,
}

/// A field of a form as the structure knows it: its element refers to the annotation (14.7.4.3), and the tree of
/// parents leads from there to the element, behind all pages.
#[derive(Debug, Clone, Copy)]
pub(super) struct Field {
    /// The place of its element among the elements.
    pub(super) element: u32,
    /// Number of the annotation.
    pub(super) annotation: u32,
    /// Number of the page it is on.
    pub(super) page: u32,
}

impl Numbers {
    const fn document(self) -> u32 {
        self.root + 1
    }

    const fn element(self, place: u32) -> u32 {
        self.root + 2 + place
    }

    const fn page(self, page: usize) -> u32 {
        self.element(self.elements) + page as u32
    }

    const fn leaf(self, leaf: usize) -> u32 {
        self.page(self.pages) + leaf as u32
    }

    const fn leaves(self) -> usize {
        self.pages.div_ceil(LEAF)
    }
}

/// Things by the group they are in, each group in the order they came in.
struct Grouped<T> {
    begins: Vec<u32>,
    things: Vec<T>,
}

impl<T: Copy + Default> Grouped<T> {
    fn new(things: impl Iterator<Item = (u32, T)> + Clone, groups: u32) -> Self {
        let mut begins = vec![0; groups as usize + 1];
        for (group, _) in things.clone() {
            begins[group as usize + 1] += 1;
        }
        for group in 0..groups as usize {
            begins[group + 1] += begins[group];
        }
        let mut next = begins.clone();
        let mut sorted = vec![T::default(); begins[groups as usize] as usize];
        for (group, thing) in things {
            sorted[next[group as usize] as usize] = thing;
            next[group as usize] += 1;
        }
        Self { begins, things: sorted }
    }

    fn of(&self, group: u32) -> &[T] {
        let [begin, end] = [group, group + 1].map(|at| self.begins[at as usize] as usize);
        &self.things[begin..end]
    }
}

fn write_root(object: &mut Vec<u8>, numbers: Numbers) {
    let _ = write!(object, "<</Type/StructTreeRoot/K {} 0 R/ParentTree<</Kids[", numbers.document());
    for leaf in 0..numbers.leaves() {
        let _ = write!(object, "{} 0 R ", numbers.leaf(leaf));
    }
    let keys = numbers.pages + usize::from(numbers.field.is_some());
    let _ = write!(object, "]>>/ParentTreeNextKey {keys}>>");
}

fn write_children(object: &mut Vec<u8>, numbers: Numbers, children: &[u32]) {
    for child in children {
        put_reference(object, numbers.element(*child));
        object.push(b' ');
    }
}

/// A number; there are some ten thousand in a file, for which the formatting of the library is slow.
fn put_number(object: &mut Vec<u8>, number: u32) {
    let mut digits = [0; 10];
    let mut at = digits.len();
    let mut rest = number;
    loop {
        at -= 1;
        digits[at] = b'0' + (rest % 10) as u8;
        rest /= 10;
        if rest == 0 {
            break;
        }
    }
    object.extend_from_slice(&digits[at..]);
}

fn put_reference(object: &mut Vec<u8>, number: u32) {
    put_number(object, number);
    object.extend_from_slice(b" 0 R");
}

/// An element with its marked content, as page and sequence, and the elements in it.
fn write_element(
    object: &mut Vec<u8>,
    numbers: Numbers,
    (Element { parent, tag }, alternative): (Element, Option<&str>),
    (contents, children): (&[(u32, u32)], &[u32]),
) {
    let parent = parent.map_or(numbers.document(), |parent| numbers.element(parent));
    object.extend_from_slice(b"<</P ");
    put_reference(object, parent);
    object.extend_from_slice(b"/S/");
    object.extend_from_slice(tag.name().as_bytes());
    write_attributes(object, tag);
    if let Some(text) = alternative {
        object.extend_from_slice(b"/Alt");
        write_text(object, text);
    }
    if let [(page, _), ..] = contents {
        object.extend_from_slice(b"/Pg ");
        put_reference(object, *page);
    }
    match (contents, children) {
        ([], []) => {}
        ([(_, sequence)], []) => {
            object.extend_from_slice(b"/K ");
            put_number(object, *sequence);
        }
        ([(first, _), ..], _) => {
            object.extend_from_slice(b"/K[");
            for (page, sequence) in contents {
                let _ = if page == first {
                    write!(object, "{sequence} ")
                } else {
                    write!(object, "<</Type/MCR/Pg {page} 0 R/MCID {sequence}>>")
                };
            }
            write_children(object, numbers, children);
            object.push(b']');
        }
        ([], _) => {
            object.extend_from_slice(b"/K[");
            write_children(object, numbers, children);
            object.push(b']');
        }
    }
    object.extend_from_slice(b">>");
}

/// The element of a field of a form.
fn write_field(object: &mut Vec<u8>, numbers: Numbers, Element { parent, tag }: Element, field: Field) {
    let parent = parent.map_or(numbers.document(), |parent| numbers.element(parent));
    let Field { annotation, page, .. } = field;
    let name = tag.name();
    let _ = write!(object, "<</P {parent} 0 R/S/{name}/K<</Type/OBJR/Obj {annotation} 0 R/Pg {page} 0 R>>>>");
}

/// Which cells a cell heads, and over how many columns it stands.
fn write_attributes(object: &mut Vec<u8>, tag: Tag) {
    let (scope, columns) = match tag {
        Tag::Header(Heads::Below, columns) => ("/Scope/Column", columns),
        Tag::Header(Heads::Beside, columns) => ("/Scope/Row", columns),
        Tag::Cell(columns) if columns > 1 => ("", columns),
        _ => return,
    };
    let _ = write!(object, "/A<</O/Table{scope}");
    if columns > 1 {
        let _ = write!(object, "/ColSpan {columns}");
    }
    object.extend_from_slice(b">>");
}

/// A text string of ISO 32000-1, 7.9.2.2: as it is where it is ASCII, else UTF-16 with its byte order mark.
fn write_text(object: &mut Vec<u8>, text: &str) {
    if text.bytes().all(|byte| (b' '..=b'~').contains(&byte)) {
        object.push(b'(');
        for byte in text.bytes() {
            if matches!(byte, b'(' | b')' | b'\\') {
                object.push(b'\\');
            }
            object.push(byte);
        }
        object.push(b')');
        return;
    }
    object.extend_from_slice(b"<FEFF");
    for unit in text.encode_utf16() {
        let _ = write!(object, "{unit:04X}");
    }
    object.push(b'>');
}

/// A leaf of the tree of parents: its pages and their lists; the last one has the field behind them.
fn write_leaf(object: &mut Vec<u8>, numbers: Numbers, leaf: usize) {
    let (first, end) = (leaf * LEAF, numbers.pages.min((leaf + 1) * LEAF));
    let field = numbers.field.filter(|_| end == numbers.pages);
    let last = if field.is_some() { end } else { end - 1 };
    let _ = write!(object, "<</Limits[{first} {last}]/Nums[");
    for page in first..end {
        let _ = write!(object, "{page} {} 0 R ", numbers.page(page));
    }
    if let Some(field) = field {
        let _ = write!(object, "{end} {} 0 R ", numbers.element(field.element));
    }
    object.extend_from_slice(b"]>>");
}

#[cfg(test)]
mod tests {
    use super::*;

    fn written(write: impl FnOnce(&mut Vec<u8>)) -> String {
        let mut object = Vec::new();
        write(&mut object);
        String::from_utf8(object).unwrap()
    }

    #[test]
    fn an_element_names_its_content_page_by_page_and_then_what_is_in_it() {
        let numbers = Numbers { root: 100, elements: 9, pages: 1, field: None };
        let element = |tag, contents: &[(u32, u32)], children: &[u32]| {
            let element = (Element { parent: Some(0), tag }, None);
            written(|object| write_element(object, numbers, element, (contents, children)))
        };
        assert_eq!(element(Tag::Cell(1), &[], &[]), "<</P 102 0 R/S/TD>>");
        assert_eq!(element(Tag::Paragraph, &[(7, 3)], &[]), "<</P 102 0 R/S/P/Pg 7 0 R/K 3>>");
        assert_eq!(
            element(Tag::Header(Heads::Beside, 2), &[(7, 3), (7, 5), (8, 0)], &[4]),
            "<</P 102 0 R/S/TH/A<</O/Table/Scope/Row/ColSpan 2>>/Pg 7 0 R\
             /K[3 5 <</Type/MCR/Pg 8 0 R/MCID 0>>106 0 R ]>>"
        );
    }

    #[test]
    fn the_element_of_a_field_refers_to_its_annotation() {
        let field = Field { element: 2, annotation: 7, page: 3 };
        let numbers = Numbers { root: 10, elements: 3, pages: 1, field: Some(field) };
        let element = Element { parent: Some(0), tag: Tag::Form };
        let form = written(|object| write_field(object, numbers, element, field));
        assert_eq!(form, "<</P 12 0 R/S/Form/K<</Type/OBJR/Obj 7 0 R/Pg 3 0 R>>>>");
    }

    #[test]
    fn numbers_are_written_whole() {
        for number in [0, 7, 10, 4_294_967_295] {
            assert_eq!(written(|object| put_reference(object, number)), format!("{number} 0 R"));
        }
    }

    #[test]
    fn texts_are_kept_whatever_they_are_written_in() {
        assert_eq!(written(|object| write_text(object, r"a (b) \c")), r"(a \(b\) \\c)");
        assert_eq!(written(|object| write_text(object, "⌀ 34")), "<FEFF2300002000330034>");
        assert_eq!(written(|object| write_text(object, "a\nb")), "<FEFF0061000A0062>");
    }

    #[test]
    fn the_parents_of_many_pages_are_spread_over_leaves() {
        let mut numbers = Numbers { root: 10, elements: 3, pages: LEAF + 2, field: None };
        let root = written(|object| write_root(object, numbers));
        assert!(root.contains("/ParentTree<</Kids[81 0 R 82 0 R ]>>/ParentTreeNextKey 66"), "{root}");
        let last = written(|object| write_leaf(object, numbers, 1));
        assert_eq!(last, "<</Limits[64 65]/Nums[64 79 0 R 65 80 0 R ]>>");

        numbers.field = Some(Field { element: 2, annotation: 7, page: 3 });
        let root = written(|object| write_root(object, numbers));
        assert!(root.contains("/ParentTreeNextKey 67"), "{root}");
        let first = written(|object| write_leaf(object, numbers, 0));
        assert!(first.starts_with("<</Limits[0 63]") && first.ends_with("63 78 0 R ]>>"), "{first}");
        let last = written(|object| write_leaf(object, numbers, 1));
        assert_eq!(last, "<</Limits[64 66]/Nums[64 79 0 R 65 80 0 R 66 14 0 R ]>>");
    }

    #[test]
    fn things_keep_their_order_within_their_group() {
        let grouped = Grouped::new([(2, 'a'), (0, 'b'), (2, 'c')].into_iter(), 3);
        assert_eq!([grouped.of(0), grouped.of(1), grouped.of(2)], [&['b'][..], &[], &['a', 'c']]);
    }
}
