//! What is said of characters that could not be shown.

use crate::chrome::Chrome;
use crate::face::code_point;
use crate::flow::{Flow, LEFT};
use crate::text::{Style, wrap};

/// Before the code points.
const NOT_SHOWN: &str = "Characters that could not be shown; their code points stand in their places:";
/// Where there are more than are listed.
const AND_MORE: &str = "and more";
/// Where a reader finds them: beside pages that carry their documents.
pub(crate) const ATTACHED: &str = "The record attached to this file has the characters themselves.";
/// Where a reader finds them: beside pages that do not.
pub(crate) const POSTED: &str = "The documents this file was made from have the characters themselves.";
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
        Some(list(&self.unshown)).filter(|_| !self.unshown.is_empty())
    }
}

fn list<'a>(characters: impl IntoIterator<Item = &'a char>) -> String {
    let mut characters = characters.into_iter();
    let mut words: Vec<String> = characters.by_ref().take(LISTED).map(|c| code_point(*c)).collect();
    if characters.next().is_some() {
        words.push(AND_MORE.to_owned());
    }
    words.join(", ")
}

/// Says at the end of pages which characters they, or what stands on each of them, could not show; nothing where all
/// were shown.
pub(crate) fn draw(flow: &mut Flow, chrome: &Chrome, where_to_find: &str) {
    let mut characters = flow.spelled();
    characters.extend(chrome.spelled());
    if characters.is_empty() {
        return;
    }
    let style = Style::BODY;
    let text = format!("{NOT_SHOWN} {}. {where_to_find}", list(&characters));
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
        assert_eq!(list(&many[..2]), "U+4E00, U+4E01");
        assert!(list(&many[..LISTED]).ends_with("U+4E27"));
        assert!(list(&many).ends_with("U+4E27, and more"));
    }

    #[test]
    fn where_all_was_shown_there_is_nothing_to_warn_of() {
        let rendered = |unshown| Rendered { bytes: Vec::new(), unshown }.unshown_code_points();
        assert_eq!(rendered(vec![]), None);
        assert_eq!(rendered(vec!['\u{5D0}']).as_deref(), Some("U+05D0"));
    }
}
