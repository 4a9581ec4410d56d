//! Answers of the data routes: JSON that no cache keeps, and refusals with a stable code.

use axum::body::Bytes;
use axum::extract::rejection::BytesRejection;
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use serde::de::DeserializeOwned;
use turnwise_core::tablet::CommandError;

/// The largest body that a data route reads, in bytes: a note of the journal's greatest length and what is
/// said around it.
pub const BODY_LIMIT: usize = 256 * 1024;

/// A body straight from its text, or the refusal to send: never by way of a generic value, which would spell what
/// a newer version wrote anew.
pub fn read<T: DeserializeOwned>(body: Result<Bytes, BytesRejection>) -> Result<T, Refusal> {
    let body = body.map_err(|rejection| match rejection.status() {
        StatusCode::PAYLOAD_TOO_LARGE => Refusal {
            status: StatusCode::PAYLOAD_TOO_LARGE,
            code: "body_too_large",
            message: "the request is longer than this server reads".to_owned(),
        },
        status => Refusal {
            status,
            code: "body_not_read",
            message: rejection.body_text(),
        },
    })?;
    serde_json::from_slice(&body).map_err(|error| Refusal {
        status: StatusCode::BAD_REQUEST,
        code: "bad_json",
        message: error.to_string(),
    })
}

/// A request that does not get as far as the one it is meant for.
#[derive(Debug)]
pub struct Refusal {
    /// The status to answer with.
    pub status: StatusCode,
    /// A stable code.
    pub code: &'static str,
    /// Words.
    pub message: String,
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        with_status(self.status, &CommandError::new(self.code, self.message))
    }
}

/// A success as JSON.
pub fn json<T: Serialize>(body: &T) -> Response {
    with_status(StatusCode::OK, body)
}

/// A refused command or query, under its own code.
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
