//! Readings of one block of a document: their units, ranges, instruments and uncertainties.

use std::ops::RangeInclusive;

use headproof_head::{self as head, InstrumentIndex, Instruments};
use headproof_quantity::{Dimension, Exact, Quantity, StandardUncertainty, Unit};
use serde_json::Value;

use crate::pointer::At;
use crate::problem::record;
use crate::{Fault, Reading, ReadingDetail, Units};

/// Coverage factor of an expanded uncertainty that came without one.
const USUAL_COVERAGE: f64 = 2.0;

/// What every conversion of one document shares.
pub(super) struct Conversion<'i> {
    pub(super) faults: Vec<Fault>,
    pub(super) units: Units,
    pub(super) instruments: &'i Instruments,
}

/// Which amounts make sense.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Range {
    Any,
    NonNegative,
    Positive,
    /// Angles of a seat or face: more than 0° and less than 90°.
    Slope,
    /// Angles round a seat or face: within one turn either way.
    Turn,
}

impl Conversion<'_> {
    pub(super) fn fault(&mut self, at: &At<'_>, detail: impl Into<String>, value: Option<Value>) {
        record(&mut self.faults, || Fault::new(at.pointer(), detail.into(), value));
    }

    /// A list of as many elements as are allowed: what stands beyond is a fault and is not looked at.
    pub(super) fn bounded<'d, T>(
        &mut self,
        at: &At<'_>,
        list: &'d [T],
        allowed: RangeInclusive<usize>,
    ) -> &'d [T] {
        if !allowed.contains(&list.len()) {
            let detail =
                format!("must have {} to {} elements, has {}", allowed.start(), allowed.end(), list.len());
            self.fault(at, detail, None);
        }
        &list[..list.len().min(*allowed.end())]
    }

    /// One number in the unit of the document, exactly.
    pub(super) fn quantity<D: Dimension>(
        &mut self,
        at: &At<'_>,
        number: f64,
        range: Range,
    ) -> Option<Quantity<D>> {
        let unit = self.units.unit(D::KIND);
        match Quantity::<D>::from_f64(number, unit) {
            Ok(quantity) => match out_of(range, quantity.exact()) {
                None => Some(quantity),
                Some(detail) => {
                    self.fault(at, detail, Some(number.into()));
                    None
                }
            },
            Err(error) => {
                self.fault(at, error.to_string(), Some(number.into()));
                None
            }
        }
    }
}

/// 360°.
const FULL_TURN: Exact = Exact::from_count(360, 0);
/// 90°.
const RIGHT_ANGLE: Exact = Exact::from_count(90, 0);

fn out_of(range: Range, amount: Exact) -> Option<&'static str> {
    match range {
        Range::NonNegative if amount.is_negative() => Some("must not be negative"),
        Range::Positive if amount <= Exact::ZERO => Some("must be more than zero"),
        Range::Turn if amount.abs() > FULL_TURN => Some("must be at least -360° and at most 360°"),
        Range::Slope if amount <= Exact::ZERO || amount >= RIGHT_ANGLE => {
            Some("must be more than 0° and less than 90°")
        }
        _ => None,
    }
}

/// Objects that may name an instrument stand at most this deep in one another.
const DEEPEST: usize = 3;

/// One object of the document whose readings may share an instrument.
pub(super) struct Block<'c, 'i, 'p> {
    pub(super) conversion: &'c mut Conversion<'i>,
    pub(super) at: At<'p>,
    /// Named by this object and by those around it, innermost first.
    instruments: [Option<InstrumentIndex>; DEEPEST],
}

impl<'c, 'i, 'p> Block<'c, 'i, 'p> {
    pub(super) fn new(conversion: &'c mut Conversion<'i>, at: At<'p>, instrument: Option<&str>) -> Self {
        let mut block = Self { conversion, at, instruments: [None; DEEPEST] };
        block.instruments[0] = instrument.and_then(|id| block.find(&at.member("instrument"), id));
        block
    }

    /// A block inside this one: its own instrument goes before the outer one, which still stands for the
    /// dimensions that its own does not measure.
    pub(super) fn inner<'q>(&'q mut self, name: &'q str, instrument: Option<&str>) -> Block<'q, 'i, 'q> {
        Self::nested(self.conversion, self.at.member(name), instrument, self.instruments)
    }

    /// The same for an element of a list.
    pub(super) fn inner_element<'q>(
        &'q mut self,
        index: usize,
        instrument: Option<&str>,
    ) -> Block<'q, 'i, 'q> {
        Self::nested(self.conversion, self.at.element(index), instrument, self.instruments)
    }

    fn nested<'q>(
        conversion: &'q mut Conversion<'i>,
        at: At<'q>,
        instrument: Option<&str>,
        outer: [Option<InstrumentIndex>; DEEPEST],
    ) -> Block<'q, 'i, 'q> {
        let mut block = Block::new(conversion, at, instrument);
        block.instruments = match block.instruments[0] {
            own @ Some(_) => [own, outer[0], outer[1]],
            None => outer,
        };
        block
    }

    fn find(&mut self, at: &At<'_>, id: &str) -> Option<InstrumentIndex> {
        let found = self.conversion.instruments.find(id).map(|(index, _)| index);
        if found.is_none() {
            self.conversion.fault(at, "names no instrument of this set", Some(id.into()));
        }
        found
    }

    /// A reading that may be left out.
    pub(super) fn any<D: Dimension>(
        &mut self,
        name: &str,
        doc: &Option<Reading>,
    ) -> Option<head::Reading<D>> {
        self.optional(name, doc, Range::Any)
    }

    /// The same, not below zero.
    pub(super) fn non_negative<D: Dimension>(
        &mut self,
        name: &str,
        doc: &Option<Reading>,
    ) -> Option<head::Reading<D>> {
        self.optional(name, doc, Range::NonNegative)
    }

    /// The same, above zero.
    pub(super) fn positive<D: Dimension>(
        &mut self,
        name: &str,
        doc: &Option<Reading>,
    ) -> Option<head::Reading<D>> {
        self.optional(name, doc, Range::Positive)
    }

    /// The same for the angle of a cone.
    pub(super) fn slope<D: Dimension>(
        &mut self,
        name: &str,
        doc: &Option<Reading>,
    ) -> Option<head::Reading<D>> {
        self.optional(name, doc, Range::Slope)
    }

    fn optional<D: Dimension>(
        &mut self,
        name: &str,
        doc: &Option<Reading>,
        range: Range,
    ) -> Option<head::Reading<D>> {
        let doc = doc.as_ref()?;
        self.required(name, doc, range)
    }

    /// A reading that was posted.
    pub(super) fn required<D: Dimension>(
        &mut self,
        name: &str,
        doc: &Reading,
        range: Range,
    ) -> Option<head::Reading<D>> {
        let at = self.at;
        self.reading(&at.member(name), doc, range)
    }

    /// A constant of a material, in a unit of its own whatever the units of the document are.
    pub(super) fn constant<D: Dimension>(
        &mut self,
        name: &str,
        number: f64,
        allowed: RangeInclusive<f64>,
        unit: Unit,
    ) -> Option<Quantity<D>> {
        let found = Quantity::from_f64(number, unit);
        let fault = match &found {
            Ok(_) if allowed.contains(&number) => return found.ok(),
            Ok(_) => format!("must be {} to {}", allowed.start(), allowed.end()),
            Err(error) => error.to_string(),
        };
        let at = self.at;
        self.conversion.fault(&at.member(name), fault, Some(number.into()));
        None
    }

    /// A list of readings. A faulty one leaves a gap, which is harmless: the whole document is refused.
    pub(super) fn list<D: Dimension>(
        &mut self,
        name: &str,
        docs: &[Reading],
        allowed: RangeInclusive<usize>,
        range: Range,
    ) -> Vec<head::Reading<D>> {
        let at = self.at;
        let list = at.member(name);
        self.conversion
            .bounded(&list, docs, allowed)
            .iter()
            .enumerate()
            .filter_map(|(index, doc)| self.reading(&list.element(index), doc, range))
            .collect()
    }

    /// A reading at a place.
    pub(super) fn reading<D: Dimension>(
        &mut self,
        at: &At<'_>,
        doc: &Reading,
        range: Range,
    ) -> Option<head::Reading<D>> {
        match doc {
            Reading::Plain(number) => {
                let value = self.conversion.quantity(at, *number, range)?;
                let instrument = self.instrument_for::<D>();
                Some(head::Reading::once(value, self.uncertainty_of(instrument), instrument))
            }
            Reading::Detailed(detail) => self.detailed(at, detail, range),
        }
    }

    fn detailed<D: Dimension>(
        &mut self,
        at: &At<'_>,
        detail: &ReadingDetail,
        range: Range,
    ) -> Option<head::Reading<D>> {
        let instrument = match &detail.instrument {
            Some(id) => Some(self.named::<D>(&at.member("instrument"), id)?),
            None => self.instrument_for::<D>(),
        };
        let uncertainty = match detail.expanded_uncertainty {
            Some(expanded) => Some(self.stated(at, expanded, detail.coverage_factor)?),
            None if detail.coverage_factor.is_some() => {
                let detail = "belongs to an expanded_uncertainty, which is missing";
                self.conversion.fault(&at.member("coverage_factor"), detail, None);
                return None;
            }
            None => self.uncertainty_of(instrument),
        };
        match (detail.value, &detail.repeats) {
            (Some(number), None) => {
                let value = self.conversion.quantity(&at.member("value"), number, range)?;
                Some(head::Reading::once(value, uncertainty, instrument))
            }
            (None, Some(numbers)) => {
                let list = at.member("repeats");
                let values: Vec<_> = self
                    .conversion
                    .bounded(&list, numbers, 0..=100)
                    .iter()
                    .enumerate()
                    .filter_map(|(index, number)| {
                        self.conversion.quantity(&list.element(index), *number, range)
                    })
                    .collect();
                let reading = head::Reading::of_repeats(&values, uncertainty, instrument);
                reading.map_err(|error| self.conversion.fault(&list, error.to_string(), None)).ok()
            }
            _ => {
                self.conversion.fault(at, "needs either value or repeats", None);
                None
            }
        }
    }

    /// The innermost instrument around a reading that measures its dimension.
    fn instrument_for<D: Dimension>(&self) -> Option<InstrumentIndex> {
        self.instruments.into_iter().flatten().find(|index| {
            self.conversion.instruments.get(*index).is_some_and(|instrument| instrument.measures == D::KIND)
        })
    }

    fn named<D: Dimension>(&mut self, at: &At<'_>, id: &str) -> Option<InstrumentIndex> {
        let index = self.find(at, id)?;
        let measures = self.conversion.instruments.get(index).map(|instrument| instrument.measures);
        if measures == Some(D::KIND) {
            return Some(index);
        }
        self.conversion.fault(
            at,
            format!("names an instrument that does not measure {:?}", D::KIND),
            Some(id.into()),
        );
        None
    }

    fn uncertainty_of<D: Dimension>(
        &self,
        instrument: Option<InstrumentIndex>,
    ) -> Option<StandardUncertainty<D>> {
        let instrument = self.conversion.instruments.get(instrument?)?;
        StandardUncertainty::from_expanded(instrument.standard_uncertainty, 1.0).ok()
    }

    fn stated<D: Dimension>(
        &mut self,
        at: &At<'_>,
        expanded: f64,
        coverage: Option<f64>,
    ) -> Option<StandardUncertainty<D>> {
        let expanded: Quantity<D> =
            self.conversion.quantity(&at.member("expanded_uncertainty"), expanded, Range::NonNegative)?;
        let uncertainty =
            StandardUncertainty::from_expanded(expanded.approx(), coverage.unwrap_or(USUAL_COVERAGE));
        // The expanded uncertainty was found to be zero or more: only the factor can be wrong now.
        let at = at.member("coverage_factor");
        uncertainty
            .map_err(|error| self.conversion.fault(&at, error.to_string(), coverage.map(Into::into)))
            .ok()
    }
}
