//! What a file says of itself, twice in the same words: to old readers and to archives.

use headproof_texts::Language;
use lopdf::{Dictionary, Object, Stream, StringFormat, dictionary};

use super::moment::Moment;

/// The program that made it.
const CREATOR: &str = "headproof";

/// Title, language and time of a file.
pub(super) struct Metadata<'a> {
    /// Its title, of characters that XML can hold.
    pub(super) title: &'a str,
    /// The language of its pages.
    pub(super) language: Language,
    /// When the latest of its readings was made, or it was signed off.
    pub(super) moment: Option<Moment>,
}

impl Metadata<'_> {
    /// The document information dictionary: ISO 32000-1, 14.3.3.
    pub(super) fn information(&self) -> Dictionary {
        let mut information = dictionary! {
            "Title" => text_string(self.title),
            "Creator" => text_string(CREATOR),
            "Producer" => text_string(crate::RENDERER),
        };
        if let Some(moment) = self.moment {
            information.set("CreationDate", Object::string_literal(moment.pdf()));
            information.set("ModDate", Object::string_literal(moment.pdf()));
        }
        information
    }

    /// The same as an XMP packet (ISO 16684-1), with the conformance claimed: part 3, level B. It is kept
    /// readable without inflating: an archive may look for it without knowing PDF.
    pub(super) fn packet(&self) -> Stream {
        let dates = self.moment.map_or_else(String::new, |moment| {
            let date = moment.xmp();
            format!(
                "<xmp:CreateDate>{date}</xmp:CreateDate>\n<xmp:ModifyDate>{date}</xmp:ModifyDate>\n\
                 <xmp:MetadataDate>{date}</xmp:MetadataDate>\n"
            )
        });
        let packet = format!(
            "<?xpacket begin=\"\u{FEFF}\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n\
             <x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n\
             <rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n\
             <rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" \
             xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\" xmlns:pdf=\"http://ns.adobe.com/pdf/1.3/\" \
             xmlns:pdfaid=\"http://www.aiim.org/pdfa/ns/id/\">\n\
             <pdfaid:part>3</pdfaid:part>\n\
             <pdfaid:conformance>B</pdfaid:conformance>\n\
             <dc:format>application/pdf</dc:format>\n\
             <dc:language><rdf:Bag><rdf:li>{language}</rdf:li></rdf:Bag></dc:language>\n\
             <dc:title><rdf:Alt><rdf:li xml:lang=\"x-default\">{title}</rdf:li></rdf:Alt></dc:title>\n\
             {dates}\
             <xmp:CreatorTool>{CREATOR}</xmp:CreatorTool>\n\
             <pdf:Producer>{producer}</pdf:Producer>\n\
             </rdf:Description>\n</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>",
            language = self.language.code(),
            title = xml(self.title),
            producer = xml(crate::RENDERER),
        );
        let dictionary = dictionary! { "Type" => "Metadata", "Subtype" => "XML" };
        Stream::new(dictionary, packet.into_bytes()).with_compression(false)
    }
}

/// A text string of ISO 32000-1, 7.9.2.2: UTF-16 with its byte order mark.
pub(super) fn text_string(text: &str) -> Object {
    let units = std::iter::once(0xFEFF).chain(text.encode_utf16());
    Object::String(units.flat_map(u16::to_be_bytes).collect(), StringFormat::Hexadecimal)
}

/// A text in which what XML 1.0 (clause 2.2) cannot hold is spelled out, as it is on the pages.
pub(super) fn sayable(text: &str) -> String {
    let is_sayable = |c: char| (c >= ' ' && c != '\u{7F}') && !matches!(c, '\u{FFFE}' | '\u{FFFF}');
    let spell = |c: char| if is_sayable(c) { c.to_string() } else { format!("‹U+{:04X}›", c as u32) };
    text.chars().map(spell).collect()
}

fn xml(text: &str) -> String {
    text.replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_with_signs_of_xml_stays_what_it_is() {
        let title = "Head <A&B> ]]> Ö";
        let packet = Metadata { title, language: Language::German, moment: None }.packet();
        let packet = String::from_utf8(packet.content).unwrap();
        assert!(packet.contains(">Head &lt;A&amp;B&gt; ]]&gt; Ö<"), "{packet}");
        assert!(packet.contains("<rdf:li>de</rdf:li>"), "{packet}");
        assert!(!packet.contains("Date>"), "without a time of the record there is no date");
    }

    #[test]
    fn what_xml_cannot_hold_is_spelled_out() {
        assert_eq!(sayable("a\u{0}b\n検"), "a‹U+0000›b‹U+000A›検");
    }
}
