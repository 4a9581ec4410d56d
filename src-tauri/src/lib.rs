//! The native shell around the tablet: a window, and nothing of the trade.

/// Opens the window and returns when it is closed. The phone and tablet builds start here too.
#[cfg_attr(mobile, tauri::mobile_entry_point)]
pub fn run() {
    if let Err(error) = tauri::Builder::default().run(tauri::generate_context!()) {
        eprintln!("The window could not be opened: {error}");
        std::process::exit(1);
    }
}
