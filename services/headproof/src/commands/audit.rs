//! The audit trail: shown, and checked against what is held elsewhere.

use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::str::FromStr;

use headproof_seal::Trust;
use headproof_store::{ShopId, Store};
use headproof_trail::{Checkpoint, verify};

use super::attached::sign_off;
use super::files::print;
use super::serve::{open, runtime};
use super::verify::{Vouchers, is_of};
use crate::config::Config;

/// A checkpoint as it is given on the command line: how many entries, a colon, the digest of the last.
#[derive(Debug, Clone)]
pub(crate) struct Noted(Checkpoint);

impl FromStr for Noted {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Self, &'static str> {
        let parsed = text.split_once(':').and_then(|(size, head)| Some((size.parse().ok()?, head)));
        let is_digest = |head: &str| head.len() == 64 && head.bytes().all(|byte| byte.is_ascii_hexdigit());
        match parsed {
            Some((size, head)) if is_digest(head) => {
                Ok(Self(Checkpoint { size, head: head.to_ascii_lowercase() }))
            }
            _ => Err("is no checkpoint: SIZE:SHA256"),
        }
    }
}

/// Prints the trail of a shop, an entry a line.
pub(crate) fn export(config: &Config, shop: &ShopId) -> Result<ExitCode, Box<dyn Error>> {
    let trail = of_store(config, shop)?;
    let mut out = Vec::new();
    for line in trail {
        out.extend_from_slice(&line);
        out.push(b'\n');
    }
    print(String::from_utf8(out)?.trim_end())?;
    Ok(ExitCode::SUCCESS)
}

/// What a trail is held against.
pub(crate) struct Against<'a> {
    /// Checkpoints that were noted.
    pub(crate) noted: &'a [Noted],
    /// Signed sheets, which have one in them.
    pub(crate) sheets: &'a [PathBuf],
    /// Who has to vouch for the signatures on them.
    pub(crate) vouchers: Vouchers<'a>,
}

/// Checks a trail, that of a file or else of the store, and says how far it reaches: exit code 0 when it hangs together and
/// agrees with every checkpoint, 1 when it does not.
pub(crate) fn check(
    config: impl FnOnce() -> Result<Config, Box<dyn Error>>,
    shop: &ShopId,
    trail: Option<&Path>,
    against: &Against<'_>,
) -> Result<ExitCode, Box<dyn Error>> {
    let mut known: Vec<Checkpoint> = against.noted.iter().map(|noted| noted.0.clone()).collect();
    let mut vouched = true;
    for path in against.sheets {
        let (checkpoint, by_somebody) = of_sheet(path, shop, against.vouchers)?;
        known.push(checkpoint);
        vouched &= by_somebody;
    }
    let lines = match trail {
        Some(path) => {
            let bytes = fs::read(path).map_err(|error| format!("{}: {error}", path.display()))?;
            let body = bytes.strip_suffix(b"\n").unwrap_or(&bytes);
            let lines = body.split(|byte| *byte == b'\n').map(<[u8]>::to_vec);
            if body.is_empty() { Vec::new() } else { lines.collect() }
        }
        None => of_store(&config()?, shop)?,
    };
    match verify(lines, &known) {
        Ok(Checkpoint { size, head }) => {
            let newest = known.iter().map(|known| known.size).max();
            print(&format!("{size} entries hang together; checkpoint {size}:{head}"))?;
            print(&match newest {
                Some(newest) => format!(
                    "The first {newest} are as they were when they were noted elsewhere; what came after them could \
                     have been cut off or written anew.{}",
                    if vouched {
                        ""
                    } else {
                        " Whether the sheets are the shop's was not checked: give --authority."
                    }
                ),
                None => {
                    "Nothing noted elsewhere was given: the whole could have been written anew.".to_owned()
                }
            })?;
            Ok(ExitCode::SUCCESS)
        }
        Err(broken) => {
            eprintln!("the audit trail is not as it was: {broken}");
            Ok(ExitCode::from(1))
        }
    }
}

/// The checkpoint in a signed sheet of this shop, if that is as it was signed; and whether anybody vouches for it.
fn of_sheet(
    path: &Path,
    shop: &ShopId,
    vouchers: Vouchers<'_>,
) -> Result<(Checkpoint, bool), Box<dyn Error>> {
    let named = |what: &str| format!("{}: {what}", path.display());
    let bytes = fs::read(path).map_err(|error| named(&error.to_string()))?;
    let looked = vouchers.look(&bytes)?.ok_or_else(|| named("is not signed"))?;
    if !looked.signed.is_intact() {
        return Err(named("is not as it was signed").into());
    }
    if let Some(Trust::Untrusted(why)) = &looked.trust {
        return Err(named(&format!("is signed, but {why}")).into());
    }
    let record = sign_off(&bytes).filter(|record| is_of(record, &looked.signed));
    let record = record.ok_or_else(|| named("holds no sign-off of who signed it"))?;
    if record.shop != shop.as_str() {
        return Err(named(&format!("is of shop {}", record.shop)).into());
    }
    let checkpoint = Checkpoint { size: record.checkpoint.size, head: record.checkpoint.head };
    Ok((checkpoint, looked.trust.is_some()))
}

fn of_store(config: &Config, shop: &ShopId) -> Result<Vec<Vec<u8>>, Box<dyn Error>> {
    runtime()?.block_on(async {
        let store: Store = open(config).await?;
        let mut all = Vec::new();
        loop {
            let mut lines = store.trail(shop, all.len() as u64).await?;
            if lines.is_empty() {
                break;
            }
            all.append(&mut lines);
        }
        store.close().await;
        Ok(all)
    })
}
