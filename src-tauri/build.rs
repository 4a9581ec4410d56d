//! Embeds the built screens, and lets the window call two commands and no other.

use std::path::Path;
use std::process::ExitCode;

fn main() -> ExitCode {
    let page = Path::new("../ui/dist/index.html");
    println!("cargo::rerun-if-changed=../ui/dist");
    if !page.is_file() {
        println!(
            "cargo::error=ui/dist/index.html is not there: the window shows the built screens. \
             Run `npm ci && npm run build` in ui/ first, or let `cargo xtask app` do it."
        );
        return ExitCode::FAILURE;
    }
    let commands = tauri_build::AppManifest::new().commands(&["command", "view"]);
    match tauri_build::try_build(tauri_build::Attributes::new().app_manifest(commands)) {
        Ok(()) => ExitCode::SUCCESS,
        Err(error) => {
            println!("cargo::error={error:#}");
            ExitCode::FAILURE
        }
    }
}
