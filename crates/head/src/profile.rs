//! The target profile: what a head is held against, each limit with its source.

use std::fmt;

use headproof_quantity::{Exact, Length};

use crate::{Service, Stage};

/// The stable name of a characteristic. The table of them is kept by `judge`; only names of that table
/// come to exist as values of this type.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct CharacteristicId(&'static str);

impl CharacteristicId {
    /// A name of the table.
    #[must_use]
    pub const fn new(name: &'static str) -> Self {
        Self(name)
    }

    /// The name.
    #[must_use]
    pub const fn as_str(self) -> &'static str {
        self.0
    }
}

impl fmt::Display for CharacteristicId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0)
    }
}

/// Limits for one kind of head, as one immutable revision.
#[derive(Debug, Clone, PartialEq)]
pub struct TargetProfile {
    /// The shop's name of it.
    pub id: String,
    /// Its revision.
    pub revision: String,
    /// What it is for.
    pub title: String,
    /// A notice that must stand wherever the profile is used.
    pub notice: Option<String>,
    /// How a reading and its uncertainty become a verdict.
    pub rule: DecisionRule,
    /// The limits.
    pub limits: Vec<Limit>,
    /// What shall be worked out and shown though nothing limits it.
    pub also_report: Vec<CharacteristicId>,
}

/// How a reading and its uncertainty become a verdict.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DecisionRule {
    /// Inside the limits conforms, outside does not; the uncertainty is only shown.
    Simple,
    /// Conforms when proven with this probability, does not conform when the contrary is proven so.
    Guarded {
        /// Between one half and one.
        probability: f64,
    },
}

/// One limit of a profile.
#[derive(Debug, Clone, PartialEq)]
pub struct Limit {
    /// What is limited.
    pub characteristic: CharacteristicId,
    /// For which ports; `None` for both services, and for what belongs to no port.
    pub service: Option<Service>,
    /// When it applies.
    pub limit_use: LimitUse,
    /// Least amount that conforms, in the base unit.
    pub lower: Option<Exact>,
    /// Greatest amount that conforms, in the base unit.
    pub upper: Option<Exact>,
    /// What is aimed for; also stands in for a reading where a formula needs it and says so.
    pub nominal: Option<Exact>,
    /// Length along and across the head of the part of the deck that is looked at at a time.
    pub window: Option<[Length; 2]>,
    /// Must it be measured?
    pub required: bool,
    /// What being outside means for the head.
    pub if_outside: IfOutside,
    /// Where the limit comes from.
    pub source: String,
}

/// When a limit applies.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LimitUse {
    /// After rework and at hand-over; also as received where no wear limit is given.
    Build,
    /// As received only.
    Wear,
}

impl LimitUse {
    /// Which of the limits of a thing counts in a stage: the one of the highest rank; one without rank does
    /// not. As received, a wear limit goes before a build limit; later only build limits count.
    #[must_use]
    pub const fn rank(self, stage: Stage) -> Option<u8> {
        match (self, stage) {
            (Self::Wear, Stage::AsReceived) => Some(2),
            (Self::Wear, _) => None,
            (Self::Build, _) => Some(1),
        }
    }
}

/// What being outside a limit means for the head.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum IfOutside {
    /// It can be put right.
    Rework,
    /// Not acceptable at these limits; a repair may exist.
    Reject,
}

/// Why a limit or rule makes no sense.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum ProfileError {
    /// The lower limit lies above the upper.
    #[error("the lower limit lies above the upper limit")]
    Crossed,
    /// A measured characteristic needs a bound.
    #[error("a limit needs a lower or an upper bound")]
    Unbounded,
    /// A found-or-not characteristic takes no bounds.
    #[error("this characteristic is found in order or not and takes no bounds")]
    BoundsOnAttribute,
    /// The nominal lies outside its own limits.
    #[error("the nominal lies outside the limits")]
    NominalOutside,
    /// A service was named for something that belongs to no port.
    #[error("only a characteristic of a port can be limited by service")]
    ServiceWithoutPort,
    /// Two limits apply to the same thing at the same time.
    #[error("another limit already applies to this characteristic, service and use")]
    Repeated,
    /// A probability that proves nothing.
    #[error("a conformance probability must be at least 0.5 and less than 1")]
    Probability,
}

impl Limit {
    /// Checks bounds and nominal against each other.
    ///
    /// # Errors
    /// The first [`ProfileError`] found.
    pub fn check(&self, is_attribute: bool, is_of_port: bool) -> Result<(), ProfileError> {
        let bounded = self.lower.is_some() || self.upper.is_some();
        if is_attribute && (bounded || self.nominal.is_some()) {
            return Err(ProfileError::BoundsOnAttribute);
        }
        if !is_attribute && !bounded {
            return Err(ProfileError::Unbounded);
        }
        if !is_of_port && self.service.is_some() {
            return Err(ProfileError::ServiceWithoutPort);
        }
        if let (Some(lower), Some(upper)) = (self.lower, self.upper)
            && lower > upper
        {
            return Err(ProfileError::Crossed);
        }
        if let Some(nominal) = self.nominal
            && (self.lower.is_some_and(|lower| nominal < lower)
                || self.upper.is_some_and(|upper| nominal > upper))
        {
            return Err(ProfileError::NominalOutside);
        }
        Ok(())
    }

    /// Could both this and `other` apply to one thing at one time?
    #[must_use]
    pub fn collides_with(&self, other: &Self) -> bool {
        self.characteristic == other.characteristic
            && self.limit_use == other.limit_use
            && (self.service.is_none() || other.service.is_none() || self.service == other.service)
    }
}

impl TargetProfile {
    /// The limit for a characteristic of a service (`None` for head and cylinder) in a stage, with its
    /// place in the list. As received, a wear limit goes before a build limit; later only build limits count.
    #[must_use]
    pub fn limit(
        &self,
        characteristic: CharacteristicId,
        service: Option<Service>,
        stage: Stage,
    ) -> Option<(usize, &Limit)> {
        let applies = |(_, limit): &(usize, &Limit)| {
            limit.characteristic == characteristic && (limit.service.is_none() || limit.service == service)
        };
        let ranked = self
            .limits
            .iter()
            .enumerate()
            .filter(applies)
            .filter_map(|(at, limit)| Some((limit.limit_use.rank(stage)?, at, limit)));
        ranked.max_by_key(|(rank, ..)| *rank).map(|(_, at, limit)| (at, limit))
    }
}
