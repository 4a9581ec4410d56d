//! The native shell around the tablet: a window, and nothing of the trade.
//!
//! The screens are the same as in the browser shell and ask the same two things, with the same JSON. What is asked
//! goes to the core as it came: see [`commands`].

mod commands;
mod tablet;

/// Opens the window and returns when it is closed. The phone and tablet builds start here too.
#[cfg_attr(mobile, tauri::mobile_entry_point)]
pub fn run() {
    let opened = tauri::Builder::default()
        .setup(|app| Ok(tablet::open(app.handle())?))
        .invoke_handler(tauri::generate_handler![commands::command, commands::view])
        .run(tauri::generate_context!());
    if let Err(error) = opened {
        eprintln!("The window could not be opened: {error}");
        std::process::exit(1);
    }
}
