//! Two technicians close a job and its lead tech signs; a third was out of reach with it and comes back three days
//! later. Over real sockets and into real files.

#![expect(clippy::unwrap_used, reason = "a test that cannot set its scene has failed")]

use std::net::{Ipv4Addr, SocketAddr};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex};
use turnwise_cli::demo::hand::Hand;
use turnwise_cli::demo::proof::until;
use turnwise_cli::demo::scenario::{self, LEAD, MATE, Network, figure};
use turnwise_cli::office;
use turnwise_core::journal::{Body, EntryId, JobId, Outcome, Purpose, ReOpened, Role, Water};
use turnwise_core::link::Dialer;
use turnwise_core::quantity::Unit;
use turnwise_core::record::content::Document;
use turnwise_core::store::{ContentHash, JournalStore, Seed};
use turnwise_core::tablet::view::JobStatus;
use turnwise_core::tablet::{Clocks, Command, Moment, Options, Query, TabletHandle, View};
use turnwise_office::api::{CrewLine, HandOut};
use turnwise_record::verify::verify;

/// The third of the crew.
const THIRD: &str = "Eva Lund";

/// A procedure of the owner's that is done in one step, so that the test is about what comes after it.
const ROUND: &str = r#"id = "round"
title = { en = "Weekly round", es = "Ronda semanal" }
closes_with = [{ initials = "everybody" }]

[[point]]
id = "outlet"
label = { en = "Outlet", es = "Salida" }

[[phase]]
id = "look"
title = { en = "Look", es = "Mirar" }

[[phase.step]]
id = "look.outlet"
who = "either"
title = { en = "Read the outlet", es = "Lea la salida" }
say = { en = "Read the outlet.", es = "Lea la salida." }
why = { en = "It tells.", es = "Lo dice." }
evidence = [{ reading = "outlet" }]
"#;

/// A tablet's clock, set by the test.
#[derive(Clone)]
struct Clock(Arc<Mutex<String>>);

impl Clock {
    fn at(told: &str) -> Self {
        Self(Arc::new(Mutex::new(told.to_owned())))
    }

    fn set(&self, told: &str) {
        told.clone_into(&mut self.0.lock().unwrap());
    }
}

impl Clocks for Clock {
    fn now(&self) -> Moment {
        Moment {
            at: self.0.lock().unwrap().clone(),
            mono_ms: 0,
        }
    }
}

/// A tablet that dials the office.
struct Linked {
    handle: TabletHandle,
    clock: Clock,
    dialer: Dialer,
}

/// The night of the work.
const THEN: &str = "2026-03-02T01:30:00-06:00";
/// Three days later.
const THREE_DAYS_LATER: &str = "2026-03-05T08:00:00-06:00";

impl Linked {
    async fn start(data: PathBuf, name: &str, office: SocketAddr) -> Self {
        let clock = Clock::at(THEN);
        let mut options = Options::new(data, name);
        options.clocks = Box::new(clock.clone());
        let handle = TabletHandle::open(options, Seed::draw().unwrap()).unwrap();
        let name = name.to_owned();
        handle.command(Command::SetMe { name }).await.unwrap();
        let dialer = Dialer::start(handle.clone(), format!("ws://{office}/link"));
        Self {
            handle,
            clock,
            dialer,
        }
    }

    async fn fetched(&self, job: JobId) {
        until(
            "the tablet fetches the job",
            &[self.handle.changes()],
            async || {
                let View::Home(home) = self.handle.view(Query::Home).await? else {
                    return Ok(false);
                };
                let mut here = home.jobs.iter();
                Ok(here.any(|card| card.job == job && card.status != JobStatus::Waiting))
            },
        )
        .await
        .unwrap();
    }
}

/// The office and the three tablets.
struct Everybody {
    office: office::Running,
    tablets: [Linked; 3],
    job: JobId,
    hands: [Hand; 3],
}

impl Everybody {
    async fn at_work(dir: &Path) -> Self {
        let procedures = dir.join("of-the-owner");
        std::fs::create_dir_all(&procedures).unwrap();
        std::fs::write(procedures.join("round.toml"), ROUND).unwrap();
        let office = office::start(office::Options {
            data: dir.join("office"),
            listen: SocketAddr::from((Ipv4Addr::LOCALHOST, 0)),
            procedures: Some(procedures),
        })
        .await
        .unwrap();
        let handed = office.handle.hand_out(round()).await.unwrap();
        let (job, valve) = (handed.job, handed.valves[0].id);
        let mut tablets = Vec::new();
        let mut hands = Vec::new();
        for name in [LEAD, MATE, THIRD] {
            let tablet = Linked::start(dir.join(name), name, office.serving.address).await;
            tablet.fetched(job).await;
            hands.push(Hand::of(&tablet.handle, job, valve, name).await.unwrap());
            tablets.push(tablet);
        }
        Self {
            office,
            tablets: tablets
                .try_into()
                .unwrap_or_else(|_| unreachable!("three were started")),
            job,
            hands: hands
                .try_into()
                .unwrap_or_else(|_| unreachable!("three were started")),
        }
    }

    /// Waits until the office and so many of the tablets hold the same.
    async fn alike(&self, tablets: usize, what: &str) {
        let tablets = &self.tablets[..tablets];
        let mut changes: Vec<_> = tablets.iter().map(|tablet| tablet.handle.changes()).collect();
        changes.push(self.office.handle.changes());
        until(what, &changes, async || {
            let at_office = self.office.handle.record(self.job).await?.digest;
            for tablet in tablets {
                if tablet.handle.record(self.job).await?.digest != at_office {
                    return Ok(false);
                }
            }
            Ok(true)
        })
        .await
        .unwrap();
    }

    async fn export(&self) -> Vec<u8> {
        let export = self.office.handle.export(self.job).await.unwrap();
        export.text().unwrap().into_bytes()
    }
}

fn round() -> HandOut {
    let mut job = scenario::job(&Network::read().unwrap());
    "round".clone_into(&mut job.procedure);
    job.crew.push(CrewLine {
        name: THIRD.to_owned(),
        role: Role::Technician,
    });
    job
}

fn document(bytes: &[u8]) -> Document {
    serde_json::from_slice(bytes).unwrap()
}

fn ids(document: &Document) -> Vec<EntryId> {
    document.entries.iter().map(|line| line.id).collect()
}

#[test]
fn what_comes_back_three_days_later_is_late_and_a_second_revision_takes_it_in_beside_the_first() {
    let runtime = tokio::runtime::Builder::new_multi_thread().enable_all().build();
    runtime.unwrap().block_on(async {
        let dir = tempfile::tempdir().unwrap();
        let all = Everybody::at_work(dir.path()).await;
        let [ana, ben, eva] = &all.hands;
        all.tablets[2].dialer.hang_up().await;

        // Eva is out of reach and goes on working; the other two do not know of it.
        let mut hers = Vec::new();
        let fifty_five = || figure("55.0", Unit::Psi);
        for place in ["at the lid", "at the hydrant"] {
            hers.push(eva.note(None, place).await.unwrap());
            let read = eva.read(None, "outlet", fifty_five(), Purpose::Working, Water::Flowing);
            hers.push(read.await.unwrap());
        }
        let read = ben.read(None, "outlet", fifty_five(), Purpose::Working, Water::Flowing);
        read.await.unwrap();
        all.alike(2, "Ana sees the reading").await;
        let step = ana.step("look.outlet").await.unwrap();
        ana.mark(None, &step, Outcome::Done, "").await.unwrap();
        ana.initial().await.unwrap();
        all.alike(2, "Ben sees that it is done").await;
        ben.initial().await.unwrap();
        all.alike(2, "Ana sees the initials").await;
        let first = ana.sign().await.unwrap();
        all.alike(2, "the signature reaches everybody in reach").await;
        let signed = all.office.handle.signed_record(all.job).await.unwrap();
        assert!(hers.iter().all(|id| !ids(&document(&signed)).contains(id)));

        // Three days later.
        for tablet in &all.tablets {
            tablet.clock.set(THREE_DAYS_LATER);
        }
        all.tablets[2].dialer.dial();
        all.alike(3, "Eva's tablet is back").await;
        let kept = all.office.handle.signed_record(all.job).await.unwrap();
        assert_eq!(kept, signed, "not a byte of what was signed has changed");
        let report = verify(&all.export().await).unwrap();
        assert_eq!((report.faults.as_slice(), report.is_signed()), (&[][..], true));
        assert_eq!(
            (report.digest.as_str(), report.revision, report.after),
            (first.as_str(), 1, 4)
        );
        let late = ben.close_out().await.unwrap();
        let [item] = late.review.as_slice() else {
            panic!("the late entries and nothing else: {:#?}", late.review);
        };
        assert_eq!(item.code, "late_entries");
        let told: std::collections::BTreeSet<_> = item.entries.iter().copied().collect();
        assert_eq!(told, hers.iter().copied().collect());
        let record = all.office.handle.job(all.job).await.unwrap().record.unwrap();
        assert_eq!((record.late, record.revision, record.matches), (4, 1, true));

        // The lead tech opens it again, with a reason, and signs another revision.
        let sign_off = ana.close_out().await.unwrap().signed[0].said.entry;
        let reason = "Eva's readings belong to it".to_owned();
        ana.tell(None, Body::ReOpened(ReOpened { sign_off, reason }))
            .await
            .unwrap();
        eva.initial().await.unwrap();
        all.alike(3, "it is open again, and Eva stands by her entries")
            .await;
        let second = ana.sign().await.unwrap();
        all.alike(3, "the second signature reaches everybody").await;
        assert_ne!(first, second);
        let report = verify(&all.export().await).unwrap();
        assert_eq!((report.faults.as_slice(), report.is_signed()), (&[][..], true));
        assert_eq!(
            (report.digest.as_str(), report.revision, report.after),
            (second.as_str(), 2, 0)
        );
        assert_eq!(report.earlier.len(), 1, "the first signature is told of");
        assert_eq!(
            all.office.handle.job(all.job).await.unwrap().status,
            JobStatus::Signed
        );

        // Both revisions are kept, byte for byte, each with what its signer saw.
        all.office.stop().await.unwrap();
        let store = JournalStore::open(&dir.path().join("office"), Seed::draw().unwrap()).unwrap();
        let both = store.store().signed_records(all.job).unwrap();
        let digests: Vec<_> = both.iter().map(|kept| kept.digest).collect();
        let expected: [ContentHash; 2] = [first.parse().unwrap(), second.parse().unwrap()];
        assert_eq!(digests, expected);
        assert_eq!(both[0].bytes, signed.to_vec());
        let [one, two] = [document(&both[0].bytes), document(&both[1].bytes)];
        assert!(
            hers.iter()
                .all(|id| ids(&two).contains(id) && !ids(&one).contains(id))
        );
        for document in [&one, &two] {
            let [procedure] = document.procedures.as_slice() else {
                panic!("one procedure");
            };
            assert_eq!(procedure.id, "round", "and it is the owner's");
        }
    });
}
