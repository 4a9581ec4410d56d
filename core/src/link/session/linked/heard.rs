//! What the peer says, and what it may not say.

use super::{HELLO_WEIGHS, Linked, Step};
use crate::link::session::exchange::wants;
use crate::link::session::{Effect, Moment};
use crate::link::{
    Bundle, ClockAnswer, CloseReason, Fault, Hello, JobClock, MAX_JOBS, MAX_REACHES, Message, Offer,
    PROTOCOL, Stored, WINDOW,
};

impl Linked {
    pub(super) fn frame(&mut self, now: Moment, frame: &[u8], out: &mut Vec<Effect>) -> Step {
        self.heard_ms = now.mono_ms;
        let message = Message::decode(frame)?;
        // What answers to something this side sent or let be sent is bounded by that.
        let bounded = match &message {
            Message::Bundle(_) => true,
            Message::Stored(stored) => stored.took > 0,
            _ => false,
        };
        if !bounded {
            self.allowance.spend(now.mono_ms, frame.len())?;
        }
        match message {
            Message::Hello(hello) => {
                self.allowance.spend(now.mono_ms, HELLO_WEIGHS)?;
                self.hello_again(hello, out)
            }
            Message::Summary(summary) => {
                self.their_summary = Some(summary.digest.into_array());
                self.compare_summaries(out)
            }
            Message::Offer(offer) => self.offered(offer, out),
            Message::Want(want) => self.wanted(want.jobs, out),
            Message::Bundle(bundle) => self.bundle(bundle, out),
            Message::Stored(stored) => self.stored(&stored, out),
            Message::ClockProbe(probe) => {
                let answer = ClockAnswer {
                    probe: probe.probe,
                    wall_ms: now.wall_ms,
                };
                self.say(&Message::ClockAnswer(answer), out)
            }
            Message::ClockAnswer(answer) => {
                let step = self.probes.answered(now, answer.probe, answer.wall_ms);
                self.probed(step, out)
            }
            Message::Ping(_) | Message::Unknown => Ok(()),
            Message::Bye(bye) => Err(CloseReason::PeerLeft { code: bye.code }),
        }
    }

    fn hello_again(&mut self, hello: Hello, out: &mut Vec<Effect>) -> Step {
        if hello.protocol != PROTOCOL {
            return Err(Fault::ProtocolMismatch.into());
        }
        let who = |hello: &Hello| (hello.device, hello.boot, hello.role);
        if who(&hello) != who(&self.peer) {
            return Err(Fault::IdentityChanged.into());
        }
        if hello != self.peer {
            self.peer = hello.clone();
            out.push(Effect::PeerSeen(hello.clone()));
            // Another person may see other jobs.
            out.push(Effect::AskOffers(hello));
        }
        Ok(())
    }

    fn offered(&mut self, offer: Offer, out: &mut Vec<Effect>) -> Step {
        let mut jobs = Vec::with_capacity(offer.jobs.len());
        for (job, digest) in offer.jobs {
            let known = self.jobs.entry(job).or_default();
            if known.their_digest.replace(digest.into_array()).is_none() {
                self.their_jobs += 1;
            }
            jobs.push(job);
        }
        if self.their_jobs > MAX_JOBS {
            return Err(Fault::TooMuch.into());
        }
        self.reconcile(&jobs, out)
    }

    fn wanted(&mut self, wanted: Vec<JobClock>, out: &mut Vec<Effect>) -> Step {
        let mut answers = Vec::new();
        let mut complete = Vec::new();
        for JobClock { job, clock, more } in wanted {
            // A job that was never named here is none of the peer's business, or was withdrawn meanwhile.
            let Some(exchange) = self.jobs.get_mut(&job) else {
                continue;
            };
            self.reaches += exchange.hear(&clock);
            if more {
                continue;
            }
            exchange.wanted = true;
            if exchange.offered && !exchange.want_sent {
                answers.push((job, exchange.want()));
            }
            out.push(Effect::PeerStored {
                job,
                clock: exchange.theirs.clone(),
            });
            complete.push(job);
        }
        self.bounded()?;
        self.say_all(&wants(answers), out)?;
        for job in complete {
            self.consider(job, out)?;
        }
        Ok(())
    }

    fn bundle(&mut self, bundle: Bundle, out: &mut Vec<Effect>) -> Step {
        let Bundle { job, clock, bytes } = bundle;
        self.in_intake += 1;
        if self.in_intake > WINDOW {
            return Err(Fault::TooMuch.into());
        }
        let exchange = self
            .jobs
            .get_mut(&job)
            .filter(|exchange| exchange.open)
            .ok_or(Fault::Unasked)?;
        self.reaches += exchange.hear(&clock);
        if !clock.is_empty() {
            out.push(Effect::PeerStored {
                job,
                clock: exchange.theirs.clone(),
            });
        }
        out.push(Effect::Intake { job, bytes });
        self.bounded()
    }

    fn stored(&mut self, said: &Stored, out: &mut Vec<Effect>) -> Step {
        self.outbox.confirmed(said.took)?;
        let exchange = self
            .jobs
            .get_mut(&said.job)
            .filter(|exchange| exchange.open || exchange.wanted)
            .ok_or(Fault::Unasked)?;
        self.reaches += exchange.hear(&said.clock);
        if !said.clock.is_empty() {
            out.push(Effect::PeerStored {
                job: said.job,
                clock: exchange.theirs.clone(),
            });
        }
        self.bounded()?;
        self.outbox.pump(out);
        Ok(())
    }

    fn bounded(&self) -> Step {
        if self.reaches > MAX_REACHES {
            return Err(Fault::TooMuch.into());
        }
        Ok(())
    }
}
