//! A server from listening to its graceful end.

use super::{BODY_LIMIT, Guard, Page, Token, asset, guard};
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::http::Uri;
use axum::middleware::from_fn_with_state;
use axum::serve::ListenerExt;
use std::net::SocketAddr;
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::sync::watch;
use tokio::task::JoinHandle;
use tokio::time::timeout;

/// How long a server that stops waits for requests under way.
const STOP_WITHIN: Duration = Duration::from_secs(5);

/// Why a server does not listen.
#[derive(Debug, thiserror::Error)]
pub enum ListenError {
    /// Anything but loopback would put readings and commands on a network without encryption.
    #[error(
        "{0} can be reached from other machines. Nothing is encrypted yet, so only a loopback address \
         (127.0.0.1 or [::1]) can be listened on"
    )]
    NotLoopback(SocketAddr),
    /// The system refused.
    #[error("cannot listen on {address}: {source}")]
    Refused {
        /// Where.
        address: SocketAddr,
        /// Why.
        source: std::io::Error,
    },
    /// No randomness for the start token.
    #[error("the system gives no randomness for the start token: {0}")]
    NoRandomness(#[from] getrandom::Error),
}

impl ListenError {
    /// A stable code.
    pub fn code(&self) -> &'static str {
        match self {
            Self::NotLoopback(_) => "not_loopback",
            Self::Refused { .. } => "cannot_listen",
            Self::NoRandomness(_) => "no_randomness",
        }
    }
}

/// A server that listens.
pub struct Server {
    address: SocketAddr,
    token: Token,
    listener: TcpListener,
    stop: watch::Sender<bool>,
}

/// A server that answers. Dropped, it goes on until the program ends; [`Serving::stop`] ends it.
pub struct Serving {
    /// Where it is.
    pub address: SocketAddr,
    /// The address line's token.
    pub token: Token,
    stop: watch::Sender<bool>,
    task: JoinHandle<std::io::Result<()>>,
}

impl Server {
    /// Listens on a loopback address; port 0 takes a free one.
    pub async fn listen(address: SocketAddr) -> Result<Self, ListenError> {
        if !address.ip().is_loopback() {
            return Err(ListenError::NotLoopback(address));
        }
        let refused = |source| ListenError::Refused { address, source };
        let listener = TcpListener::bind(address).await.map_err(refused)?;
        Ok(Self {
            address: listener.local_addr().map_err(refused)?,
            token: Token::random()?,
            listener,
            stop: watch::Sender::new(false),
        })
    }

    /// Where it listens.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// The token of its address line.
    pub fn token(&self) -> &Token {
        &self.token
    }

    /// Turns true when the server stops: every socket ends then.
    pub fn stopping(&self) -> watch::Receiver<bool> {
        self.stop.subscribe()
    }

    /// Serves the routes and the built pages, everything behind the guard. The office's routes have a door of their
    /// own, which knows the token too.
    pub fn serve(self, routes: Router, page: Page) -> Serving {
        let token = match page {
            Page::Tablet => Some(self.token.clone()),
            Page::Office => None,
        };
        let guard_of_this = Guard::new(token, self.address);
        let app = routes
            .fallback(move |uri: Uri| async move { asset(page, &uri) })
            .layer(DefaultBodyLimit::max(BODY_LIMIT))
            .layer(from_fn_with_state(guard_of_this, guard));
        // Small messages both ways: waiting to fill a packet would cost more than it saves.
        let listener = self.listener.tap_io(|socket| {
            if let Err(error) = socket.set_nodelay(true) {
                tracing::debug!(%error, "a socket keeps its delay");
            }
        });
        let mut stopping = self.stop.subscribe();
        let task = tokio::spawn(async move {
            axum::serve(listener, app)
                .with_graceful_shutdown(async move {
                    // An error means that nobody can ask it to stop any more; then it stops.
                    let _ = stopping.wait_for(|stopping| *stopping).await;
                })
                .await
        });
        Serving {
            address: self.address,
            token: self.token,
            stop: self.stop,
            task,
        }
    }
}

impl Serving {
    /// The address line's URL, token and all.
    pub fn url(&self) -> String {
        format!("http://{}/#token={}", self.address, self.token.reveal())
    }

    /// Where other devices link to.
    pub fn link_url(&self) -> String {
        format!("ws://{}/link", self.address)
    }

    /// Takes no more requests, ends the sockets, answers what has been asked, and is gone.
    /// Whoever has not finished asking within a few seconds is left.
    pub async fn stop(mut self) -> std::io::Result<()> {
        self.stop.send_replace(true);
        match timeout(STOP_WITHIN, &mut self.task).await {
            Ok(Ok(served)) => served,
            Ok(Err(error)) => Err(std::io::Error::other(error)),
            Err(_) => {
                self.task.abort();
                Ok(())
            }
        }
    }
}

/// Returns when the person or the system asks the program to stop.
pub async fn stop_asked() -> std::io::Result<()> {
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        let mut terminate = signal(SignalKind::terminate())?;
        tokio::select! {
            pressed = tokio::signal::ctrl_c() => pressed,
            _ = terminate.recv() => Ok(()),
        }
    }
    #[cfg(not(unix))]
    tokio::signal::ctrl_c().await
}

#[cfg(test)]
mod tests {
    use super::*;

    #[tokio::test]
    async fn an_address_that_others_can_reach_is_refused() {
        for address in ["0.0.0.0:0", "192.168.1.20:8080", "[::]:0"] {
            let refused = Server::listen(address.parse().unwrap()).await.err().unwrap();
            assert_eq!(refused.code(), "not_loopback");
            assert!(refused.to_string().contains("loopback"));
        }
    }

    #[tokio::test]
    async fn a_port_in_use_is_said_so() {
        let first = Server::listen("127.0.0.1:0".parse().unwrap()).await.unwrap();
        let second = Server::listen(first.address()).await.err().unwrap();
        assert_eq!(second.code(), "cannot_listen");
    }

    #[tokio::test]
    async fn each_start_has_its_own_token() {
        let any = "127.0.0.1:0".parse().unwrap();
        let (first, second) = (
            Server::listen(any).await.unwrap(),
            Server::listen(any).await.unwrap(),
        );
        assert_ne!(first.token.reveal(), second.token.reveal());
        assert_eq!(first.token.reveal().len(), 64);
    }
}
