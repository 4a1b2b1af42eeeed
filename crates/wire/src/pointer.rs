//! Where in a document we are, at no cost until a fault needs to say so.

/// A place in a document: a link to its parent and its own name. Rendered as a JSON Pointer (RFC 6901).
#[derive(Debug, Clone, Copy)]
pub enum At<'p> {
    /// The document itself.
    Root,
    /// A member of an object.
    Member(&'p At<'p>, &'p str),
    /// An element of an array.
    Element(&'p At<'p>, usize),
}

impl<'p> At<'p> {
    /// The member of that name.
    #[must_use]
    pub const fn member(&'p self, name: &'p str) -> At<'p> {
        At::Member(self, name)
    }

    /// The element at that index.
    #[must_use]
    pub const fn element(&'p self, index: usize) -> At<'p> {
        At::Element(self, index)
    }

    /// The JSON Pointer.
    #[must_use]
    pub fn pointer(&self) -> String {
        let mut text = String::new();
        self.write(&mut text);
        text
    }

    fn write(&self, text: &mut String) {
        match self {
            At::Root => {}
            At::Member(parent, name) => {
                parent.write(text);
                push_token(text, name);
            }
            At::Element(parent, index) => {
                parent.write(text);
                push_token(text, &index.to_string());
            }
        }
    }
}

/// Longest name shown in a pointer, in bytes of JSON; names of ours have at most thirty.
const LONGEST_TOKEN: usize = 100;

/// A pointer that is this long grows no more; those into a right document have at most a hundred bytes.
const LONGEST_POINTER: usize = 250;

/// Lengthens a pointer by one name, with `~` and `/` as RFC 6901, clause 3, wants them. What no document of
/// ours can hold is cut: a thousand faults may lie below a name of a megabyte.
pub(crate) fn push_token(pointer: &mut String, name: &str) {
    const CUT: &str = "/…";
    if pointer.chars().map(size_in_json).sum::<usize>() >= LONGEST_POINTER {
        if !pointer.ends_with(CUT) {
            pointer.push_str(CUT);
        }
        return;
    }
    pointer.push('/');
    let mut room = LONGEST_TOKEN;
    for character in name.chars() {
        let Some(left) = room.checked_sub(size_in_json(character)) else {
            pointer.push('…');
            return;
        };
        room = left;
        match character {
            '~' => pointer.push_str("~0"),
            '/' => pointer.push_str("~1"),
            other => pointer.push(other),
        }
    }
}

/// Bytes of a character in a JSON text: control characters are written `\u0001` (RFC 8259, clause 7).
const fn size_in_json(character: char) -> usize {
    match character {
        '"' | '\\' => 2,
        '\0'..='\u{1f}' => 6,
        other => other.len_utf8(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Escapes: RFC 6901, clause 5.
    #[test]
    fn a_pointer_names_members_and_elements() {
        let (ports, second) = (At::Root.member("ports").pointer(), At::Root);
        assert_eq!(ports, "/ports");
        let ports = second.member("ports");
        let port = ports.element(1);
        assert_eq!(port.member("a/b~c").pointer(), "/ports/1/a~1b~0c");
        assert_eq!(At::Root.pointer(), "");
    }

    #[test]
    fn a_pointer_stays_short_whatever_the_names() {
        let x = |count: usize| "x".repeat(count);
        assert_eq!(At::Root.member(&x(100)).pointer(), format!("/{}", x(100)));
        assert_eq!(At::Root.member(&x(101)).pointer(), format!("/{}…", x(100)));
        for character in ["x", "/", "ü", "\u{1}", "\"", "😀"] {
            let name = character.repeat(100_000);
            let mut pointer = String::new();
            (0..32).for_each(|_| push_token(&mut pointer, &name));
            assert!(pointer.ends_with("…/…"), "{pointer}");
            let json = serde_json::to_string(&pointer).expect("a text");
            assert!(json.len() < 500, "{character}: {}", json.len());
        }
    }
}
