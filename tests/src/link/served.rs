//! A device that takes links on a port of its own.

use super::Device;
use std::io;
use std::net::SocketAddr;
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::{mpsc, watch};
use tokio::task::JoinSet;
use tokio_tungstenite::accept_async_with_config;
use turnwise_core::link::{CloseReason, run, ws};

/// Takes links for a device until it is dropped.
#[derive(Debug)]
pub struct Served {
    address: SocketAddr,
    stop: watch::Sender<bool>,
    ended: mpsc::UnboundedReceiver<CloseReason>,
    kill: watch::Sender<bool>,
}

impl Served {
    /// Serves the device on a free port of the loopback.
    pub async fn start(device: &Device) -> io::Result<Self> {
        let listener = TcpListener::bind("127.0.0.1:0").await?;
        let address = listener.local_addr()?;
        let (stop, stop_seen) = watch::channel(false);
        let (kill, mut killed) = watch::channel(false);
        let (ended_told, ended) = mpsc::unbounded_channel();
        let device = device.clone();
        tokio::spawn(async move {
            let mut links = JoinSet::new();
            loop {
                tokio::select! {
                    accepted = listener.accept() => if let Ok((tcp, _)) = accepted {
                        links.spawn(serve(device.clone(), tcp, stop_seen.clone(), ended_told.clone()));
                    },
                    Some(_) = links.join_next() => {}
                    // Dropped or killed: every link's future is dropped where it stands.
                    _ = killed.changed() => return,
                }
            }
        });
        Ok(Self {
            address,
            stop,
            ended,
            kill,
        })
    }

    /// Where it listens.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Where a link finds it, straight or through a cable that begins at `via`.
    pub fn url(via: SocketAddr) -> String {
        format!("ws://{via}/link")
    }

    /// Asks every link to end.
    pub fn stop(&self) {
        self.stop.send_replace(true);
    }

    /// Ends it as a killed process ends: nothing more is done or said.
    pub fn kill(&self) {
        self.kill.send_replace(true);
    }

    /// Why the next link ended. None once no link can end any more.
    pub async fn ended(&mut self) -> Option<CloseReason> {
        self.ended.recv().await
    }
}

async fn serve(
    device: Device,
    tcp: TcpStream,
    stop: watch::Receiver<bool>,
    ended: mpsc::UnboundedSender<CloseReason>,
) {
    if tcp.set_nodelay(true).is_err() {
        return;
    }
    let Ok(socket) = accept_async_with_config(tcp, Some(ws::config())).await else {
        return;
    };
    let reason = run(device, ws::tungstenite(socket), stop).await;
    // The test may have stopped listening.
    let _ = ended.send(reason);
}
