//! What the office page and the server say to each other, as JSON.

use crate::door::{Caller, Way};
use crate::people::DeskRole;
use crate::registry::{Account, AccountId, ApiToken, ApiTokenId, AuditRow};
use serde::{Deserialize, Serialize};
use ts_rs::TS;
use turnwise_core::findings::history::{Compared, KnownValve};
use turnwise_core::journal::{AssetId, EntryId, JobId, ParticularValue, Request, Role};
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
    /// What else the office knows of valve and chamber: particulars that a procedure asks for, and an owner's limits
    /// of the checks before the work (`limit_velocity`).
    #[serde(default)]
    #[ts(as = "Option<Vec<HandedParticular>>", optional)]
    pub particulars: Vec<HandedParticular>,
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

/// One particular that the office hands out.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
pub struct HandedParticular {
    /// Its name.
    pub name: String,
    /// What it is.
    pub value: ParticularValue,
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

/// Who is signed in: `GET /api/session`.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct SessionView {
    /// Who. None: nobody.
    pub name: Option<String>,
    /// What they may do.
    pub role: Option<DeskRole>,
    /// What the page sends back, in the header `x-turnwise-csrf`, with whatever changes something.
    pub csrf: Option<String>,
    /// Whether they came by the address line and not by a password.
    pub console: bool,
    /// Whether nobody has an account yet: the first one to make is an administrator's.
    pub first_start: bool,
}

impl SessionView {
    pub(crate) fn new(caller: Option<&Caller>, nobody: bool) -> Self {
        Self {
            name: caller.map(|caller| caller.name.clone()),
            role: caller.map(|caller| caller.role),
            csrf: caller.and_then(|caller| match &caller.way {
                Way::Person { csrf, .. } => Some(csrf.clone()),
                Way::Console | Way::Program => None,
            }),
            console: caller.is_some_and(|caller| matches!(caller.way, Way::Console)),
            first_start: nobody,
        }
    }
}

/// A name and a password: `POST /api/session`.
#[derive(Clone, Serialize, Deserialize, TS)]
pub struct SignIn {
    /// The name.
    pub name: String,
    /// The password.
    pub password: String,
}

/// A new password for oneself: `POST /api/session/password`.
#[derive(Clone, Serialize, Deserialize, TS)]
pub struct NewPassword {
    /// The one up to now.
    pub current: String,
    /// The one from now on.
    pub new: String,
}

/// A person with an account: `GET /api/people`.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct AccountView {
    /// Which.
    pub id: AccountId,
    /// The name.
    pub name: String,
    /// What they may do.
    pub role: DeskRole,
    /// Whether they may sign in.
    pub active: bool,
    /// Since when, seconds since 1970.
    #[ts(type = "number")]
    pub made_at: i64,
}

impl AccountView {
    pub(crate) fn new(account: &Account) -> Self {
        Self {
            id: account.id,
            name: account.name.clone(),
            role: account.role,
            active: account.active,
            made_at: account.made_at,
        }
    }
}

/// A new account: `POST /api/people`.
#[derive(Clone, Serialize, Deserialize, TS)]
pub struct AccountNew {
    /// The name to sign in with.
    pub name: String,
    /// What they may do.
    pub role: DeskRole,
    /// The first password.
    pub password: String,
}

/// What an account is from now on: `POST /api/people/{person}`. The person is signed out everywhere.
#[derive(Clone, Serialize, Deserialize, TS)]
pub struct AccountChange {
    /// What they may do.
    pub role: DeskRole,
    /// Whether they may sign in.
    pub active: bool,
    /// A new password, if there is to be one.
    #[serde(default)]
    #[ts(optional)]
    pub password: Option<String>,
}

/// A program's token, without what opens: `GET /api/tokens`.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct TokenView {
    /// Which.
    pub id: ApiTokenId,
    /// What it is for.
    pub name: String,
    /// What it may do.
    pub role: DeskRole,
    /// Since when, seconds since 1970.
    #[ts(type = "number")]
    pub made_at: i64,
    /// Since when it opens nothing.
    #[ts(type = "number | null")]
    pub revoked_at: Option<i64>,
}

impl TokenView {
    pub(crate) fn new(token: &ApiToken) -> Self {
        Self {
            id: token.id,
            name: token.name.clone(),
            role: token.role,
            made_at: token.made_at,
            revoked_at: token.revoked_at,
        }
    }
}

/// A new token: `POST /api/tokens`.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct TokenNew {
    /// What it is for.
    pub name: String,
    /// What it may do.
    pub role: DeskRole,
}

/// A token as it is shown once and never again.
#[derive(Clone, Serialize, Deserialize, TS)]
pub struct TokenMade {
    /// What is kept of it.
    pub token: TokenView,
    /// What opens.
    pub secret: String,
}

/// Part of the audit trail: `GET /api/audit`.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct AuditPage {
    /// The newest first.
    pub rows: Vec<AuditRow>,
    /// What to ask `before` for the next older ones. None: there are none.
    #[ts(type = "number | null")]
    pub next: Option<i64>,
}

/// Any answer that is not a success.
#[derive(Clone, Debug, Serialize, Deserialize, TS)]
pub struct ApiError {
    /// A stable code.
    pub code: String,
    /// The same in English words.
    pub message: String,
}
