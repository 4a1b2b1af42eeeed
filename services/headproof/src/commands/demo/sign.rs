//! The inspector of the demo: entered, given a key, and signing what they answer for.

use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};

use headproof_client::Client;
use headproof_wire::{
    Authenticity, Job, KeyRequest, Meaning, PersonRequest, Scope, SignOffRequest, TaskState,
};

use super::LONGEST;

/// Signs as an invented person.
pub(super) struct Desk {
    client: Client,
    /// Where the certificate of the shop is.
    authority: PathBuf,
}

impl Desk {
    /// Enters the person, makes them a key, and writes the certificate of the shop into `out`.
    pub(super) async fn new(admin: &Client, out: &Path) -> Result<Self, Box<dyn Error>> {
        let person = PersonRequest {
            name: "Ines Beispiel (invented)".to_owned(),
            role: "inspector".to_owned(),
            subject: None,
        };
        let person = admin.enter_person(&person).await?;
        let key = KeyRequest {
            label: "inspector".to_owned(),
            scopes: vec![Scope::Read, Scope::Sign],
            person: Some(person.id.to_string()),
            expires_at: None,
        };
        let client = admin.with_key(admin.make_key(&key).await?.secret);
        let authority = out.join("shop-certificate.pem");
        fs::write(&authority, client.fetch("/v1/certificates").await?)?;
        Ok(Self { client, authority })
    }

    /// Signs the evaluation of a job, released where the head is accepted and inspected only where it is not; writes the
    /// signed sheet and gives what to say of it.
    pub(super) async fn sign(&self, job: &Job, path: &Path) -> Result<String, Box<dyn Error>> {
        let meaning = if job.disposition == "accept" { Meaning::Released } else { Meaning::Inspected };
        let request = SignOffRequest { meaning, concessions: Vec::new(), note: None };
        let signed = self.client.sign(job, &request).await?;
        let signed = self.client.wait_signed(&signed, LONGEST).await?;
        if signed.state != TaskState::Done {
            return Err(signed.reason.unwrap_or_else(|| "no signed sheet".to_owned()).into());
        }
        let link = signed.links.signed_sheet.as_deref().ok_or("no signed sheet")?;
        let file = self.client.fetch(link).await?;
        fs::write(path, &file)?;
        let found = self.client.verify(file).await?;
        if found.authenticity != Authenticity::Genuine {
            return Err(found.detail.into());
        }
        let word = if meaning == Meaning::Released { "released" } else { "inspected" };
        Ok(format!(
            "  signed      {} ({word}, code {})\n  check it    headproof verify {} --authority {}",
            path.display(),
            signed.code,
            path.display(),
            self.authority.display(),
        ))
    }
}
