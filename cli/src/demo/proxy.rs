//! A stretch of network that can be cut: a TCP relay that, when cut, really closes every socket through it and
//! turns newcomers away.

use std::net::SocketAddr;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::tcp::{OwnedReadHalf, OwnedWriteHalf};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::watch;
use tokio::task::JoinHandle;

/// Bytes read at once: more than a frame of the link.
const CHUNK: usize = 128 * 1024;

/// A relay to one address. Dropped, it is gone and so are its sockets.
#[derive(Debug)]
pub struct Proxy {
    address: SocketAddr,
    reach: watch::Sender<bool>,
    open: watch::Receiver<usize>,
    carried: Arc<AtomicU64>,
    accepting: JoinHandle<()>,
}

impl Proxy {
    /// Relays a free port of this machine to `target`. In reach at first.
    pub async fn start(target: SocketAddr) -> std::io::Result<Self> {
        let listener = TcpListener::bind("127.0.0.1:0").await?;
        let address = listener.local_addr()?;
        let (reach, reach_seen) = watch::channel(true);
        let (open_told, open) = watch::channel(0);
        let carried = Arc::new(AtomicU64::new(0));
        let accepting = tokio::spawn(accept(
            listener,
            target,
            reach_seen,
            open_told,
            Arc::clone(&carried),
        ));
        Ok(Self {
            address,
            reach,
            open,
            carried,
            accepting,
        })
    }

    /// Where to connect instead of to the target.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Out of reach: closes every socket and turns newcomers away. When this returns, none is open.
    pub async fn cut(&self) {
        self.reach.send_replace(false);
        // An error means that the relay itself is gone, and its sockets with it.
        let _ = self.open.clone().wait_for(|open| *open == 0).await;
    }

    /// In reach again. Whoever was cut has to connect anew.
    pub fn join(&self) {
        self.reach.send_replace(true);
    }

    /// Whether it is in reach.
    pub fn in_reach(&self) -> bool {
        *self.reach.borrow()
    }

    /// Bytes carried so far, both ways together.
    pub fn carried(&self) -> u64 {
        self.carried.load(Ordering::Relaxed)
    }
}

impl Drop for Proxy {
    fn drop(&mut self) {
        self.accepting.abort();
    }
}

async fn accept(
    listener: TcpListener,
    target: SocketAddr,
    reach: watch::Receiver<bool>,
    open: watch::Sender<usize>,
    carried: Arc<AtomicU64>,
) {
    loop {
        let near = match listener.accept().await {
            Ok((near, _)) => near,
            Err(error) => {
                tracing::warn!(%error, "a connection could not be taken");
                continue;
            }
        };
        let (mut reach, open, carried) = (reach.clone(), open.clone(), Arc::clone(&carried));
        // Counted before reach is looked at: either this sees the cut, or the cut waits for this.
        open.send_modify(|open| *open += 1);
        if !*reach.borrow() {
            open.send_modify(|open| *open -= 1);
            continue;
        }
        tokio::spawn(async move {
            tokio::select! {
                ended = relay(near, target, &carried) => {
                    if let Err(error) = ended {
                        tracing::debug!(%error, "a connection ended");
                    }
                }
                // An error means that the relay is gone.
                _ = reach.wait_for(|reach| !*reach) => {}
            }
            open.send_modify(|open| *open -= 1);
        });
    }
}

/// Carries bytes both ways until both ends are done. Dropped, it closes both sockets.
async fn relay(near: TcpStream, target: SocketAddr, carried: &AtomicU64) -> std::io::Result<()> {
    let far = TcpStream::connect(target).await?;
    near.set_nodelay(true)?;
    far.set_nodelay(true)?;
    let ((near_out, near_in), (far_out, far_in)) = (near.into_split(), far.into_split());
    tokio::try_join!(
        one_way(near_out, far_in, carried),
        one_way(far_out, near_in, carried)
    )?;
    Ok(())
}

async fn one_way(
    mut from: OwnedReadHalf,
    mut to: OwnedWriteHalf,
    carried: &AtomicU64,
) -> std::io::Result<()> {
    let mut chunk = vec![0; CHUNK];
    loop {
        let read = from.read(&mut chunk).await?;
        if read == 0 {
            return to.shutdown().await;
        }
        to.write_all(&chunk[..read]).await?;
        carried.fetch_add(read as u64, Ordering::Relaxed);
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A server that says back what it hears.
    async fn an_echo() -> SocketAddr {
        let listener = TcpListener::bind("127.0.0.1:0").await.unwrap();
        let address = listener.local_addr().unwrap();
        tokio::spawn(async move {
            while let Ok((mut socket, _)) = listener.accept().await {
                tokio::spawn(async move {
                    let (mut read, mut write) = socket.split();
                    let _ = tokio::io::copy(&mut read, &mut write).await;
                });
            }
        });
        address
    }

    async fn says_back(socket: &mut TcpStream, word: &[u8]) -> bool {
        let mut heard = vec![0; word.len()];
        socket.write_all(word).await.is_ok() && socket.read_exact(&mut heard).await.is_ok() && heard == word
    }

    #[tokio::test]
    async fn in_reach_it_carries_both_ways_and_counts() {
        let proxy = Proxy::start(an_echo().await).await.unwrap();
        let mut socket = TcpStream::connect(proxy.address()).await.unwrap();
        assert!(says_back(&mut socket, b"sixty psi").await);
        assert_eq!(proxy.carried(), 18);
    }

    #[tokio::test]
    async fn cut_it_closes_what_was_open_and_turns_newcomers_away() {
        let proxy = Proxy::start(an_echo().await).await.unwrap();
        let mut before = TcpStream::connect(proxy.address()).await.unwrap();
        assert!(says_back(&mut before, b"a").await);
        proxy.cut().await;
        assert!(
            !says_back(&mut before, b"b").await,
            "the open socket was not closed"
        );
        let mut after = TcpStream::connect(proxy.address()).await.unwrap();
        assert!(!says_back(&mut after, b"c").await, "a newcomer was let through");
    }

    #[tokio::test]
    async fn joined_again_it_carries_whoever_connects_anew() {
        let proxy = Proxy::start(an_echo().await).await.unwrap();
        proxy.cut().await;
        proxy.join();
        let mut socket = TcpStream::connect(proxy.address()).await.unwrap();
        assert!(says_back(&mut socket, b"back in reach").await);
    }
}
