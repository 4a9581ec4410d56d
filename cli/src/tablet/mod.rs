//! `turnwise tablet`: a tablet in a browser.

mod routes;

use crate::shell::{Links, Page, Server, Serving, either};
use anyhow::Context;
use std::net::SocketAddr;
use std::path::PathBuf;
use tokio::sync::watch;
use turnwise_core::link::Dialer;
use turnwise_core::link::secure::CrewOptions;
use turnwise_core::store::Seed;
use turnwise_core::tablet::{Command, CrewLink, Options as TabletOptions, TabletHandle};

/// How a tablet is started.
#[derive(Clone, Debug, clap::Args)]
pub struct Options {
    /// Where its data are kept. Made if it is not there.
    #[arg(long)]
    pub data: PathBuf,
    /// The owner's folder of procedure files (*.toml); `procedures` under the data if none is named.
    #[arg(long, value_name = "DIR")]
    pub procedures: Option<PathBuf>,
    /// Where the page is served: a loopback address; port 0 takes a free one.
    #[arg(long, default_value = "127.0.0.1:0")]
    pub listen: SocketAddr,
    /// Where the office is: ws://HOST:PORT/link.
    #[arg(long)]
    pub office: Option<String>,
    /// Where a crew mate's tablet is: ws://HOST:PORT/link. May be given several times.
    #[arg(long = "peer")]
    pub peers: Vec<String>,
    /// Where to listen for crew mates' tablets, such as 0.0.0.0:47800. Without it there is no link with tablets that are
    /// not named by --peer. Only tablets that were paired by a code are let in, and everything is encrypted.
    #[arg(long)]
    pub crew_listen: Option<SocketAddr>,
    /// Do not look for tablets around and do not be found: addresses are typed.
    #[arg(long, requires = "crew_listen")]
    pub no_discovery: bool,
    /// What crew mates see it called.
    #[arg(long, default_value = "Tablet")]
    pub name: String,
    /// Who uses it. Kept; without it, whoever used it last.
    #[arg(long)]
    pub person: Option<String>,
}

/// A tablet that runs.
pub struct Running {
    /// The tablet itself.
    pub handle: TabletHandle,
    /// Its server.
    pub serving: Serving,
    /// The link with paired tablets, if it was asked for.
    pub crew: Option<CrewLink>,
    /// Ends the links when dropped.
    _links: watch::Sender<()>,
}

/// Opens a tablet, dials everybody it was told of, and serves its page.
pub async fn start(options: Options) -> anyhow::Result<Running> {
    let server = Server::listen(options.listen).await?;
    let data = options.data.clone();
    let mut opened = TabletOptions::new(options.data, options.name);
    opened.procedures = options.procedures;
    let handle = TabletHandle::open(opened, Seed::draw()?)
        .with_context(|| format!("the tablet's data in {} cannot be opened", data.display()))?;
    if let Some(name) = options.person {
        handle.command(Command::SetMe { name }).await?;
    }
    let crew = match options.crew_listen {
        Some(listen) => {
            let discover = !options.no_discovery;
            let mut new_key = [0; 32];
            getrandom::fill(&mut new_key)?;
            Some(
                handle
                    .start_crew(CrewOptions { listen, discover }, new_key)
                    .await?,
            )
        }
        None => None,
    };
    let (links, dropped) = watch::channel(());
    for address in options.office.into_iter().chain(options.peers) {
        tokio::spawn(keep_dialing(handle.clone(), address, dropped.clone()));
    }
    let links_of_peers = Links {
        host: handle.clone(),
        stop: either(handle.link_stop(), server.stopping()),
    };
    let routes = routes::routes(handle.clone(), links_of_peers, server.stopping());
    Ok(Running {
        handle,
        crew,
        serving: server.serve(routes, Page::Tablet),
        _links: links,
    })
}

impl Running {
    /// Ends the links, answers what was asked, and lets go of the tablet.
    pub async fn stop(self) -> std::io::Result<()> {
        self.serving.stop().await
    }
}

/// Dials one address for as long as the tablet is to be linked, and hangs up when it is not.
async fn keep_dialing(tablet: TabletHandle, address: String, mut dropped: watch::Receiver<()>) {
    let mut leave = tablet.link_stop();
    let dialer = Dialer::start(tablet, address);
    loop {
        let away = *leave.borrow_and_update();
        if away {
            dialer.hang_up().await;
        } else {
            dialer.dial();
        }
        tokio::select! {
            changed = leave.changed() => if changed.is_err() { return },
            // Nothing is ever sent: it changes by being dropped.
            _ = dropped.changed() => return,
        }
    }
}
