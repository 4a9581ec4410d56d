//! What the office page and the server say to each other, as JSON.

use serde::{Deserialize, Serialize};
use ts_rs::TS;
use turnwise_core::findings::history::{Compared, KnownValve};
use turnwise_core::journal::{AssetId, EntryId, JobId, Request, Role};
use turnwise_core::procedure::{AtHand, OwnerMark};
use turnwise_core::quantity::Figure;
use turnwise_core::tablet::view::{JobStatus, PeerView, SaidValue};

/// A job to hand out: `POST /api/jobs`.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct HandOut {
    /// The number people say. Unique at the office.
    pub number: String,
    /// Whose system it is.
    pub customer: String,
    /// Where it is.
    pub site: String,
    /// The chamber's name.
    pub station: String,
    /// The valve's name.
    pub valve: String,
    /// The valve's id, where an earlier job was about it: it keeps its history, and its chamber its id.
    #[serde(default)]
    #[ts(optional)]
    pub known: Option<AssetId>,
    /// The procedure to work by.
    pub procedure: String,
    /// Nominal size.
    #[serde(default)]
    #[ts(optional)]
    pub size: Option<Figure>,
    /// What is asked.
    pub request: Asked,
    /// The pilot's spring as the office knows it: lowest setting.
    #[serde(default)]
    #[ts(optional)]
    pub spring_low: Option<Figure>,
    /// Highest setting.
    #[serde(default)]
    #[ts(optional)]
    pub spring_high: Option<Figure>,
    /// Printed rate.
    #[serde(default)]
    #[ts(optional)]
    pub spring_rate: Option<Figure>,
    /// The other valves of the same chamber on this job: a relief valve, a valve in parallel.
    #[serde(default)]
    #[ts(optional, as = "Option<Vec<BesideIt>>")]
    pub beside: Vec<BesideIt>,
    /// Who goes, and what they may. At least one lead tech.
    pub crew: Vec<CrewLine>,
}

/// A further valve on a job.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct BesideIt {
    /// The valve's name.
    pub valve: String,
    /// The valve's id, where an earlier job was about it.
    #[serde(default)]
    #[ts(optional)]
    pub known: Option<AssetId>,
    /// The procedure to work by.
    pub procedure: String,
    /// What is asked.
    pub request: Asked,
}

/// What a customer asks of a valve.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct Asked {
    /// The outlet pressure to hold.
    pub pressure: Figure,
    /// How far off it may be. None: the default rule.
    #[serde(default)]
    #[ts(optional)]
    pub tolerance: Option<Figure>,
    /// Where the pressure is meant.
    pub datum: String,
    /// Who asked.
    pub asked_by: String,
    /// The highest pressure the zone may see.
    #[serde(default)]
    #[ts(optional)]
    pub zone_limit: Option<Figure>,
}

/// One of the crew.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct CrewLine {
    /// The name: the same name on a tablet is the same person.
    pub name: String,
    /// What they may.
    pub role: Role,
}

/// A change of the request: `POST /api/jobs/{job}/request`.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct ChangeRequest {
    /// The valve.
    pub valve: AssetId,
    /// What is asked now.
    pub asked: Asked,
    /// The requests that stood on the page.
    pub replaces: Vec<EntryId>,
}

/// The list: `GET /api/jobs`.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct OfficeHome {
    /// Jobs, the newest first.
    pub jobs: Vec<OfficeJob>,
    /// Tablets the office ever heard from.
    pub tablets: Vec<PeerView>,
    /// Valves that earlier jobs were about.
    pub known: Vec<KnownValve>,
    /// The procedures at hand, and the owner's files that are refused.
    pub procedures: AtHand,
}

/// One job as the office sees it: also `GET /api/jobs/{job}`.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct OfficeJob {
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
    /// The valves.
    pub valves: Vec<OfficeValve>,
    /// Who goes.
    pub crew: Vec<CrewLine>,
    /// How far it is.
    pub status: JobStatus,
    /// When it was handed out, RFC 3339.
    pub opened_at: String,
    /// Entries here.
    pub entries: u32,
    /// What needs a person's decision.
    pub open_items: u32,
    /// What is missing before it can be signed.
    pub missing: u32,
    /// The newest entry's wall clock, RFC 3339.
    pub newest_at: Option<String>,
    /// The signed record, if there is one.
    pub record: Option<OfficeRecord>,
}

/// One valve as the office sees it.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct OfficeValve {
    /// Which.
    pub id: AssetId,
    /// Its name.
    pub name: String,
    /// The requests that stand: one, or several that differ.
    pub requests: Vec<SaidValue<Request>>,
    /// The newest as-left outlet reading.
    pub as_left: Option<Figure>,
    /// Whether the valve was set to another request than the one that stands.
    pub request_changed: bool,
    /// The procedure that it is worked by.
    pub procedure: String,
    /// Where that is an owner's: its file.
    pub procedure_owner: Option<OwnerMark>,
    /// Earlier visits that the job carries, and how this one compares.
    pub history: Compared,
}

/// A signed record that the office holds.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct OfficeRecord {
    /// SHA-256 of its canonical JSON.
    pub digest: String,
    /// Who signed.
    pub signed_by: String,
    /// When, RFC 3339.
    pub signed_at: String,
    /// Its revision.
    pub revision: u32,
    /// Entries that came after it.
    pub late: u32,
    /// Whether the entries here make the very record that was signed. If not, its code is `record_mismatch` and
    /// there are no bytes to hand out.
    pub matches: bool,
}

/// Any answer that is not a success.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct ApiError {
    /// A stable code.
    pub code: String,
    /// The same in English words.
    pub message: String,
}
