//! The check value of a file: RFC 7292, appendix A.

use const_oid::db::rfc5912;
use hmac::{Hmac, KeyInit, Mac};
use sha1::Sha1;
use sha2::{Sha256, Sha384, Sha512};

use super::derive::{Purpose, derive, password_bytes};
use super::structure::Check;
use crate::{Error, Result};

/// Checks that a file is whole and the password right.
///
/// # Errors
/// [`Error::Password`] when it is not; [`Error::Key`] for another algorithm.
pub(super) fn check(check: &Check, content: &[u8], password: &str) -> Result<()> {
    let value = check.value.digest.as_bytes();
    let key = |block, length| -> Result<_> {
        let password = password_bytes(password);
        let (salt, iterations) = (check.salt.as_bytes(), check.iterations);
        let purpose = Purpose::Check;
        match length {
            20 => derive::<Sha1>(&password, salt, iterations, purpose, block, length),
            32 => derive::<Sha256>(&password, salt, iterations, purpose, block, length),
            48 => derive::<Sha384>(&password, salt, iterations, purpose, block, length),
            _ => derive::<Sha512>(&password, salt, iterations, purpose, block, length),
        }
    };
    let verified = match check.value.algorithm.oid {
        rfc5912::ID_SHA_1 => verify::<Hmac<Sha1>>(&key(64, 20)?, content, value),
        rfc5912::ID_SHA_256 => verify::<Hmac<Sha256>>(&key(64, 32)?, content, value),
        rfc5912::ID_SHA_384 => verify::<Hmac<Sha384>>(&key(128, 48)?, content, value),
        rfc5912::ID_SHA_512 => verify::<Hmac<Sha512>>(&key(128, 64)?, content, value),
        other => return Err(Error::Key(format!("PKCS#12 with an unknown check value, {other}"))),
    };
    verified.ok_or(Error::Password)
}

fn verify<M: Mac + KeyInit>(key: &[u8], content: &[u8], value: &[u8]) -> Option<()> {
    let mac = <M as KeyInit>::new_from_slice(key).ok()?;
    mac.chain_update(content).verify_slice(value).ok()
}
