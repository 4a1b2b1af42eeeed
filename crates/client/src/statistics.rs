//! What many heads say together.

use headproof_wire::SheetOptions;
use headproof_wire::statistics::{CapabilityMethod, ChartKind, RuleSet, Selection, Statistics};
use reqwest::header::{ACCEPT, HeaderValue};
use serde::Serialize;
use serde_json::Value;

use crate::call::Call;
use crate::pages::with_query;
use crate::{Client, ClientError};

const STATISTICS: &str = "/v1/statistics";

/// Which heads are asked of, and how they are looked at; the service has its own ways for what is not said.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct StatisticsAsked {
    /// Which heads.
    #[serde(flatten)]
    pub of: Selection,
    /// Level of confidence.
    pub confidence: Option<f64>,
    /// Run rules.
    pub rules: Option<RuleSet>,
    /// Kind of the charts.
    pub chart: Option<ChartKind>,
    /// The most points of a chart.
    pub points: Option<u16>,
    /// How capability is found.
    pub method: Option<CapabilityMethod>,
}

/// How a report of statistics shall be.
#[derive(Debug, Clone, PartialEq, Eq, Default, Serialize)]
pub struct ReportAsked {
    /// Paper and language.
    #[serde(flatten)]
    pub look: SheetOptions,
    /// What it is called; what was asked for, where nothing is said.
    pub title: Option<String>,
}

impl Client {
    /// Statistics over many heads.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn statistics(&self, asked: &StatisticsAsked) -> Result<Statistics, ClientError> {
        self.ask(&parameters(asked)?, "application/json").document().await
    }

    /// The same as a table (CSV), one row for each characteristic.
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn statistics_table(&self, asked: &StatisticsAsked) -> Result<Vec<u8>, ClientError> {
        Ok(self.ask(&parameters(asked)?, "text/csv").answer().await?.body)
    }

    /// The same as a report (PDF).
    ///
    /// # Errors
    /// [`ClientError`].
    pub async fn statistics_report(
        &self,
        asked: &StatisticsAsked,
        report: &ReportAsked,
    ) -> Result<Vec<u8>, ClientError> {
        let parameters = [parameters(asked)?, parameters(report)?].concat();
        Ok(self.ask(&parameters, "application/pdf").answer().await?.body)
    }

    fn ask(&self, parameters: &[(String, Option<String>)], accept: &'static str) -> Call<'_> {
        Call::get(self, with_query(STATISTICS, parameters)).with(ACCEPT, HeaderValue::from_static(accept))
    }
}

/// The members of what is asked, as parameters of a query.
fn parameters(asked: &impl Serialize) -> Result<Vec<(String, Option<String>)>, ClientError> {
    let members = match serde_json::to_value(asked) {
        Ok(Value::Object(members)) => members,
        Ok(other) => return Err(ClientError::Unexpected(other.to_string())),
        Err(error) => return Err(ClientError::Unexpected(error.to_string())),
    };
    let text = |value| match value {
        Value::Null => None,
        Value::String(text) => Some(text),
        other => Some(other.to_string()),
    };
    Ok(members.into_iter().map(|(name, value)| (name, text(value))).collect())
}
