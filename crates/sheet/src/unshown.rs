//! What is said of characters that could not be shown.

use crate::chrome::Chrome;
use crate::face::code_point;
use crate::flow::{Flow, LEFT};
use crate::text::{Style, wrap};

/// Where a reader finds the characters that a page could not show.
#[derive(Debug, Clone, Copy)]
pub(crate) enum Kept {
    /// In the record that the file carries.
    Attached,
    /// In the documents it was made from.
    Posted,
}

/// So many code points are listed.
const LISTED: usize = 40;

/// Finished pages.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rendered {
    /// The PDF file.
    pub bytes: Vec<u8>,
    /// Characters that its pages could not show and spell as ‹U+XXXX› instead, in the order of their code points.
    pub unshown: Vec<char>,
}

impl Rendered {
    /// The code points of the characters that could not be shown, for a warning; `None` when all were.
    #[must_use]
    pub fn unshown_code_points(&self) -> Option<String> {
        Some(list(&self.unshown, "and more")).filter(|_| !self.unshown.is_empty())
    }
}

fn list<'a>(characters: impl IntoIterator<Item = &'a char>, and_more: &str) -> String {
    let mut characters = characters.into_iter();
    let mut words: Vec<String> = characters.by_ref().take(LISTED).map(|c| code_point(*c)).collect();
    if characters.next().is_some() {
        words.push(and_more.to_owned());
    }
    words.join(", ")
}

/// Says at the end of pages which characters they, or what stands on each of them, could not show; nothing where all
/// were shown.
pub(crate) fn draw(flow: &mut Flow, chrome: &Chrome, kept: Kept) {
    let mut characters = flow.spelled();
    characters.extend(chrome.spelled());
    if characters.is_empty() {
        return;
    }
    let style = Style::BODY;
    let say = flow.say();
    let listed = list(&characters, say.text("unshown-and-more"));
    let id = match kept {
        Kept::Attached => "unshown-attached",
        Kept::Posted => "unshown-posted",
    };
    let text = say.with(id, &[("characters", listed.into())]);
    flow.gap(4.0);
    flow.ensure(wrap(style, flow.measure(), &text).len() as f32 * style.leading());
    flow.paragraph(style, LEFT, flow.measure(), &text);
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_list_says_that_there_are_more() {
        let many: Vec<char> = ('一'..).take(LISTED + 1).collect();
        assert_eq!(list(&many[..2], "and more"), "U+4E00, U+4E01");
        assert!(list(&many[..LISTED], "and more").ends_with("U+4E27"));
        assert!(list(&many, "and more").ends_with("U+4E27, and more"));
    }

    #[test]
    fn where_all_was_shown_there_is_nothing_to_warn_of() {
        let rendered = |unshown| Rendered { bytes: Vec::new(), unshown }.unshown_code_points();
        assert_eq!(rendered(vec![]), None);
        assert_eq!(rendered(vec!['\u{5D0}']).as_deref(), Some("U+05D0"));
    }
}
