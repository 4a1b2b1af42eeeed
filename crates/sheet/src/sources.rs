//! Where the limits come from, numbered once for the whole sheet.

use std::collections::BTreeSet;

use headproof_wire::{Evaluation, TargetProfile};

use crate::flow::{Flow, LEFT};
use crate::text::Style;

/// The sources in use, in the order of the profile.
pub(crate) struct Sources<'a> {
    /// Each source once.
    list: Vec<&'a str>,
    /// For each limit of the profile, its place in the list.
    of_limit: Vec<Option<usize>>,
}

impl<'a> Sources<'a> {
    /// The sources of the limits that an evaluation applied.
    pub(crate) fn of(profile: &'a TargetProfile, evaluation: &Evaluation) -> Self {
        let rows = evaluation.head.iter().chain(evaluation.cylinders.iter().flat_map(|c| &c.rows));
        let rows = rows.chain(evaluation.ports.iter().flat_map(|port| &port.rows));
        let applied: BTreeSet<usize> = rows.filter_map(|row| row.limit).collect();
        let mut list: Vec<&str> = Vec::new();
        let mut of_limit = vec![None; profile.limits.len()];
        for (n, limit) in profile.limits.iter().enumerate().filter(|(n, _)| applied.contains(n)) {
            let known = list.iter().position(|source| *source == limit.source);
            of_limit[n] = Some(known.unwrap_or_else(|| {
                list.push(&limit.source);
                list.len() - 1
            }));
        }
        Self { list, of_limit }
    }

    /// The number printed for a limit, from 1.
    pub(crate) fn number(&self, limit: usize) -> Option<usize> {
        self.of_limit.get(limit).copied().flatten().map(|n| n + 1)
    }

    /// Prints the list.
    pub(crate) fn draw(&self, flow: &mut Flow) {
        if self.list.is_empty() {
            return;
        }
        flow.heading(flow.say().text("sources-of-limits"), Style::BODY.leading());
        let width = flow.measure() - 9.0;
        for (n, source) in self.list.iter().enumerate() {
            flow.ensure(Style::BODY.leading());
            let at = (LEFT, flow.y + Style::BODY.ascent());
            flow.canvas().structure.begin_item();
            flow.canvas().text(
                Style::BODY.face,
                Style::BODY.size,
                Style::BODY.ink,
                at,
                &format!("[{}]", n + 1),
            );
            flow.canvas().structure.begin_body();
            flow.paragraph(Style::BODY, LEFT + 9.0, width, source);
            flow.canvas().structure.end_item();
            flow.y += 0.5;
        }
    }
}
