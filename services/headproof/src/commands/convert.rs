//! CSV into job requests.

use std::error::Error;
use std::fs::File;
use std::io::{self, BufWriter, Cursor, Read, Write};
use std::path::Path;
use std::process::ExitCode;

use headproof_tabular::{Given, columns_of, heads, metadata};
use headproof_wire::{At, MOST_FAULTS, TargetProfile, target_profile};

use super::files::{Refusal, document, refused, write};

/// Where the documents are.
pub(crate) struct Files<'a> {
    /// The CSV file.
    pub(crate) file: &'a Path,
    /// The profile that goes into every request; the rows name theirs without it.
    pub(crate) profile: Option<&'a Path>,
    /// Where the requests go; standard output without it.
    pub(crate) out: Option<&'a Path>,
    /// Where the description of the file's columns goes, when it is wanted.
    pub(crate) metadata: Option<&'a Path>,
}

/// Turns a CSV file into job requests, one on each line.
///
/// The file is read twice: nothing is written before all of it was found good, and no more than one head is held in
/// memory. Exit code 0 when everything was written, 2 when there are faults, which are told with row and column.
pub(crate) fn run(files: Files<'_>) -> Result<ExitCode, Box<dyn Error>> {
    let profile = files.profile.map(|path| {
        document::<TargetProfile, _>(path, |profile| target_profile(profile, &At::Root).map(drop))
    });
    let source = Source::of(files.file)?;
    let (profile, refusal) = match profile.transpose() {
        Ok(profile) => (profile.map(|(profile, ())| profile), None),
        Err(refusal) => (None, Some(refusal)),
    };
    // A refused profile is told as such, and not of every head as missing.
    let given = match (&profile, &refusal) {
        (Some(profile), _) => Given::Profile(profile),
        (None, Some(_)) => Given::Unknown,
        (None, None) => Given::Nothing,
    };
    let mut faults = Vec::new();
    for head in heads(source.open()?, given)? {
        faults.extend(head?.request.err().unwrap_or_default());
        if faults.len() >= MOST_FAULTS {
            faults.truncate(MOST_FAULTS);
            break;
        }
    }
    if refusal.is_some() || !faults.is_empty() {
        let faults = Some(Refusal::Faults(faults));
        return refused([("profile", refusal), (&files.file.display().to_string(), faults)]);
    }
    if let (Some(path), Ok(columns)) = (files.metadata, columns_of(source.open()?)?) {
        let name = files.file.file_name().unwrap_or_default().to_string_lossy();
        let mut text = serde_json::to_string_pretty(&metadata(&name, columns))?;
        text.push('\n');
        write(path, text)?;
    }
    let outcome = match files.out {
        Some(path) => {
            let file = File::create(path).map_err(|error| format!("{}: {error}", path.display()))?;
            requests(&source, given, BufWriter::new(file))
                .map_err(|error| format!("{}: {error}", path.display()).into())
        }
        None => match requests(&source, given, BufWriter::new(io::stdout().lock())) {
            // A reader that has seen enough is no failure.
            Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Ok(()),
            outcome => outcome.map_err(Into::into),
        },
    };
    outcome.map(|()| ExitCode::SUCCESS)
}

fn requests(source: &Source<'_>, given: Given<'_>, mut out: impl Write) -> io::Result<()> {
    for head in heads(source.open()?, given)? {
        let Ok(request) = head?.request else {
            return Err(io::Error::other("was changed while it was read"));
        };
        serde_json::to_writer(&mut out, &request)?;
        out.write_all(b"\n")?;
    }
    out.flush()
}

/// A file that can be read twice.
enum Source<'a> {
    File(&'a Path),
    Held(Vec<u8>),
}

impl<'a> Source<'a> {
    /// Standard input comes once, and is held.
    fn of(path: &'a Path) -> io::Result<Self> {
        if path != Path::new("-") {
            return Ok(Self::File(path));
        }
        let mut held = Vec::new();
        io::stdin().read_to_end(&mut held)?;
        Ok(Self::Held(held))
    }

    fn open(&self) -> io::Result<Box<dyn Read + '_>> {
        match self {
            Self::Held(held) => Ok(Box::new(Cursor::new(held))),
            Self::File(path) => match File::open(path) {
                Ok(file) => Ok(Box::new(file)),
                Err(error) => Err(io::Error::new(error.kind(), format!("{}: {error}", path.display()))),
            },
        }
    }
}
