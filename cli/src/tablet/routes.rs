//! A tablet over HTTP: one route, one call.

use crate::shell::{Links, Refusal, changes, command_error, json, link, read};
use axum::Router;
use axum::body::Bytes;
use axum::extract::rejection::BytesRejection;
use axum::extract::ws::WebSocketUpgrade;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::{any, get, post};
use tokio::sync::watch;
use turnwise_core::tablet::{Command, Query, TabletHandle};

/// The routes of a tablet. Who may call them is the server's business.
pub fn routes(tablet: TabletHandle, links: Links<TabletHandle>, stopping: watch::Receiver<bool>) -> Router {
    let (commanded, viewed) = (tablet.clone(), tablet.clone());
    Router::new()
        .route(
            "/api/command",
            post(async move |body| command(&commanded, body).await),
        )
        .route("/api/view", post(async move |body| view(&viewed, body).await))
        .route(
            "/api/changes",
            get(async move |upgrade: WebSocketUpgrade| {
                upgrade.on_upgrade(async move |socket| changes(socket, tablet.changes(), stopping).await)
            }),
        )
        .route(
            "/api/{*rest}",
            any(async || Refusal {
                status: StatusCode::NOT_FOUND,
                code: "no_route",
                message: "a tablet has no such route".to_owned(),
            }),
        )
        .route("/link", get(link::<TabletHandle>).with_state(links))
}

async fn command(tablet: &TabletHandle, body: Result<Bytes, BytesRejection>) -> Response {
    match read::<Command>(body) {
        Ok(command) => match tablet.command(command).await {
            Ok(reply) => json(&reply),
            Err(error) => command_error(&error),
        },
        Err(refusal) => refusal.into_response(),
    }
}

async fn view(tablet: &TabletHandle, body: Result<Bytes, BytesRejection>) -> Response {
    match read::<Query>(body) {
        Ok(query) => match tablet.view(query).await {
            Ok(view) => json(&view),
            Err(error) => command_error(&error),
        },
        Err(refusal) => refusal.into_response(),
    }
}
