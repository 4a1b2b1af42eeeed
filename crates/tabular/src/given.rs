//! The profile that goes with every head of a file.

use headproof_wire::{Fault, JobRequest, ProfileSelector, TargetProfile};

/// A profile given beside the file; without one the columns `profile_id` and `profile_revision` have to name it.
#[derive(Debug, Clone, Copy)]
pub enum Given<'p> {
    /// None: the rows name theirs.
    Nothing,
    /// One that is not known: requests are checked as if it were, and have none.
    Unknown,
    /// The profile itself.
    Profile(&'p TargetProfile),
    /// A stored profile.
    Named(&'p ProfileSelector),
}

impl Given<'_> {
    /// What is wrong with the choice of the profile.
    pub(crate) fn fault(self, request: &JobRequest) -> Option<Fault> {
        let detail = match (self, &request.profile_ref) {
            (Self::Nothing, None) => "has to name a profile: none was given beside the file",
            (Self::Unknown | Self::Profile(_) | Self::Named(_), Some(_)) => {
                "names a profile, but one was given beside the file"
            }
            _ => return None,
        };
        Some(Fault::new("/profile_ref/id".into(), detail.into(), None))
    }

    pub(crate) fn put_into(self, mut request: JobRequest) -> JobRequest {
        match self {
            Self::Nothing | Self::Unknown => {}
            Self::Profile(profile) => request.profile = Some(profile.clone()),
            Self::Named(named) => request.profile_ref = Some(named.clone()),
        }
        request
    }
}
