//! What the pages say, apart from how they look: the structure of ISO 32000-1, 14.7, in the types of 14.8.4.
//!
//! Whoever draws says what it draws: `open`, the drawing, `close`. Text belongs to what is open; shapes belong to a
//! figure, and are mere looks (artifacts, 14.8.2.2) everywhere else, as is text while nothing is open that takes it.

/// A type of element, with what has to be known of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Tag {
    /// One head among others.
    Part,
    /// What stands under a heading of a level.
    Section(u8),
    /// A heading of a level, from 1.
    Heading(u8),
    /// A paragraph.
    Paragraph,
    /// A list.
    List,
    /// Its items.
    Item,
    /// What comes before the body of an item: a number, or what the item is about.
    Label,
    /// The body of an item.
    Body,
    /// A table.
    Table,
    /// Its rows.
    Row,
    /// A cell that heads others, and over how many columns it stands.
    Header(Heads, usize),
    /// A cell, and over how many columns it stands.
    Cell(usize),
    /// A drawing; what stands for it is told by [`Structure::describe`].
    Figure,
    /// A field of a form, which is no part of the drawing.
    Form,
    /// No element: all that is drawn while it is open is an artifact.
    Artifact,
}

/// Which cells a cell heads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Heads {
    /// Those below it.
    Below,
    /// Those beside it.
    Beside,
}

impl Tag {
    /// Its structure type.
    pub(crate) const fn name(self) -> &'static str {
        match self {
            Self::Part => "Part",
            Self::Section(_) => "Sect",
            Self::Heading(level) => match level {
                0 | 1 => "H1",
                2 => "H2",
                3 => "H3",
                _ => "H4",
            },
            Self::Paragraph => "P",
            Self::List => "L",
            Self::Item => "LI",
            Self::Label => "Lbl",
            Self::Body => "LBody",
            Self::Table => "Table",
            Self::Row => "TR",
            Self::Header(..) => "TH",
            Self::Cell(_) => "TD",
            Self::Figure => "Figure",
            Self::Form => "Form",
            Self::Artifact => "Artifact",
        }
    }

    /// Does text that is drawn while it is open belong to it, rather than to something inside it?
    const fn takes_text(self) -> bool {
        matches!(
            self,
            Self::Heading(_)
                | Self::Paragraph
                | Self::Label
                | Self::Body
                | Self::Header(..)
                | Self::Cell(_)
                | Self::Figure
        )
    }
}

/// An element of the tree.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Element {
    /// The element it belongs to; none for the uppermost ones.
    pub(crate) parent: Option<u32>,
    /// What it is.
    pub(crate) tag: Tag,
}

/// Elements in reading order, each after the one it belongs to.
#[derive(Debug, Default)]
pub(crate) struct Tree {
    /// The elements.
    pub(crate) elements: Vec<Element>,
    /// What stands for figures, with the places of these among the elements, in their order.
    pub(crate) alternatives: Vec<(u32, String)>,
}

impl Tree {
    fn add(&mut self, parent: Option<u32>, tag: Tag) -> u32 {
        let place = self.elements.len() as u32;
        self.elements.push(Element { parent, tag });
        place
    }

    /// Takes another tree in as a part of its own; tells how far the places of its elements moved.
    pub(crate) fn append(&mut self, other: Self) -> u32 {
        let part = self.add(None, Tag::Part);
        let moved = part + 1;
        self.elements.extend(other.elements.into_iter().map(|Element { parent, tag }| {
            let parent = parent.map_or(part, |parent| parent + moved);
            Element { parent: Some(parent), tag }
        }));
        let alternatives = other.alternatives.into_iter().map(|(place, text)| (place + moved, text));
        self.alternatives.extend(alternatives);
        moved
    }
}

/// Something that is open.
#[derive(Debug, Clone, Copy)]
struct Open {
    tag: Tag,
    place: u32,
    /// A list that nobody opened: the first item did, and whatever is no item ends it.
    by_item: bool,
}

/// A tree that grows as pages are drawn.
#[derive(Debug, Default)]
pub(crate) struct Structure {
    tree: Tree,
    open: Vec<Open>,
}

impl Structure {
    /// The whole tree.
    pub(crate) fn into_tree(self) -> Tree {
        self.tree
    }

    /// What is drawn now belongs to this element; to none: an artifact.
    pub(crate) fn owner(&self, is_text: bool) -> Option<u32> {
        let open = self.open.last()?;
        let belongs = open.tag == Tag::Figure || is_text && open.tag.takes_text();
        belongs.then_some(open.place)
    }

    /// What an element is.
    pub(crate) fn tag(&self, place: u32) -> Tag {
        self.tree.elements[place as usize].tag
    }

    /// Opens an element inside the one that is open; gives its place. Whatever lies in an artifact is one.
    pub(crate) fn open(&mut self, tag: Tag) -> u32 {
        // What stands at the top of a page does not part a list that goes on there.
        if !matches!(tag, Tag::Item | Tag::Artifact) {
            self.close_list();
        }
        let parent = self.open.last().map(|open| open.place);
        self.open_inside(parent, tag)
    }

    /// Opens an element inside one that may be closed already.
    pub(crate) fn open_inside(&mut self, parent: Option<u32>, tag: Tag) -> u32 {
        let in_artifact = self.open.last().is_some_and(|open| open.tag == Tag::Artifact);
        let tag = if in_artifact { Tag::Artifact } else { tag };
        let place = match (tag, parent) {
            (Tag::Artifact, parent) => parent.unwrap_or_default(),
            (_, parent) => self.tree.add(parent, tag),
        };
        self.open.push(Open { tag, place, by_item: false });
        place
    }

    /// Opens an item and its label; of a list of its own where none is open.
    pub(crate) fn begin_item(&mut self) {
        self.open_item();
        self.open(Tag::Label);
    }

    /// Closes the label of an item and opens its body.
    pub(crate) fn begin_body(&mut self) {
        self.close();
        self.open(Tag::Body);
    }

    /// Closes the body of an item and the item.
    pub(crate) fn end_item(&mut self) {
        self.close();
        self.close();
    }

    /// Opens an item without a label.
    pub(crate) fn begin_bare_item(&mut self) {
        self.open_item();
        self.open(Tag::Body);
    }

    fn open_item(&mut self) {
        if self.open.last().is_none_or(|open| open.tag != Tag::List) {
            self.open(Tag::List);
            if let Some(list) = self.open.last_mut() {
                list.by_item = true;
            }
        }
        self.open(Tag::Item);
    }

    /// Opens a paragraph unless something is open that takes text; tells whether it did.
    pub(crate) fn open_paragraph(&mut self) -> bool {
        let taken = self.open.last().is_some_and(|open| open.tag.takes_text() || open.tag == Tag::Artifact);
        if !taken {
            self.open(Tag::Paragraph);
        }
        !taken
    }

    /// Closes what was opened last.
    pub(crate) fn close(&mut self) {
        self.close_list();
        self.open.pop();
    }

    fn close_list(&mut self) {
        if self.open.last().is_some_and(|open| open.by_item) {
            self.open.pop();
        }
    }

    /// Begins a section; those that lie as deep or deeper end.
    pub(crate) fn begin_section(&mut self, level: u8) {
        self.close_list();
        while self.open.last().is_some_and(|open| matches!(open.tag, Tag::Section(deep) if deep >= level)) {
            self.open.pop();
        }
        self.open(Tag::Section(level));
    }

    /// Begins a section and opens its heading.
    pub(crate) fn open_heading(&mut self, level: u8) {
        self.begin_section(level);
        self.open(Tag::Heading(level));
    }

    /// Adds to what stands for the figure that is open, for whom cannot see it; elsewhere nothing.
    pub(crate) fn describe(&mut self, words: &str) {
        let Some(Open { tag: Tag::Figure, place, .. }) = self.open.last() else { return };
        match self.tree.alternatives.last_mut() {
            Some((figure, text)) if figure == place => {
                text.push_str("; ");
                text.push_str(words);
            }
            _ => self.tree.alternatives.push((*place, words.to_owned())),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Every element with its ancestors, as `Sect/H1`.
    fn paths(tree: &Tree) -> Vec<String> {
        let mut paths: Vec<String> = Vec::new();
        for Element { parent, tag } in &tree.elements {
            let above = parent.map_or(String::new(), |parent| format!("{}/", paths[parent as usize]));
            paths.push(format!("{above}{}", tag.name()));
        }
        paths
    }

    #[test]
    fn a_section_ends_those_that_lie_as_deep() {
        let mut structure = Structure::default();
        for level in [1, 2, 3, 2] {
            structure.open_heading(level);
            structure.close();
        }
        let paths = paths(&structure.into_tree());
        let sections: Vec<&String> = paths.iter().filter(|path| path.ends_with("Sect")).collect();
        assert_eq!(sections, ["Sect", "Sect/Sect", "Sect/Sect/Sect", "Sect/Sect"]);
        assert_eq!(paths.last().unwrap(), "Sect/Sect/H2");
    }

    #[test]
    fn items_make_their_list_and_what_is_no_item_ends_it() {
        let mut structure = Structure::default();
        structure.open(Tag::Cell(1));
        for _ in 0..2 {
            structure.begin_bare_item();
            structure.end_item();
        }
        structure.open(Tag::Paragraph);
        structure.close();
        structure.begin_item();
        structure.begin_body();
        structure.end_item();
        structure.close();
        assert!(structure.open.is_empty(), "the list that no one closed went with its cell");
        let of_item = |parts: &[&str]| parts.iter().map(|part| format!("TD/L/LI{part}")).collect::<Vec<_>>();
        let lists = [&["TD".to_owned(), "TD/L".to_owned()][..], &of_item(&["", "/LBody", "", "/LBody"])];
        let after = [&["TD/P".to_owned(), "TD/L".to_owned()][..], &of_item(&["", "/Lbl", "/LBody"])];
        assert_eq!(paths(&structure.into_tree()), [lists.concat(), after.concat()].concat());
    }

    #[test]
    fn shapes_belong_to_figures_and_nothing_belongs_to_an_artifact() {
        let mut structure = Structure::default();
        assert_eq!(structure.owner(true), None);
        let figure = structure.open(Tag::Figure);
        structure.describe("a seat");
        structure.describe("in section");
        assert_eq!((structure.owner(true), structure.owner(false)), (Some(figure), Some(figure)));
        structure.close();
        let row = structure.open(Tag::Row);
        assert_eq!(structure.owner(true), None, "rows hold cells, and cells text");
        let cell = structure.open(Tag::Cell(1));
        assert_eq!((structure.owner(true), structure.owner(false)), (Some(cell), None));
        structure.close();
        structure.open(Tag::Artifact);
        structure.open(Tag::Cell(1));
        structure.describe("nothing");
        assert!(!structure.open_paragraph());
        assert_eq!(structure.owner(true), None);
        structure.close();
        structure.close();
        structure.open_inside(Some(cell), Tag::Paragraph);
        let tree = structure.into_tree();
        assert_eq!(tree.alternatives, [(figure, "a seat; in section".to_owned())]);
        assert_eq!((tree.elements.len(), tree.elements.last().unwrap().parent), (4, Some(cell)));
        assert_eq!(tree.elements[cell as usize].parent, Some(row));
    }

    #[test]
    fn trees_become_parts_of_one() {
        let mut whole = Tree::default();
        for _ in 0..2 {
            let mut structure = Structure::default();
            structure.open(Tag::Figure);
            structure.describe("a seat");
            whole.append(structure.into_tree());
        }
        assert_eq!(paths(&whole), ["Part", "Part/Figure", "Part", "Part/Figure"]);
        assert_eq!(whole.alternatives.iter().map(|(place, _)| *place).collect::<Vec<_>>(), [1, 3]);
    }
}
