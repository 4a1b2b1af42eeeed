//! Sets whose elements are kept as they were written.
//!
//! What was signed is what stood in the file, so that nothing of it may be put in order or written anew
//! before it was verified.

use der::asn1::{AnyRef, ObjectIdentifier};
use der::{
    Decode, DecodeValue, Encode, EncodeValue, FixedTag, Header, Length, Reader, Sequence, SliceReader,
};
use der::{Tag, Writer};

/// The elements of an ASN.1 SET, one after the other.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub(crate) struct Elements(Vec<u8>);

impl Elements {
    /// A set of elements, in the order of DER (ITU-T X.690, 11.6).
    pub(crate) fn new(mut elements: Vec<Vec<u8>>) -> Self {
        elements.sort();
        Self(elements.concat())
    }

    /// Each of them, with its tag and length.
    ///
    /// # Errors
    /// An element that is not whole.
    pub(crate) fn each(&self) -> der::Result<Vec<&[u8]>> {
        let mut reader = SliceReader::new(&self.0)?;
        let mut elements = Vec::new();
        while !reader.is_finished() {
            elements.push(reader.tlv_bytes()?);
        }
        Ok(elements)
    }

    /// The only element.
    pub(crate) fn single(&self) -> Option<&[u8]> {
        match self.each().ok()?.as_slice() {
            [only] => Some(only),
            _ => None,
        }
    }
}

impl FixedTag for Elements {
    const TAG: Tag = Tag::Set;
}

impl<'a> DecodeValue<'a> for Elements {
    type Error = der::Error;

    fn decode_value<R: Reader<'a>>(reader: &mut R, header: Header) -> der::Result<Self> {
        reader.read_vec(header.length()).map(Self)
    }
}

impl EncodeValue for Elements {
    fn value_len(&self) -> der::Result<Length> {
        Length::try_from(self.0.len())
    }

    fn encode_value(&self, writer: &mut impl Writer) -> der::Result<()> {
        writer.write(&self.0)
    }
}

/// An attribute (RFC 5652, 5.3): what it is, and its values.
#[derive(Debug, Clone, PartialEq, Eq, Sequence)]
pub(crate) struct Attribute {
    pub(crate) kind: ObjectIdentifier,
    pub(crate) values: Elements,
}

/// The DER of an attribute with one value.
pub(crate) fn attribute(kind: ObjectIdentifier, value: Vec<u8>) -> der::Result<Vec<u8>> {
    Attribute { kind, values: Elements::new(vec![value]) }.to_der()
}

/// The value of the attribute of a kind that stands in a set once and has one value.
pub(crate) fn single_value(attributes: &Elements, kind: ObjectIdentifier) -> Option<Vec<u8>> {
    let of_kind = all_of(attributes, kind)?;
    match of_kind.as_slice() {
        [only] => only.values.single().map(<[u8]>::to_vec),
        _ => None,
    }
}

/// All attributes of a kind; `None` when the set cannot be read.
pub(crate) fn all_of(attributes: &Elements, kind: ObjectIdentifier) -> Option<Vec<Attribute>> {
    let elements = attributes.each().ok()?;
    let all: der::Result<Vec<_>> = elements.into_iter().map(Attribute::from_der).collect();
    Some(all.ok()?.into_iter().filter(|attribute| attribute.kind == kind).collect())
}

/// The elements of a SEQUENCE with their tags and lengths.
///
/// # Errors
/// Anything but one whole sequence.
pub(crate) fn sequence(der: &[u8]) -> der::Result<Vec<&[u8]>> {
    let whole = AnyRef::from_der(der)?;
    if der::Tagged::tag(&whole) != Tag::Sequence {
        return Err(Tag::Sequence.value_error().into());
    }
    let mut reader = SliceReader::new(whole.value())?;
    let mut elements = Vec::new();
    while !reader.is_finished() {
        elements.push(reader.tlv_bytes()?);
    }
    Ok(elements)
}
