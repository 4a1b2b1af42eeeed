//! Who is let in, and what is signed with.

use std::fmt::Display;
use std::path::{Path, PathBuf};
use std::str::FromStr;
use std::sync::Arc;

use headproof_api::{Algorithm, IdentityProvider, ReleaseRules};
use headproof_seal::Certificate;
use serde::Deserialize;

/// Who is let in.
#[derive(Debug, Clone, Copy, Deserialize, PartialEq, Eq)]
#[serde(rename_all = "lowercase")]
pub(crate) enum AccessMode {
    /// Whoever shows a key.
    Keys,
    /// Anybody on this machine.
    Open,
}

impl FromStr for AccessMode {
    type Err = &'static str;

    fn from_str(word: &str) -> Result<Self, &'static str> {
        match word {
            "keys" => Ok(Self::Keys),
            "open" => Ok(Self::Open),
            _ => Err("is neither keys nor open"),
        }
    }
}

/// Signatures.
#[derive(Debug, Clone, Deserialize, PartialEq)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct SigningConfig {
    /// `HEADPROOF_SIGNING_SECRET_FILE`: the secret that locks the keys of people, made when it is not there. Whoever can
    /// read it and the store can sign as anybody. Default: signing-secret in `store.dir`.
    pub(crate) secret_file: Option<PathBuf>,
    /// `HEADPROOF_SIGNING_ORGANISATION`: the name of the shop in the certificate that is made at the first start.
    /// Default: the id of the shop.
    pub(crate) organisation: Option<String>,
    /// `HEADPROOF_SIGNING_TIMESTAMP_URL`: a timestamp authority (RFC 3161). Default none.
    pub(crate) timestamp_url: Option<String>,
    /// `HEADPROOF_SIGNING_TIMESTAMP_AUTHORITY`: certificates (PEM) that have to vouch for timestamps; needed with a
    /// timestamp authority, since what nobody vouches for proves nothing. Default none.
    pub(crate) timestamp_authority: Option<PathBuf>,
    /// `HEADPROOF_SIGNING_TWO_PERSONS`: every release wants another person to have signed as inspected before, whatever
    /// the profile asks. Default false.
    pub(crate) two_persons: bool,
    /// `HEADPROOF_SIGNING_CONCESSIONS`: a concession may release a head that does not conform, where the profile allows
    /// it. Default true.
    pub(crate) concessions: bool,
    /// `HEADPROOF_SIGNING_STORED_PROFILES`: a head is released only if it was judged by a stored profile, which takes a
    /// key of scope admin to store. Default false: a profile may come with the head.
    pub(crate) stored_profiles: bool,
}

impl Default for SigningConfig {
    fn default() -> Self {
        let ReleaseRules { two_persons, concessions, stored_profiles } = ReleaseRules::default();
        Self {
            secret_file: None,
            organisation: None,
            timestamp_url: None,
            timestamp_authority: None,
            two_persons,
            concessions,
            stored_profiles,
        }
    }
}

impl SigningConfig {
    /// Where the secret is.
    pub(crate) fn secret_path(&self, store: &Path) -> PathBuf {
        self.secret_file.clone().unwrap_or_else(|| store.join("signing-secret"))
    }

    /// What is asked of every release.
    pub(crate) const fn rules(&self) -> ReleaseRules {
        ReleaseRules {
            two_persons: self.two_persons,
            concessions: self.concessions,
            stored_profiles: self.stored_profiles,
        }
    }

    /// Those whose timestamps are believed.
    ///
    /// # Errors
    /// When the file cannot be read, or holds no certificate.
    pub(crate) fn timestamp_authorities(&self) -> Result<Arc<[Certificate]>, String> {
        let Some(path) = &self.timestamp_authority else { return Ok(Arc::new([])) };
        let named = |error: &dyn Display| format!("signing.timestamp_authority {}: {error}", path.display());
        let pem = std::fs::read(path).map_err(|error| named(&error))?;
        Ok(Certificate::from_pem(&pem).map_err(|error| named(&error))?.into())
    }
}

/// The identity provider of the shop: OpenID Connect.
#[derive(Debug, Clone, Default, Deserialize, PartialEq)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct OidcConfig {
    /// `HEADPROOF_OIDC_ISSUER`: `iss` of its tokens. Default none: no tokens are taken.
    pub(crate) issuer: Option<String>,
    /// `HEADPROOF_OIDC_AUDIENCE`: what its tokens call this service (`aud`).
    pub(crate) audience: Option<String>,
    /// `HEADPROOF_OIDC_KEYS_URL`: its JSON Web Key Set.
    pub(crate) keys_url: Option<String>,
    /// `HEADPROOF_OIDC_ALGORITHM`: the one its tokens are signed with: ES256, RS256, PS256 or EdDSA.
    pub(crate) algorithm: Option<TokenAlgorithm>,
    /// `HEADPROOF_OIDC_SHOP_CLAIM`: the claim that names the shop. Default shop.
    pub(crate) shop_claim: Option<String>,
}

/// An algorithm with two keys: with one that both sides hold, whoever checks tokens could make them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Deserialize)]
#[serde(try_from = "String")]
pub(crate) struct TokenAlgorithm(Algorithm);

impl FromStr for TokenAlgorithm {
    type Err = &'static str;

    fn from_str(word: &str) -> Result<Self, &'static str> {
        let known = [Algorithm::ES256, Algorithm::RS256, Algorithm::PS256, Algorithm::EdDSA];
        let found = known.into_iter().find(|algorithm| format!("{algorithm:?}") == word);
        found.map(Self).ok_or("is none of ES256, RS256, PS256 and EdDSA")
    }
}

impl TryFrom<String> for TokenAlgorithm {
    type Error = &'static str;

    fn try_from(word: String) -> Result<Self, &'static str> {
        word.parse()
    }
}

impl OidcConfig {
    /// The first key that is missing, where there are others.
    pub(super) fn missing(&self) -> Option<&'static str> {
        let all = [
            ("oidc.issuer", self.issuer.is_some()),
            ("oidc.audience", self.audience.is_some()),
            ("oidc.keys_url", self.keys_url.is_some()),
            ("oidc.algorithm", self.algorithm.is_some()),
        ];
        let any = all.iter().any(|(_, given)| *given) || self.shop_claim.is_some();
        all.iter().find(|(_, given)| any && !given).map(|(key, _)| *key)
    }

    /// The provider, where one is described.
    pub(crate) fn provider(&self) -> Option<IdentityProvider> {
        Some(IdentityProvider {
            issuer: self.issuer.clone()?,
            audience: self.audience.clone()?,
            keys_url: self.keys_url.clone()?,
            algorithm: self.algorithm?.0,
            shop_claim: self.shop_claim.clone().unwrap_or_else(|| "shop".to_owned()),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_provider_is_described_wholly_or_not_at_all() {
        assert_eq!(OidcConfig::default().missing(), None);
        let half = OidcConfig { issuer: Some("https://id.example".to_owned()), ..OidcConfig::default() };
        assert_eq!((half.missing(), half.provider().is_none()), (Some("oidc.audience"), true));
        assert!("HS256".parse::<TokenAlgorithm>().is_err() && "none".parse::<TokenAlgorithm>().is_err());
    }
}
