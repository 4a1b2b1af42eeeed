//! Signed messages: CMS, RFC 5652, with the attributes of CAdES (ETSI EN 319 122-1).

mod reference;
mod structure;
mod verify;
mod write;

pub(crate) use verify::Message;
pub(crate) use write::Draft;

#[cfg(test)]
mod tests;
