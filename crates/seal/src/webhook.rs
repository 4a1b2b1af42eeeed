//! Signatures of webhooks: whoever receives a message can tell who sent it, and that it is new and unchanged.
//!
//! Source: the symmetric signatures of the specification Standard Webhooks, 1.0.0.

use std::fmt;

use data_encoding::BASE64;
use hmac::{Hmac, KeyInit, Mac};
use sha2::Sha256;
use zeroize::{Zeroize, ZeroizeOnDrop, Zeroizing};

use crate::{Error, Result};

/// What the text of a secret begins with.
const PREFIX: &str = "whsec_";
/// What a symmetric signature begins with.
const VERSION: &str = "v1,";
/// How many bytes a secret may have.
const LENGTHS: std::ops::RangeInclusive<usize> = 24..=64;
/// How many bytes a new one has: as many as the digest (RFC 2104, 3).
const NEW: usize = 32;

/// What sender and receiver share: 24 to 64 bytes; as text `whsec_` and their base64.
///
/// It is overwritten when it is dropped, and [`Debug`](fmt::Debug) does not show it.
///
/// ```
/// use headproof_seal::WebhookSecret;
///
/// let secret = WebhookSecret::from_text("whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw").unwrap();
/// let body = br#"{"test": 2432232314}"#;
/// let signature = secret.sign("msg_p5jXN8AQM9LWM0D4loKWxJek", 1_614_265_330, body);
/// // An example that is widely published; the Python package standardwebhooks 1.1.0 signs it alike.
/// assert_eq!(signature, "v1,g0hM9SsE+OTPJTGt/tmIKtSyZlE3uFJELVlNIOLJ1OE=");
/// ```
#[derive(Clone, Zeroize, ZeroizeOnDrop)]
pub struct WebhookSecret(Vec<u8>);

/// The purpose that the secret of a receiver is wrapped for ([`Secret::wrap`](crate::Secret::wrap)): it opens for no other
/// receiver.
#[must_use]
pub fn webhook_purpose(receiver: impl fmt::Display) -> String {
    format!("webhook {receiver}")
}

/// Why a message is not to be believed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum WebhookRefusal {
    /// It was sent longer ago than is tolerated, perhaps by somebody who has kept it.
    #[error("the message is too old")]
    TooOld,
    /// It was sent later from now than clocks may differ.
    #[error("the message comes from the future")]
    TooNew,
    /// None of its signatures was made with a secret that is shared.
    #[error("no signature of the message fits")]
    NoneFits,
}

/// A message as it was received.
#[derive(Debug, Clone, Copy)]
pub struct WebhookMessage<'a> {
    /// Its header `webhook-id`.
    pub id: &'a str,
    /// Its header `webhook-timestamp`: seconds since 1970-01-01T00:00:00Z.
    pub unix_seconds: i64,
    /// Its header `webhook-signature`: signatures with a space between them.
    pub signatures: &'a str,
    /// Its body, byte by byte.
    pub body: &'a [u8],
}

impl WebhookSecret {
    /// A new one of 32 bytes.
    ///
    /// # Errors
    /// [`Error::Random`] when the system gives no random bytes.
    pub fn random() -> Result<Self> {
        let mut bytes = vec![0; NEW];
        getrandom::fill(&mut bytes).map_err(|_| Error::Random)?;
        Ok(Self(bytes))
    }

    /// One that was written as text.
    ///
    /// # Errors
    /// [`Error::Secret`] for anything but `whsec_` and the padded base64 (RFC 4648, 4) of 24 to 64 bytes.
    pub fn from_text(text: &str) -> Result<Self> {
        let coded = text.strip_prefix(PREFIX).ok_or(Error::Secret)?;
        let bytes = Self(BASE64.decode(coded.as_bytes()).map_err(|_| Error::Secret)?);
        if LENGTHS.contains(&bytes.0.len()) { Ok(bytes) } else { Err(Error::Secret) }
    }

    /// The text of it.
    #[must_use]
    pub fn to_text(&self) -> Zeroizing<String> {
        // Room for all of it at once: what grows leaves copies behind.
        let mut text = Zeroizing::new(String::with_capacity(PREFIX.len() + BASE64.encode_len(self.0.len())));
        text.push_str(PREFIX);
        BASE64.encode_append(&self.0, &mut text);
        text
    }

    /// The signature of a message: `v1,` and the base64 of HMAC-SHA256 (RFC 2104) over the id, the time and the body, with
    /// full stops between them. An id has no full stop itself, so that no message can pass for another.
    #[must_use]
    pub fn sign(&self, id: &str, unix_seconds: i64, body: &[u8]) -> String {
        let digest = self.mac(id, unix_seconds, body).finalize().into_bytes();
        format!("{VERSION}{}", BASE64.encode(&digest))
    }

    fn mac(&self, id: &str, unix_seconds: i64, body: &[u8]) -> Hmac<Sha256> {
        debug_assert!(!id.contains('.'), "{id} has a full stop");
        let mut mac = Hmac::<Sha256>::new_from_slice(&self.0)
            .unwrap_or_else(|_| unreachable!("HMAC takes keys of any length"));
        mac.update(format!("{id}.{unix_seconds}.").as_bytes());
        mac.update(body);
        mac
    }
}

impl fmt::Debug for WebhookSecret {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str("WebhookSecret(..)")
    }
}

/// The signatures of a message with each of several secrets, as the header `webhook-signature` lists them: while one secret
/// takes the place of another, a receiver may know either.
#[must_use]
pub fn sign_webhook(secrets: &[WebhookSecret], id: &str, unix_seconds: i64, body: &[u8]) -> String {
    let signatures: Vec<_> = secrets.iter().map(|secret| secret.sign(id, unix_seconds, body)).collect();
    signatures.join(" ")
}

/// Is a message new and from somebody who knows one of the secrets? `now` and `tolerance` are in seconds; signatures of another
/// version are passed over. The digests are compared in a time that does not depend on them.
///
/// # Errors
/// [`WebhookRefusal`].
pub fn verify_webhook(
    secrets: &[WebhookSecret],
    message: &WebhookMessage<'_>,
    now: i64,
    tolerance: u32,
) -> Result<(), WebhookRefusal> {
    let age = now.saturating_sub(message.unix_seconds);
    if age > i64::from(tolerance) {
        return Err(WebhookRefusal::TooOld);
    }
    if age < -i64::from(tolerance) {
        return Err(WebhookRefusal::TooNew);
    }
    if message.id.contains('.') {
        return Err(WebhookRefusal::NoneFits);
    }
    let digests = message
        .signatures
        .split(' ')
        .filter_map(|signature| BASE64.decode(signature.strip_prefix(VERSION)?.as_bytes()).ok());
    for digest in digests {
        for secret in secrets {
            let mac = secret.mac(message.id, message.unix_seconds, message.body);
            if mac.verify_slice(&digest).is_ok() {
                return Ok(());
            }
        }
    }
    Err(WebhookRefusal::NoneFits)
}

#[cfg(test)]
mod tests {
    use super::*;

    const NOW: i64 = 1_800_000_000;

    fn check(
        secrets: &[WebhookSecret],
        id: &str,
        at: i64,
        body: &[u8],
        signatures: &str,
    ) -> Result<(), WebhookRefusal> {
        verify_webhook(secrets, &WebhookMessage { id, unix_seconds: at, signatures, body }, NOW, 300)
    }

    #[test]
    fn a_secret_comes_back_from_its_text() {
        let secret = WebhookSecret::random().unwrap();
        let text = secret.to_text();
        assert_eq!(WebhookSecret::from_text(&text).unwrap().0, secret.0);
        assert_eq!((secret.0.len(), format!("{secret:?}").as_str()), (32, "WebhookSecret(..)"));
        assert_ne!(*WebhookSecret::random().unwrap().to_text(), *text);
        for length in [24, 64] {
            let text = format!("whsec_{}", BASE64.encode(&vec![7; length]));
            assert_eq!(*WebhookSecret::from_text(&text).unwrap().to_text(), text);
        }
    }

    #[test]
    fn what_is_no_secret_is_refused() {
        let of = |length| BASE64.encode(&vec![7; length]);
        let good = of(32);
        for wrong in [
            String::new(),
            "whsec_".to_owned(),
            good.clone(),
            format!("WHSEC_{good}"),
            format!("whsec_{}", of(23)),
            format!("whsec_{}", of(65)),
            format!("whsec_{}", good.trim_end_matches('=')),
            format!("whsec_{good}\n"),
            format!("whsec_{}", BASE64.encode(&[0xff; 33]).replace('/', "_")),
        ] {
            assert_eq!(WebhookSecret::from_text(&wrong).unwrap_err(), Error::Secret, "{wrong:?}");
        }
    }

    #[test]
    fn while_secrets_change_either_is_enough() {
        let [old, new, other] = [(); 3].map(|()| WebhookSecret::random().unwrap());
        let both = sign_webhook(&[old.clone(), new.clone()], "m", NOW, b"{}");
        assert_eq!(both.split(' ').count(), 2);
        for known in [old, new.clone()] {
            assert_eq!(check(&[other.clone(), known], "m", NOW, b"{}", &both), Ok(()));
        }
        let of_another_version = format!("v1a,AAAA v2,x {}", new.sign("m", NOW, b"{}"));
        assert_eq!(check(&[new], "m", NOW, b"{}", &of_another_version), Ok(()));
        assert_eq!(check(&[other], "m", NOW, b"{}", &both), Err(WebhookRefusal::NoneFits));
    }

    #[test]
    fn whatever_was_changed_does_not_fit() {
        let secrets = [WebhookSecret::random().unwrap()];
        let signature = secrets[0].sign("m", NOW, b"body");
        assert_eq!(check(&secrets, "m", NOW, b"body", &signature), Ok(()));
        let cut = &signature[..signature.len() - 4];
        for (id, at, body, signature) in [
            ("n", NOW, b"body".as_slice(), signature.as_str()),
            ("m", NOW - 1, b"body", &signature),
            ("m", NOW, b"bodY", &signature),
            ("m", NOW, b"", &signature),
            ("m", NOW, b"body", cut),
            ("m", NOW, b"body", "v1,"),
            ("m", NOW, b"body", ""),
            ("m", NOW, b"body", &signature[3..]),
        ] {
            assert_eq!(check(&secrets, id, at, body, signature), Err(WebhookRefusal::NoneFits));
        }
        assert_eq!(check(&[], "m", NOW, b"body", &signature), Err(WebhookRefusal::NoneFits));
    }

    #[test]
    fn a_full_stop_in_an_id_makes_no_other_message() {
        // The same bytes are signed for "m" and a body that begins with a time.
        let secrets = [WebhookSecret::random().unwrap()];
        let signature = secrets[0].sign("m", NOW - 1, format!("{NOW}.body").as_bytes());
        let moved = format!("m.{}", NOW - 1);
        assert_eq!(check(&secrets, &moved, NOW, b"body", &signature), Err(WebhookRefusal::NoneFits));
    }

    #[test]
    fn old_and_future_messages_are_refused_beyond_the_tolerance() {
        let secrets = [WebhookSecret::random().unwrap()];
        for (at, outcome) in [
            (NOW - 300, Ok(())),
            (NOW - 301, Err(WebhookRefusal::TooOld)),
            (NOW + 300, Ok(())),
            (NOW + 301, Err(WebhookRefusal::TooNew)),
            (i64::MIN, Err(WebhookRefusal::TooOld)),
            (i64::MAX, Err(WebhookRefusal::TooNew)),
        ] {
            let signature = secrets[0].sign("m", at, b"");
            assert_eq!(check(&secrets, "m", at, b"", &signature), outcome, "{at}");
        }
    }
}
