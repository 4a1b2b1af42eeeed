//! Statistics over many judged heads: one pass, mergeable, without clock, database or wire.
//!
//! [`ObservedHead`] is what statistics need of one judged head. [`Line`] gathers many, part by part if one likes, and
//! gives a [`Study`] of each characteristic: what its values say together ([`Distribution`], [`Normality`],
//! [`capability`]), whether the process holds ([`chart`], [`signals`]), and who or what makes a difference
//! ([`Groups`], [`Trend`]). Studies of gauges ([`CrossedStudy`], [`ReferenceStudy`]) stand by themselves.

mod gather;
mod gauge;
mod observed;
mod process;
mod special;
mod study;
mod summary;

pub use gather::*;
pub use gauge::*;
pub use observed::*;
pub use process::*;
pub use study::*;
pub use summary::*;
