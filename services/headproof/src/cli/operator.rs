//! Commands for whoever runs the service, at the machine itself, and for whoever checks what came from it.

use std::error::Error;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::Subcommand;
use headproof_store::ShopId;
use headproof_wire::Scope;
use uuid::Uuid;

use crate::commands::audit::{Against, Noted};
use crate::commands::serve::SHOP;
use crate::commands::verify::Vouchers;
use crate::commands::{audit, certificates, keys};
use crate::config::Config;

/// Which shop.
#[derive(Debug, clap::Args)]
pub(super) struct OfShop {
    /// The shop
    #[arg(long, default_value = SHOP, value_parser = shop)]
    shop: ShopId,
}

/// Who has to vouch for signatures.
#[derive(Debug, clap::Args)]
pub(super) struct VouchedFor {
    /// Certificates (PEM) that have to vouch for the signature, as the shop gives them out
    #[arg(long, value_name = "PEM")]
    authority: Option<PathBuf>,
    /// Certificates (PEM) that have to vouch for the timestamp, where there is one
    #[arg(long, value_name = "PEM")]
    timestamp_authority: Option<PathBuf>,
}

impl VouchedFor {
    pub(super) fn vouchers(&self) -> Vouchers<'_> {
        Vouchers {
            authority: self.authority.as_deref(),
            timestamp_authority: self.timestamp_authority.as_deref(),
        }
    }
}

/// Keys.
#[derive(Debug, Subcommand)]
pub(super) enum KeyCommand {
    /// Make a key and print its secret, which is kept nowhere
    Make {
        #[command(flatten)]
        of: OfShop,
        /// What it is for
        #[arg(long)]
        label: String,
        /// What it may do: submit, read, sign, admin; may be given more than once
        #[arg(long = "scope", required = true, value_parser = scope)]
        scopes: Vec<Scope>,
        /// The person it speaks for
        #[arg(long, value_name = "ID")]
        person: Option<Uuid>,
    },
    /// List the keys of a shop
    List {
        #[command(flatten)]
        of: OfShop,
    },
    /// Revoke a key
    Revoke {
        #[command(flatten)]
        of: OfShop,
        /// The key
        id: Uuid,
    },
}

/// Certificates.
#[derive(Debug, Subcommand)]
pub(super) enum CertificateCommand {
    /// Print the certificates that vouch for the people of a shop (PEM), for whoever shall check signatures
    Show {
        #[command(flatten)]
        of: OfShop,
    },
    /// Bring a certificate with its key: the shop's own, which vouches for people entered from now on, or a person's
    Bring {
        #[command(flatten)]
        of: OfShop,
        /// The person who signs with it; without, it is the shop's own
        #[arg(long, value_name = "ID")]
        person: Option<Uuid>,
        /// A file with its password, where it has one
        #[arg(long, value_name = "FILE")]
        password_file: Option<PathBuf>,
        /// PKCS#12 or PEM
        file: PathBuf,
    },
}

/// The audit trail.
#[derive(Debug, Subcommand)]
pub(super) enum AuditCommand {
    /// Print the trail of a shop, one entry a line
    Export {
        #[command(flatten)]
        of: OfShop,
    },
    /// Check a trail; what came after the newest checkpoint could have been cut off without a trace
    Verify {
        #[command(flatten)]
        of: OfShop,
        /// An exported trail; that of the store without it
        trail: Option<PathBuf>,
        /// A checkpoint noted elsewhere, SIZE:SHA256; may be given more than once
        #[arg(long = "checkpoint", value_name = "CHECKPOINT")]
        noted: Vec<Noted>,
        /// A signed sheet, which has a checkpoint in it; may be given more than once
        #[arg(long = "sheet", value_name = "PDF")]
        sheets: Vec<PathBuf>,
        #[command(flatten)]
        by: VouchedFor,
    },
}

fn shop(name: &str) -> Result<ShopId, &'static str> {
    ShopId::named(name).ok_or("up to 64 letters, digits, hyphens, dots and underscores")
}

fn scope(word: &str) -> Result<Scope, &'static str> {
    Scope::of(word).ok_or("submit, read, sign or admin")
}

impl KeyCommand {
    pub(super) fn run(self, config: &Config) -> Result<ExitCode, Box<dyn Error>> {
        let (of, wish) = match self {
            Self::Make { of, label, scopes, person } => (of, keys::Wish::Make { label, scopes, person }),
            Self::List { of } => (of, keys::Wish::List),
            Self::Revoke { of, id } => (of, keys::Wish::Revoke(id)),
        };
        keys::run(config, &of.shop, wish)
    }
}

impl CertificateCommand {
    pub(super) fn run(self, config: &Config) -> Result<ExitCode, Box<dyn Error>> {
        match self {
            Self::Show { of } => certificates::show(config, &of.shop),
            Self::Bring { of, person, password_file, file } => {
                certificates::bring(config, &of.shop, person, &file, password_file.as_deref())
            }
        }
    }
}

impl AuditCommand {
    /// The configuration is only read where there is a store to look into.
    pub(super) fn run(
        self,
        config: impl FnOnce() -> Result<Config, Box<dyn Error>>,
    ) -> Result<ExitCode, Box<dyn Error>> {
        match self {
            Self::Export { of } => audit::export(&config()?, &of.shop),
            Self::Verify { of, trail, noted, sheets, by } => {
                let against = Against { noted: &noted, sheets: &sheets, vouchers: by.vouchers() };
                audit::check(config, &of.shop, trail.as_deref(), &against)
            }
        }
    }
}
