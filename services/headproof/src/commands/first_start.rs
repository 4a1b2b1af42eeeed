//! What a service makes for itself when it starts for the first time: a secret, a certificate, a key.

use std::error::Error;
use std::fs::{self, DirBuilder, File, OpenOptions};
use std::io::{self, Write};
use std::os::unix::fs::{DirBuilderExt, OpenOptionsExt, PermissionsExt};
use std::path::{Path, PathBuf};

use headproof_api::{KeySecret, KeyWish, operator};
use headproof_seal::{Identity, Locked, Secret};
use headproof_store::{ShopId, Store};
use headproof_wire::Scope;
use time::OffsetDateTime;
use uuid::Uuid;

/// The name of the file with the first key.
const FIRST_KEY: &str = "first-key";

/// Makes the directory of secret and first key: where records and files are kept elsewhere, nobody else has made it.
///
/// # Errors
/// When it can be neither found nor made.
pub(super) fn directory(directory: &Path) -> Result<(), Box<dyn Error>> {
    let made = DirBuilder::new().recursive(true).mode(0o700).create(directory);
    Ok(made.map_err(|error| format!("store.dir {}: {error}", directory.display()))?)
}

/// The secret that locks the keys of people; it is made if it is not there and there is nothing yet that it has to open.
///
/// # Errors
/// When it can be neither read nor written, is no secret, may be read by everybody, or is not the one that keys were locked
/// with.
pub(super) async fn secret(path: &Path, store: &Store) -> Result<Secret, Box<dyn Error>> {
    let named = |what: &dyn std::fmt::Display| format!("signing.secret_file {}: {what}", path.display());
    let locked = store.any_certificate().await?;
    if !path.exists() {
        if locked.is_some() {
            return Err(named(&"is not there, and keys were locked with it").into());
        }
        let new = Secret::random()?;
        write_new(path, new.to_text().as_bytes()).map_err(|error| named(&error))?;
    }
    let mode = fs::metadata(path).map_err(|error| named(&error))?.permissions().mode();
    if mode & 0o007 != 0 {
        return Err(named(&"may be read or written by everybody on this machine (chmod o=)").into());
    }
    // Read even if it was just written: another process may have been quicker.
    let text = fs::read_to_string(path).map_err(|error| named(&error))?;
    let secret = Secret::from_text(text.trim()).map_err(|error| named(&error))?;
    if let Some(kept) = locked {
        let locked = Locked { key: kept.content.locked_key, chain: kept.content.chain };
        Identity::unlock(&locked, &secret)
            .map_err(|_| named(&"is not the one that keys were locked with"))?;
    }
    Ok(secret)
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
    if store.keep_first_certificate(shop, headproof_api::kept(&made, secret)?, &operator()).await? {
        tracing::info!(fingerprint, "made the certificate of the shop");
    }
    Ok(())
}

/// Makes the first key, if the shop has none that could make others, and says where it is.
pub(super) async fn key(
    store: &Store,
    shop: &ShopId,
    directory: &Path,
) -> Result<Option<PathBuf>, Box<dyn Error>> {
    let path = directory.join(FIRST_KEY);
    if store.has_key(shop, Scope::Admin.word()).await? {
        return Ok(None);
    }
    let wish = KeyWish {
        label: "first key".to_owned(),
        scopes: vec![Scope::Submit, Scope::Read, Scope::Admin],
        person: None,
        expires_at: None,
    };
    let (secret, new) = KeySecret::new(wish)?;
    // On disk before it is good, so that it cannot be lost.
    let draft = directory.join(format!("{FIRST_KEY}.{}", new.id));
    write_new(&draft, secret.text().as_bytes())?;
    if !store.keep_first_key(shop, Scope::Admin.word(), new, &operator()).await? {
        fs::remove_file(draft)?;
        return Ok(None);
    }
    fs::rename(draft, &path)?;
    sync_directory_of(&path)?;
    Ok(Some(path))
}

/// Sees to what a start left that was cut off: a first key that is good gets its name, one that is not goes.
pub(super) async fn tidy(store: &Store, directory: &Path) -> Result<Option<PathBuf>, Box<dyn Error>> {
    let mut found = None;
    for entry in fs::read_dir(directory)? {
        let draft = entry?.path();
        let name = draft.file_name().and_then(|name| name.to_str()).unwrap_or_default();
        let id = name.strip_prefix(FIRST_KEY).and_then(|rest| rest.strip_prefix('.'));
        let Some(id) = id.and_then(|id| Uuid::try_parse(id).ok()) else { continue };
        if store.key(id).await?.is_some_and(|key| key.revoked_at.is_none()) {
            let path = directory.join(FIRST_KEY);
            fs::rename(&draft, &path)?;
            found = Some(path);
        } else {
            fs::remove_file(&draft)?;
        }
    }
    Ok(found)
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
    sync_directory_of(path)
}

/// A new name is only on disk when its directory is.
fn sync_directory_of(path: &Path) -> io::Result<()> {
    let directory = path.parent().filter(|parent| !parent.as_os_str().is_empty());
    File::open(directory.unwrap_or(Path::new(".")))?.sync_all()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::commands::demo::Scratch;

    type Outcome = Result<(), Box<dyn Error>>;

    #[tokio::test]
    async fn a_secret_is_made_once_for_its_owner_alone() -> Outcome {
        let scratch = Scratch::new()?;
        let (path, store) = (scratch.0.join("secret"), Store::open(scratch.0.join("store")).await?);
        let made = secret(&path, &store).await?.to_text();
        assert_eq!(*secret(&path, &store).await?.to_text(), *made);
        assert_eq!(fs::metadata(&path)?.permissions().mode() & 0o777, 0o600);
        assert_eq!(fs::read_dir(&scratch.0)?.count(), 2);
        fs::set_permissions(&path, fs::Permissions::from_mode(0o604))?;
        let error = secret(&path, &store).await.err().ok_or("it was taken")?.to_string();
        assert!(error.contains("everybody"), "{error}");
        fs::set_permissions(&path, fs::Permissions::from_mode(0o600))?;
        fs::write(&path, "no secret")?;
        let error = secret(&path, &store).await.err().ok_or("it was taken")?.to_string();
        assert!(error.contains("signing.secret_file"), "{error}");
        Ok(())
    }

    #[tokio::test]
    async fn a_secret_that_does_not_open_what_is_locked_is_refused() -> Outcome {
        let scratch = Scratch::new()?;
        let (path, store) = (scratch.0.join("secret"), Store::open(scratch.0.join("store")).await?);
        let first = secret(&path, &store).await?;
        authority(&store, &ShopId::new("s"), None, &first).await?;
        secret(&path, &store).await?;
        fs::write(&path, Secret::random()?.to_text().as_bytes())?;
        let error = secret(&path, &store).await.err().ok_or("it was taken")?.to_string();
        assert!(error.contains("locked with"), "{error}");
        fs::remove_file(&path)?;
        let error = secret(&path, &store).await.err().ok_or("another was made")?.to_string();
        assert!(error.contains("is not there") && !path.exists(), "{error}");
        Ok(())
    }

    #[tokio::test]
    async fn a_first_key_that_was_cut_off_is_found_again() -> Outcome {
        let scratch = Scratch::new()?;
        let (shop, store) = (ShopId::new("s"), Store::open(scratch.0.join("store")).await?);
        let path = key(&store, &shop, &scratch.0).await?.ok_or("none was made")?;
        assert_eq!(key(&store, &shop, &scratch.0).await?, None);
        let text = fs::read_to_string(&path)?;
        let id = store.keys(&shop).await?[0].content.id;
        fs::rename(&path, scratch.0.join(format!("{FIRST_KEY}.{id}")))?;
        fs::write(scratch.0.join(format!("{FIRST_KEY}.{}", Uuid::now_v7())), "never kept")?;
        assert_eq!(tidy(&store, &scratch.0).await?.as_ref(), Some(&path));
        assert_eq!((fs::read_to_string(&path)?, fs::read_dir(&scratch.0)?.count()), (text, 2));
        assert_eq!(tidy(&store, &scratch.0).await?, None);
        Ok(())
    }
}
