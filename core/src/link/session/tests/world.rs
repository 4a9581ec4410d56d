//! Devices with simple journals, links between them, and a wire that does only what a test makes it do.

use crate::journal::{ActorId, BootId, ChangeHash, Clock, DeviceId, JobId, Reach};
use crate::link::{CloseReason, DeviceRole, Effect, Hello, Input, Message, Moment, Session, beyond, covers};
use sha2::{Digest as _, Sha256};
use std::collections::{BTreeMap, BTreeSet, VecDeque};
use std::fmt;
use uuid::Uuid;

pub(super) fn job(at: u128) -> JobId {
    JobId(Uuid::from_u128(0x1000 + at))
}

pub(super) fn hello(device: u128) -> Hello {
    let (device_id, boot) = (DeviceId(Uuid::from_u128(device)), BootId(Uuid::from_u128(device)));
    Hello::new(device_id, boot, DeviceRole::Tablet, format!("Tablet {device}"))
}

/// A journal that holds, per actor, a row of changes.
#[derive(Clone, Default, PartialEq)]
pub(super) struct Rows(BTreeMap<ActorId, Column>);

#[derive(Clone, Default, PartialEq)]
struct Column {
    rows: Vec<Vec<u8>>,
    /// Over all of them.
    hash: [u8; 32],
}

impl Column {
    fn push(&mut self, row: Vec<u8>) {
        let mut hash = Sha256::new();
        hash.update(self.hash);
        hash.update(&row);
        self.hash = hash.finalize().into();
        self.rows.push(row);
    }
}

impl fmt::Debug for Rows {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let length = |(actor, column): (&ActorId, &Column)| (actor.0[0], column.rows.len());
        f.debug_map().entries(self.0.iter().map(length)).finish()
    }
}

type Row = (serde_bytes::ByteArray<16>, u64, serde_bytes::ByteBuf);

impl Rows {
    pub(super) fn append(&mut self, actor: ActorId, payload: Vec<u8>) {
        self.0.entry(actor).or_default().push(payload);
    }

    pub(super) fn clock(&self) -> Clock {
        let reach = |column: &Column| Reach {
            seq: column.rows.len() as u64,
            hash: ChangeHash(column.hash),
        };
        self.0
            .iter()
            .map(|(actor, column)| (*actor, reach(column)))
            .collect()
    }

    pub(super) fn len(&self) -> usize {
        self.0.values().map(|column| column.rows.len()).sum()
    }

    /// What somebody who holds `theirs` lacks, this many bytes or one change a bundle.
    fn missing(&self, theirs: &Clock, bundle_bytes: usize) -> Vec<Vec<u8>> {
        let mut bundles = Vec::new();
        let mut rows: Vec<Row> = Vec::new();
        let mut bytes = 0;
        for (actor, all) in &self.0 {
            let has = theirs.get(actor).map_or(0, |reach| reach.seq);
            for (at, payload) in all.rows.iter().enumerate().skip(usize::try_from(has).unwrap()) {
                if bytes + payload.len() > bundle_bytes && !rows.is_empty() {
                    bundles.push(encode(&std::mem::take(&mut rows)));
                    bytes = 0;
                }
                bytes += payload.len();
                rows.push((actor.0.into(), at as u64 + 1, payload.clone().into()));
            }
        }
        if !rows.is_empty() {
            bundles.push(encode(&rows));
        }
        bundles
    }

    /// Takes a bundle in. `None`: it makes no sense. Else how many of its changes were here before.
    fn intake(&mut self, bundle: &[u8]) -> Option<usize> {
        let rows: Vec<Row> = ciborium::from_reader(bundle).ok()?;
        let mut known = 0;
        for (actor, seq, payload) in rows {
            let column = self.0.entry(ActorId(actor.into_array())).or_default();
            match usize::try_from(seq).ok()?.checked_sub(1)? {
                at if at == column.rows.len() => column.push(payload.into_vec()),
                at if column.rows.get(at).is_some_and(|row| *row == payload.as_slice()) => known += 1,
                _ => return None,
            }
        }
        Some(known)
    }
}

fn encode(rows: &[Row]) -> Vec<u8> {
    let mut bytes = Vec::new();
    ciborium::into_writer(rows, &mut bytes).unwrap();
    bytes
}

/// A device: its journals and what it has heard of its peers.
#[derive(Debug)]
pub(super) struct Device {
    pub(super) hello: Hello,
    pub(super) jobs: BTreeMap<JobId, Rows>,
    /// Jobs that nobody is offered.
    pub(super) kept_back: BTreeSet<JobId>,
    /// Jobs that only a peer used by this person is offered.
    pub(super) only_for: BTreeMap<JobId, &'static str>,
    /// Whether it takes jobs that it does not hold.
    pub(super) takes_new: bool,
    /// What each peer said it made durable.
    pub(super) stored: BTreeMap<(DeviceId, JobId), Clock>,
    /// Changes that were brought though they were here.
    pub(super) brought_again: usize,
    /// By how much each peer's clock was measured to be ahead.
    pub(super) offsets: BTreeMap<DeviceId, i64>,
    /// By how much its wall clock is ahead of the world's.
    pub(super) ahead_ms: i64,
    /// The size of its bundles.
    pub(super) bundle_bytes: usize,
}

/// One side of a link.
#[derive(Debug)]
pub(super) struct End {
    pub(super) device: usize,
    pub(super) session: Session,
    /// Frames on their way here.
    pub(super) wire: VecDeque<Vec<u8>>,
    /// Bundles received and not yet durable.
    pub(super) intake: VecDeque<(JobId, Vec<u8>)>,
    pub(super) closed: Option<CloseReason>,
    /// Every message that this side was sent, for looking back.
    pub(super) heard: Vec<Message>,
    pub(super) bytes_heard: usize,
}

pub(super) struct World {
    pub(super) now_ms: u64,
    pub(super) devices: Vec<Device>,
    /// Links, each with two ends; none where it is cut.
    pub(super) links: Vec<Option<[End; 2]>>,
    pairs: Vec<[usize; 2]>,
    /// While set, nothing that is received becomes durable by itself.
    pub(super) hold_commits: bool,
}

impl World {
    /// Devices numbered from 0, each holding nothing, and links between these pairs, all cut.
    pub(super) fn new(devices: usize, pairs: &[[usize; 2]]) -> Self {
        let devices = (0..devices)
            .map(|at| Device {
                hello: hello(at as u128 + 1),
                jobs: BTreeMap::new(),
                kept_back: BTreeSet::new(),
                only_for: BTreeMap::new(),
                takes_new: true,
                stored: BTreeMap::new(),
                brought_again: 0,
                offsets: BTreeMap::new(),
                ahead_ms: 0,
                bundle_bytes: 4_096,
            })
            .collect();
        Self {
            now_ms: 0,
            devices,
            links: pairs.iter().map(|_| None).collect(),
            pairs: pairs.to_vec(),
            hold_commits: false,
        }
    }

    fn may_see(&self, device: usize, peer: &Hello, job: JobId) -> bool {
        let device = &self.devices[device];
        let meant = device.only_for.get(&job);
        !device.kept_back.contains(&job) && meant.is_none_or(|name| peer.person.as_deref() == Some(name))
    }

    fn offers(&self, device: usize, peer: &Hello) -> BTreeMap<JobId, Clock> {
        let jobs = self.devices[device].jobs.iter();
        let seen = jobs.filter(|(job, _)| self.may_see(device, peer, **job));
        seen.map(|(job, rows)| (*job, rows.clock())).collect()
    }

    pub(super) fn id(&self, device: usize) -> DeviceId {
        self.devices[device].hello.device
    }

    pub(super) fn clock(&self, device: usize, job: JobId) -> Clock {
        self.devices[device]
            .jobs
            .get(&job)
            .map(Rows::clock)
            .unwrap_or_default()
    }

    /// What `device` believes that `peer` has made durable.
    pub(super) fn believes(&self, device: usize, peer: usize, job: JobId) -> Clock {
        let key = (self.id(peer), job);
        self.devices[device].stored.get(&key).cloned().unwrap_or_default()
    }

    /// A change is made on a device, and every link hears of it.
    pub(super) fn append(&mut self, device: usize, job: JobId) {
        let actor = ActorId([u8::try_from(device).unwrap() + 1; 16]);
        let rows = self.devices[device].jobs.entry(job).or_default();
        let payload = format!("{device}: {}", rows.len()).into_bytes();
        rows.append(actor, payload);
        self.changed(device, job);
    }

    pub(super) fn connect(&mut self, link: usize) {
        let end = |device: usize| End {
            device,
            session: Session::new(self.devices[device].hello.clone()),
            wire: VecDeque::new(),
            intake: VecDeque::new(),
            closed: None,
            heard: Vec::new(),
            bytes_heard: 0,
        };
        let [one, other] = self.pairs[link];
        self.links[link] = Some([end(one), end(other)]);
        self.tell(link, 0, Input::Opened);
        self.tell(link, 1, Input::Opened);
    }

    /// Cuts a link: what is on the wire, and what is received and not yet durable, is gone.
    pub(super) fn cut(&mut self, link: usize) {
        self.links[link] = None;
    }

    pub(super) fn end(&self, link: usize, end: usize) -> &End {
        &self.links[link].as_ref().unwrap()[end]
    }

    /// Delivers the next frame to this end. Whether there was one.
    pub(super) fn deliver(&mut self, link: usize, end: usize) -> bool {
        let Some(ends) = &mut self.links[link] else {
            return false;
        };
        let Some(frame) = ends[end].wire.pop_front() else {
            return false;
        };
        ends[end].bytes_heard += frame.len();
        ends[end].heard.push(Message::decode(&frame).unwrap());
        self.tell(link, end, Input::Frame(frame));
        true
    }

    /// Makes the next received bundle durable. Whether there was one.
    pub(super) fn commit(&mut self, link: usize, end: usize) -> bool {
        let Some(ends) = &mut self.links[link] else {
            return false;
        };
        let device = ends[end].device;
        let Some((job, bytes)) = ends[end].intake.pop_front() else {
            return false;
        };
        let mut rows = self.devices[device].jobs.get(&job).cloned().unwrap_or_default();
        let Some(known) = rows.intake(&bytes) else {
            self.tell(
                link,
                end,
                Input::Refused {
                    job,
                    code: "makes_no_sense",
                },
            );
            return true;
        };
        self.devices[device].brought_again += known;
        let clock = rows.clock();
        self.devices[device].jobs.insert(job, rows);
        self.tell(link, end, Input::Committed { job, clock });
        self.changed(device, job);
        true
    }

    /// Lets time pass and tells every session.
    pub(super) fn pass(&mut self, ms: u64) {
        self.now_ms += ms;
        for (link, end) in self.ends() {
            self.tell(link, end, Input::Tick);
        }
    }

    /// Lets everything happen until nothing is left to happen.
    pub(super) fn settle(&mut self) {
        loop {
            let mut any = false;
            for (link, end) in self.ends() {
                any |= self.deliver(link, end);
                if !self.hold_commits {
                    any |= self.commit(link, end);
                }
            }
            if !any {
                return;
            }
        }
    }

    pub(super) fn ends(&self) -> Vec<(usize, usize)> {
        (0..self.links.len())
            .flat_map(|link| [(link, 0), (link, 1)])
            .collect()
    }

    /// Whatever anybody believes of a peer is so, though it may be more by now.
    pub(super) fn nobody_believes_too_much(&self) {
        for device in &self.devices {
            for ((peer, job), believed) in &device.stored {
                let peer = self
                    .devices
                    .iter()
                    .position(|other| other.hello.device == *peer)
                    .unwrap();
                assert!(
                    covers(&self.clock(peer, *job), believed),
                    "{} believes of device {peer} what is not so: {:?}",
                    device.hello.name,
                    beyond(believed, &self.clock(peer, *job)),
                );
            }
        }
    }

    fn changed(&mut self, device: usize, job: JobId) {
        for (link, end) in self.ends() {
            let Some(ends) = &self.links[link] else { continue };
            let peer = ends[end]
                .session
                .peer()
                .filter(|_| ends[end].device == device)
                .cloned();
            if peer.is_some_and(|peer| self.may_see(device, &peer, job)) {
                let clock = self.clock(device, job);
                self.tell(link, end, Input::LocalChange { job, clock });
            }
        }
    }

    pub(super) fn tell(&mut self, link: usize, end: usize, input: Input) {
        let mut inputs = VecDeque::from([input]);
        while let Some(input) = inputs.pop_front() {
            let Some(ends) = &mut self.links[link] else { return };
            let here = ends[end].device;
            let peer = ends[end].session.peer().map(|peer| peer.device);
            let now = Moment {
                mono_ms: self.now_ms + 1_000 * here as u64,
                wall_ms: i64::try_from(self.now_ms).unwrap() + self.devices[here].ahead_ms,
            };
            for effect in ends[end].session.handle(now, input) {
                if let Effect::AskOffers(peer) = &effect {
                    inputs.push_back(Input::Offers(self.offers(here, peer)));
                }
                let Some(ends) = &mut self.links[link] else { return };
                let device = &mut self.devices[here];
                match effect {
                    Effect::Send(frame) => {
                        ends[1 - end].wire.push_back(frame);
                        inputs.push_back(Input::Flushed(1));
                    }
                    Effect::PeerSeen(_) | Effect::AskOffers(_) => {}
                    Effect::AskAccepts(jobs) => {
                        let clock = |job: &JobId| device.jobs.get(job).map(Rows::clock).unwrap_or_default();
                        let taken = jobs.iter().filter(|_| device.takes_new);
                        inputs.push_back(Input::Accepts(taken.map(|job| (*job, clock(job))).collect()));
                    }
                    Effect::AskMissing { job, theirs } => {
                        let rows = &device.jobs[&job];
                        inputs.push_back(Input::Bundles {
                            job,
                            clock: rows.clock(),
                            bundles: rows.missing(&theirs, device.bundle_bytes),
                        });
                    }
                    Effect::Intake { job, bytes } => ends[end].intake.push_back((job, bytes)),
                    Effect::PeerStored { job, clock } => {
                        device.stored.insert((peer.unwrap(), job), clock);
                    }
                    Effect::ClockMeasured { offset_ms, .. } => {
                        device.offsets.insert(peer.unwrap(), offset_ms);
                    }
                    Effect::Close(reason) => ends[end].closed = Some(reason),
                }
            }
        }
    }
}
