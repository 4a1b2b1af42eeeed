//! Keys, made at the machine itself: for the first of a further shop, or where every other was lost.

use std::error::Error;
use std::process::ExitCode;

use headproof_api::{KeySecret, KeyWish, operator};
use headproof_store::ShopId;
use headproof_wire::Scope;
use uuid::Uuid;

use super::files::print;
use super::serve::{open, runtime};
use crate::config::Config;

/// What to do with keys.
pub(crate) enum Wish {
    /// Make one.
    Make {
        /// What it is for.
        label: String,
        /// What it may do.
        scopes: Vec<Scope>,
        /// The person it speaks for.
        person: Option<Uuid>,
    },
    /// Show all of a shop.
    List,
    /// Revoke one.
    Revoke(Uuid),
}

/// Does it, and prints what came of it: a new key's secret alone, so that it can be put where it belongs.
pub(crate) fn run(config: &Config, shop: &ShopId, wish: Wish) -> Result<ExitCode, Box<dyn Error>> {
    runtime()?.block_on(async {
        let store = open(config).await?;
        match wish {
            Wish::Make { label, scopes, person } => {
                if scopes.contains(&Scope::Sign) && person.is_none() {
                    return Err("only a person signs: name one with --person".into());
                }
                if let Some(id) = person
                    && store.person(shop, id).await?.is_none_or(|person| person.left_at.is_some())
                {
                    return Err(format!("{id} is nobody of shop {shop} who signs").into());
                }
                let (secret, new) = KeySecret::new(KeyWish { label, scopes, person, expires_at: None })?;
                store.keep_key(shop, new, &operator(), None).await?;
                print(&secret.text())?;
            }
            Wish::List => {
                for key in store.keys(shop).await? {
                    let state = if key.revoked_at.is_some() { " (revoked)" } else { "" };
                    let content = key.content;
                    print(&format!("{} {}: {}{state}", content.id, content.label, content.scopes))?;
                }
            }
            Wish::Revoke(id) => {
                if !store.revoke_key(shop, id, &operator()).await? {
                    return Err(format!("shop {shop} has no key {id}").into());
                }
            }
        }
        store.close().await;
        Ok(ExitCode::SUCCESS)
    })
}
