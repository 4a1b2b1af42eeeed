//! Words of the wire and of the domain, side by side: each becomes the other.

use headproof_head as head;
use headproof_line as line;

use crate as documents;
use crate::statistics;

macro_rules! same_words {
    ($domain:ident, $wire:ident: $($name:ident { $($word:ident),* $(,)? })*) => {$(
        impl From<$wire::$name> for $domain::$name {
            fn from(word: $wire::$name) -> Self {
                match word { $($wire::$name::$word => Self::$word,)* }
            }
        }

        impl From<$domain::$name> for $wire::$name {
            fn from(word: $domain::$name) -> Self {
                match word { $($domain::$name::$word => Self::$word,)* }
            }
        }
    )*};
}

same_words! {
    head, documents:
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

same_words! {
    line, statistics:
    RuleSet { ThreeSigma, WesternElectric, Nelson }
    ChartKind { MeanRange, MeanDeviation, IndividualsMovingRange }
    CapabilityMethod { Normal, LogNormalPercentiles, EmpiricalPercentiles }
    SigmaEstimator { MeanRange, MeanDeviation, MeanMovingRange, Reference }
    Track { Location, Spread }
    RunRule {
        OnePointBeyondThreeSigma,
        TwoOfThreeBeyondTwoSigma,
        FourOfFiveBeyondOneSigma,
        EightOnOneSide,
        NineOnOneSide,
        SixRisingOrFalling,
        FourteenAlternating,
        FifteenWithinOneSigma,
        EightBeyondOneSigma,
    }
}
