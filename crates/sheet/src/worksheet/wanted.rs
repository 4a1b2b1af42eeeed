//! What the profile asks for, and so what has to be read.

use std::collections::BTreeSet;

use headproof_judge::{Characteristic, Scope};
use headproof_texts::Say;
use headproof_wire::Service;

use super::WorksheetInput;
use super::bounds::Bounds;

/// What the profile limits, and what it wants worked out besides.
pub(super) struct Wanted<'a> {
    input: &'a WorksheetInput<'a>,
    /// Also named in `also_report`.
    reported: BTreeSet<&'a str>,
}

impl<'a> Wanted<'a> {
    /// Of a profile.
    pub(super) fn of(input: &'a WorksheetInput<'a>) -> Self {
        Self { input, reported: input.profile.also_report.iter().map(String::as_str).collect() }
    }

    /// Says things in the language of the worksheet.
    pub(super) fn say(&self) -> Say {
        self.input.say()
    }

    /// The limits of a characteristic for a service; those of either when no service is named.
    pub(super) fn bounds(&self, id: &str, service: Option<Service>) -> Option<Bounds> {
        Bounds::of(self.input, id, service)
    }

    /// Is it limited?
    pub(super) fn is_limited(&self, id: &str, service: Option<Service>) -> bool {
        let concerns = |limit: &&headproof_wire::Limit| {
            limit.characteristic == id
                && (service.is_none() || limit.service.is_none() || limit.service == service)
        };
        self.input.profile.limits.iter().any(|limit| concerns(&limit))
    }

    /// Has anything to be read for it?
    pub(super) fn is_wanted(&self, id: &str, service: Option<Service>) -> bool {
        self.reported.contains(id) || self.is_limited(id, service)
    }

    /// The limited characteristics of a scope, in the order of the judge's table.
    pub(super) fn limited(
        &self,
        scope: Scope,
        service: Option<Service>,
    ) -> impl Iterator<Item = &'static Characteristic> + '_ {
        let table = headproof_judge::table();
        table.filter(move |row| row.scope() == scope && self.is_limited(row.id.as_str(), service))
    }
}
