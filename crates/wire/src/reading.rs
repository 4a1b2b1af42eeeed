//! A number that was measured: bare, or with what is known of it.

use std::fmt;

use serde::de::value::MapAccessDeserializer;
use serde::de::{MapAccess, Visitor};
use serde::{Deserialize, Deserializer, Serialize};
use utoipa::ToSchema;

/// A measured quantity: a bare number, or an object that names its repeats, instrument or uncertainty.
#[derive(Debug, Clone, PartialEq, Serialize, ToSchema)]
#[serde(untagged)]
pub enum Reading {
    /// The number alone, in the unit of the document.
    Plain(f64),
    /// The number with what is known of it.
    Detailed(Box<ReadingDetail>),
}

/// A reading with what is known of it. Exactly one of `value` and `repeats` is given.
#[serde_with::skip_serializing_none]
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize, ToSchema)]
#[serde(deny_unknown_fields, default)]
pub struct ReadingDetail {
    /// The value, taken once.
    pub value: Option<f64>,
    /// The values, taken several times.
    #[schema(min_items = 1, max_items = 100)]
    pub repeats: Option<Vec<f64>>,
    /// Id of the instrument that made it, when not the one named for the whole block.
    pub instrument: Option<String>,
    /// Expanded uncertainty of this reading, in the unit of the document; goes before the instrument's.
    #[schema(minimum = 0)]
    pub expanded_uncertainty: Option<f64>,
    /// Coverage factor of `expanded_uncertainty`; 2 when not given.
    #[schema(minimum = 1, maximum = 10)]
    pub coverage_factor: Option<f64>,
}

impl<'de> Deserialize<'de> for Reading {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(ReadingVisitor)
    }
}

struct ReadingVisitor;

impl<'de> Visitor<'de> for ReadingVisitor {
    type Value = Reading;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a number or a reading object")
    }

    fn visit_f64<E>(self, number: f64) -> Result<Reading, E> {
        Ok(Reading::Plain(number))
    }

    #[expect(clippy::cast_precision_loss, reason = "numbers of more than 15 digits were refused before")]
    fn visit_i64<E>(self, number: i64) -> Result<Reading, E> {
        Ok(Reading::Plain(number as f64))
    }

    #[expect(clippy::cast_precision_loss, reason = "numbers of more than 15 digits were refused before")]
    fn visit_u64<E>(self, number: u64) -> Result<Reading, E> {
        Ok(Reading::Plain(number as f64))
    }

    fn visit_map<A: MapAccess<'de>>(self, map: A) -> Result<Reading, A::Error> {
        ReadingDetail::deserialize(MapAccessDeserializer::new(map))
            .map(|detail| Reading::Detailed(Box::new(detail)))
    }
}
