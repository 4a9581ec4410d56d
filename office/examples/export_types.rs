//! Writes the TypeScript types that the screens use: `cargo xtask types` runs it, and the test command fails
//! when the committed ones differ.

use ts_rs::{Config, TS};
use turnwise_core::tablet::{Command, CommandError, Query, Reply, View};
use turnwise_office::api;

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let dir = std::env::args().nth(1).ok_or("usage: export_types DIR")?;
    let config = Config::new().with_out_dir(dir);
    Command::export_all(&config)?;
    CommandError::export_all(&config)?;
    Query::export_all(&config)?;
    Reply::export_all(&config)?;
    View::export_all(&config)?;
    api::HandOut::export_all(&config)?;
    api::ChangeRequest::export_all(&config)?;
    api::OfficeHome::export_all(&config)?;
    api::SessionView::export_all(&config)?;
    api::SignIn::export_all(&config)?;
    api::NewPassword::export_all(&config)?;
    api::AccountView::export_all(&config)?;
    api::AccountNew::export_all(&config)?;
    api::AccountChange::export_all(&config)?;
    api::TokenNew::export_all(&config)?;
    api::TokenMade::export_all(&config)?;
    api::AuditPage::export_all(&config)?;
    api::ApiError::export_all(&config)?;
    Ok(())
}
