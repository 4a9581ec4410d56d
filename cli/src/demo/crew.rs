//! An office and two tablets on this machine, linked through stretches of network that can be cut.

use super::proof::until;
use super::proxy::Proxy;
use super::scenario::{LEAD, MATE};
use crate::{office, tablet};
use std::net::{Ipv4Addr, SocketAddr};
use std::path::Path;
use turnwise_core::journal::JobId;
use turnwise_core::tablet::view::JobStatus;
use turnwise_core::tablet::{Query, View};

/// The three programs and the three stretches between them.
pub struct Crew {
    /// The office.
    pub office: office::Running,
    /// The lead tech's tablet.
    pub lead: tablet::Running,
    /// The crew mate's tablet.
    pub mate: tablet::Running,
    /// The lead's tablet to the office.
    pub lead_to_office: Proxy,
    /// The mate's tablet to the office.
    pub mate_to_office: Proxy,
    /// Tablet to tablet.
    pub between: Proxy,
}

impl Crew {
    /// Starts all three in a folder of their own each, in reach of one another.
    pub async fn start(dir: &Path) -> anyhow::Result<Self> {
        let any = SocketAddr::from((Ipv4Addr::LOCALHOST, 0));
        let office = office::start(office::Options {
            data: dir.join("office"),
            listen: any,
            procedures: None,
        })
        .await?;
        let lead_to_office = Proxy::start(office.serving.address).await?;
        let mate_to_office = Proxy::start(office.serving.address).await?;
        let mate = tablet::start(tablet::Options {
            data: dir.join("tablet-ben"),
            listen: any,
            procedures: None,
            office: Some(link(&mate_to_office)),
            peers: Vec::new(),
            crew_listen: None,
            no_discovery: false,
            name: "Ben's tablet".to_owned(),
            person: Some(MATE.to_owned()),
        })
        .await?;
        let between = Proxy::start(mate.serving.address).await?;
        let lead = tablet::start(tablet::Options {
            data: dir.join("tablet-ana"),
            listen: any,
            procedures: None,
            office: Some(link(&lead_to_office)),
            peers: vec![link(&between)],
            crew_listen: None,
            no_discovery: false,
            name: "Ana's tablet".to_owned(),
            person: Some(LEAD.to_owned()),
        })
        .await?;
        Ok(Self {
            office,
            lead,
            mate,
            lead_to_office,
            mate_to_office,
            between,
        })
    }

    /// Waits until both tablets have fetched a job.
    pub async fn fetched(&self, job: JobId) -> anyhow::Result<()> {
        for tablet in [&self.lead.handle, &self.mate.handle] {
            until("the tablets fetch the job", &[tablet.changes()], async || {
                Ok(match tablet.view(Query::Home).await? {
                    View::Home(home) => home
                        .jobs
                        .iter()
                        .any(|card| card.job == job && card.status != JobStatus::Waiting),
                    _ => false,
                })
            })
            .await?;
        }
        Ok(())
    }

    /// Waits until all three would make the same record of a job: they hold the same changes.
    pub async fn converge(&self, job: JobId, what: &str) -> anyhow::Result<()> {
        let (lead, mate, office) = (&self.lead.handle, &self.mate.handle, &self.office.handle);
        let changes = [lead.changes(), mate.changes(), office.changes()];
        until(what, &changes, async || {
            let on_lead = lead.record(job).await?.digest;
            let on_mate = mate.record(job).await?.digest;
            let at_office = office.record(job).await?.digest;
            Ok(on_lead == on_mate && on_mate == at_office)
        })
        .await
    }

    /// Both tablets out of reach of everything. When this returns, no socket between the three is open.
    pub async fn cut(&self) {
        for stretch in self.stretches() {
            stretch.cut().await;
        }
    }

    /// Everybody in reach again.
    pub fn join(&self) {
        for stretch in self.stretches() {
            stretch.join();
        }
    }

    /// Bytes carried on all stretches, both ways.
    pub fn carried(&self) -> u64 {
        self.stretches().iter().map(|stretch| stretch.carried()).sum()
    }

    /// The three stretches.
    pub fn stretches(&self) -> [&Proxy; 3] {
        [&self.lead_to_office, &self.mate_to_office, &self.between]
    }

    /// Stops all three.
    pub async fn stop(self) -> std::io::Result<()> {
        self.lead.stop().await?;
        self.mate.stop().await?;
        self.office.stop().await
    }
}

fn link(stretch: &Proxy) -> String {
    format!("ws://{}/link", stretch.address())
}
