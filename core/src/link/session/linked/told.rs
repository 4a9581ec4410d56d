//! What the host says: what may be seen, what changed here, what was fetched and what was committed.

use super::{Linked, Step};
use crate::journal::{Clock, JobId};
use crate::link::clock::{digest, digest_all, merge};
use crate::link::session::Effect;
use crate::link::session::exchange::{stored, wants};
use crate::link::{BUNDLE_LIMIT, Bundle, MAX_JOBS, Message, Offer, REACHES_A_BUNDLE, SHORT_LIST, Summary};
use serde_bytes::ByteArray;
use std::collections::BTreeMap;

impl Linked {
    pub(super) fn offers(&mut self, mut offers: BTreeMap<JobId, Clock>, out: &mut Vec<Effect>) -> Step {
        while offers.len() > MAX_JOBS {
            offers.pop_first();
        }
        for (job, exchange) in &mut self.jobs {
            exchange.offered &= offers.contains_key(job);
        }
        if self.our_summary.is_some() {
            for (job, clock) in offers {
                self.local_change(job, &clock, out)?;
            }
            return self.reconcile_listed(out);
        }
        let mut digests = BTreeMap::new();
        for (job, clock) in offers {
            let exchange = self.jobs.entry(job).or_default();
            exchange.offered = true;
            exchange.in_summary = true;
            merge(&mut exchange.ours, &clock);
            let digest = digest(&exchange.ours);
            exchange.offer(digest);
            digests.insert(job, digest);
        }
        let summary = digest_all(&digests);
        self.our_summary = Some(summary);
        self.say(
            &Message::Summary(Summary {
                digest: ByteArray::new(summary),
            }),
            out,
        )?;
        if digests.len() <= SHORT_LIST {
            self.send_list(out)?;
        }
        self.compare_summaries(out)?;
        self.reconcile_listed(out)?;
        for (job, clock) in std::mem::take(&mut self.early) {
            self.local_change(job, &clock, out)?;
        }
        Ok(())
    }

    pub(super) fn accepts(&mut self, accepted: BTreeMap<JobId, Clock>, out: &mut Vec<Effect>) -> Step {
        let mut answers = Vec::new();
        for (job, clock) in accepted {
            let Some(exchange) = self.jobs.get_mut(&job) else {
                continue;
            };
            merge(&mut exchange.ours, &clock);
            if !exchange.want_sent {
                answers.push((job, exchange.want()));
            }
        }
        self.say_all(&wants(answers), out)
    }

    pub(super) fn local_change(&mut self, job: JobId, clock: &Clock, out: &mut Vec<Effect>) -> Step {
        if self.our_summary.is_none() {
            // What is offered may have been looked up before this change, so it is kept until that is known.
            merge(self.early.entry(job).or_default(), clock);
            return Ok(());
        }
        let exchange = self.jobs.entry(job).or_default();
        exchange.offered = true;
        merge(&mut exchange.ours, clock);
        if exchange.wanted || exchange.want_sent || exchange.our_digest.is_some() {
            // The peer knows that it is here: by a digest, by a whole clock, or because it asked.
            return self.consider(job, out);
        }
        let digest = digest(&exchange.ours);
        exchange.offer(digest);
        let offer = Offer {
            jobs: vec![(job, ByteArray::new(digest))],
        };
        self.say(&Message::Offer(offer), out)?;
        self.reconcile(&[job], out)
    }

    pub(super) fn bundles(
        &mut self,
        job: JobId,
        clock: &Clock,
        bundles: Vec<Vec<u8>>,
        out: &mut Vec<Effect>,
    ) -> Step {
        let Some(exchange) = self.jobs.get_mut(&job) else {
            return Ok(());
        };
        if bundles.iter().any(|bundle| bundle.len() > BUNDLE_LIMIT) {
            // The peer would drop the link for it, and with it every other job.
            tracing::error!(%job, "a job is left out of the link: one of its bundles is over size");
            return self.skipped(job, out);
        }
        merge(&mut exchange.ours, clock);
        merge(&mut exchange.sent, clock);
        let asked = std::mem::take(&mut exchange.asked);
        merge(&mut exchange.sent, &asked);
        if bundles.is_empty() || !exchange.offered {
            return self.delivered(job, out);
        }
        let mut news = exchange.tell();
        if news.len() > REACHES_A_BUNDLE {
            self.say_all(&stored(job, std::mem::take(&mut news), 0), out)?;
        }
        let last = bundles.len() - 1;
        for (at, bytes) in bundles.into_iter().enumerate() {
            let clock = std::mem::take(&mut news);
            let frame = Message::Bundle(Bundle { job, clock, bytes }).encode();
            self.outbox.bundle(frame, (at == last).then_some(job));
        }
        self.outbox.pump(out);
        Ok(())
    }

    pub(super) fn skipped(&mut self, job: JobId, out: &mut Vec<Effect>) -> Step {
        if let Some(exchange) = self.jobs.get_mut(&job) {
            exchange.offered = false;
        }
        self.delivered(job, out)
    }

    pub(super) fn committed(&mut self, job: JobId, clock: &Clock, out: &mut Vec<Effect>) -> Step {
        self.in_intake = self.in_intake.saturating_sub(1);
        let Some(exchange) = self.jobs.get_mut(&job) else {
            return Ok(());
        };
        merge(&mut exchange.ours, clock);
        let news = exchange.tell();
        self.say_all(&stored(job, news, 1), out)?;
        self.consider(job, out)
    }
}
