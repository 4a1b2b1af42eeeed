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

/// Says what a PDF file is.
///
/// Exit code 0 when it is as it was signed, by somebody an authority that was given vouches for; 1 when it was altered,
/// is not signed, or is signed by somebody else; 3 when it is as it was signed and no authority was given to say by whom.
pub(crate) fn run(file: &Path, authority: Option<&Path>) -> Result<ExitCode, Box<dyn Error>> {
    let named = |path: &Path, error: &dyn std::fmt::Display| format!("{}: {error}", path.display());
    let bytes = fs::read(file).map_err(|error| named(file, &error))?;
    let trusted = authority.map(|path| {
        let pem = fs::read(path).map_err(|error| named(path, &error))?;
        Certificate::from_pem(&pem).map_err(|error| named(path, &error))
    });
    let trusted = trusted.transpose()?;
    let Some(signed) = inspect_pdf(&bytes) else {
        print("NOT SIGNED: nothing shows who made this file, or that it is as it was made.")?;
        return Ok(ExitCode::from(1));
    };
    if let Integrity::Altered(why) = signed.integrity() {
        print(&format!("ALTERED: this file is not as it was signed ({why})."))?;
        return Ok(ExitCode::from(1));
    }
    let code = match trusted.map(|trusted| signed.trusted_by(&trusted, OffsetDateTime::now_utc())) {
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
    print(&certificates(&signed)?)?;
    if let Some(record) = sign_off(&bytes) {
        print(&words(&record))?;
        if signed.signer().is_none_or(|signer| signer.fingerprint() != record.signer.certificate) {
            print("BUT the sign-off in it names another certificate than the one that signed it.")?;
            return Ok(ExitCode::from(1));
        }
    }
    Ok(code)
}

fn certificates(signed: &SignedPdf) -> Result<String, Box<dyn Error>> {
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
        lines.push(format!("  timestamp     {} by {by}", stamp.time().format(&Rfc3339)?));
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
