//! JSON Pointers held against the text they point into.

use crate::outline::{Kind, Outline};

/// How far a pointer leads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Leads {
    /// To a value.
    There,
    /// To an object or array that has no such member or element.
    Beside,
    /// To nothing of the kind.
    Nowhere,
}

/// Follows a pointer (RFC 6901). Of members that stand twice each is followed. The service cuts names it does
/// not know: one that ends with an ellipsis stands for every name that begins so, and one that is nothing but
/// that stands for all that is deeper.
pub(crate) fn follow(outline: &Outline<'_>, pointer: &str) -> Leads {
    let mut found = vec![0];
    let Some(tokens) = pointer.strip_prefix('/') else {
        return if pointer.is_empty() { Leads::There } else { Leads::Nowhere };
    };
    let mut tokens = tokens.split('/').peekable();
    while let Some(token) = tokens.next() {
        found.retain(|at| outline.spots[*at].is_container());
        if found.is_empty() {
            return Leads::Nowhere;
        }
        let is_last = tokens.peek().is_none();
        if token == "…" && is_last {
            return Leads::There;
        }
        let token = token.replace("~1", "/").replace("~0", "~");
        let next: Vec<usize> = found.iter().flat_map(|at| inside(outline, *at, &token)).collect();
        if next.is_empty() {
            return if is_last { Leads::Beside } else { Leads::Nowhere };
        }
        found = next;
    }
    Leads::There
}

fn inside(outline: &Outline<'_>, at: usize, token: &str) -> Vec<usize> {
    if outline.spots[at].kind == Kind::Array {
        let index = token.parse().ok();
        return index.and_then(|index| outline.children(at).nth(index)).into_iter().collect();
    }
    let is_meant = |child: &usize| {
        let spot = &outline.spots[*child];
        // Most names need no decoding.
        let quoted = outline.name_of(spot).unwrap_or_default();
        let is_plain = quoted.len() == token.len() + 2 && quoted[1..].starts_with(token.as_bytes());
        let may_differ = quoted.contains(&b'\\') || token.ends_with('…');
        is_plain
            || may_differ
                && outline.plain_name(spot).is_some_and(|name| match token.strip_suffix('…') {
                    Some(beginning) => name == token || name.starts_with(beginning),
                    None => name == token,
                })
    };
    outline.children(at).filter(is_meant).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pointer_is_followed_through_the_text() {
        let text = r#"{"a": 1, "a": [0, {"b/c~": null, "\u0064": 2}], "longer": {"x": []}}"#;
        let outline = Outline::of(text.as_bytes()).unwrap();
        for (pointer, expected) in [
            ("", Leads::There),
            ("/a", Leads::There),
            ("/a/1/b~1c~0", Leads::There),
            ("/a/1/d", Leads::There),
            ("/lon…", Leads::There),
            ("/lon…/x", Leads::There),
            ("/longer/…", Leads::There),
            ("/a/2", Leads::Beside),
            ("/b", Leads::Beside),
            ("/loa…", Leads::Beside),
            ("/a/1/d/e", Leads::Nowhere),
            ("/a/2/b", Leads::Nowhere),
            ("/b/c", Leads::Nowhere),
            ("a", Leads::Nowhere),
        ] {
            assert_eq!(follow(&outline, pointer), expected, "{pointer}");
        }
    }
}
