//! What stands on every screen of a job, the list of jobs, and the crew.

use super::{CrewLinkView, ReadingView, Said, Standing, Text};
use crate::findings::history::KnownValve;
use crate::journal::{Asset, DeviceId, Duty, EntryId, JobId, PersonId, Position, Request, Role};
use crate::procedure::{AtHand, OwnerMark};
use crate::quantity::Figure;
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// The first screen.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct HomeView {
    /// Who uses this tablet. None: ask first.
    pub me: Option<Person>,
    /// The public key that this tablet signs with, in hex: what an office vouches for.
    pub key: String,
    /// Jobs, the ones in work first.
    pub jobs: Vec<JobCard>,
    /// The links of this tablet.
    pub links: Links,
    /// Valves that jobs on this tablet are about: to open another job for one of them.
    pub known: Vec<KnownValve>,
    /// The procedures at hand, and the owner's files that are refused.
    pub procedures: AtHand,
}

/// A person by name.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Person {
    /// Who.
    pub id: PersonId,
    /// The name as they write it.
    pub name: String,
}

/// One job in the list.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct JobCard {
    /// Which.
    pub job: JobId,
    /// The number people say.
    pub number: String,
    /// Whose system.
    pub customer: String,
    /// Where.
    pub site: String,
    /// The chamber.
    pub station: String,
    /// The valves' names.
    pub valves: Vec<String>,
    /// How far it is.
    pub status: JobStatus,
    /// What is counted on it.
    pub custody: Custody,
    /// What needs a person's decision.
    pub open_items: u32,
}

/// How far a job is, in the order in which jobs are listed: what is in work comes first, what is signed last.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum JobStatus {
    /// In work.
    InWork,
    /// Signed, and opened again since.
    ReOpened,
    /// Handed out, nobody has begun.
    New,
    /// Its opening entry has not come yet.
    Waiting,
    /// Signed.
    Signed,
}

/// How many entries are where. The three add up to the total.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct Custody {
    /// Durable on this tablet only.
    pub only_here: u32,
    /// With a crew mate too, not at the office.
    pub with_mate: u32,
    /// At the office.
    pub at_office: u32,
}

/// This tablet's links.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, TS)]
pub struct Links {
    /// Whether the tablet tries to link at all.
    pub on: bool,
    /// Everybody it ever heard from, and every address it tries.
    pub peers: Vec<PeerView>,
    /// Pairing with crew mates' tablets.
    pub crew: CrewLinkView,
}

/// One other device.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct PeerView {
    /// Which, once heard.
    pub device: Option<DeviceId>,
    /// What it calls itself, or its address before it was heard.
    pub name: String,
    /// The person on it.
    pub person: Option<String>,
    /// Whether it is the office.
    pub office: bool,
    /// Whether it is linked now.
    pub linked: bool,
    /// When it was last heard, RFC 3339 by this tablet's clock.
    pub last_heard: Option<String>,
    /// Its clock minus ours, milliseconds.
    #[ts(type = "number | null")]
    pub clock_offset_ms: Option<i64>,
}

/// What stands on every screen of a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct JobHead {
    /// Which.
    pub job: JobId,
    /// The number people say.
    pub number: String,
    /// Whose system.
    pub customer: String,
    /// Where.
    pub site: String,
    /// The chamber.
    pub station: Asset,
    /// The valves on the job.
    pub valves: Vec<Asset>,
    /// The valve in hand.
    pub valve: Asset,
    /// Its procedure.
    pub procedure: String,
    /// Where that is an owner's: its file.
    pub procedure_owner: Option<OwnerMark>,
    /// Whether this tablet does not have it: the job can be read and nothing recorded.
    pub procedure_missing: bool,
    /// How far the job is.
    pub status: JobStatus,
    /// Who uses this tablet.
    pub me: Option<Person>,
    /// Everybody on the crew, for "called by".
    pub crew: Vec<Person>,
    /// The request.
    pub request: Standing<Request>,
    /// Whether the valve was set to another request than the one that stands.
    pub request_changed: Option<RequestChanged>,
    /// What is counted on it.
    pub custody: Custody,
    /// The links.
    pub links: Links,
    /// The zone over its limit.
    pub alarm: Option<ZoneAlarm>,
    /// What needs a person's decision.
    pub open_items: u32,
    /// What the setting of the valve in hand is not worth, by answers that the crew gave.
    pub limits: Vec<Text>,
    /// The crew mates' newest reading.
    pub mate_reading: Option<ReadingView>,
    /// If the outlet climbs: shut this, then that.
    pub runaway: Vec<RunawayLine>,
    /// The way back to as found.
    pub put_back: PutBack,
}

/// The request that stands is not the one the valve was set to.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct RequestChanged {
    /// What it was set to.
    pub worked_to: Figure,
    /// What is asked now.
    pub asked: Figure,
    /// Who asked so, and when.
    pub said: Said,
    /// The entries that worked to the older request.
    pub entries: Vec<EntryId>,
}

/// A reading over the zone's limit.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ZoneAlarm {
    /// The reading.
    pub reading: ReadingView,
    /// The limit.
    pub limit: Figure,
}

/// One line of the runaway card.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct RunawayLine {
    /// What to do.
    pub say: Text,
    /// The element it is about, if one.
    pub element: Option<String>,
}

/// The way back to as found.
#[derive(Clone, Debug, Default, PartialEq, Serialize, Deserialize, TS)]
pub struct PutBack {
    /// Per screw that was moved: how far back.
    pub screws: Vec<TurnBack>,
    /// Elements that do not stand as they were found.
    pub positions: Vec<PositionBack>,
    /// Speed controls that do not stand as they were found.
    pub controls: Vec<ControlBack>,
}

/// How to turn one screw back.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct TurnBack {
    /// Which screw.
    pub screw: String,
    /// Its name.
    pub name: Text,
    /// How far.
    pub turn: Turn,
}

/// A turn of a screw, in every way people say it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct Turn {
    /// Turns, clockwise positive.
    pub turns: f64,
    /// Degrees, never negative.
    pub degrees: f64,
    /// Flats of a hexagon, never negative.
    pub flats: f64,
    /// The nearest plain fraction, never negative: `1 3/8`, or `0`.
    pub fraction: String,
    /// Which way.
    pub way: Way,
}

/// Which way to turn, seen from the head of the screw.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Way {
    /// Clockwise.
    Clockwise,
    /// Counter-clockwise.
    CounterClockwise,
    /// Not at all.
    None,
}

/// An element that does not stand as found.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct PositionBack {
    /// Which.
    pub element: String,
    /// Its name.
    pub name: Text,
    /// As found.
    pub found: Position,
    /// As it stands, if agreed.
    pub now: Option<Position>,
}

/// A speed control that does not stand as found.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct ControlBack {
    /// Which.
    pub control: String,
    /// Its name.
    pub name: Text,
    /// As found, turns open from seated.
    pub found: Figure,
    /// As it stands.
    pub now: Figure,
}

/// People and links.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct CrewView {
    /// Everybody who joined or was granted something.
    pub people: Vec<CrewMember>,
}

/// One of the crew.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct CrewMember {
    /// Who.
    pub person: Person,
    /// What they do on this job.
    pub duties: Vec<Duty>,
    /// What the duty entry replaces, if they change it.
    pub replaces: Vec<EntryId>,
    /// What they may, from the office.
    pub role: Option<Role>,
    /// How many entries are theirs.
    pub entries: u32,
    /// Their newest reading.
    pub newest: Option<ReadingView>,
}
