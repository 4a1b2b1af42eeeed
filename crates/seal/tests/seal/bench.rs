//! A file of one empty page with a place for a signature, and identities to sign it with.

use headproof_seal::{Identity, PdfToSign, room_for};
use time::OffsetDateTime;
use time::macros::datetime;

pub(crate) const NOON: OffsetDateTime = datetime!(2026-03-01 12:00 UTC);

/// An authority, and a person under it.
pub(crate) fn identities() -> (Identity, Identity) {
    let authority = Identity::new_authority("Zylinderkopf Süd GmbH", NOON).expect("an authority");
    let person =
        authority.issue("Zoë Ångström", "Inspector", "Zylinderkopf Süd GmbH", NOON).expect("it issues");
    (authority, person)
}

/// A file with room for so many bytes of signature; `filler` bytes make it larger.
pub(crate) fn unsigned(room: usize, filler: usize) -> Vec<u8> {
    let signature = format!(
        "<</Type/Sig/Filter/Adobe.PPKLite/SubFilter/ETSI.CAdES.detached/M(D:20260301120000+00'00')\
         /ByteRange[0 0000000000 0000000000 0000000000]/Name(Z)/Contents<{}>>>",
        "0".repeat(room * 2)
    );
    let stream = format!("<</Length {filler}>>stream\n{}\nendstream", " ".repeat(filler));
    let objects = [
        "<</Type/Catalog/Pages 2 0 R/AcroForm<</Fields[4 0 R]/SigFlags 3>>>>",
        "<</Type/Pages/Kids[3 0 R]/Count 1>>",
        "<</Type/Page/Parent 2 0 R/MediaBox[0 0 200 200]/Resources<<>>/Contents 5 0 R/Annots[4 0 R]>>",
        "<</Type/Annot/Subtype/Widget/FT/Sig/T(Inspector)/V 6 0 R/P 3 0 R/F 132/Rect[0 0 0 0]>>",
        &stream,
        &signature,
    ];
    let mut file = "%PDF-1.7\n".to_owned();
    let mut table = "0000000000 65535 f \n".to_owned();
    for (number, object) in objects.iter().enumerate() {
        table += &format!("{:010} 00000 n \n", file.len());
        file += &format!("{} 0 obj\n{object}\nendobj\n", number + 1);
    }
    let place = file.len();
    let count = objects.len() + 1;
    file += &format!(
        "xref\n0 {count}\n{table}trailer\n<</Size {count}/Root 1 0 R>>\nstartxref\n{place}\n%%EOF\n"
    );
    file.into_bytes()
}

/// A file signed without a timestamp.
pub(crate) fn signed(person: &Identity) -> Vec<u8> {
    let file = PdfToSign::new(unsigned(room_for(person, false), 100)).expect("a place");
    let signature = file.sign(person).expect("a signature");
    file.finish(signature).expect("room")
}

/// One of the files in `data`.
pub(crate) fn data(name: &str) -> Vec<u8> {
    let path = format!("{}/tests/seal/data/{name}", env!("CARGO_MANIFEST_DIR"));
    std::fs::read(path).expect("a file of the tests")
}
