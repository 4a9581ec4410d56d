//! Network namespaces and the cables between them, by iproute2.

use anyhow::{Context, Result, ensure};
use std::process::Command;
use std::sync::atomic::{AtomicU32, Ordering};

/// Tells the places of one test run from those of another.
static NUMBERS: AtomicU32 = AtomicU32::new(0);

/// A network namespace: a machine's network without the machine. Gone when dropped, with all its interfaces.
#[derive(Debug)]
pub struct Place {
    name: String,
}

/// A pair of veth interfaces: a cable with a plug at each end. Goes with the places that it joins.
#[derive(Debug)]
pub struct Cable {
    plug: String,
    at: String,
}

impl Place {
    /// A new one, without any interface but its loopback.
    ///
    /// # Errors
    /// Where the kernel or the permissions do not allow namespaces: said in these words, for nothing was tested then.
    pub fn new() -> Result<Self> {
        let number = NUMBERS.fetch_add(1, Ordering::Relaxed);
        let name = format!("turnwise-{}-{number}", std::process::id());
        ip(&["netns", "add", &name]).context(
            "network namespaces are not permitted here, so the crew's link is not tested without a route: run as root \
             with iproute2 installed",
        )?;
        let place = Self { name };
        place.ip(&["link", "set", "lo", "up"])?;
        Ok(place)
    }

    /// Runs `ip` inside.
    pub fn ip(&self, arguments: &[&str]) -> Result<String> {
        let mut all = vec!["-n", self.name.as_str()];
        all.extend(arguments);
        ip(&all)
    }

    /// A program to be run inside.
    pub fn command(&self, program: impl AsRef<std::ffi::OsStr>) -> Command {
        let mut command = Command::new("ip");
        command.args(["netns", "exec", &self.name]).arg(program);
        command
    }

    /// Joins two by a cable: `plug` is the interface's name at both ends. No addresses yet.
    pub fn join(&self, plug: &str, other: &Self, other_plug: &str) -> Result<Cable> {
        self.ip(&[
            "link",
            "add",
            plug,
            "type",
            "veth",
            "peer",
            "name",
            other_plug,
            "netns",
            &other.name,
        ])?;
        self.ip(&["link", "set", plug, "up"])?;
        other.ip(&["link", "set", other_plug, "up"])?;
        Ok(Cable {
            plug: plug.to_owned(),
            at: self.name.clone(),
        })
    }

    /// Gives an interface this address and no other.
    pub fn address(&self, plug: &str, address: &str) -> Result<()> {
        self.ip(&["address", "flush", "dev", plug])?;
        self.ip(&["address", "add", address, "dev", plug])?;
        Ok(())
    }

    /// Nothing here leads anywhere but to who is on the cable.
    ///
    /// # Errors
    /// The route that does.
    pub fn has_no_way_out(&self) -> Result<()> {
        let route = self.ip(&["route", "show", "default"])?;
        ensure!(route.trim().is_empty(), "there is a default route: {route}");
        Ok(())
    }
}

impl Drop for Place {
    fn drop(&mut self) {
        if let Err(error) = ip(&["netns", "delete", &self.name]) {
            eprintln!("{} is left behind: {error:#}", self.name);
        }
    }
}

impl Cable {
    /// Pulls the plug.
    pub fn pull(&self) -> Result<()> {
        ip(&["-n", &self.at, "link", "set", &self.plug, "down"]).map(drop)
    }

    /// Puts it back.
    pub fn put_back(&self) -> Result<()> {
        ip(&["-n", &self.at, "link", "set", &self.plug, "up"]).map(drop)
    }
}

fn ip(arguments: &[&str]) -> Result<String> {
    let done = Command::new("ip")
        .args(arguments)
        .output()
        .context("`ip` of iproute2 could not be started")?;
    ensure!(
        done.status.success(),
        "ip {}: {}",
        arguments.join(" "),
        String::from_utf8_lossy(&done.stderr).trim()
    );
    Ok(String::from_utf8(done.stdout)?)
}
