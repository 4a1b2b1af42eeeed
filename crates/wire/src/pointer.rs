//! Where in a document we are, at no cost until a fault needs to say so.

use std::fmt::Write;

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
                text.push('/');
                text.push_str(&escape(name));
            }
            At::Element(parent, index) => {
                parent.write(text);
                let _ = write!(text, "/{index}");
            }
        }
    }
}

/// `~` and `/` as RFC 6901, clause 3, wants them.
pub(crate) fn escape(name: &str) -> String {
    name.replace('~', "~0").replace('/', "~1")
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
}
