//! What many heads say together.

use headproof_wire::statistics::{RuleSet, Selection, Statistics};
use reqwest::header::{ACCEPT, HeaderValue};

use crate::call::Call;
use crate::pages::with_query;
use crate::{Client, ClientError};

const STATISTICS: &str = "/v1/statistics";

/// Which heads are asked of, and how they are looked at.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StatisticsAsked {
    /// Which heads.
    pub of: Selection,
    /// Level of confidence; that of the service without one.
    pub confidence: Option<f64>,
    /// Run rules; those of the service without them.
    pub rules: Option<RuleSet>,
    /// The most points of a chart; as the service does without.
    pub points: Option<u16>,
}

impl StatisticsAsked {
    fn link(&self) -> String {
        let Selection { batch, from, to, stage, profile, bench, cutter, operator, characteristic } = &self.of;
        let wishes = [
            ("batch", batch.map(|batch| batch.to_string())),
            ("from", from.clone()),
            ("to", to.clone()),
            ("stage", stage.map(|stage| stage.word().to_owned())),
            ("profile", profile.clone()),
            ("bench", bench.clone()),
            ("cutter", cutter.clone()),
            ("operator", operator.clone()),
            ("characteristic", characteristic.clone()),
            ("confidence", self.confidence.map(|level| level.to_string())),
            ("rules", self.rules.map(|rules| rules.word().to_owned())),
            ("points", self.points.map(|points| points.to_string())),
        ];
        with_query(STATISTICS, &wishes)
    }
}

impl Client {
    /// Statistics over many heads.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn statistics(&self, asked: &StatisticsAsked) -> Result<Statistics, ClientError> {
        Call::get(self, asked.link())
            .with(ACCEPT, HeaderValue::from_static("application/json"))
            .document()
            .await
    }

    /// The same as a table (CSV), one row for each characteristic.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn statistics_table(&self, asked: &StatisticsAsked) -> Result<Vec<u8>, ClientError> {
        let call = Call::get(self, asked.link()).with(ACCEPT, HeaderValue::from_static("text/csv"));
        Ok(call.answer().await?.body)
    }
}
