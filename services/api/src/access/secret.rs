//! The text of a key: `hp_<id>_<secret>`, both in hex.

use headproof_store::NewKey;
use headproof_wire::Scope;
use sha2::{Digest, Sha256};
use subtle::ConstantTimeEq;
use time::OffsetDateTime;
use uuid::Uuid;

/// How every key begins, so that one that got where it does not belong can be searched for.
const PREFIX: &str = "hp";
/// Bytes of a secret: as many as its digest has. Nobody finds it by trying.
const BYTES: usize = 32;

/// What a key shall be.
#[derive(Debug, Clone)]
pub struct KeyWish {
    /// What it is for.
    pub label: String,
    /// What it may do.
    pub scopes: Vec<Scope>,
    /// The person it speaks for.
    pub person: Option<Uuid>,
    /// When it ends by itself.
    pub expires_at: Option<OffsetDateTime>,
}

/// A key as it is shown: which it is, and its secret.
pub struct KeySecret {
    id: Uuid,
    secret: [u8; BYTES],
}

impl KeySecret {
    /// A new key, and what is kept of it.
    ///
    /// # Errors
    /// When the system has no random numbers.
    pub fn new(wish: KeyWish) -> Result<(Self, NewKey), getrandom::Error> {
        let mut secret = [0; BYTES];
        getrandom::fill(&mut secret)?;
        let key = Self { id: Uuid::now_v7(), secret };
        let kept = NewKey {
            id: key.id,
            label: wish.label,
            scopes: words(&wish.scopes),
            person: wish.person,
            secret_sha256: key.digest(),
            expires_at: wish.expires_at,
        };
        Ok((key, kept))
    }

    /// What to send along.
    ///
    /// ```
    /// use headproof_api::KeySecret;
    ///
    /// let text = format!("hp_{}_{}", "01".repeat(16), "ab".repeat(32));
    /// assert_eq!(KeySecret::read(&text).unwrap().text(), text);
    /// assert!(KeySecret::read(&text[1..]).is_none());
    /// ```
    #[must_use]
    pub fn text(&self) -> String {
        format!("{PREFIX}_{}_{}", self.id.simple(), data_encoding::HEXLOWER.encode(&self.secret))
    }

    /// Takes a text apart; none where it is no key.
    #[must_use]
    pub fn read(text: &str) -> Option<Self> {
        let (prefix, rest) = text.split_once('_')?;
        let (id, secret) = rest.split_once('_')?;
        let is_hex = |text: &str| text.bytes().all(|byte| matches!(byte, b'0'..=b'9' | b'a'..=b'f'));
        let id = (prefix == PREFIX && id.len() == 32 && is_hex(id)).then(|| Uuid::try_parse(id).ok())??;
        let secret = data_encoding::HEXLOWER.decode(secret.as_bytes()).ok()?;
        Some(Self { id, secret: secret.try_into().ok()? })
    }

    /// Which key it says it is.
    pub(crate) const fn id(&self) -> Uuid {
        self.id
    }

    /// Is it the one whose digest is kept? Takes as long whatever the answer.
    pub(crate) fn is(&self, secret_sha256: &[u8]) -> bool {
        self.digest().ct_eq(secret_sha256).into()
    }

    /// A secret of so many random bits needs no slow digest: there is no list of likely ones to try.
    fn digest(&self) -> Vec<u8> {
        Sha256::digest(self.secret).to_vec()
    }
}

/// Scopes as they are kept.
fn words(scopes: &[Scope]) -> String {
    let known = Scope::ALL.iter().filter(|scope| scopes.contains(scope));
    known.map(|scope| scope.word()).collect::<Vec<_>>().join(" ")
}

/// Scopes as they were kept.
pub(crate) fn scopes(words: &str) -> Vec<Scope> {
    words.split(' ').filter_map(Scope::of).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_key_is_itself_and_no_other() {
        let wish = KeyWish {
            label: "front desk".to_owned(),
            scopes: vec![Scope::Read, Scope::Submit],
            person: None,
            expires_at: None,
        };
        let (key, kept) = KeySecret::new(wish.clone()).unwrap();
        let (other, _) = KeySecret::new(wish).unwrap();
        let read = KeySecret::read(&key.text()).unwrap();
        assert!(read.is(&kept.secret_sha256) && read.id() == kept.id);
        assert!(!other.is(&kept.secret_sha256) && !key.is(&[]));
        assert_eq!(
            (kept.scopes.as_str(), scopes(&kept.scopes)),
            ("submit read", vec![Scope::Submit, Scope::Read])
        );
    }

    #[test]
    fn what_is_no_key_is_none() {
        let (id, secret) = ("01".repeat(16), "ab".repeat(32));
        for text in [
            String::new(),
            "hp__".to_owned(),
            format!("hp_{id}"),
            format!("hp_{id}_{}", &secret[2..]),
            format!("hp_{id}_{secret}00"),
            format!("hp_{id}_{}", secret.to_uppercase()),
            format!("xy_{id}_{secret}"),
            format!("hp_{}_{secret}", "AB".repeat(16)),
            format!("hp_{}_{secret}", "é".repeat(16)),
        ] {
            assert!(KeySecret::read(&text).is_none(), "{text}");
        }
    }
}
