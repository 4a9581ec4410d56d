//! The main job from end to end, without a browser: over real sockets, into real files.
//!
//! The office hands out a job; both tablets fetch it and go out of reach. The lead tech brings the valve into
//! service, the mate reads topside, both say something different of the downstream block valve, and meanwhile
//! the customer asks for another pressure. Back in reach everybody sees all of it; the crew settles, sets again,
//! closes out and signs; the office has the very record that was signed.

use super::crew::Crew;
use super::hand::Hand;
use super::proof::{Proof, until};
use super::scenario::{self, CHANGED_TO_PSI, LEAD, MATE, Network, figure};
use super::valve::Valve;
use super::walk::{Walk, duties};
use anyhow::{Context, bail};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use std::time::Instant;
use turnwise_core::journal::{
    AssetId, Body, EntryId, JobId, LineUp, PersonId, Position, Purpose, Register, Water,
};
use turnwise_core::procedure::Procedures;
use turnwise_core::quantity::{Figure, Unit};
use turnwise_core::record::digest;
use turnwise_core::record::table::{Language, csv};
use turnwise_core::tablet::view::{JobStatus, ReviewItem};
use turnwise_office::api::{ChangeRequest, OfficeJob};

/// The element that the two of the crew disagree on.
const DISPUTED: &str = "downstream_block";

/// What came of it.
#[derive(Clone, Debug, Serialize)]
pub struct Summary {
    /// Whether every condition held.
    pub holds: bool,
    /// Every condition that was checked, in words.
    pub checked: BTreeMap<&'static str, bool>,
    /// Where the valve's figures come from.
    pub source: String,
    /// Entries in each journal.
    pub entries: PerPlace<u32>,
    /// Disagreements found and settled.
    pub disagreements: Disagreements,
    /// Codes of the review that were seen.
    pub review_codes: BTreeSet<String>,
    /// Moves of the screw: for the first request, backing out among them, and for the second.
    pub moves: [usize; 2],
    /// Steps of the procedure that were walked.
    pub steps: usize,
    /// The digest of the record: as signed on the lead's tablet, as the mate's shows it, and of the office's bytes.
    pub record_digest: PerPlace<String>,
    /// How far the job is at the office.
    pub office_state: JobStatus,
    /// Bytes carried by all links, both ways.
    pub bytes_linked: u64,
    /// How long it took.
    pub seconds: f64,
}

/// The same of each of the three.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct PerPlace<T> {
    /// The lead's tablet.
    pub lead: T,
    /// The mate's tablet.
    pub mate: T,
    /// The office.
    pub office: T,
}

/// Disagreements.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Disagreements {
    /// Seen on the lead's tablet after the crew was back in reach.
    pub found: usize,
    /// Settled by a named person.
    pub settled: usize,
}

/// A main job that was run, with what it left behind.
pub struct Done {
    /// What came of it.
    pub summary: Summary,
    /// The job as the office exports it.
    pub export: String,
    /// The same as a table, CSV.
    pub table: String,
    /// The signed record, as the office keeps it: exact bytes.
    pub record: Vec<u8>,
    /// The job as the office shows it.
    pub office: OfficeJob,
    /// Every reading, as it was typed.
    pub typed: Vec<(EntryId, Figure)>,
}

/// Runs the main job with data in `dir`.
///
/// Errors: where it cannot go on. A condition that does not hold is not an error: the summary names it.
pub async fn main_job(dir: &Path) -> anyhow::Result<Done> {
    let began = Instant::now();
    let network = Network::read()?;
    let crew = Crew::start(dir).await?;
    let mut run = Run::hand_out(&crew, &network).await?;
    let (walked, first_moves) = run.apart(&crew).await?;
    let second = run.together_again(&crew).await?;
    let signed = run.close_out(&crew).await?;
    let office = crew.office.handle.job(run.job).await?;
    let exported = crew.office.handle.export(run.job).await?;
    let table = csv(&exported.document()?, Language::English);
    let export = exported.text()?;
    let record = crew.office.handle.signed_record(run.job).await?.to_vec();
    let entries = PerPlace {
        lead: run.walk.hand.record_now().await?.entries,
        mate: run.mate.record_now().await?.entries,
        office: office.entries,
    };
    run.proof.holds(
        "all three hold the same entries",
        entries.lead == entries.mate && entries.mate == entries.office,
    );
    let typed = [run.walk.hand.typed.all(), run.mate.typed.all()].concat();
    let summary = Summary {
        holds: run.proof.all(),
        checked: run.proof.checked,
        source: network.source.network,
        entries,
        disagreements: second.disagreements,
        review_codes: second.review_codes,
        moves: [first_moves, second.moves],
        steps: walked,
        record_digest: signed,
        office_state: office.status,
        bytes_linked: crew.carried(),
        seconds: began.elapsed().as_secs_f64(),
    };
    crew.stop().await?;
    Ok(Done {
        summary,
        export,
        table,
        record,
        office,
        typed,
    })
}

/// A main job under way.
struct Run {
    job: JobId,
    walk: Walk,
    mate: Hand,
    proof: Proof,
    steps: Vec<String>,
}

/// What was seen between the return into reach and close-out.
struct Second {
    disagreements: Disagreements,
    review_codes: BTreeSet<String>,
    moves: usize,
}

impl Run {
    /// The office hands out the job, both tablets fetch it, and the crew says who does what.
    async fn hand_out(crew: &Crew, network: &Network) -> anyhow::Result<Self> {
        let handed = crew.office.handle.hand_out(scenario::job(network)).await?;
        let job = handed.job;
        crew.fetched(job).await?;
        let valve = handed.valves.first().context("the job has no valve")?.id;
        let lead = Hand::of(&crew.lead.handle, job, valve, LEAD).await?;
        let mate = Hand::of(&crew.mate.handle, job, valve, MATE).await?;
        for (one, (name, duties)) in [&lead, &mate].into_iter().zip(duties()) {
            one.joins(one.me, name, &duties).await?;
        }
        let procedures = Procedures::built_in()?;
        let procedure = procedures
            .get("reducing")
            .context("there is no such procedure")?
            .clone();
        let run = Self {
            job,
            walk: Walk {
                hand: lead,
                valve: Valve::of(network).context("the network has no hours")?,
                procedure,
            },
            mate,
            proof: Proof::default(),
            steps: Vec::new(),
        };
        crew.converge(run.job, "both tablets and the office know who does what")
            .await?;
        Ok(run)
    }

    /// Out of reach: the lead walks the procedure, the mate reads topside, both touch the same valve, and the
    /// office hears from the customer. Says how many steps were walked and how many moves the setting took.
    async fn apart(&mut self, crew: &Crew) -> anyhow::Result<(usize, usize)> {
        crew.cut().await;
        let before = crew.office.handle.job(self.job).await?.entries;
        self.steps = self.walk.through("tune_and_prove.as_left").await?;
        let moves = self.walk.hand.setting().await?.moves.len();
        let mate = &self.mate;
        for point in ["zone_high", "zone_low", "hydrant"] {
            let shown = self.walk.valve.shows(point, Purpose::Working);
            mate.read(None, point, shown, Purpose::Working, Water::Flowing)
                .await?;
        }
        mate.position(None, DISPUTED, Position::Throttled).await?;
        let here = crew.office.handle.job(self.job).await?;
        let nothing = here.valves.iter().all(|valve| valve.as_left.is_none()) && here.entries == before;
        self.proof
            .holds("nothing of it reached the office meanwhile", nothing);
        let valve = here.valves.first().context("the job has no valve")?;
        let change = ChangeRequest {
            valve: valve.id,
            asked: scenario::asked(CHANGED_TO_PSI),
            replaces: valve.requests.iter().map(|request| request.said.entry).collect(),
        };
        crew.office.handle.change_request(self.job, change).await?;
        let apart = self.walk.hand.record_now().await?.digest != mate.record_now().await?.digest;
        self.proof
            .holds("the tablets tell different stories while apart", apart);
        Ok((self.steps.len(), moves))
    }

    /// Back in reach: everybody sees the disagreement and the changed request; the mate settles the one, the
    /// lead sets the valve anew.
    async fn together_again(&mut self, crew: &Crew) -> anyhow::Result<Second> {
        crew.join();
        crew.converge(self.job, "all three converge once back in reach")
            .await?;
        self.proof.holds("all three converge once back in reach", true);
        let on_lead = self.disagreement(&self.walk.hand).await?;
        let on_mate = self.disagreement(&self.mate).await?;
        let named = |item: &Option<ReviewItem>| {
            item.as_ref().is_some_and(|item| {
                let people: BTreeSet<_> = item.sides.iter().map(|side| side.said.by.as_str()).collect();
                people == BTreeSet::from([LEAD, MATE])
                    && item.sides.iter().all(|side| !side.said.at.is_empty())
            })
        };
        self.proof.holds(
            "the disagreement stands on both tablets and names who and when",
            named(&on_lead) && named(&on_mate),
        );
        let office = crew.office.handle.job(self.job).await?;
        let record = crew.office.handle.record(self.job).await?.text;
        self.proof.holds(
            "the disagreement stands at the office, both sides named",
            office.open_items > 0 && disagrees(&record)?,
        );
        let told = [self.walk.hand.head().await?, self.mate.head().await?];
        let changed = told.iter().all(|head| {
            head.request_changed
                .as_ref()
                .is_some_and(|changed| changed.asked == figure(CHANGED_TO_PSI, Unit::Psi))
        });
        self.proof.holds(
            "both tablets say that the request changed after the valve was set",
            changed,
        );
        self.proof.holds(
            "the office says that the request changed after the valve was set",
            office.valves.iter().all(|valve| valve.request_changed),
        );
        let items = self.walk.hand.close_out().await?.review;
        let review_codes = items.iter().map(|item| item.code.clone()).collect();
        let found = items.iter().filter(|item| item.code == "disagreement").count();

        if let Some(item) = on_mate {
            let looked = Body::LineUp(LineUp {
                asset: asset_of(&item)?,
                element: DISPUTED.to_owned(),
                position: Position::Open,
                counted: None,
                replaces: Vec::new(),
            });
            self.mate
                .settle(&item, looked, "looked at it together: fully open, turns counted")
                .await?;
        }
        crew.converge(self.job, "the settlement reaches everybody")
            .await?;
        let settled = found - usize::from(self.disagreement(&self.walk.hand).await?.is_some());
        let by_name = self
            .walk
            .hand
            .close_out()
            .await?
            .settled
            .iter()
            .filter_map(|item| item.settled.as_ref())
            .any(|settled| settled.said.by == MATE);
        self.proof
            .holds("a named person settled it", settled == found && by_name);

        let moves = self.walk.set(Some(PersonId::of_name(LEAD))).await?;
        self.proof
            .holds("the valve was set again, to the new request", moves > 0);
        Ok(Second {
            disagreements: Disagreements { found, settled },
            review_codes,
            moves,
        })
    }

    /// Re-reads, leaves the line-up normal, closes out until nothing is missing, initials and signs.
    async fn close_out(&mut self, crew: &Crew) -> anyhow::Result<PerPlace<String>> {
        self.walk.mend().await?;
        self.steps
            .extend(self.walk.through("close_out.disagreements").await?);
        self.walk.mend().await?;
        let changed = self.walk.hand.head().await?.request_changed.is_some();
        self.proof
            .holds("the as-left reading answers the new request", !changed);
        crew.converge(
            self.job,
            "the mate and the office see the work before it is initialled",
        )
        .await?;
        self.clocks_compared(crew).await?;
        self.mate.initial().await?;
        self.walk.hand.initial().await?;
        crew.converge(self.job, "everybody sees the initials").await?;
        let shown = self.walk.hand.close_out().await?;
        let missing: Vec<_> = shown
            .missing
            .iter()
            .map(|missing| missing.code.as_str())
            .collect();
        if !missing.is_empty() {
            bail!("close-out still misses: {}", missing.join(", "));
        }
        self.proof.holds("nothing is missing any more", true);
        self.proof
            .holds("nothing waits for a decision any more", shown.review.is_empty());
        let signed = self.walk.hand.sign().await?;
        crew.converge(self.job, "the signature reaches everybody").await?;

        let office = crew.office.handle.job(self.job).await?;
        self.proof.holds(
            "the office shows the job as signed",
            office.status == JobStatus::Signed,
        );
        let bytes = crew.office.handle.signed_record(self.job).await?;
        let digests = PerPlace {
            lead: signed,
            mate: self
                .mate
                .close_out()
                .await?
                .signed
                .last()
                .map(|signed| signed.digest.clone())
                .unwrap_or_default(),
            office: digest(&bytes),
        };
        self.proof.holds(
            "the office has the very record that was signed",
            digests.lead == digests.office && digests.mate == digests.office,
        );
        self.proof.holds(
            "no entry came after the signature",
            office.record.is_some_and(|record| record.late == 0),
        );
        Ok(digests)
    }

    /// Waits until the comparison of the tablets' clocks, which they write down by themselves, is on record
    /// everywhere: a record that is to be signed must not grow under the pen.
    async fn clocks_compared(&self, crew: &Crew) -> anyhow::Result<()> {
        let office = &crew.office.handle;
        until(
            "the tablets' clocks are compared",
            &[office.changes()],
            async || Ok(office.record(self.job).await?.text.contains("\"clock_check\"")),
        )
        .await?;
        crew.converge(self.job, "everybody has the comparison of the clocks")
            .await
    }

    /// The disagreement on the disputed element, as a tablet shows it.
    async fn disagreement(&self, hand: &Hand) -> anyhow::Result<Option<ReviewItem>> {
        let on_it = |item: &ReviewItem| {
            item.code == "disagreement"
                && matches!(&item.register, Some(Register::Position { element, .. }) if element == DISPUTED)
        };
        Ok(hand.close_out().await?.review.into_iter().find(on_it))
    }
}

/// The asset that an element in dispute belongs to.
fn asset_of(item: &ReviewItem) -> anyhow::Result<AssetId> {
    match &item.register {
        Some(Register::Position { asset, .. }) => Ok(*asset),
        _ => bail!("the disagreement is not about an element of the line-up"),
    }
}

/// Whether a record says that people disagree on the disputed element, and names both.
fn disagrees(record: &str) -> anyhow::Result<bool> {
    let whole: serde_json::Value = serde_json::from_str(record)?;
    let list = |of: &serde_json::Value| of.as_array().cloned().unwrap_or_default();
    let standing = list(&whole["standing"]).into_iter().find(|standing| {
        standing["register"]["of"] == "position" && standing["register"]["element"] == DISPUTED
    });
    let Some(standing) = standing else {
        return Ok(false);
    };
    let sides = list(&standing["entries"]);
    let by: BTreeSet<_> = list(&whole["entries"])
        .iter()
        .filter(|entry| sides.contains(&entry["id"]))
        .filter_map(|entry| whole["people"][entry["by"].as_str()?].as_str().map(str::to_owned))
        .collect();
    Ok(standing["agreement"] == "disagreed" && by == BTreeSet::from([LEAD.to_owned(), MATE.to_owned()]))
}
