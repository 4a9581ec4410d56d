//! A small job in a real store, signed.

#![allow(dead_code, reason = "each test file uses its part")]

use tempfile::TempDir;
use turnwise_core::journal::{
    ActorId, Asset, AssetId, Body, Entry, EntryId, JobId, JobOpened, Note, PersonId, PersonJoined, Purpose,
    Reading, Role, ScrewMove, SignOff, Told, ValveOnJob, Water,
};
use turnwise_core::procedure::{Procedures, Shelf};
use turnwise_core::quantity::{Figure, Unit};
use turnwise_core::record::certificate::{Certificate, Vouched};
use turnwise_core::record::export::Export;
use turnwise_core::record::signature::{DeviceKey, Signed as Covered};
use turnwise_core::record::{hex, record};
use turnwise_core::store::{JournalStore, Seed};
use uuid::Uuid;

/// The valve.
pub const VALVE: AssetId = AssetId(Uuid::from_u128(0xa1));
/// When everything happens.
const AT: &str = "2026-05-04T09:12:03+02:00";

/// A job that was exported.
pub struct Signed {
    store: JournalStore,
    job: JobId,
    told: u128,
    /// The export as it is now.
    pub export: Export,
    /// The digest that was signed last, if any.
    pub digest: String,
    _dir: TempDir,
}

/// A job with a reading, a turn and a note, signed by Ana Ruiz.
pub fn signed_job() -> Signed {
    let mut signed = job(0x10b, "55.0");
    signed.sign(1);
    signed.exported();
    signed
}

/// Another job that nobody signed.
pub fn unsigned_job() -> Signed {
    let mut job = job(0x10c, "61.5");
    job.exported();
    job
}

fn job(number: u128, outlet: &str) -> Signed {
    let dir = tempfile::tempdir().unwrap();
    let seed = Seed::from_random([u8::try_from(number & 0xff).unwrap(); 80]);
    let store = JournalStore::open(dir.path(), seed).unwrap();
    let job = JobId(Uuid::from_u128(number));
    let mut signed = Signed {
        store,
        job,
        told: 0,
        export: Export {
            format: String::new(),
            version: String::new(),
            record: serde_json::Value::Null,
            signatures: Vec::new(),
            addendum: Vec::new(),
            seal: None,
        },
        digest: String::new(),
        _dir: dir,
    };
    signed.tell(EntryId(job.0), Body::JobOpened(opening()));
    signed.say(Body::PersonJoined(PersonJoined {
        person: PersonId::of_name("Ana Ruiz"),
        name: "Ana Ruiz".to_owned(),
        duties: Vec::new(),
        replaces: Vec::new(),
    }));
    signed.say(Body::Reading(Reading {
        asset: VALVE,
        point: "outlet".to_owned(),
        place: None,
        figure: Figure::new(outlet, Unit::Psi).unwrap(),
        gauge: None,
        purpose: Purpose::AsFound,
        water: Water::Flowing,
        request: None,
    }));
    signed.say(Body::ScrewMove(ScrewMove {
        asset: VALVE,
        screw: "pilot".to_owned(),
        turn: Figure::new("-1/4", Unit::Turn).unwrap(),
        request: None,
        planned_from: None,
    }));
    signed.say(Body::Note(Note {
        text: "=SUM(A1:A9), \"tapa\" ñoña\nsegunda línea".to_owned(),
        about: None,
    }));
    signed
}

fn opening() -> JobOpened {
    JobOpened {
        number: "J-2041".to_owned(),
        customer: "Distrito Ñ".to_owned(),
        site: "Alder Street".to_owned(),
        station: Asset {
            id: AssetId(Uuid::from_u128(0x57)),
            name: "Vault".to_owned(),
        },
        valves: vec![ValveOnJob {
            id: VALVE,
            name: "PRV".to_owned(),
            procedure: "reducing".to_owned(),
            size: None,
        }],
    }
}

impl Signed {
    /// Somebody adds a note after the signature.
    pub fn note_after(&mut self) {
        self.say(Body::Note(Note {
            text: "strainer basket bent".to_owned(),
            about: None,
        }));
        self.exported();
    }

    /// An office vouches for Ana Ruiz's key until a time, and the job is exported with it.
    pub fn vouched_for(&mut self, until: &str) -> String {
        let office = DeviceKey::from_secret([9; 32]);
        let vouched = Vouched {
            person: PersonId::of_name("Ana Ruiz"),
            name: "Ana Ruiz".to_owned(),
            roles: vec![Role::LeadTech],
            key: self.store.device_key().unwrap().public(),
            from: "2026-01-01T00:00:00Z".to_owned(),
            until: until.to_owned(),
        };
        let certificate = Certificate::issue(&office, vouched).unwrap();
        self.store.store_mut().keep_certificate(&certificate).unwrap();
        self.exported();
        office.public()
    }

    /// The lead tech signs what is there now.
    pub fn sign_again(&mut self) {
        self.sign(2);
        self.exported();
    }

    fn say(&mut self, body: Body) {
        let id = EntryId(Uuid::from_u128((self.job.0.as_u128() << 64) | (self.told + 1)));
        self.tell(id, body);
    }

    fn tell(&mut self, id: EntryId, body: Body) {
        self.told += 1;
        let told = Told {
            by: PersonId::of_name("Ana Ruiz"),
            keyed_by: None,
            device: self.store.device(),
            boot: self.store.boot(),
            mono_ms: 7,
            at: AT.to_owned(),
            body,
        };
        self.store.append(self.job, &Entry { id, told }).unwrap();
    }

    fn sign(&mut self, revision: u32) {
        let procedures = Procedures::built_in().unwrap();
        let state = self.store.state(self.job).unwrap();
        let clock: std::collections::BTreeMap<ActorId, u64> = self
            .store
            .clock(self.job)
            .unwrap()
            .into_iter()
            .map(|(actor, reach)| (actor, reach.seq))
            .collect();
        let heads = self.store.heads(self.job).unwrap();
        let made = record(&state, &procedures, &clock, &heads).unwrap();
        let mut heads: Vec<String> = heads.iter().map(|hash| hex(&hash.0)).collect();
        heads.sort_unstable();
        let key = self.store.device_key().unwrap();
        let message = Covered {
            job: &self.job.to_string(),
            revision,
            digest: &made.digest,
            heads: &heads,
            by: &PersonId::of_name("Ana Ruiz").to_string(),
            at: AT,
        }
        .message();
        self.digest.clone_from(&made.digest);
        self.say(Body::SignOff(SignOff {
            digest: made.digest,
            heads,
            clock: clock.iter().map(|(actor, seq)| (hex(&actor.0), *seq)).collect(),
            revision,
            key: Some(key.public()),
            signed_at: Some(AT.to_owned()),
            signature: Some(key.sign(&message)),
        }));
    }

    fn exported(&mut self) {
        let mut procedures = Shelf::new().unwrap();
        self.export = self.store.export(&mut procedures, self.job, AT).unwrap();
    }
}
