//! Encryption with a password: PBES2 (RFC 8018, 6.2), and the older schemes of PKCS#12 (RFC 7292, appendix C),
//! which common tools still write. Only decryption.

use cbc::cipher::block_padding::Pkcs7;
use cbc::cipher::{BlockModeDecrypt, InnerIvInit, KeyIvInit};
use der::Encode;
use der::asn1::ObjectIdentifier;
use des::TdesEde3;
use pkcs8::pkcs5::EncryptionScheme;
use pkcs8::pkcs5::pbes2::Kdf;
use rc2::Rc2;
use sha1::Sha1;
use x509_cert::spki::AlgorithmIdentifierOwned;
use zeroize::Zeroizing;

use super::derive::{Purpose, derive, password_bytes};
use super::structure::OldParameters;
use crate::{Error, Result};

/// Bytes that are overwritten when they are dropped.
type Bytes = Zeroizing<Vec<u8>>;

/// The tag that every decrypted structure begins with.
const SEQUENCE: u8 = 0x30;
/// Iterations at most: a file from outside must not keep a processor busy.
pub(super) const MOST_ITERATIONS: u32 = 2_000_000;
/// Bytes of memory of scrypt at most.
const MOST_MEMORY: u64 = 1 << 26;
/// Bytes of a block of SHA-1.
const SHA_1_BLOCK: usize = 64;

/// RFC 8018, appendix C.
const PBES2: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.5.13");
/// pbeWithSHAAnd3-KeyTripleDES-CBC, pbeWithSHAAnd128BitRC2-CBC and pbeWithSHAAnd40BitRC2-CBC.
const TRIPLE_DES: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.12.1.3");
const RC2_128: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.12.1.5");
const RC2_40: ObjectIdentifier = ObjectIdentifier::new_unwrap("1.2.840.113549.1.12.1.6");

/// Decrypts a structure.
///
/// # Errors
/// [`Error::Password`] when it does not decrypt; [`Error::Key`] for another scheme, or one that takes too much
/// time or memory.
pub(crate) fn decrypt(algorithm: &AlgorithmIdentifierOwned, data: &[u8], password: &str) -> Result<Bytes> {
    let bytes = decrypt_bytes(algorithm, data, password)?;
    // One wrong password in 256 leaves a right padding behind.
    if bytes.first() == Some(&SEQUENCE) { Ok(bytes) } else { Err(Error::Password) }
}

fn decrypt_bytes(algorithm: &AlgorithmIdentifierOwned, data: &[u8], password: &str) -> Result<Bytes> {
    match algorithm.oid {
        PBES2 => {
            let unknown = |_| Error::Key("encrypted in an unknown way".to_owned());
            let der = algorithm.to_der()?;
            let scheme = EncryptionScheme::try_from(der.as_slice()).map_err(unknown)?;
            let EncryptionScheme::Pbes2(scheme) = scheme else {
                return Err(Error::Key("encrypted in an unknown way".to_owned()));
            };
            check_cost(&scheme.kdf)?;
            Ok(Zeroizing::new(scheme.decrypt(password, data).map_err(|_| Error::Password)?))
        }
        TRIPLE_DES => {
            let (key, vector) = old_keys(algorithm, password, 24)?;
            let cipher = cbc::Decryptor::<TdesEde3>::new_from_slices(&key, &vector);
            unpad(cipher.map_err(|_| Error::Password)?, data)
        }
        RC2_128 | RC2_40 => {
            let length = if algorithm.oid == RC2_40 { 5 } else { 16 };
            let (key, vector) = old_keys(algorithm, password, length)?;
            let cipher =
                cbc::Decryptor::inner_iv_slice_init(Rc2::new_with_eff_key_len(&key, length * 8), &vector);
            unpad(cipher.map_err(|_| Error::Password)?, data)
        }
        other => Err(Error::Key(format!("encrypted in an unknown way, {other}"))),
    }
}

fn unpad(cipher: impl BlockModeDecrypt, data: &[u8]) -> Result<Bytes> {
    cipher.decrypt_padded_vec::<Pkcs7>(data).map(Zeroizing::new).map_err(|_| Error::Password)
}

/// The key and the initial vector of an older scheme.
fn old_keys(algorithm: &AlgorithmIdentifierOwned, password: &str, length: usize) -> Result<(Bytes, Bytes)> {
    let parameters = algorithm.parameters.as_ref().and_then(|any| any.decode_as::<OldParameters>().ok());
    let parameters = parameters.ok_or_else(|| Error::Key("encrypted without parameters".to_owned()))?;
    let password = password_bytes(password);
    let derive = |purpose, length| {
        let salt = parameters.salt.as_bytes();
        derive::<Sha1>(&password, salt, parameters.iterations, purpose, SHA_1_BLOCK, length)
    };
    Ok((derive(Purpose::Encryption, length)?, derive(Purpose::InitialVector, 8)?))
}

/// Refuses to derive a key at any price.
fn check_cost(kdf: &Kdf) -> Result<()> {
    let is_dear = match kdf {
        Kdf::Pbkdf2(parameters) => parameters.iteration_count > MOST_ITERATIONS,
        // RFC 7914, 2: 128 · r · N bytes, p times.
        Kdf::Scrypt(parameters) => {
            let memory = 128 * u64::from(parameters.block_size);
            let memory = memory.saturating_mul(parameters.cost_parameter);
            memory.saturating_mul(parameters.parallelization.into()) > MOST_MEMORY
        }
        _ => true,
    };
    if is_dear { Err(Error::Key("its encryption takes too much time or memory".to_owned())) } else { Ok(()) }
}
