//! Canonical forms, identities and signatures as users of the crate see them.

mod bench;
mod brought;
mod canonical;
mod certificates;
mod locked;
mod signed;
mod trusted;
