//! What both sides have said of their jobs, compared: one digest over all, then one a job, then clocks.

use super::{Linked, Step};
use crate::journal::JobId;
use crate::link::session::Effect;
use crate::link::session::exchange::wants;
use crate::link::{Message, OFFERS_A_FRAME, Offer};
use serde_bytes::ByteArray;

impl Linked {
    /// Both digests over all are known, or one is still to come. The same digest: every job stands the same.
    pub(super) fn compare_summaries(&mut self, out: &mut Vec<Effect>) -> Step {
        let (Some(ours), Some(theirs)) = (self.our_summary, self.their_summary) else {
            return Ok(());
        };
        if ours != theirs {
            return self.send_list(out);
        }
        let same: Vec<JobId> = self
            .jobs
            .iter()
            .filter(|(_, exchange)| exchange.in_summary && exchange.offered && !exchange.settled())
            .map(|(job, _)| *job)
            .collect();
        for job in same {
            self.settle(job, out)?;
        }
        Ok(())
    }

    /// Lists what was summed up, once.
    pub(super) fn send_list(&mut self, out: &mut Vec<Effect>) -> Step {
        if std::mem::replace(&mut self.list_sent, true) {
            return Ok(());
        }
        let list: Vec<_> = self
            .jobs
            .iter()
            .filter(|(_, exchange)| exchange.in_summary && exchange.offered)
            .filter_map(|(job, exchange)| Some((*job, ByteArray::new(exchange.our_digest?))))
            .collect();
        for jobs in list.chunks(OFFERS_A_FRAME) {
            self.say(&Message::Offer(Offer { jobs: jobs.to_vec() }), out)?;
        }
        Ok(())
    }

    /// Compares what both sides have said of every job that the peer listed.
    pub(super) fn reconcile_listed(&mut self, out: &mut Vec<Effect>) -> Step {
        let listed: Vec<JobId> = self
            .jobs
            .iter()
            .filter(|(_, exchange)| exchange.their_digest.is_some())
            .map(|(job, _)| *job)
            .collect();
        self.reconcile(&listed, out)
    }

    /// Compares what both sides have said of these jobs.
    pub(super) fn reconcile(&mut self, jobs: &[JobId], out: &mut Vec<Effect>) -> Step {
        if self.our_summary.is_none() {
            return Ok(());
        }
        let mut strange = Vec::new();
        let mut same = Vec::new();
        let mut wanted = Vec::new();
        for &job in jobs {
            let Some(exchange) = self.jobs.get_mut(&job) else {
                continue;
            };
            let Some(theirs) = exchange.their_digest else {
                continue;
            };
            if exchange.want_sent || exchange.settled() {
                continue;
            }
            match exchange.our_digest {
                Some(ours) if exchange.offered && ours == theirs => same.push(job),
                Some(_) if exchange.offered => wanted.push((job, exchange.want())),
                _ => strange.push(job),
            }
        }
        if !strange.is_empty() {
            out.push(Effect::AskAccepts(strange));
        }
        self.say_all(&wants(wanted), out)?;
        for job in same {
            self.settle(job, out)?;
        }
        Ok(())
    }

    pub(super) fn settle(&mut self, job: JobId, out: &mut Vec<Effect>) -> Step {
        let Some(exchange) = self.jobs.get_mut(&job) else {
            return Ok(());
        };
        exchange.settle();
        out.push(Effect::PeerStored {
            job,
            clock: exchange.theirs.clone(),
        });
        self.consider(job, out)
    }
}
