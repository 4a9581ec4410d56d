//! A TCP proxy that can be cut and mended: what a cable or a radio does to a link.

use std::io;
use std::net::SocketAddr;
use std::sync::Arc;
use std::sync::atomic::{AtomicU64, Ordering};
use tokio::io::{AsyncReadExt, AsyncWriteExt};
use tokio::net::tcp::{OwnedReadHalf, OwnedWriteHalf};
use tokio::net::{TcpListener, TcpStream};
use tokio::sync::watch;
use tokio::task::JoinSet;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Mode {
    /// Everything passes.
    Whole,
    /// Nothing passes and nobody is told: sockets stay open, as when a radio is out of reach.
    Silent,
    /// Every socket is closed, and so is every new one.
    Cut,
}

/// A proxy in front of one address.
#[derive(Debug)]
pub struct Cable {
    address: SocketAddr,
    wanted: watch::Sender<Mode>,
    reached: watch::Receiver<Mode>,
    carried: Arc<AtomicU64>,
}

impl Cable {
    /// A whole cable to this address. It lasts until it is dropped.
    pub async fn to(target: SocketAddr) -> io::Result<Self> {
        let listener = TcpListener::bind("127.0.0.1:0").await?;
        let address = listener.local_addr()?;
        let (wanted, wanted_seen) = watch::channel(Mode::Whole);
        let (reached_told, reached) = watch::channel(Mode::Whole);
        let carried = Arc::new(AtomicU64::new(0));
        let lay = Lay {
            listener,
            target,
            wanted: wanted_seen,
            reached: reached_told,
            carried: Arc::clone(&carried),
        };
        tokio::spawn(lay.run());
        Ok(Self {
            address,
            wanted,
            reached,
            carried,
        })
    }

    /// Where it begins.
    pub fn address(&self) -> SocketAddr {
        self.address
    }

    /// Closes every socket that runs through it. When this returns, they are closed.
    pub async fn cut(&self) {
        self.become_(Mode::Cut).await;
    }

    /// Lets nothing through from here on, and closes nothing.
    pub async fn silence(&self) {
        self.become_(Mode::Silent).await;
    }

    /// Lets everything through again.
    pub async fn mend(&self) {
        self.become_(Mode::Whole).await;
    }

    /// Bytes carried so far, both ways.
    pub fn carried(&self) -> u64 {
        self.carried.load(Ordering::Relaxed)
    }

    async fn become_(&self, mode: Mode) {
        self.wanted.send_replace(mode);
        // The other end of the channel lives until this cable is dropped.
        let _ = self.reached.clone().wait_for(|reached| *reached == mode).await;
    }
}

struct Lay {
    listener: TcpListener,
    target: SocketAddr,
    wanted: watch::Receiver<Mode>,
    reached: watch::Sender<Mode>,
    carried: Arc<AtomicU64>,
}

impl Lay {
    async fn run(mut self) {
        let mut lines = JoinSet::new();
        loop {
            let mode = *self.wanted.borrow_and_update();
            if mode == Mode::Cut {
                lines.shutdown().await;
            }
            self.reached.send_replace(mode);
            tokio::select! {
                changed = self.wanted.changed() => if changed.is_err() { return },
                accepted = self.listener.accept() => match accepted {
                    // Dropped, and with that closed, while the cable is cut.
                    Ok((near, _)) if mode != Mode::Cut => {
                        lines.spawn(line(near, self.target, self.wanted.clone(), Arc::clone(&self.carried)));
                    }
                    Ok(_) | Err(_) => {}
                },
                Some(_) = lines.join_next() => {}
            }
        }
    }
}

/// One connection through the cable, until either side ends it.
async fn line(near: TcpStream, target: SocketAddr, mode: watch::Receiver<Mode>, carried: Arc<AtomicU64>) {
    let Ok(far) = TcpStream::connect(target).await else {
        return;
    };
    if near
        .set_nodelay(true)
        .and_then(|()| far.set_nodelay(true))
        .is_err()
    {
        return;
    }
    let (near_in, near_out) = near.into_split();
    let (far_in, far_out) = far.into_split();
    tokio::select! {
        () = carry(near_in, far_out, mode.clone(), &carried) => {}
        () = carry(far_in, near_out, mode, &carried) => {}
    }
}

async fn carry(
    mut from: OwnedReadHalf,
    mut to: OwnedWriteHalf,
    mut mode: watch::Receiver<Mode>,
    carried: &AtomicU64,
) {
    let mut buffer = vec![0; 16 * 1024];
    loop {
        if mode.wait_for(|mode| *mode == Mode::Whole).await.is_err() {
            return;
        }
        let read = match from.read(&mut buffer).await {
            Ok(0) | Err(_) => return,
            Ok(read) => read,
        };
        // What was read just as the cable fell silent waits with it.
        if mode.wait_for(|mode| *mode == Mode::Whole).await.is_err() {
            return;
        }
        if to.write_all(&buffer[..read]).await.is_err() {
            return;
        }
        carried.fetch_add(read as u64, Ordering::Relaxed);
    }
}
