//! A document while it is put together out of cells. Numbers stay the digits that were written.

use std::collections::BTreeMap;

use crate::cell::Leaf;

/// A value of JSON, or none yet.
#[derive(Debug, Default)]
pub(crate) enum Tree {
    #[default]
    Nothing,
    Leaf(Leaf),
    Object(Vec<(String, Tree)>),
    List(BTreeMap<usize, Tree>),
}

impl Tree {
    /// Puts a value at a pointer; false where something else stands in its way.
    pub(crate) fn put(&mut self, pointer: &str, leaf: Leaf) -> bool {
        let mut tree = self;
        for token in pointer.split('/').skip(1) {
            let index: Option<usize> = token.parse().ok();
            if matches!(tree, Self::Nothing) {
                *tree = if index.is_some() { Self::List(BTreeMap::new()) } else { Self::Object(Vec::new()) };
            }
            tree = match (tree, index) {
                (Self::List(elements), Some(index)) => elements.entry(index).or_default(),
                (Self::Object(members), None) => member(members, token),
                _ => return false,
            };
        }
        let is_free = matches!(tree, Self::Nothing);
        if is_free {
            *tree = Self::Leaf(leaf);
        }
        is_free
    }

    /// Pointers of elements that are missing before others of their list.
    pub(crate) fn holes(&self, pointer: &str, found: &mut Vec<String>) {
        match self {
            Self::Nothing | Self::Leaf(_) => {}
            Self::Object(members) => {
                members.iter().for_each(|(name, tree)| tree.holes(&format!("{pointer}/{name}"), found));
            }
            Self::List(elements) => {
                let last = elements.keys().next_back().copied().unwrap_or(0);
                for index in 0..=last {
                    let pointer = format!("{pointer}/{index}");
                    match elements.get(&index) {
                        Some(tree) => tree.holes(&pointer, found),
                        None => found.push(pointer),
                    }
                }
            }
        }
    }

    /// The text of the document; what is missing in a list is null.
    pub(crate) fn write(&self, out: &mut String) {
        match self {
            Self::Nothing => out.push_str("null"),
            Self::Leaf(Leaf::Number(digits)) => out.push_str(digits),
            Self::Leaf(Leaf::Text(text)) => push_text(out, text),
            Self::Leaf(Leaf::Truth(truth)) => out.push_str(if *truth { "true" } else { "false" }),
            Self::Leaf(Leaf::EmptyList) => out.push_str("[]"),
            Self::Object(members) => {
                out.push('{');
                for (place, (name, tree)) in members.iter().enumerate() {
                    out.push_str(if place == 0 { "" } else { "," });
                    push_text(out, name);
                    out.push(':');
                    tree.write(out);
                }
                out.push('}');
            }
            Self::List(elements) => {
                out.push('[');
                for index in 0..=elements.keys().next_back().copied().unwrap_or(0) {
                    out.push_str(if index == 0 { "" } else { "," });
                    elements.get(&index).unwrap_or(&Self::Nothing).write(out);
                }
                out.push(']');
            }
        }
    }
}

fn member<'t>(members: &'t mut Vec<(String, Tree)>, name: &str) -> &'t mut Tree {
    let place = members.iter().position(|(other, _)| other == name).unwrap_or_else(|| {
        members.push((name.to_owned(), Tree::Nothing));
        members.len() - 1
    });
    &mut members[place].1
}

fn push_text(out: &mut String, text: &str) {
    out.push_str(&serde_json::Value::from(text).to_string());
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_document_grows_out_of_its_pointers() {
        let mut tree = Tree::default();
        let number = |digits: &str| Leaf::Number(digits.into());
        assert!(tree.put("/a/b/0", number("1.50")));
        assert!(tree.put("/a/b/2", number("12345678901234567890")));
        assert!(tree.put("/a/c", Leaf::Text("\"\u{1}".into())));
        assert!(!tree.put("/a/c", Leaf::Truth(true)) && !tree.put("/a/c/d", Leaf::EmptyList));
        assert!(!tree.put("/a/0", Leaf::EmptyList));
        let (mut text, mut holes) = (String::new(), Vec::new());
        tree.write(&mut text);
        tree.holes("", &mut holes);
        assert_eq!(text, r#"{"a":{"b":[1.50,null,12345678901234567890],"c":"\"\u0001"}}"#);
        assert_eq!(holes, ["/a/b/1"]);
    }
}
