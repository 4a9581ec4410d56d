//! What the screens may call: two commands, one call deep each.
//!
//! They take and give JSON as text. A generic value in between would spell anew what a newer version wrote, and the
//! journal keeps that as it came.

use crate::tablet::Tablet;
use serde::Serialize;
use serde::de::DeserializeOwned;
use tauri::State;
use turnwise_core::tablet::{Command, CommandError, Query};

/// Carries out a [`Command`] and answers with a [`turnwise_core::tablet::Reply`].
#[tauri::command]
pub async fn command(tablet: State<'_, Tablet>, json: String) -> Result<String, CommandError> {
    let command: Command = read(&json)?;
    write(&tablet.opened()?.command(command).await?)
}

/// Shows a screen: a [`Query`] is answered with a [`turnwise_core::tablet::View`].
#[tauri::command]
pub async fn view(tablet: State<'_, Tablet>, json: String) -> Result<String, CommandError> {
    let query: Query = read(&json)?;
    write(&tablet.opened()?.view(query).await?)
}

/// Refuses with the code that the browser shell uses for the same mistake.
fn read<T: DeserializeOwned>(json: &str) -> Result<T, CommandError> {
    serde_json::from_str(json).map_err(|error| CommandError::new("bad_json", error.to_string()))
}

fn write<T: Serialize>(answer: &T) -> Result<String, CommandError> {
    serde_json::to_string(answer).map_err(|error| CommandError::new("answer_not_written", error.to_string()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_no_command_is_refused_with_a_code() {
        let refused = read::<Command>("{\"open_the_pod_bay\":{}}").unwrap_err();
        assert_eq!(refused.code, "bad_json");
    }

    #[test]
    fn a_query_is_read_as_the_browser_shell_reads_it() {
        assert_eq!(read::<Query>("\"home\"").unwrap(), Query::Home);
    }
}
