//! Whom the service may tell of events.

use std::str::FromStr;
use std::time::Duration;

use headproof_client::Guard;
use ipnet::IpNet;
use serde::Deserialize;

/// Webhooks.
#[derive(Debug, Clone, Deserialize, PartialEq)]
#[serde(deny_unknown_fields, default)]
pub(crate) struct WebhookConfig {
    /// `HEADPROOF_WEBHOOKS_ALLOW`, with a comma between them: networks of the shop's own that may be called, `192.168.7.0/24`
    /// for example, also without encryption. Default none: addresses of the internet only, and by https.
    pub(crate) allow: Networks,
    /// `HEADPROOF_WEBHOOKS_HTTPS_ONLY`: https also to the networks that are allowed. Default false.
    pub(crate) https_only: bool,
    /// `HEADPROOF_WEBHOOKS_AT_ONCE`: messages of one worker under way at the same time. Default 16.
    pub(crate) at_once: usize,
    /// `HEADPROOF_WEBHOOKS_OVERLAP_HOURS`: how long an old secret goes on signing beside a new one. Default 24.
    pub(crate) overlap_hours: u32,
    /// `HEADPROOF_WEBHOOKS_DISABLE_DAYS`: an address is told no more when nothing has got through for so long. Default 5.
    pub(crate) disable_days: u32,
    /// `HEADPROOF_WEBHOOKS_HASTE`: waits between tries are divided by this. For trying receivers out. Default 1.
    pub(crate) haste: u32,
}

impl Default for WebhookConfig {
    fn default() -> Self {
        Self {
            allow: Networks::default(),
            https_only: false,
            at_once: 16,
            overlap_hours: 24,
            disable_days: 5,
            haste: 1,
        }
    }
}

impl WebhookConfig {
    /// What may be called.
    pub(crate) fn guard(&self) -> Guard {
        Guard { allowed: self.allow.0.clone(), https_only: self.https_only }
    }

    pub(crate) const fn overlap(&self) -> Duration {
        Duration::from_secs(self.overlap_hours as u64 * 3600)
    }

    pub(crate) const fn disable_after(&self) -> Duration {
        Duration::from_secs(self.disable_days as u64 * 24 * 3600)
    }
}

/// Networks in the notation of RFC 4632, 3.1.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(try_from = "Vec<String>")]
pub(crate) struct Networks(Vec<IpNet>);

impl TryFrom<Vec<String>> for Networks {
    type Error = String;

    fn try_from(texts: Vec<String>) -> Result<Self, String> {
        let parsed =
            texts.iter().map(|text| text.trim().parse().map_err(|_| format!("{text} is no network")));
        Ok(Self(parsed.collect::<Result<_, _>>()?))
    }
}

impl FromStr for Networks {
    type Err = String;

    fn from_str(text: &str) -> Result<Self, String> {
        Self::try_from(
            text.split(',').filter(|part| !part.trim().is_empty()).map(str::to_owned).collect::<Vec<_>>(),
        )
    }
}
