//! What is asked of a timestamping authority, and what comes back.

use der::asn1::{OctetString, Uint};
use der::{Decode, Encode};

use super::structure::{Imprint, Request, Response};
use crate::algorithm::{Hash, sha_256};
use crate::asn1::sequence;
use crate::{Error, Result};

/// A request for a timestamp on a signature: TimeStampReq (RFC 3161, 2.4.1) in DER, with SHA-256 of the value.
///
/// # Errors
/// [`Error::Encoding`], a fault of the program.
pub(crate) fn request(value: &[u8], nonce: &[u8]) -> Result<Vec<u8>> {
    let imprint = Imprint { algorithm: sha_256(), digest: OctetString::new(Hash::Sha256.of(&[value]))? };
    Ok(Request { version: 1, imprint, nonce: Uint::new(nonce)?, wants_certificates: true }.to_der()?)
}

/// The token of an answer: TimeStampResp (RFC 3161, 2.4.2).
///
/// # Errors
/// [`Error::Timestamp`] when it was not granted.
pub(crate) fn token_of_response(response: &[u8]) -> Result<Vec<u8>> {
    let response =
        Response::from_der(response).map_err(|_| failed("the answer cannot be read".to_owned()))?;
    let status = response.status.to_der()?;
    let status = sequence(&status).ok().and_then(|parts| u8::from_der(parts.first()?).ok());
    match (status, response.token) {
        // granted, grantedWithMods
        (Some(0 | 1), Some(token)) => Ok(token.to_der()?),
        (Some(status), _) => Err(failed(format!("not granted, status {status}"))),
        (None, _) => Err(failed("the answer has no status".to_owned())),
    }
}

fn failed(why: String) -> Error {
    Error::Timestamp(why)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_request_is_that_of_the_standard() {
        let request = request(b"abc", &[0x80, 1]).unwrap();
        let digest = crate::hex::encode(&Hash::Sha256.of(&[b"abc"]));
        let expected = format!("303c020101302f300b06096086480165030402010420{digest}02030080010101ff");
        assert_eq!(crate::hex::encode(&request), expected);
    }

    #[test]
    fn what_was_not_granted_is_no_timestamp() {
        assert_eq!(
            token_of_response(&[0x30, 5, 0x30, 3, 2, 1, 2]),
            Err(Error::Timestamp("not granted, status 2".to_owned()))
        );
        assert!(token_of_response(&[0x30, 5, 0x30, 3, 2, 1, 0]).is_err(), "granted without a token");
        assert!(token_of_response(b"<html>").is_err());
    }
}
