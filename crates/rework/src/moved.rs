//! The characteristics that rework moves, and the zone each of them has to end in.

use headproof_head::{CharacteristicId, DecisionRule, Limit, PortRows, Row, Service, Stage, TargetProfile};
use headproof_metrology::guard_band_multiplier;

use crate::cure::is_bad;

macro_rules! moved {
    ($($name:ident = $id:literal),* $(,)?) => {
        /// A characteristic whose value after the work follows from the decisions.
        #[derive(Debug, Clone, Copy, PartialEq, Eq)]
        pub(crate) enum Moved { $($name),* }

        impl Moved {
            pub(crate) const ALL: &'static [Self] = &[$(Self::$name),*];

            pub(crate) const fn id(self) -> CharacteristicId {
                CharacteristicId::new(match self { $(Self::$name => $id),* })
            }
        }
    };
}

moved! {
    SeatWidth = "seat-width",
    OuterDiameter = "seat-outer-diameter",
    InnerDiameter = "seat-inner-diameter",
    ContactWidth = "contact-width",
    Overhang = "overhang",
    ContactOffset = "contact-offset",
    InnerEdge = "inner-edge-clearance",
    EdgeGap = "contact-edge-gap",
    SeatAngle = "seat-angle",
    TopAngle = "top-cut-angle",
    ThroatAngle = "throat-cut-angle",
    Interference = "interference-angle",
    SeatRunout = "seat-runout",
    FaceAngle = "face-angle",
    FaceRunout = "face-runout",
    Margin = "margin",
    HeadDiameter = "valve-head-diameter",
    Recession = "recession",
    Protrusion = "stem-protrusion",
    TipToRetainer = "tip-to-retainer",
    Lash = "lash",
    LashShim = "lash-shim",
    ValveToPiston = "valve-to-piston",
    InstalledHeight = "installed-height",
    ShimsNeeded = "shims-needed",
    SeatLoad = "seat-load",
    OpenLoad = "open-load",
    CoilBind = "coil-bind-margin",
    RetainerMargin = "retainer-margin",
}

/// Where a value has to end to be proved to conform.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub(crate) struct Zone {
    pub(crate) least: Option<f64>,
    pub(crate) greatest: Option<f64>,
    /// What the profile aims for.
    pub(crate) nominal: Option<f64>,
    /// No value at all can be proved with this uncertainty.
    pub(crate) too_coarse: bool,
}

/// Kept inside every zone, in base units: more than a solver's own tolerance, less than any gauge shows.
pub(crate) const HAIR: f64 = 2e-6;

impl Zone {
    /// The limit drawn in by its guard band.
    pub(crate) fn of(limit: &Limit, rule: DecisionRule, u: Option<f64>) -> Self {
        let (lower, upper) = (limit.lower.map(|l| l.to_f64()), limit.upper.map(|l| l.to_f64()));
        let nominal = limit.nominal.map(|l| l.to_f64());
        let band = match (rule, u) {
            (DecisionRule::Simple, _) => Some(0.0),
            (DecisionRule::Guarded { .. }, None) => None,
            (DecisionRule::Guarded { .. }, Some(u)) if u <= 0.0 => Some(0.0),
            (DecisionRule::Guarded { probability }, Some(u)) => {
                let over_u = lower.zip(upper).map(|(lower, upper)| (upper - lower) / u);
                guard_band_multiplier(probability, over_u).map(|multiplier| multiplier * u)
            }
        };
        let Some(band) = band else { return Self { nominal, too_coarse: true, ..Self::default() } };
        Self {
            least: lower.map(|lower| lower + band + HAIR),
            greatest: upper.map(|upper| upper - band - HAIR),
            nominal,
            too_coarse: false,
        }
    }

    /// How far below its least a value is; less than nothing where it is not.
    pub(crate) fn below(&self, value: f64) -> f64 {
        self.least.map_or(f64::NEG_INFINITY, |least| least - value)
    }

    /// How far above its greatest a value is; less than nothing where it is not.
    pub(crate) fn above(&self, value: f64) -> f64 {
        self.greatest.map_or(f64::NEG_INFINITY, |greatest| value - greatest)
    }

    /// What to aim at when it costs nothing: the nominal, else the middle of a zone with two ends.
    pub(crate) fn middle(&self) -> Option<f64> {
        let middle = self.least.zip(self.greatest).map(|(least, greatest)| 0.5 * (least + greatest));
        let inside = |nominal: &f64| {
            self.least.is_none_or(|least| *nominal >= least)
                && self.greatest.is_none_or(|greatest| *nominal <= greatest)
        };
        self.nominal.filter(inside).or(middle)
    }

    /// Widened to hold a value that is let pass as it is.
    pub(crate) fn holding(self, value: f64) -> Self {
        let hair = |end: f64, sign: f64| sign.mul_add(HAIR, end);
        Self {
            least: self.least.map(|least| least.min(hair(value, -1.0))),
            greatest: self.greatest.map(|greatest| greatest.max(hair(value, 1.0))),
            too_coarse: false,
            ..self
        }
    }

    /// Drawn in by so much more at both ends.
    pub(crate) fn narrowed(self, by: f64) -> Self {
        Self { least: self.least.map(|l| l + by), greatest: self.greatest.map(|g| g - by), ..self }
    }
}

/// The zones of one port.
#[derive(Debug, Clone)]
pub(crate) struct Zones(Vec<Option<Zone>>);

impl Zones {
    /// Of a port whose rows are known as it is now: what its gauges could not prove now they cannot prove
    /// afterwards.
    pub(crate) fn new(profile: &TargetProfile, service: Service, stage: Stage, rows: &PortRows) -> Self {
        let zone = |moved: &Moved| {
            let (_, limit) = profile.limit(moved.id(), Some(service), stage)?;
            let row = row_of(&rows.rows, moved.id())?;
            let amount = row.amount()?.to_f64();
            let zone = Zone::of(limit, profile.rule, row.uncertainty);
            Some(match (is_bad(row), zone.too_coarse) {
                (true, _) => zone,
                (false, false) => zone.holding(amount),
                // Nothing is proved of it and nothing has to be: it stays inside its bare limits.
                (false, true) => Zone::of(limit, DecisionRule::Simple, None).holding(amount),
            })
        };
        Self(Moved::ALL.iter().map(zone).collect())
    }

    /// The zone, where the profile limits the characteristic and it was measured.
    pub(crate) fn get(&self, moved: Moved) -> Option<Zone> {
        self.0[moved as usize]
    }

    /// Another zone.
    pub(crate) fn put(&mut self, moved: Moved, zone: Zone) {
        self.0[moved as usize] = Some(zone);
    }
}

/// The row of a characteristic.
pub(crate) fn row_of(rows: &[Row], id: CharacteristicId) -> Option<&Row> {
    rows.iter().find(|row| row.characteristic == id)
}

#[cfg(test)]
mod tests {
    use headproof_head::{IfOutside, LimitUse};
    use headproof_quantity::Exact;

    use super::*;

    fn limit(lower: Option<i64>, upper: Option<i64>) -> Limit {
        let exact = |hundredths: i64| Exact::from_count(hundredths, 2);
        Limit {
            characteristic: Moved::SeatWidth.id(),
            service: None,
            limit_use: LimitUse::Build,
            lower: lower.map(exact),
            upper: upper.map(exact),
            nominal: None,
            window: None,
            required: true,
            if_outside: IfOutside::Rework,
            source: String::new(),
        }
    }

    /// Φ⁻¹(0.95) = 1.644853627 (NIST/SEMATECH e-Handbook, 1.3.6.7.1; digits by scipy.stats.norm.ppf).
    #[test]
    fn the_guard_band_of_one_limit_is_its_quantile() {
        let rule = DecisionRule::Guarded { probability: 0.95 };
        let zone = Zone::of(&limit(Some(40), None), rule, Some(0.02));
        let least = zone.least.unwrap();
        assert!((least - (0.4 + 1.644_853_627 * 0.02 + HAIR)).abs() < 1e-9, "{least}");
    }

    #[test]
    fn a_coarse_gauge_leaves_no_zone() {
        let rule = DecisionRule::Guarded { probability: 0.95 };
        assert!(Zone::of(&limit(Some(100), Some(104)), rule, Some(0.02)).too_coarse);
        assert!(Zone::of(&limit(Some(100), None), rule, None).too_coarse);
        assert!(!Zone::of(&limit(Some(100), Some(104)), DecisionRule::Simple, None).too_coarse);
    }
}
