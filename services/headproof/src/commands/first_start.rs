//! What a service makes for itself when it starts for the first time: a secret, a certificate, a key.

use std::error::Error;
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::os::unix::fs::OpenOptionsExt;
use std::path::{Path, PathBuf};

use headproof_api::{KeySecret, KeyWish, operator};
use headproof_seal::{Identity, Secret};
use headproof_store::{ShopId, Store};
use headproof_wire::Scope;
use time::OffsetDateTime;
use uuid::Uuid;

/// The name of the file with the first key.
const FIRST_KEY: &str = "first-key";

/// The secret that locks the keys of people; it is made if it is not there.
///
/// # Errors
/// When it can be neither read nor written, or is no secret.
pub(super) fn secret(path: &Path) -> Result<Secret, Box<dyn Error>> {
    let named = |error: &dyn std::fmt::Display| format!("signing.secret_file {}: {error}", path.display());
    if !path.exists() {
        let new = Secret::random()?;
        write_new(path, new.to_text().as_bytes()).map_err(|error| named(&error))?;
    }
    // Read even if it was just written: another process may have been quicker.
    let text = fs::read_to_string(path).map_err(|error| named(&error))?;
    Ok(Secret::from_text(text.trim()).map_err(|error| named(&error))?)
}

/// The shop vouches for its people with a certificate of its own, unless it has one.
pub(super) async fn authority(
    store: &Store,
    shop: &ShopId,
    organisation: Option<&str>,
    secret: &Secret,
) -> Result<(), Box<dyn Error>> {
    if store.certificate(shop, None).await?.is_some() {
        return Ok(());
    }
    let organisation = organisation.unwrap_or(shop.as_str());
    let made = Identity::new_authority(organisation, OffsetDateTime::now_utc())?;
    let fingerprint = made.certificate().fingerprint();
    if store.keep_first_certificate(shop, headproof_api::kept(&made, secret)?, operator()).await? {
        tracing::info!(fingerprint, "made the certificate of the shop");
    }
    Ok(())
}

/// Makes the first key, if there is none at all, and says where it is.
pub(super) async fn key(
    store: &Store,
    shop: &ShopId,
    directory: &Path,
) -> Result<Option<PathBuf>, Box<dyn Error>> {
    if store.has_keys().await? {
        return Ok(None);
    }
    let wish = KeyWish {
        label: "first key".to_owned(),
        scopes: vec![Scope::Submit, Scope::Read, Scope::Admin],
        person: None,
        expires_at: None,
    };
    let (secret, new) = KeySecret::new(wish)?;
    // On disk before it is good, so that it cannot be lost; under its name only if it is.
    let draft = directory.join(format!("{FIRST_KEY}.{}", new.id));
    write_new(&draft, secret.text().as_bytes())?;
    if !store.keep_first_key(shop, new, operator()).await? {
        fs::remove_file(draft)?;
        return Ok(None);
    }
    let path = directory.join(FIRST_KEY);
    fs::rename(draft, &path)?;
    Ok(Some(path))
}

/// Writes a line that only its owner may read: the whole of it, or nothing. Leaves what is there.
fn write_new(path: &Path, line: &[u8]) -> io::Result<()> {
    let mut draft = path.as_os_str().to_owned();
    draft.push(format!(".{}.part", Uuid::now_v7()));
    let draft = PathBuf::from(draft);
    let written = (|| {
        let mut file = OpenOptions::new().write(true).create_new(true).mode(0o600).open(&draft)?;
        file.write_all(line)?;
        file.write_all(b"\n")?;
        file.sync_all()?;
        match fs::hard_link(&draft, path) {
            Err(error) if error.kind() == io::ErrorKind::AlreadyExists => Ok(()),
            outcome => outcome,
        }
    })();
    let removed = fs::remove_file(&draft);
    written.and(removed)?;
    let directory = path.parent().filter(|parent| !parent.as_os_str().is_empty());
    File::open(directory.unwrap_or(Path::new(".")))?.sync_all()
}

#[cfg(test)]
mod tests {
    use std::os::unix::fs::PermissionsExt;

    use super::*;
    use crate::commands::demo::Scratch;

    #[test]
    fn a_secret_is_made_once_for_its_owner_alone() -> Result<(), Box<dyn Error>> {
        let scratch = Scratch::new()?;
        let path = scratch.0.join("secret");
        let made = secret(&path)?.to_text();
        assert_eq!(*secret(&path)?.to_text(), *made);
        assert_eq!(fs::metadata(&path)?.permissions().mode() & 0o777, 0o600);
        assert_eq!(fs::read_dir(&scratch.0)?.count(), 1);
        fs::write(&path, "no secret")?;
        let error = secret(&path).err().ok_or("it was taken")?.to_string();
        assert!(error.contains("signing.secret_file"), "{error}");
        Ok(())
    }
}
