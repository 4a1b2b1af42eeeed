//! Words of the wire and of the domain, side by side: each becomes the other.

use headproof_head as head;

macro_rules! same_words {
    ($($name:ident { $($word:ident),* $(,)? })*) => {$(
        impl From<crate::$name> for head::$name {
            fn from(word: crate::$name) -> Self {
                match word { $(crate::$name::$word => Self::$word,)* }
            }
        }

        impl From<head::$name> for crate::$name {
            fn from(word: head::$name) -> Self {
                match word { $(head::$name::$word => Self::$word,)* }
            }
        }
    )*};
}

same_words! {
    LengthUnit { Millimetre, Inch }
    Service { Intake, Exhaust }
    State { Good, Worn, Bad }
    StemSeal { New, Reused, Absent }
    DialDirection { Square, Radial, Axial }
    InsertFit { Tight, Loose }
    InsertMaterial { Iron, Steel, HardAlloy, BerylliumCopper }
    RecessionDatum { Deck, Chamber }
    LeakSide { Port, Chamber }
    Material { CastIron, Aluminium }
    Stage { AsReceived, AfterRework, Final }
    Camshaft { Pushrod, Overhead }
    Lifter { Adjustable, Hydraulic, BucketWithShim }
    FeelerDirection { Lengthwise, Crosswise, Diagonal }
    LimitUse { Build, Wear }
    IfOutside { Rework, Reject }
    Objective { LeastSink, LeastCost, FewestParts }
}
