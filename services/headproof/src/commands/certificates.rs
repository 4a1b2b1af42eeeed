//! Certificates: those of a shop are shown, and its own or a person's are brought along.

use std::error::Error;
use std::fs;
use std::path::Path;
use std::process::ExitCode;

use headproof_api::{kept, operator, own_as_pem};
use headproof_seal::Identity;
use headproof_store::ShopId;
use time::OffsetDateTime;
use uuid::Uuid;

use super::files::print;
use super::first_start;
use super::serve::{open, runtime};
use crate::config::Config;

/// Prints the certificates that vouch for the people of a shop, the newest first, as PEM (RFC 7468).
pub(crate) fn show(config: &Config, shop: &ShopId) -> Result<ExitCode, Box<dyn Error>> {
    runtime()?.block_on(async {
        let store = open(config).await?;
        let all = own_as_pem(&store.shop_certificates(shop).await?)?;
        store.close().await;
        print(all.trim_end())?;
        Ok(ExitCode::SUCCESS)
    })
}

/// Keeps a certificate with its key, of a file in PKCS#12 or PEM: that of a person, or one that vouches for all people
/// the shop enters from now on.
pub(crate) fn bring(
    config: &Config,
    shop: &ShopId,
    person: Option<Uuid>,
    file: &Path,
    password: Option<&Path>,
) -> Result<ExitCode, Box<dyn Error>> {
    let named = |path: &Path, error: &dyn std::fmt::Display| format!("{}: {error}", path.display());
    let password = password.map(|path| fs::read_to_string(path).map_err(|error| named(path, &error)));
    let password = password.transpose()?.map(|text| text.trim_end_matches(['\r', '\n']).to_owned());
    let bytes = fs::read(file).map_err(|error| named(file, &error))?;
    let identity = Identity::bring(&bytes, password.as_deref()).map_err(|error| named(file, &error))?;
    check(&identity, person.is_some())?;
    runtime()?.block_on(async {
        let store = open(config).await?;
        let secret = first_start::secret(&config.signing.secret_path(&config.store.dir), &store).await?;
        if let Some(id) = person
            && store.person(shop, id).await?.is_none_or(|person| person.left_at.is_some())
        {
            return Err(format!("{id} is nobody of shop {shop} who signs").into());
        }
        store.keep_certificate(shop, person, kept(&identity, &secret)?, &operator()).await?;
        store.close().await;
        print(&format!("in use from now on: {}", identity.certificate().fingerprint()))?;
        Ok(ExitCode::SUCCESS)
    })
}

/// Is it good for what it is brought for?
fn check(identity: &Identity, for_person: bool) -> Result<(), Box<dyn Error>> {
    let certificate = identity.certificate();
    if !certificate.is_valid_at(OffsetDateTime::now_utc()) {
        return Err("the certificate is not valid now".into());
    }
    match (for_person, certificate.is_authority()) {
        (true, true) => Err("the certificate vouches for others; a person needs one to sign with".into()),
        (true, false) if !certificate.is_for_signatures() => {
            Err("the certificate is not for signatures".into())
        }
        (false, false) => {
            Err("the certificate may not vouch for others; name the person it is for with --person".into())
        }
        _ => Ok(()),
    }
}
