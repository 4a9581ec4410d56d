//! The office over HTTP: one route, one call.

use crate::api::{ApiError, ChangeRequest, HandOut};
use crate::desk;
use crate::door::{Caller, Door, door};
use crate::error::OfficeError;
use crate::handle::OfficeHandle;
use axum::Router;
use axum::body::Bytes;
use axum::extract::rejection::{BytesRejection, QueryRejection};
use axum::extract::{Extension, Path, Query, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::middleware::from_fn_with_state;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use serde::Serialize;
use serde::de::DeserializeOwned;
use turnwise_core::journal::JobId;
use turnwise_core::record::table::{Language, csv};
use turnwise_record::pdf::{Options as PrintOptions, Wanted};

/// The routes of an office, with `more` of the server's own, behind the door: see [`crate::door::ACCESS`].
pub fn routes(office: OfficeHandle, at_the_door: Door, more: Router) -> Router {
    Router::new()
        .route("/api/jobs", get(home).post(hand_out))
        .route("/api/procedures/reload", post(reload_procedures))
        .route("/api/jobs/{job}", get(job))
        .route("/api/jobs/{job}/request", post(change_request))
        .route("/api/jobs/{job}/export.json", get(export))
        .route("/api/jobs/{job}/record.json", get(signed_record))
        .route("/api/jobs/{job}/record.pdf", get(printed))
        .route("/api/jobs/{job}/export.csv", get(table))
        .route("/api/{*rest}", axum::routing::any(no_route))
        .with_state(office)
        .merge(desk::routes().with_state(at_the_door.clone()))
        .merge(more)
        .layer(Extension(at_the_door.clone()))
        .route_layer(from_fn_with_state(at_the_door, door))
}

async fn home(State(office): State<OfficeHandle>) -> Response {
    answer(office.home().await)
}

async fn reload_procedures(State(office): State<OfficeHandle>) -> Response {
    answer(office.reload_procedures().await)
}

async fn hand_out(
    State(office): State<OfficeHandle>,
    Extension(door): Extension<Door>,
    Extension(caller): Extension<Caller>,
    body: Result<Bytes, BytesRejection>,
) -> Response {
    match read::<HandOut>(body) {
        Ok(job) => {
            let handed_out = office.hand_out(job).await;
            if let Ok(job) = &handed_out {
                door.note(&caller, "job_handed_out", job.number.as_str()).await;
            }
            answer(handed_out)
        }
        Err(refusal) => refusal.into_response(),
    }
}

async fn job(State(office): State<OfficeHandle>, Path(job): Path<String>) -> Response {
    match which(&job) {
        Ok(job) => answer(office.job(job).await),
        Err(refusal) => refusal.into_response(),
    }
}

async fn change_request(
    State(office): State<OfficeHandle>,
    Extension(door): Extension<Door>,
    Extension(caller): Extension<Caller>,
    Path(job): Path<String>,
    body: Result<Bytes, BytesRejection>,
) -> Response {
    match (which(&job), read::<ChangeRequest>(body)) {
        (Ok(job), Ok(change)) => {
            let changed = office.change_request(job, change).await;
            if let Ok(job) = &changed {
                door.note(&caller, "request_changed", job.number.as_str()).await;
            }
            answer(changed)
        }
        (Err(refusal), _) | (_, Err(refusal)) => refusal.into_response(),
    }
}

async fn export(State(office): State<OfficeHandle>, Path(job): Path<String>) -> Response {
    match which(&job) {
        Ok(job) => match office.export(job).await {
            Ok(export) => match export.text() {
                Ok(text) => json(StatusCode::OK, text.into_bytes()),
                Err(error) => refused(&error.into()),
            },
            Err(error) => refused(&error),
        },
        Err(refusal) => refusal.into_response(),
    }
}

/// The words of a table.
#[derive(serde::Deserialize)]
struct Words {
    /// The language, `en` or `es`.
    #[serde(default)]
    lang: String,
}

async fn table(
    State(office): State<OfficeHandle>,
    Path(job): Path<String>,
    Query(words): Query<Words>,
) -> Response {
    let job = match which(&job) {
        Ok(job) => job,
        Err(refusal) => return refusal.into_response(),
    };
    let document = office.export(job).await.and_then(|export| Ok(export.document()?));
    match document {
        Ok(document) => {
            let text = csv(&document, Language::of(&words.lang));
            let headers = [
                (
                    header::CONTENT_TYPE,
                    HeaderValue::from_static("text/csv; charset=utf-8; header=present"),
                ),
                (header::CACHE_CONTROL, HeaderValue::from_static("no-store")),
            ];
            (StatusCode::OK, headers, text).into_response()
        }
        Err(error) => refused(&error),
    }
}

async fn signed_record(State(office): State<OfficeHandle>, Path(job): Path<String>) -> Response {
    match which(&job) {
        Ok(job) => match office.signed_record(job).await {
            Ok(bytes) => json(StatusCode::OK, bytes.to_vec()),
            Err(error) => refused(&error),
        },
        Err(refusal) => refusal.into_response(),
    }
}

async fn printed(
    State(office): State<OfficeHandle>,
    Path(job): Path<String>,
    wanted: Result<Query<Wanted>, QueryRejection>,
) -> Response {
    let options = match wanted {
        Ok(Query(wanted)) => {
            PrintOptions::try_from(&wanted).map_err(|error| (error.code(), error.to_string()))
        }
        Err(rejection) => Err(("bad_query", rejection.body_text())),
    };
    match (which(&job), options) {
        (Ok(job), Ok(options)) => match office.printed(job, options).await {
            Ok(pdf) => whole(StatusCode::OK, "application/pdf", pdf),
            Err(error) => refused(&error),
        },
        (Err(refusal), _) => refusal.into_response(),
        (_, Err((code, message))) => Refusal {
            status: StatusCode::BAD_REQUEST,
            code,
            message,
        }
        .into_response(),
    }
}

async fn no_route() -> Response {
    Refusal {
        status: StatusCode::NOT_FOUND,
        code: "no_route",
        message: "the office has no such route".to_owned(),
    }
    .into_response()
}

/// The job of a path, or the refusal to send.
fn which(text: &str) -> Result<JobId, Refusal> {
    text.parse().map_err(|_| Refusal {
        status: StatusCode::NOT_FOUND,
        code: "unknown_job",
        message: "this is not the id of a job".to_owned(),
    })
}

/// A body straight from its text, or the refusal to send.
pub(crate) fn read<T: DeserializeOwned>(body: Result<Bytes, BytesRejection>) -> Result<T, Refusal> {
    let body = body.map_err(|rejection| match rejection.status() {
        StatusCode::PAYLOAD_TOO_LARGE => Refusal {
            status: StatusCode::PAYLOAD_TOO_LARGE,
            code: "body_too_large",
            message: "the request is longer than the office reads".to_owned(),
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

/// A request that does not get as far as the office.
pub(crate) struct Refusal {
    /// The answer's status.
    pub status: StatusCode,
    /// A stable code.
    pub code: &'static str,
    /// The same in English words.
    pub message: String,
}

impl Refusal {
    /// The office could not do its own part.
    pub fn unable(code: &'static str, message: String) -> Self {
        tracing::error!(code, "{message}");
        Self {
            status: StatusCode::INTERNAL_SERVER_ERROR,
            code,
            message,
        }
    }

    /// Something in the request does not make sense.
    pub fn invalid(code: &'static str, message: &str) -> Self {
        Self {
            status: StatusCode::UNPROCESSABLE_ENTITY,
            code,
            message: message.to_owned(),
        }
    }

    /// What was asked for is not here.
    pub fn not_found(code: &'static str, message: &str) -> Self {
        Self {
            status: StatusCode::NOT_FOUND,
            code,
            message: message.to_owned(),
        }
    }
}

impl IntoResponse for Refusal {
    fn into_response(self) -> Response {
        let error = ApiError {
            code: self.code.to_owned(),
            message: self.message,
        };
        written(self.status, &error)
    }
}

fn answer<T: Serialize>(outcome: Result<T, OfficeError>) -> Response {
    match outcome {
        Ok(body) => written(StatusCode::OK, &body),
        Err(error) => refused(&error),
    }
}

fn refused(error: &OfficeError) -> Response {
    let status = match error {
        OfficeError::Invalid(_) | OfficeError::UnknownValve | OfficeError::ValveTwice => {
            StatusCode::UNPROCESSABLE_ENTITY
        }
        OfficeError::NumberTaken(_) | OfficeError::NotOpened | OfficeError::RecordMismatch => {
            StatusCode::CONFLICT
        }
        OfficeError::UnknownJob(_) | OfficeError::NotSigned => StatusCode::NOT_FOUND,
        OfficeError::Unable { .. } => StatusCode::INTERNAL_SERVER_ERROR,
        OfficeError::Stopping => StatusCode::SERVICE_UNAVAILABLE,
    };
    if status == StatusCode::INTERNAL_SERVER_ERROR {
        tracing::error!(code = error.code(), "{error}");
    }
    written(status, &error.to_api())
}

pub(crate) fn written<T: Serialize>(status: StatusCode, body: &T) -> Response {
    match serde_json::to_vec(body) {
        Ok(bytes) => json(status, bytes),
        Err(error) => {
            tracing::error!(%error, "an answer could not be written as JSON");
            StatusCode::INTERNAL_SERVER_ERROR.into_response()
        }
    }
}

fn json(status: StatusCode, bytes: Vec<u8>) -> Response {
    whole(status, "application/json", bytes)
}

fn whole(status: StatusCode, kind: &'static str, bytes: Vec<u8>) -> Response {
    let headers = [
        (header::CONTENT_TYPE, HeaderValue::from_static(kind)),
        (header::CACHE_CONTROL, HeaderValue::from_static("no-store")),
    ];
    (status, headers, bytes).into_response()
}
