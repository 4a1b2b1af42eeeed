//! The target profile.

use headproof_head::{self as head, CharacteristicId, Instruments, ProfileError};
use headproof_judge::{Characteristic, Scope, characteristic};
use headproof_quantity::{Exact, Kind, Length};

use super::block::{Conversion, Range};
use crate::pointer::At;
use crate::{DecisionRule, Fault, Limit, TargetProfile};

/// The format line of a target profile.
pub(crate) const FORMAT: &str = "headproof/target-profile/1";

/// A source may name a manual, a section and a page.
const LONGEST_SOURCE: usize = 300;

/// A notice is a few sentences.
const LONGEST_NOTICE: usize = 600;

/// A posted profile as the domain knows it.
///
/// # Errors
/// Every fault of content, with its JSON Pointer below `at`.
pub fn target_profile(doc: &TargetProfile, at: &At<'_>) -> Result<head::TargetProfile, Vec<Fault>> {
    let none = Instruments::default();
    let mut conversion = Conversion { faults: Vec::new(), units: doc.units, instruments: &none };
    let c = &mut conversion;
    c.format(&at.member("format"), &doc.format, FORMAT);
    let id = name(c, &at.member("id"), &doc.id, 80);
    let revision = name(c, &at.member("revision"), &doc.revision, 40);
    let title = c.text(&at.member("title"), &doc.title);
    let notice = doc.notice.as_ref().map(|text| c.text_up_to(&at.member("notice"), text, LONGEST_NOTICE));
    let rule = rule(c, &at.member("decision_rule"), doc.decision_rule);
    let limits = limits(c, &at.member("limits"), &doc.limits);
    let also_report = also_report(c, &at.member("also_report"), &doc.also_report);
    let faults = conversion.faults;
    if faults.is_empty() {
        Ok(head::TargetProfile { id, revision, title, notice, rule, limits, also_report })
    } else {
        Err(faults)
    }
}

/// Names that become part of an address, where `.` and `..` mean something else (RFC 3986, clause 5.2.4).
fn name(c: &mut Conversion<'_>, at: &At<'_>, text: &str, longest: usize) -> String {
    let plain = |byte: u8| byte.is_ascii_alphanumeric() || b"._-".contains(&byte);
    let begins_plain = text.starts_with(|first: char| first.is_ascii_alphanumeric());
    if !begins_plain || text.len() > longest || !text.bytes().all(plain) {
        let detail = format!(
            "must be 1 to {longest} letters, digits, hyphens, dots or underscores, a letter or digit first"
        );
        c.fault(at, detail, Some(text.into()));
    }
    text.to_owned()
}

fn rule(c: &mut Conversion<'_>, at: &At<'_>, doc: DecisionRule) -> head::DecisionRule {
    match doc {
        DecisionRule::Simple => head::DecisionRule::Simple,
        DecisionRule::Guarded { conformance_probability: probability } => {
            if !(0.5..1.0).contains(&probability) {
                let error = ProfileError::Probability.to_string();
                c.fault(&at.member("conformance_probability"), error, Some(probability.into()));
            }
            head::DecisionRule::Guarded { probability }
        }
    }
}

fn limits(c: &mut Conversion<'_>, at: &At<'_>, docs: &[Limit]) -> Vec<head::Limit> {
    if docs.is_empty() {
        c.fault(at, "a profile needs at least one limit", None);
    }
    let mut limits: Vec<head::Limit> = Vec::with_capacity(docs.len());
    for (index, doc) in c.bounded(at, docs, 0..=400).iter().enumerate() {
        let at = at.element(index);
        let Some(limited) = known(c, &at.member("characteristic"), &doc.characteristic) else { continue };
        let Some(limit) = limit(c, &at, doc, limited) else { continue };
        let is_of_port = limited.scope() == Scope::Port;
        if let Err(error) = limit.check(limited.measure().is_in_order(), is_of_port) {
            c.fault(&at, error.to_string(), None);
        }
        if limits.iter().any(|earlier| earlier.collides_with(&limit)) {
            c.fault(&at, ProfileError::Repeated.to_string(), None);
        }
        limits.push(limit);
    }
    limits
}

fn known(c: &mut Conversion<'_>, at: &At<'_>, name: &str) -> Option<&'static Characteristic> {
    let found = characteristic(name);
    if found.is_none() {
        c.fault(at, "is not a characteristic this service judges", Some(name.into()));
    }
    found
}

fn also_report(c: &mut Conversion<'_>, at: &At<'_>, names: &[String]) -> Vec<CharacteristicId> {
    let names = c.bounded(at, names, 0..=200).iter().enumerate();
    let id = |(index, name): (usize, &String)| {
        let at = at.element(index);
        let found = known(c, &at, name)?;
        if found.is_windowed() {
            c.fault(&at, "needs a limit that names its window", Some(name.as_str().into()));
        }
        Some(found.id)
    };
    names.filter_map(id).collect()
}

fn window(c: &mut Conversion<'_>, at: &At<'_>, doc: &Limit, limited: &Characteristic) -> Option<[Length; 2]> {
    match (&doc.window, limited.is_windowed()) {
        (Some(window), true) => {
            let at = at.member("window");
            let length = c.quantity(&at.member("length"), window.length, Range::Positive);
            let width = c.quantity(&at.member("width"), window.width, Range::Positive);
            Some([length?, width?])
        }
        (None, true) => {
            c.fault(at, "needs a window: the part of the deck that is looked at at a time", None);
            None
        }
        (Some(_), false) => {
            c.fault(&at.member("window"), "belongs to a characteristic of a part of the deck", None);
            None
        }
        (None, false) => None,
    }
}

fn limit(c: &mut Conversion<'_>, at: &At<'_>, doc: &Limit, limited: &Characteristic) -> Option<head::Limit> {
    let before = c.faults.len();
    let lower = bound(c, &at.member("lower"), doc.lower, limited.kind());
    let upper = bound(c, &at.member("upper"), doc.upper, limited.kind());
    let nominal = bound(c, &at.member("nominal"), doc.nominal, limited.kind());
    if doc.source.trim().is_empty() {
        c.fault(&at.member("source"), "every limit names its source", Some(doc.source.as_str().into()));
    }
    let source = c.text_up_to(&at.member("source"), &doc.source, LONGEST_SOURCE);
    let window = window(c, at, doc, limited);
    (c.faults.len() == before).then(|| head::Limit {
        characteristic: limited.id,
        service: doc.service.map(Into::into),
        limit_use: doc.limit_use.into(),
        lower,
        upper,
        nominal,
        window,
        required: doc.required,
        if_outside: doc.if_outside.into(),
        source,
    })
}

fn bound(c: &mut Conversion<'_>, at: &At<'_>, number: Option<f64>, kind: Kind) -> Option<Exact> {
    let number = number?;
    match c.units.unit(kind).to_base(number) {
        Ok(exact) => Some(exact),
        Err(error) => {
            c.fault(at, error.to_string(), Some(number.into()));
            None
        }
    }
}
