//! Answers of the data routes: JSON that no cache keeps, and refusals with a stable code.

use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use turnwise_core::tablet::CommandError;

/// The largest body that a data route reads, in bytes: a note of the journal's greatest length and what is
/// said around it.
pub const BODY_LIMIT: usize = 256 * 1024;

/// A success as JSON.
pub fn json<T: Serialize>(body: &T) -> Response {
    with_status(StatusCode::OK, body)
}

/// A refusal: the status, a stable code, and words.
pub fn refusal(status: StatusCode, code: &str, message: impl Into<String>) -> Response {
    with_status(status, &CommandError::new(code, message))
}

/// A refused command. What could not be made durable is the server's doing, everything else the asker's.
pub fn command_error(error: &CommandError) -> Response {
    with_status(StatusCode::UNPROCESSABLE_ENTITY, error)
}

fn with_status<T: Serialize>(status: StatusCode, body: &T) -> Response {
    match serde_json::to_vec(body) {
        Ok(bytes) => (
            status,
            [
                (header::CONTENT_TYPE, HeaderValue::from_static("application/json")),
                (header::CACHE_CONTROL, HeaderValue::from_static("no-store")),
            ],
            bytes,
        )
            .into_response(),
        Err(error) => {
            tracing::error!(%error, "an answer could not be written as JSON");
            StatusCode::INTERNAL_SERVER_ERROR.into_response()
        }
    }
}
