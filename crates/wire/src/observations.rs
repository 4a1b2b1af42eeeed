//! What is kept of a judged head for statistics over many: its values with their limits, verdicts and gauges, some
//! kilobytes beside documents of some hundred. Nobody outside gets to see it.

use headproof_head as head;
use headproof_judge::characteristic;
use headproof_line::{ObservedHead, ObservedRow};
use serde::{Deserialize, Serialize};

use crate::Stage;

/// Edition of the form.
const EDITION: u8 = 1;

#[derive(Serialize, Deserialize)]
struct Kept {
    edition: u8,
    stage: Stage,
    measured_at: i64,
    profile: String,
    disposition: u8,
    bench: Option<String>,
    cutter: Option<String>,
    operator: Option<String>,
    gauges: Vec<String>,
    limits: Vec<(Option<i64>, Option<i64>)>,
    /// Names of characteristics, which rows name by their place.
    names: Vec<String>,
    rows: Vec<KeptRow>,
}

/// Name, cylinder, service and index (each 0 where there is none), value, limits, verdict, gauge.
type KeptRow = (u16, u8, u8, u8, Option<i64>, Option<u16>, u8, Option<u16>);

/// Why kept observations cannot be read: they are of another edition, or damaged.
#[derive(Debug, thiserror::Error)]
#[error("observations cannot be read: {0}")]
pub struct ObservationsError(String);

impl ObservationsError {
    fn unknown(what: &str) -> Self {
        Self(format!("unknown {what}"))
    }
}

const DISPOSITIONS: [head::Disposition; 4] = [
    head::Disposition::Accept,
    head::Disposition::Rework,
    head::Disposition::Incomplete,
    head::Disposition::Reject,
];

const VERDICTS: [head::Verdict; 5] = [
    head::Verdict::NoLimit,
    head::Verdict::Conforms,
    head::Verdict::NotProven,
    head::Verdict::NotMeasured,
    head::Verdict::DoesNotConform,
];

/// The place of one of a few things.
fn place<T: PartialEq>(of: &T, among: &[T]) -> u8 {
    among.iter().position(|other| other == of).and_then(|at| u8::try_from(at).ok()).unwrap_or_default()
}

/// The observations of a head as they are kept.
///
/// # Errors
/// Never in practice: all of it can be written.
pub fn write_observations(head: &ObservedHead) -> serde_json::Result<Vec<u8>> {
    let mut names: Vec<&str> = head.rows.iter().map(|row| row.characteristic.as_str()).collect();
    names.sort_unstable();
    names.dedup();
    let row = |row: &ObservedRow| {
        let name = names.binary_search(&row.characteristic.as_str()).unwrap_or_default();
        let (cylinder, service, index) = match row.subject {
            head::Subject::Head => (0, 0, 0),
            head::Subject::Cylinder(cylinder) => (cylinder, 0, 0),
            head::Subject::Port(port) => {
                let service = if port.service == head::Service::Intake { 1 } else { 2 };
                (port.cylinder, service, port.index)
            }
        };
        let name = u16::try_from(name).unwrap_or_default();
        (name, cylinder, service, index, row.value, row.limits, place(&row.verdict, &VERDICTS), row.gauge)
    };
    serde_json::to_vec(&Kept {
        edition: EDITION,
        stage: head.stage.into(),
        measured_at: head.measured_at,
        profile: head.profile.clone(),
        disposition: place(&head.disposition, &DISPOSITIONS),
        bench: head.bench.clone(),
        cutter: head.cutter.clone(),
        operator: head.operator.clone(),
        gauges: head.gauges.clone(),
        limits: head.limits.clone(),
        rows: head.rows.iter().map(row).collect(),
        names: names.iter().map(|&name| name.to_owned()).collect(),
    })
}

/// What was kept, read again.
///
/// # Errors
/// [`ObservationsError`] when it is of another edition or damaged.
pub fn read_observations(kept: &[u8]) -> Result<ObservedHead, ObservationsError> {
    let kept: Kept = serde_json::from_slice(kept).map_err(|error| ObservationsError(error.to_string()))?;
    if kept.edition != EDITION {
        return Err(ObservationsError::unknown("edition"));
    }
    let known = |name: &String| characteristic(name).ok_or(ObservationsError::unknown("characteristic"));
    let names = kept.names.iter().map(known).collect::<Result<Vec<_>, _>>()?;
    let row = |&(name, cylinder, service, index, value, limits, verdict, gauge): &KeptRow| {
        let of = names.get(usize::from(name)).ok_or(ObservationsError::unknown("characteristic"))?;
        let port = |service| head::Subject::Port(head::PortId { cylinder, service, index });
        let verdict = VERDICTS.get(usize::from(verdict)).ok_or(ObservationsError::unknown("verdict"))?;
        Ok(ObservedRow {
            characteristic: of.id,
            kind: of.kind(),
            subject: match (service, cylinder) {
                (0, 0) => head::Subject::Head,
                (0, _) => head::Subject::Cylinder(cylinder),
                (1, _) => port(head::Service::Intake),
                (2, _) => port(head::Service::Exhaust),
                _ => return Err(ObservationsError::unknown("service")),
            },
            value,
            limits,
            verdict: *verdict,
            gauge,
        })
    };
    let disposition = DISPOSITIONS.get(usize::from(kept.disposition));
    Ok(ObservedHead {
        stage: kept.stage.into(),
        measured_at: kept.measured_at,
        profile: kept.profile,
        disposition: *disposition.ok_or(ObservationsError::unknown("disposition"))?,
        bench: kept.bench,
        cutter: kept.cutter,
        operator: kept.operator,
        gauges: kept.gauges,
        limits: kept.limits,
        rows: kept.rows.iter().map(row).collect::<Result<_, _>>()?,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::examples::HEADS;
    use crate::{At, measurement_set, read, target_profile};

    #[test]
    fn what_was_kept_is_read_again() {
        for (set, profile) in HEADS {
            let set = read(set.text.as_bytes()).unwrap();
            let profile = read(profile.text.as_bytes()).unwrap();
            let set = measurement_set(&set, &At::Root).unwrap();
            let profile = target_profile(&profile, &At::Root).unwrap();
            let evaluation = headproof_judge::evaluate(&set, &profile);
            let head = ObservedHead::of(&set, &profile, &evaluation);
            let kept = write_observations(&head).unwrap();
            assert_eq!(read_observations(&kept).unwrap(), head);
            let judged = head.rows.iter().filter(|row| row.verdict != head::Verdict::NoLimit).count();
            let tally = evaluation.tally;
            assert_eq!(judged as u32, tally.conforms + tally.does_not_conform + tally.not_proven);
            assert!(head.rows.iter().any(|row| row.gauge.is_some()));
            assert!(kept.len() < 40_000, "{} bytes", kept.len());
        }
    }

    #[test]
    fn what_is_of_another_edition_is_not_guessed_at() {
        for kept in ["", "{}", r#"{"edition":2}"#] {
            assert!(read_observations(kept.as_bytes()).is_err());
        }
    }
}
