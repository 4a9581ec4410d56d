//! `turnwise office`: the office and its page.

use crate::shell::{Links, Page, Server, Serving, changes, link};
use anyhow::Context;
use axum::Router;
use axum::extract::ws::WebSocketUpgrade;
use axum::routing::get;
use std::net::SocketAddr;
use std::path::PathBuf;
use turnwise_office::door::Door;
use turnwise_office::{OfficeHandle, Options as OfficeOptions};

/// How an office is started.
#[derive(Clone, Debug, clap::Args)]
pub struct Options {
    /// Where its data are kept. Made if it is not there.
    #[arg(long)]
    pub data: PathBuf,
    /// The owner's folder of procedure files (*.toml); `procedures` under the data if none is named.
    #[arg(long, value_name = "DIR")]
    pub procedures: Option<PathBuf>,
    /// Where the page is served and tablets link to: a loopback address; port 0 takes a free one.
    #[arg(long, default_value = "127.0.0.1:0")]
    pub listen: SocketAddr,
}

/// An office that runs.
pub struct Running {
    /// The office itself.
    pub handle: OfficeHandle,
    /// Its server.
    pub serving: Serving,
}

/// Opens an office and serves its page.
pub async fn start(options: Options) -> anyhow::Result<Running> {
    let server = Server::listen(options.listen).await?;
    let data = options.data.clone();
    let mut opened = OfficeOptions::new(options.data);
    opened.procedures = options.procedures;
    let handle = OfficeHandle::open(opened)
        .with_context(|| format!("the office's data in {} cannot be opened", data.display()))?;
    let (told, stopping) = (handle.clone(), server.stopping());
    let links = Links {
        host: handle.clone(),
        stop: server.stopping(),
    };
    let door = Door::new(handle.registry(), Some(server.token().reveal()));
    let own = Router::new()
        .route(
            "/api/changes",
            get(async move |upgrade: WebSocketUpgrade| {
                upgrade.on_upgrade(async move |socket| changes(socket, told.changes(), stopping).await)
            }),
        )
        .route("/link", get(link::<OfficeHandle>).with_state(links));
    let routes = turnwise_office::routes(handle.clone(), door, own);
    Ok(Running {
        handle,
        serving: server.serve(routes, Page::Office),
    })
}

impl Running {
    /// Ends the links, answers what was asked, and closes the store.
    pub async fn stop(self) -> std::io::Result<()> {
        let served = self.serving.stop().await;
        self.handle.close().await;
        served
    }
}
