//! Where the values of a JSON text stand. Unlike a parsed value this keeps members that stand twice, numbers
//! no double can hold, and every byte of the text as it was.

use std::ops::Range;

/// What a value is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    Object,
    Array,
    Text,
    Number,
    /// `true`, `false` or `null`.
    Word,
}

/// One value of a text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct Spot {
    pub(crate) kind: Kind,
    /// The bytes of the value.
    pub(crate) value: Range<usize>,
    /// The bytes of its name in quotation marks, when it is a member of an object.
    pub(crate) name: Option<Range<usize>>,
    /// The object or array around it; none around the outermost.
    pub(crate) parent: Option<usize>,
    /// One beyond its last descendant in the list of spots.
    pub(crate) end: usize,
}

impl Spot {
    /// The bytes of the value and of its name.
    pub(crate) fn slot(&self) -> Range<usize> {
        self.name.as_ref().map_or(self.value.start, |name| name.start)..self.value.end
    }

    pub(crate) const fn is_container(&self) -> bool {
        matches!(self.kind, Kind::Object | Kind::Array)
    }
}

/// All values of a text, each before those inside it.
#[derive(Debug)]
pub(crate) struct Outline<'t> {
    pub(crate) text: &'t [u8],
    pub(crate) spots: Vec<Spot>,
}

impl<'t> Outline<'t> {
    /// None when the brackets, names and commas are not those of one JSON value. Letters of words, digits of
    /// numbers and escapes are not looked at closely.
    pub(crate) fn of(text: &'t [u8]) -> Option<Self> {
        let mut scan = Scan { outline: Self { text, spots: Vec::new() }, at: 0, open: Vec::new() };
        scan.document()?;
        Some(scan.outline)
    }

    pub(crate) fn text_of(&self, spot: &Spot) -> &'t [u8] {
        &self.text[spot.value.clone()]
    }

    /// The name of a member as it stands, with its quotation marks.
    pub(crate) fn name_of(&self, spot: &Spot) -> Option<&'t [u8]> {
        spot.name.clone().map(|name| &self.text[name])
    }

    /// The name of a member, its escapes resolved.
    pub(crate) fn plain_name(&self, spot: &Spot) -> Option<String> {
        serde_json::from_slice(self.name_of(spot)?).ok()
    }

    /// What stands directly inside a value, in order.
    pub(crate) fn children(&self, of: usize) -> impl Iterator<Item = usize> {
        let end = self.spots[of].end;
        let first = (of + 1 < end).then_some(of + 1);
        std::iter::successors(first, move |child| Some(self.spots[*child].end).filter(|next| *next < end))
    }
}

struct Scan<'t> {
    outline: Outline<'t>,
    at: usize,
    /// Objects and arrays that have begun and not ended.
    open: Vec<usize>,
}

impl Scan<'_> {
    fn document(&mut self) -> Option<()> {
        loop {
            let name = match self.open.last().map(|top| self.outline.spots[*top].kind) {
                Some(Kind::Object) => Some(self.name()?),
                _ => None,
            };
            if self.value(name)? == Entered::Yes {
                continue;
            }
            loop {
                match (self.peek(), self.open.last()) {
                    (None, None) => return Some(()),
                    (Some(b','), Some(_)) => break self.at += 1,
                    (Some(b'}' | b']'), Some(_)) => self.leave()?,
                    _ => return None,
                }
            }
        }
    }

    /// The next byte that is not white space.
    fn peek(&mut self) -> Option<u8> {
        let rest = &self.outline.text[self.at..];
        self.at += rest.iter().take_while(|byte| b" \t\r\n".contains(byte)).count();
        self.outline.text.get(self.at).copied()
    }

    fn name(&mut self) -> Option<Range<usize>> {
        self.peek().filter(|byte| *byte == b'"')?;
        let name = self.quoted()?;
        self.peek().filter(|byte| *byte == b':')?;
        self.at += 1;
        Some(name)
    }

    fn quoted(&mut self) -> Option<Range<usize>> {
        let start = self.at;
        self.at += 1;
        loop {
            match self.outline.text.get(self.at)? {
                b'"' => break,
                b'\\' => self.at += 2,
                _ => self.at += 1,
            }
        }
        self.at += 1;
        Some(start..self.at)
    }

    fn value(&mut self, name: Option<Range<usize>>) -> Option<Entered> {
        let first = self.peek()?;
        let start = self.at;
        let kind = match first {
            b'{' => Kind::Object,
            b'[' => Kind::Array,
            b'"' => Kind::Text,
            b'-' | b'0'..=b'9' => Kind::Number,
            b'a'..=b'z' => Kind::Word,
            _ => return None,
        };
        match kind {
            Kind::Object | Kind::Array => self.at += 1,
            Kind::Text => {
                self.quoted()?;
            }
            Kind::Number | Kind::Word => {
                let rest = &self.outline.text[start..];
                let belongs = |byte: &&u8| byte.is_ascii_alphanumeric() || b"+-.".contains(byte);
                self.at += rest.iter().take_while(belongs).count();
            }
        }
        let spots = &mut self.outline.spots;
        let (index, parent) = (spots.len(), self.open.last().copied());
        spots.push(Spot { kind, value: start..self.at, name, parent, end: index + 1 });
        if !spots[index].is_container() {
            return Some(Entered::No);
        }
        self.open.push(index);
        match self.peek()? {
            b'}' | b']' => self.leave().map(|()| Entered::No),
            _ => Some(Entered::Yes),
        }
    }

    /// Ends the innermost open object or array with the bracket that comes next.
    fn leave(&mut self) -> Option<()> {
        let spots = &mut self.outline.spots;
        let end = spots.len();
        let spot = &mut spots[self.open.pop()?];
        let closing = if spot.kind == Kind::Object { b'}' } else { b']' };
        if self.outline.text.get(self.at) != Some(&closing) {
            return None;
        }
        self.at += 1;
        spot.value.end = self.at;
        spot.end = end;
        Some(())
    }
}

/// Did an object or array with something in it begin?
#[derive(PartialEq, Eq)]
enum Entered {
    Yes,
    No,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_value_is_found_with_its_name_and_its_parent() {
        let text = br#" {"a": [1, {"b\"": -2e+5}, []], "a": null, "c": "}\\"} "#;
        let outline = Outline::of(text).unwrap();
        let told: Vec<_> = outline
            .spots
            .iter()
            .map(|spot| {
                let text = str::from_utf8(outline.text_of(spot)).unwrap();
                (text, outline.plain_name(spot).unwrap_or_default(), spot.parent)
            })
            .collect();
        let expected = [
            (str::from_utf8(text).unwrap().trim(), "", None),
            (r#"[1, {"b\"": -2e+5}, []]"#, "a", Some(0)),
            ("1", "", Some(1)),
            (r#"{"b\"": -2e+5}"#, "", Some(1)),
            ("-2e+5", "b\"", Some(3)),
            ("[]", "", Some(1)),
            ("null", "a", Some(0)),
            (r#""}\\""#, "c", Some(0)),
        ];
        let expected = expected.map(|(text, name, parent)| (text, name.to_owned(), parent));
        assert_eq!(told, expected);
        assert_eq!(outline.children(0).collect::<Vec<_>>(), [1, 6, 7]);
        assert_eq!(outline.children(1).collect::<Vec<_>>(), [2, 3, 5]);
        assert_eq!(outline.children(5).count(), 0);
    }

    #[test]
    fn what_is_no_json_has_no_outline() {
        for text in
            ["", "{", "[1", "[1,]", "{1: 2}", r#"{"a" 1}"#, "[}", "1 2", r#""a"#, r#""\"#, "]", "[1}]"]
        {
            assert!(Outline::of(text.as_bytes()).is_none(), "{text}");
        }
    }
}
