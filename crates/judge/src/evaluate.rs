//! A whole head, judged.

use headproof_head::{
    Cause, CauseOf, Disposition, Evaluation, Finding, FindingCode, IfOutside, MeasurementSet, MissingCause,
    Phrase, Port, PortRows, Row, Service, Severity, Subject, Tally, TargetProfile, Verdict,
};

use crate::candidate::{Candidate, Candidates};
use crate::characteristic::{Characteristic, Derive, Derived};
use crate::context::Context;
use crate::findings::find;
use crate::lines::{Line, Lines};
use crate::row::{Applied, blank, limited, mark, missing, off_grid, stated, unlimited};
use crate::verdict::{Judged, worst_of};

/// Coverage factor of every expanded uncertainty that is stated: about 95 % of a normal distribution.
pub const COVERAGE_FACTOR: f64 = 2.0;

/// How a judgement is asked for: [`evaluate`] or [`evaluate_explained`].
pub type JudgeBy = fn(&MeasurementSet, &TargetProfile) -> Evaluation;

/// Judges every characteristic of every port, cylinder and of the head.
///
/// A row is made for what the profile limits and for what was measured. Where a characteristic was
/// measured at several places the worst one is judged and named.
#[must_use]
pub fn evaluate(set: &MeasurementSet, profile: &TargetProfile) -> Evaluation {
    judge_all(Context { set, profile, explain: false })
}

/// The same, and every value that is worked out tells what its uncertainty is made of and how sensitive it
/// is to each reading.
#[must_use]
pub fn evaluate_explained(set: &MeasurementSet, profile: &TargetProfile) -> Evaluation {
    judge_all(Context { set, profile, explain: true })
}

fn judge_all(context: Context<'_>) -> Evaluation {
    let set = context.set;
    let findings = find(&context);
    let lines = Lines::new(context.profile, set.job.stage);
    let mut bench = Bench::new(context, &lines, &findings);
    let head = bench.head();
    let cylinders = (1..=set.layout.cylinders).map(|cylinder| (cylinder, bench.cylinder(cylinder))).collect();
    let ports = bench.ports();
    let (tally, mut causes) = (bench.tally, bench.causes);
    causes.extend(beyond_the_rows(&findings, &tally, causes.is_empty()));
    causes.sort_by_key(|cause| std::cmp::Reverse(cause.disposition));
    let disposition = causes.first().map_or(Disposition::Accept, |gravest| gravest.disposition);
    Evaluation { disposition, causes, tally, head, cylinders, ports, findings }
}

/// Data that block a judgement, and nothing judged at all, are never a pass.
fn beyond_the_rows(findings: &[Finding], tally: &Tally, no_cause_yet: bool) -> Vec<Cause> {
    let incomplete = |what| Cause { disposition: Disposition::Incomplete, subject: Subject::Head, what };
    let blocking = findings.iter().enumerate().filter(|(_, finding)| finding.severity == Severity::Blocking);
    let mut causes: Vec<Cause> = blocking.map(|(at, _)| incomplete(CauseOf::Finding(at))).collect();
    if no_cause_yet && causes.is_empty() && tally.conforms == 0 {
        causes.push(incomplete(CauseOf::NothingJudged));
    }
    causes
}

/// Working state of one judgement.
struct Bench<'a> {
    context: Context<'a>,
    findings: &'a [Finding],
    lines: &'a Lines<'a>,
    scratch: Candidates,
    tally: Tally,
    causes: Vec<Cause>,
}

impl<'a> Bench<'a> {
    fn new(context: Context<'a>, lines: &'a Lines<'a>, findings: &'a [Finding]) -> Self {
        Self { context, findings, lines, scratch: Vec::new(), tally: Tally::default(), causes: Vec::new() }
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
        let lines = match subject {
            Subject::Head => &self.lines.head,
            Subject::Cylinder(_) => &self.lines.cylinder,
            Subject::Port(_) => &self.lines.port,
        };
        let mut rows = Vec::with_capacity(lines.len());
        for line in lines {
            rows.extend(self.row(line, subject, port));
        }
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
        let row = found.and_then(|found| self.judged(line, subject, applied, found, &candidates));
        self.scratch = candidates;
        if let Some(row) = &row {
            self.settle_row(subject, row, applied);
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
        let amounts = |derived: Derived| derived.map(|()| None);
        match (&row.derive, subject, port) {
            (Derive::Head(derive), Subject::Head, _) => Some(amounts(derive(&self.context, out))),
            (Derive::Cylinder(derive), Subject::Cylinder(cylinder), _) => {
                Some(amounts(derive(&self.context, cylinder, out)))
            }
            (Derive::Port(derive), Subject::Port(_), Some(port)) => {
                Some(amounts(derive(&self.context, port, out)))
            }
            (Derive::HeadState(state), Subject::Head, _) => {
                Some(state(set).map(Some).ok_or(MissingCause::StateAbsent))
            }
            (Derive::PortState(state), Subject::Port(_), Some(port)) => {
                Some(state(port).map(Some).ok_or(MissingCause::StateAbsent))
            }
            (Derive::Port(_) | Derive::PortState(_), Subject::Port(_), None) => {
                Some(Err(MissingCause::PortAbsent))
            }
            _ => None,
        }
    }

    fn judged(
        &self,
        line: &Line<'_>,
        subject: Subject,
        applied: Option<Applied<'_>>,
        found: Result<Option<bool>, MissingCause>,
        candidates: &[Candidate],
    ) -> Option<Row> {
        let row = line.row;
        let blank = blank(row, applied);
        if let Some(code) = self.blocked(row, subject) {
            return Some(missing(blank, MissingCause::Blocked(code)));
        }
        let rule = self.context.profile.rule;
        let worst = |applied: Applied<'_>| worst_of(candidates, applied.grid, row.kind(), rule);
        let is_broken = |judged: &Judged| judged.verdict == Verdict::DoesNotConform;
        match (found, applied) {
            (Ok(Some(in_order)), limited) => Some(stated(blank, in_order, limited.is_some())),
            (Ok(None), None) => Some(unlimited(blank, row.telling(), candidates)),
            (Err(MissingCause::Absent(_) | MissingCause::StateAbsent | MissingCause::PortAbsent), None)
                if !line.requested =>
            {
                None
            }
            (Err(cause), None) => Some(missing(blank, cause)),
            (Ok(None), Some(applied)) => Some(match worst(applied) {
                None => missing(blank, off_grid()),
                Some((_, judged)) if row.is_lower_bound() && is_broken(&judged) => {
                    let why = Phrase::plain("sum-only-a-lower-bound");
                    missing(blank, MissingCause::NotComputable(Box::new(why)))
                }
                Some((candidate, judged)) => limited(blank, candidate, judged),
            }),
            // What was found is not all; it can only prove that the limit is broken.
            (Err(cause), Some(applied)) => Some(match worst(applied) {
                Some((candidate, judged)) if is_broken(&judged) => limited(blank, candidate, judged),
                _ => missing(blank, cause),
            }),
        }
    }

    fn blocked(&self, row: &Characteristic, subject: Subject) -> Option<FindingCode> {
        let touches = |finding: &&Finding| {
            finding.severity == Severity::Blocking && finding.touches.contains(&(subject, row.id))
        };
        self.findings.iter().find(touches).map(|finding| finding.code)
    }

    /// Counts a row, and notes what it calls for.
    fn settle_row(&mut self, subject: Subject, row: &Row, applied: Option<Applied<'_>>) {
        self.tally.count(row.verdict);
        let Some(applied) = applied else { return };
        let disposition = match row.verdict {
            Verdict::DoesNotConform => match applied.limit.if_outside {
                IfOutside::Rework => Disposition::Rework,
                IfOutside::Reject => Disposition::Reject,
            },
            Verdict::NotMeasured if row.required => Disposition::Incomplete,
            // A reading that looks outside cannot be let pass because its gauge is poor.
            Verdict::NotProven if row.required || is_outside(row) => Disposition::Incomplete,
            _ => return,
        };
        let what = CauseOf::Row { characteristic: row.characteristic, reason: row.reason.clone() };
        self.causes.push(Cause { disposition, subject, what });
    }
}

fn is_outside(row: &Row) -> bool {
    row.deviation.is_some_and(|deviation| deviation.count() > 0)
}
