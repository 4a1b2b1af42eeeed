//! A whole head, judged.

use headproof_head::{
    Disposition, Evaluation, Finding, FindingCode, IfOutside, MeasurementSet, MissingCause, Port, PortRows,
    Row, Service, Severity, Subject, Tally, TargetProfile, Verdict,
};

use crate::characteristic::{Candidate, Candidates, Characteristic, Derive, Derived};
use crate::context::Context;
use crate::findings::find;
use crate::row::{Applied, blank, limited, mark, missing, stated, unlimited};
use crate::table::table;
use crate::verdict::{GridLimits, judge};

/// Coverage factor of every expanded uncertainty that is stated: about 95 % of a normal distribution.
pub const COVERAGE_FACTOR: f64 = 2.0;

/// Judges every characteristic of every port, cylinder and of the head.
///
/// A row is made for what the profile limits and for what was measured. Where a characteristic was
/// measured at several places the worst one is judged and named.
#[must_use]
pub fn evaluate(set: &MeasurementSet, profile: &TargetProfile) -> Evaluation {
    let findings = find(set);
    let mut bench = Bench::new(set, profile, &findings);
    let head = bench.head();
    let cylinders = (1..=set.layout.cylinders).map(|cylinder| (cylinder, bench.cylinder(cylinder))).collect();
    let ports = bench.ports();
    let (tally, worst) = (bench.tally, bench.disposition);
    let disposition = settle(worst, &tally, &findings);
    Evaluation { disposition, tally, head, cylinders, ports, findings }
}

/// Nothing judged, or data that block a judgement, are never a pass.
fn settle(worst: Disposition, tally: &Tally, findings: &[Finding]) -> Disposition {
    let blocked = findings.iter().any(|finding| finding.severity == Severity::Blocking);
    let nothing_judged = tally.conforms == 0 && worst == Disposition::Accept;
    if blocked || nothing_judged { worst.max(Disposition::Incomplete) } else { worst }
}

/// One characteristic with the limits that apply to each service in this stage, found once.
struct Line<'a> {
    row: &'static Characteristic,
    intake: Option<Applied<'a>>,
    exhaust: Option<Applied<'a>>,
}

/// Working state of one judgement.
struct Bench<'a> {
    context: Context<'a>,
    findings: &'a [Finding],
    lines: Vec<Line<'a>>,
    scratch: Candidates,
    tally: Tally,
    disposition: Disposition,
}

impl<'a> Bench<'a> {
    fn new(set: &'a MeasurementSet, profile: &'a TargetProfile, findings: &'a [Finding]) -> Self {
        let lines = table()
            .map(|row| {
                let applied = |service| {
                    let (at, limit) = profile.limit(row.id, service, set.job.stage)?;
                    Some(Applied { at, limit, grid: GridLimits::new(limit.lower, limit.upper, row.kind()) })
                };
                Line { row, intake: applied(Some(Service::Intake)), exhaust: applied(Some(Service::Exhaust)) }
            })
            .collect();
        Self {
            context: Context { set, profile },
            findings,
            lines,
            scratch: Vec::new(),
            tally: Tally::default(),
            disposition: Disposition::Accept,
        }
    }

    fn head(&mut self) -> Vec<Row> {
        self.rows(Subject::Head, None)
    }

    fn cylinder(&mut self, cylinder: u8) -> Vec<Row> {
        self.rows(Subject::Cylinder(cylinder), None)
    }

    fn ports(&mut self) -> Vec<PortRows> {
        let set = self.context.set;
        set.layout
            .ports()
            .map(|id| {
                let rows = self.rows(Subject::Port(id), set.port(id));
                let verdict = rows.iter().map(mark).max().unwrap_or(Verdict::NoLimit);
                PortRows { port: id, verdict, rows }
            })
            .collect()
    }

    fn rows(&mut self, subject: Subject, port: Option<&Port>) -> Vec<Row> {
        let mut rows = Vec::new();
        let lines = std::mem::take(&mut self.lines);
        for line in &lines {
            rows.extend(self.row(line, subject, port));
        }
        self.lines = lines;
        rows
    }

    /// One row; `None` where the characteristic does not belong to the subject, or there is neither a
    /// reading nor a limit.
    fn row(&mut self, line: &Line<'a>, subject: Subject, port: Option<&Port>) -> Option<Row> {
        let applied = match subject {
            Subject::Port(id) if id.service == Service::Exhaust => line.exhaust,
            _ => line.intake,
        };
        let mut candidates = std::mem::take(&mut self.scratch);
        candidates.clear();
        let found = self.found(line.row, subject, port, &mut candidates);
        let row = found.and_then(|found| self.judged(line.row, subject, applied, found, &candidates));
        self.scratch = candidates;
        if let Some(row) = &row {
            self.settle_row(row, applied);
        }
        row
    }

    /// What the derivation gives for this subject; `None` when it belongs to another kind of subject.
    fn found(
        &self,
        row: &Characteristic,
        subject: Subject,
        port: Option<&Port>,
        out: &mut Candidates,
    ) -> Option<Result<Option<bool>, MissingCause>> {
        let set = self.context.set;
        let absent = || MissingCause::Absent(row.title);
        let amounts = |derived: Derived| derived.map(|()| None);
        match (&row.derive, subject, port) {
            (Derive::Head(derive), Subject::Head, _) => Some(amounts(derive(&self.context, out))),
            (Derive::Cylinder(derive), Subject::Cylinder(cylinder), _) => {
                Some(amounts(derive(&self.context, cylinder, out)))
            }
            (Derive::Port(derive), Subject::Port(_), Some(port)) => {
                Some(amounts(derive(&self.context, port, out)))
            }
            (Derive::HeadState(state), Subject::Head, _) => Some(state(set).map(Some).ok_or_else(absent)),
            (Derive::PortState(state), Subject::Port(_), Some(port)) => {
                Some(state(port).map(Some).ok_or_else(absent))
            }
            (Derive::Port(_) | Derive::PortState(_), Subject::Port(_), None) => {
                Some(Err(MissingCause::PortAbsent))
            }
            _ => None,
        }
    }

    fn judged(
        &self,
        row: &'static Characteristic,
        subject: Subject,
        applied: Option<Applied<'_>>,
        found: Result<Option<bool>, MissingCause>,
        candidates: &[Candidate],
    ) -> Option<Row> {
        let found = match self.blocked(row, subject) {
            Some(code) => Err(MissingCause::Blocked(code)),
            None => found,
        };
        let blank = blank(row, applied);
        match (found, applied) {
            (Err(cause), Some(_)) => Some(missing(blank, cause)),
            (Err(cause @ (MissingCause::Blocked(_) | MissingCause::NotComputable(_))), None) => {
                Some(missing(blank, cause))
            }
            (Err(_), None) => None,
            (Ok(Some(in_order)), limited) => Some(stated(blank, in_order, limited.is_some())),
            (Ok(None), Some(applied)) => {
                let rule = self.context.profile.rule;
                let worst = candidates
                    .iter()
                    .filter_map(|candidate| {
                        Some((candidate, judge(candidate, applied.grid, row.kind(), rule)?))
                    })
                    .reduce(|worst, next| if next.1.is_worse_than(&worst.1) { next } else { worst });
                let Some((candidate, judged)) = worst else {
                    return Some(missing(
                        blank,
                        MissingCause::NotComputable("the result is not a finite number".into()),
                    ));
                };
                Some(limited(blank, candidate, judged))
            }
            (Ok(None), None) => unlimited(blank, candidates),
        }
    }

    fn blocked(&self, row: &Characteristic, subject: Subject) -> Option<FindingCode> {
        let touches = |finding: &&Finding| {
            finding.severity == Severity::Blocking && finding.touches.contains(&(subject, row.id))
        };
        self.findings.iter().find(touches).map(|finding| finding.code)
    }

    fn settle_row(&mut self, row: &Row, applied: Option<Applied<'_>>) {
        self.tally.count(row.verdict);
        let Some(applied) = applied else { return };
        let calls_for = match row.verdict {
            Verdict::DoesNotConform => match applied.limit.if_outside {
                IfOutside::Rework => Disposition::Rework,
                IfOutside::Reject => Disposition::Reject,
            },
            Verdict::NotMeasured | Verdict::NotProven if row.required => Disposition::Incomplete,
            _ => Disposition::Accept,
        };
        self.disposition = self.disposition.max(calls_for);
    }
}
