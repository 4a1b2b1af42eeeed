//! Words of the domain as words of the wire, for the way out.

use headproof_head as head;

macro_rules! same_words {
    ($($name:ident { $($word:ident),* $(,)? })*) => {$(
        impl From<head::$name> for crate::$name {
            fn from(word: head::$name) -> Self {
                match word { $(head::$name::$word => Self::$word,)* }
            }
        }
    )*};
}

same_words! {
    State { Good, Worn, Bad }
    StemSeal { New, Reused, Absent }
    DialDirection { Square, Radial, Axial }
    InsertFit { Tight, Loose }
    InsertMaterial { Iron, Steel, HardAlloy, BerylliumCopper }
    RecessionDatum { Deck, Chamber }
    LeakSide { Port, Chamber }
    Material { CastIron, Aluminium }
    Camshaft { Pushrod, Overhead }
    Lifter { Adjustable, Hydraulic, BucketWithShim }
    FeelerDirection { Lengthwise, Crosswise, Diagonal }
}
