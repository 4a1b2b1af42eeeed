//! Who is let in, and what is signed with.

use std::path::{Path, PathBuf};
use std::str::FromStr;

use headproof_api::{Algorithm, IdentityProvider};
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
#[derive(Debug, Clone, Default, Deserialize, PartialEq)]
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
}

impl SigningConfig {
    /// Where the secret is.
    pub(crate) fn secret_path(&self, store: &Path) -> PathBuf {
        self.secret_file.clone().unwrap_or_else(|| store.join("signing-secret"))
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

/// Could nobody on the way change what comes from there?
pub(super) fn is_safe(url: &str) -> bool {
    let host = url.strip_prefix("http://").and_then(|rest| rest.split(['/', ':']).next());
    url.starts_with("https://") || matches!(host, Some("127.0.0.1" | "localhost"))
}

/// Is it an address of the web at all?
pub(super) fn is_address(url: &str) -> bool {
    let rest = url.strip_prefix("https://").or_else(|| url.strip_prefix("http://"));
    rest.is_some_and(|rest| !rest.is_empty() && url.chars().all(|c| c.is_ascii_graphic()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn keys_of_a_provider_come_by_a_safe_way_only() {
        for url in ["https://id.example/keys", "http://127.0.0.1:9/keys", "http://localhost/keys"] {
            assert!(is_safe(url), "{url}");
        }
        for url in
            ["http://id.example/keys", "http://127.0.0.1.example/", "http://localhost@id.example/", "ftp://x"]
        {
            assert!(!is_safe(url), "{url}");
        }
    }

    #[test]
    fn a_provider_is_described_wholly_or_not_at_all() {
        assert_eq!(OidcConfig::default().missing(), None);
        let half = OidcConfig { issuer: Some("https://id.example".to_owned()), ..OidcConfig::default() };
        assert_eq!((half.missing(), half.provider().is_none()), (Some("oidc.audience"), true));
        assert!("HS256".parse::<TokenAlgorithm>().is_err() && "none".parse::<TokenAlgorithm>().is_err());
    }
}
