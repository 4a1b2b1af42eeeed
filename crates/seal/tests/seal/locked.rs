//! Identities at rest.

use headproof_seal::{Error, Identity, Locked, Secret};

use crate::bench::{data, identities, signed};

#[test]
fn a_locked_identity_signs_as_before() {
    let (_, person) = identities();
    let secret = Secret::random().unwrap();
    let locked = person.lock(&secret).unwrap();
    assert_eq!(locked.chain.len(), 2);
    let unlocked = Identity::unlock(&locked, &secret).unwrap();
    assert!(signed(&unlocked) == signed(&person));
    assert_ne!(person.lock(&secret).unwrap().key, locked.key, "salt and initial vector are new");
}

#[test]
fn another_secret_or_other_certificates_do_not_unlock() {
    let (authority, person) = identities();
    let secret = Secret::random().unwrap();
    let locked = person.lock(&secret).unwrap();
    assert_eq!(Identity::unlock(&locked, &Secret::random().unwrap()).unwrap_err(), Error::Secret);
    let chain = vec![authority.certificate().der().to_vec()];
    let other = Locked { key: locked.key.clone(), chain };
    assert!(matches!(Identity::unlock(&other, &secret), Err(Error::Certificate(_))));
    let cut = Locked { key: locked.key[..100].to_vec(), ..locked };
    assert!(matches!(Identity::unlock(&cut, &secret), Err(Error::Key(_))));
}

#[test]
fn an_rsa_key_is_locked_as_well_and_nothing_shows_it() {
    let identity = Identity::bring(&data("rsa.p12"), Some("geheim-ü")).unwrap();
    let secret = Secret::random().unwrap();
    let unlocked = Identity::unlock(&identity.lock(&secret).unwrap(), &secret).unwrap();
    assert!(signed(&unlocked) == signed(&identity));
    let shown = format!("{identity:?}");
    assert!(shown.starts_with("[Certificate(\"Person rsa\", ") && shown.len() < 400, "{shown}");
}
