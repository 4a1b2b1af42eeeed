//! What a study says, for people at a terminal.

mod crossed;
mod number;
mod reference;

use std::fmt::{self, Display, Formatter};

use headproof_wire::gauge_study::{GaugeForTheSet, GaugeInterval, GaugeOutcome, GaugeStudy};

use self::number::significant;

/// The outcome, the tables, and what to state of the gauge.
pub(super) fn of(study: &GaugeStudy) -> String {
    Tables(study).to_string().trim_end().to_owned()
}

struct Tables<'a>(&'a GaugeStudy);

impl Display for Tables<'_> {
    fn fmt(&self, f: &mut Formatter<'_>) -> fmt::Result {
        let study = self.0;
        writeln!(f, "{}: {}", study.title, word(study.outcome))?;
        writeln!(f, "  {}", study.headline)?;
        let unit = study.unit.unit().code();
        let named = [("for", &study.characteristic), ("with", &study.instrument)];
        let named = named.into_iter().filter_map(|(word, name)| Some(format!(", {word} {}", name.as_ref()?)));
        writeln!(f, "  In {unit}{}{}.", limits(study), named.collect::<String>())?;
        if let Some(found) = &study.crossed {
            crossed::write(f, found, study.confidence)?;
        }
        if let Some(found) = &study.reference {
            reference::write(f, found, study.confidence)?;
        }
        study.for_the_instrument.as_ref().map_or(Ok(()), |entry| instrument(f, entry))
    }
}

const fn word(outcome: GaugeOutcome) -> &'static str {
    match outcome {
        GaugeOutcome::Good => "GOOD",
        GaugeOutcome::Limited => "LIMITED",
        GaugeOutcome::Unfit => "UNFIT",
        GaugeOutcome::Undecided => "UNDECIDED",
    }
}

fn limits(study: &GaugeStudy) -> String {
    match (study.lower, study.upper) {
        (Some(lower), Some(upper)) => format!(", limits {lower} to {upper}"),
        (Some(lower), None) => format!(", at least {lower}"),
        (None, Some(upper)) => format!(", at most {upper}"),
        (None, None) => String::new(),
    }
}

fn instrument(f: &mut Formatter<'_>, entry: &GaugeForTheSet) -> fmt::Result {
    let GaugeForTheSet { unit, expanded_uncertainty, coverage_factor, covers, .. } = entry;
    writeln!(f, "\nFor this gauge among the instruments of a measurement set in {}:", unit.unit().code())?;
    write!(f, "  \"expanded_uncertainty\": {expanded_uncertainty}, \"coverage_factor\": {coverage_factor}")?;
    if let Some(resolution) = entry.resolution {
        write!(f, ", \"resolution\": {resolution}")?;
    }
    writeln!(f, "\n  {covers}")
}

/// A line of a name and what it is.
fn line(f: &mut Formatter<'_>, name: &str, number: f64) -> fmt::Result {
    writeln!(f, "  {name:<34}{:>12}", significant(number))
}

/// The same with its interval.
fn line_within(
    f: &mut Formatter<'_>,
    name: &str,
    number: f64,
    interval: Option<GaugeInterval>,
    confidence: f64,
) -> fmt::Result {
    let Some(GaugeInterval { lower, upper }) = interval else { return line(f, name, number) };
    let (lower, upper) = (significant(lower), significant(upper));
    let percent = significant(100.0 * confidence);
    writeln!(f, "  {name:<34}{:>12}  {percent} %: {lower} to {upper}", significant(number))
}
