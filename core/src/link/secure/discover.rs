//! Finding tablets and being found on a local network, by multicast DNS (RFC 6762) and service discovery (RFC 6763):
//! no server, no name that anybody hands out, no default route.
//!
//! What is announced: the version, a port, the addresses, and a [`Mark`] by which only those who are paired know the
//! tablet. Its name is announced only while it shows a code, so that the person who types it can pick it from a list.

use super::state::{Found, Mark};
use crate::link::{NAME_CAP, PROTOCOL};
use mdns_sd::{Receiver, ResolvedService, ScopedIp, ServiceDaemon, ServiceEvent, ServiceInfo};
use std::collections::HashMap;
use std::net::{IpAddr, SocketAddr, SocketAddrV6};

/// What the service is called.
const SERVICE: &str = "_turnwise._tcp.local.";

/// How often the addresses of this device are looked at, in seconds.
const LOOK_AT_ADDRESSES: u32 = 2;

/// The most addresses that are taken from one announcement.
const ADDRESSES: usize = 8;

/// Announces this tablet and listens for others, until it is dropped.
pub(super) struct Discovery {
    daemon: ServiceDaemon,
    events: Receiver<ServiceEvent>,
    listening: SocketAddr,
    mark: Mark,
    instance: String,
}

/// What was heard.
pub(super) enum Heard {
    /// A tablet, or something new about it.
    Tablet(String, Found),
    /// A tablet that says it leaves, or was not heard for long.
    Gone(String),
}

impl Discovery {
    /// Begins for a tablet that listens there.
    pub(super) fn start(listening: SocketAddr, mark: Mark) -> Result<Self, mdns_sd::Error> {
        let daemon = ServiceDaemon::new()?;
        daemon.set_ip_check_interval(LOOK_AT_ADDRESSES)?;
        let events = daemon.browse(SERVICE)?;
        Ok(Self {
            daemon,
            events,
            listening,
            mark,
            instance: format!("{:016x}", mark.start),
        })
    }

    /// Announces the tablet; by its name if it shows a code.
    pub(super) fn announce(&self, name: Option<&str>) -> Result<(), mdns_sd::Error> {
        let mut told = HashMap::from([
            ("v".to_owned(), PROTOCOL.to_string()),
            ("m".to_owned(), self.mark.write()),
        ]);
        if let Some(name) = name {
            // One string of a TXT record holds 255 bytes.
            let short: String = name.chars().take(40).collect();
            told.insert("name".to_owned(), short);
        }
        let host = format!("{}.local.", self.instance);
        let port = self.listening.port();
        let any = self.listening.ip().is_unspecified();
        let service = if any {
            ServiceInfo::new(SERVICE, &self.instance, &host, (), port, told)?.enable_addr_auto()
        } else {
            ServiceInfo::new(SERVICE, &self.instance, &host, self.listening.ip(), port, told)?
        };
        self.daemon.register(service)
    }

    /// What is heard next. Never returns once nothing can be heard any more.
    pub(super) async fn next(&self) -> Heard {
        loop {
            let Ok(event) = self.events.recv_async().await else {
                std::future::pending::<()>().await;
                continue;
            };
            match event {
                ServiceEvent::ServiceResolved(service) if !self.is_own(&service.fullname) => {
                    if let Some(found) = found(&service) {
                        return Heard::Tablet(service.fullname.clone(), found);
                    }
                }
                ServiceEvent::ServiceRemoved(_, name) => return Heard::Gone(name),
                _ => {}
            }
        }
    }

    fn is_own(&self, fullname: &str) -> bool {
        fullname
            .strip_suffix(SERVICE)
            .is_some_and(|instance| instance.trim_end_matches('.') == self.instance)
    }
}

impl Drop for Discovery {
    fn drop(&mut self) {
        let fullname = format!("{}.{SERVICE}", self.instance);
        let ended = self.daemon.unregister(&fullname).map(drop);
        if let Err(error) = ended.and_then(|()| self.daemon.shutdown().map(drop)) {
            tracing::debug!(%error, "discovery did not end by itself");
        }
    }
}

/// A tablet out of an announcement that makes sense.
fn found(service: &ResolvedService) -> Option<Found> {
    if service.get_property_val_str("v") != Some(&PROTOCOL.to_string()) {
        return None;
    }
    let mark = Mark::read(service.get_property_val_str("m")?)?;
    let name = service
        .get_property_val_str("name")
        .filter(|name| !name.is_empty() && name.len() <= NAME_CAP);
    let mut addresses: Vec<_> = service
        .addresses
        .iter()
        .filter_map(|address| at(address, service.port))
        .collect();
    addresses.sort_by_key(|address| (address.is_ipv6(), *address));
    addresses.truncate(ADDRESSES);
    Some(Found {
        name: name.map(str::to_owned),
        addresses,
        mark,
    })
}

/// Where to connect. An address of one link only is good only with the interface that it was heard on.
fn at(address: &ScopedIp, port: u16) -> Option<SocketAddr> {
    let ip = address.to_ip_addr();
    if ip.is_loopback() || ip.is_unspecified() || ip.is_multicast() {
        return None;
    }
    match (ip, address) {
        (IpAddr::V6(ip), ScopedIp::V6(scoped)) if ip.is_unicast_link_local() => Some(SocketAddr::V6(
            SocketAddrV6::new(ip, port, 0, scoped.scope_id().index),
        )),
        _ => Some(SocketAddr::new(ip, port)),
    }
}
