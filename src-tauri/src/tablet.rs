//! The tablet behind the window: opened once, and heard.

use std::path::PathBuf;
use tauri::{AppHandle, Emitter, Manager};
use tokio::sync::watch;
use turnwise_core::store::Seed;
use turnwise_core::tablet::{CommandError, Options, TabletHandle};

/// Names another data folder than the platform's own for this program.
const DATA: &str = "TURNWISE_DATA";

/// Told to the screens, with a revision number, whenever anything shown may have changed.
const CHANGED: &str = "changed";

/// The tablet, or why there is none. A window that says what is wrong is better than one that does not open.
pub struct Tablet(Result<TabletHandle, CommandError>);

impl Tablet {
    /// The tablet.
    ///
    /// # Errors
    /// Why it could not be opened, the same to every question.
    pub fn opened(&self) -> Result<&TabletHandle, CommandError> {
        self.0.as_ref().map_err(Clone::clone)
    }
}

/// Opens the tablet and passes on word of its changes for as long as it lives.
///
/// # Errors
/// Where the platform names no data folder.
pub fn open(app: &AppHandle) -> tauri::Result<()> {
    let data = match std::env::var_os(DATA) {
        Some(path) => PathBuf::from(path),
        None => app.path().app_data_dir()?,
    };
    let tablet = Tablet(open_in(data));
    if let Ok(handle) = &tablet.0 {
        tauri::async_runtime::spawn(pass_on(handle.changes(), app.clone()));
    }
    app.manage(tablet);
    Ok(())
}

fn open_in(data: PathBuf) -> Result<TabletHandle, CommandError> {
    let seed = Seed::draw().map_err(|error| CommandError::new("no_randomness", error.to_string()))?;
    TabletHandle::open(Options::new(data, "Tablet"), seed)
        .map_err(|error| CommandError::new(error.code(), error.to_string()))
}

async fn pass_on(mut changes: watch::Receiver<u64>, app: AppHandle) {
    while changes.changed().await.is_ok() {
        let revision = *changes.borrow_and_update();
        if let Err(error) = app.emit(CHANGED, revision) {
            eprintln!("A change could not be told to the window: {error}");
        }
    }
}
