//! Is a sheet as it was signed, and by whom? Without a service.

use std::error::Error;
use std::fs;
use std::path::Path;
use std::process::ExitCode;

use headproof_seal::{Certificate, Integrity, SignedPdf, Trust, inspect_pdf};
use headproof_wire::{Meaning, SignOff};
use time::OffsetDateTime;
use time::format_description::well_known::Rfc3339;

use super::attached::sign_off;
use super::files::print;

/// What a signature says, in words.
const fn meaning(meaning: Meaning) -> &'static str {
    match meaning {
        Meaning::Inspected => "inspected only, not released",
        Meaning::Released => "released",
        Meaning::Concession => "released by concession",
    }
}

/// Who has to vouch for what: files of certificates (PEM).
#[derive(Debug, Clone, Copy)]
pub(crate) struct Vouchers<'a> {
    /// For the signature.
    pub(crate) authority: Option<&'a Path>,
    /// For the timestamp on it.
    pub(crate) timestamp_authority: Option<&'a Path>,
}

/// A signed file, and what is believed of it.
pub(super) struct Looked {
    /// The signature.
    pub(super) signed: SignedPdf,
    /// Whether the given authority vouches for it; none where none was given.
    pub(super) trust: Option<Trust>,
    /// Whether the time of its timestamp is believed.
    pub(super) is_time_believed: bool,
}

impl Vouchers<'_> {
    /// Looks at a file; none where it is not signed.
    ///
    /// Certificates are held against the time of a timestamp that is believed, else against now: what a file itself says of
    /// its time, whoever holds the key can write.
    ///
    /// # Errors
    /// When a file of certificates cannot be read.
    pub(super) fn look(&self, pdf: &[u8]) -> Result<Option<Looked>, Box<dyn Error>> {
        let (trusted, stampers) = (read(self.authority)?, read(self.timestamp_authority)?);
        let Some(signed) = inspect_pdf(pdf) else { return Ok(None) };
        let stamp = signed.timestamp();
        let believed = stamp.filter(|stamp| stampers.is_some_and(|by| stamp.trusted_by(&by).is_trusted()));
        let is_time_believed = believed.is_some();
        let at = believed.map_or_else(OffsetDateTime::now_utc, |stamp| stamp.time());
        let trust = trusted.map(|trusted| signed.trusted_by(&trusted, at));
        Ok(Some(Looked { signed, trust, is_time_believed }))
    }
}

fn read(path: Option<&Path>) -> Result<Option<Vec<Certificate>>, Box<dyn Error>> {
    let Some(path) = path else { return Ok(None) };
    let named = |error: &dyn std::fmt::Display| format!("{}: {error}", path.display());
    let pem = fs::read(path).map_err(|error| named(&error))?;
    Ok(Some(Certificate::from_pem(&pem).map_err(|error| named(&error))?))
}

/// Says what a PDF file is.
///
/// Exit code 0 when it is as it was signed, by somebody an authority that was given vouches for; 1 when it was altered,
/// is not signed, or is signed by somebody else; 3 when it is as it was signed and no authority was given to say by whom.
pub(crate) fn run(file: &Path, vouchers: Vouchers<'_>) -> Result<ExitCode, Box<dyn Error>> {
    let bytes = fs::read(file).map_err(|error| format!("{}: {error}", file.display()))?;
    let Some(looked) = vouchers.look(&bytes)? else {
        print("NOT SIGNED: nothing shows who made this file, or that it is as it was made.")?;
        return Ok(ExitCode::from(1));
    };
    if let Integrity::Altered(why) = looked.signed.integrity() {
        print(&format!("ALTERED: this file is not as it was signed ({why})."))?;
        return Ok(ExitCode::from(1));
    }
    let code = match &looked.trust {
        Some(Trust::Trusted(_)) => {
            print("GENUINE: as it was signed, by a certificate that the given authority vouches for.")?;
            ExitCode::SUCCESS
        }
        Some(Trust::Untrusted(why)) => {
            print(&format!("NOT TRUSTED: as it was signed, but {why}."))?;
            ExitCode::from(1)
        }
        None => {
            print("INTACT: as it was signed. Whether the name is true was not checked: give --authority.")?;
            ExitCode::from(3)
        }
    };
    print(&certificates(&looked)?)?;
    if let Some(record) = sign_off(&bytes) {
        print(&words(&record))?;
        if !is_of(&record, &looked.signed) {
            print("BUT the sign-off in it names another certificate than the one that signed it.")?;
            return Ok(ExitCode::from(1));
        }
    }
    Ok(code)
}

/// Is a record of a sign-off that of who signed the file it is in?
pub(super) fn is_of(record: &SignOff, signed: &SignedPdf) -> bool {
    signed.signer().is_some_and(|signer| signer.fingerprint() == record.signer.certificate)
}

fn certificates(looked: &Looked) -> Result<String, Box<dyn Error>> {
    let signed = &looked.signed;
    let mut lines = Vec::new();
    if let Some(signer) = signed.signer() {
        let name = signer.common_name().unwrap_or_default();
        lines.push(format!("  signed by     {name}"));
        lines.push(format!("  certificate   {}", signer.fingerprint()));
    }
    for authority in signed.certificates().iter().filter(|certificate| certificate.is_authority()) {
        lines.push(format!("  authority     {}", authority.fingerprint()));
    }
    if let Some(stamp) = signed.timestamp() {
        let by = stamp.authority().common_name().unwrap_or_default();
        let note = if looked.is_time_believed { "" } else { " (not checked: give --timestamp-authority)" };
        lines.push(format!("  timestamp     {} by {by}{note}", stamp.time().format(&Rfc3339)?));
    }
    Ok(lines.join("\n"))
}

fn words(record: &SignOff) -> String {
    let stage = serde_json::to_value(record.stage).ok();
    let stage = stage.as_ref().and_then(serde_json::Value::as_str).unwrap_or_default();
    let mut lines = vec![
        format!("  head          {}", record.head_serial),
        format!("  stage         {stage}, revision {}", record.revision),
        format!("  meaning       {}", meaning(record.meaning)),
        format!("  signer        {}, {}", record.signer.name, record.signer.role),
        format!("  signed at     {}", record.signed_at),
        format!("  evaluation    {}", record.evaluation_digest),
        format!("  audit trail   {}:{}", record.checkpoint.size, record.checkpoint.head),
    ];
    for concession in &record.concessions {
        let what = concession.characteristic.as_deref().unwrap_or("the data");
        lines.push(format!("  concession    {}, {what}: {}", concession.subject, concession.reason));
    }
    lines.push("  Whether a later sign-off took its place, only the shop's service knows.".to_owned());
    lines.join("\n")
}
