//! `turnwise vouch`: the office says whose key one is, so that its exports carry a certificate for it.
//!
//! A person does this, with the tablet's key before their eyes: nothing that came over a link is vouched for by itself.

use anyhow::{Context, bail};
use clap::ValueEnum;
use std::path::PathBuf;
use turnwise_core::journal::{PersonId, Role};
use turnwise_core::record::certificate::{Certificate, Vouched};
use turnwise_core::record::signature::bytes_of_hex;
use turnwise_core::store::{JournalStore, Seed};

/// What a person may.
#[derive(Clone, Copy, Debug, PartialEq, Eq, ValueEnum)]
pub enum MayBe {
    /// Works, settles and signs.
    LeadTech,
    /// Works and settles.
    Technician,
}

/// Whose key is vouched for, by which office, for how long.
#[derive(Clone, Debug, clap::Args)]
pub struct Options {
    /// The office's data. The office must not be running meanwhile.
    #[arg(long)]
    pub data: PathBuf,
    /// The person's name, as they write it on the tablet.
    #[arg(long)]
    pub name: String,
    /// The tablet's public key (hex), read off its own screen.
    #[arg(long)]
    pub key: String,
    /// What the person may.
    #[arg(long, value_enum, default_value_t = MayBe::LeadTech)]
    pub role: MayBe,
    /// From when, RFC 3339.
    #[arg(long)]
    pub from: String,
    /// Until when, RFC 3339.
    #[arg(long)]
    pub until: String,
}

/// Issues and keeps a certificate, and gives it as JSON.
///
/// # Errors
/// Where the key or a time is none, or the office's data cannot be opened.
pub fn run(options: &Options) -> anyhow::Result<String> {
    if bytes_of_hex::<32>(&options.key).is_none() {
        bail!("a key is 64 letters and digits, 0-9 and a-f");
    }
    let moment = |text: &str| {
        text.parse::<jiff::Timestamp>()
            .with_context(|| format!("{text} is no time such as 2026-05-04T09:12:03+02:00"))
    };
    if moment(&options.from)? >= moment(&options.until)? {
        bail!("it would end before it begins");
    }
    let name = options.name.trim();
    let vouched = Vouched {
        person: PersonId::of_name(name),
        name: name.to_owned(),
        roles: vec![match options.role {
            MayBe::LeadTech => Role::LeadTech,
            MayBe::Technician => Role::Technician,
        }],
        key: options.key.clone(),
        from: options.from.clone(),
        until: options.until.clone(),
    };
    let mut store = JournalStore::open(&options.data, Seed::draw()?)
        .with_context(|| format!("the office's data in {} cannot be opened", options.data.display()))?;
    let certificate = Certificate::issue(&store.device_key()?, vouched)?;
    store.store_mut().keep_certificate(&certificate)?;
    store.close()?;
    Ok(serde_json::to_string(&certificate)?)
}
