//! The one thread that owns the office's journals.

use crate::api::{ChangeRequest, HandOut, OfficeHome, OfficeJob};
use crate::board::Board;
use crate::error::OfficeError;
use crate::printed::Printable;
use crate::{show, signed, told, valid};
use std::collections::{BTreeSet, HashMap};
use std::path::PathBuf;
use std::sync::Arc;
use tokio::sync::{broadcast, watch};
use turnwise_core::findings::history::{KnownValve, known, last, newest, visit};
use turnwise_core::journal::{
    AssetId, Body, BootId, DeviceId, Entry, EntryId, History, JobId, JobState, PersonId, SignOff, Told,
};
use turnwise_core::link::Hello;
use turnwise_core::procedure::{AtHand, Shelf};
use turnwise_core::record::export::Export;
use turnwise_core::record::{Record, record};
use turnwise_core::store::{ContentHash, JournalStore, procedure_files};
use turnwise_core::tablet::Clocks;
use uuid::Uuid;

/// What the outside hears of: shared by the engine and every handle.
#[derive(Clone)]
pub(crate) struct Signals {
    /// Grows whenever anything shown may have changed.
    pub revision: watch::Sender<u64>,
    /// The jobs whose journals changed, after the change is durable.
    pub jobs: broadcast::Sender<JobId>,
    /// Who this office is to its peers.
    pub hello: watch::Sender<Hello>,
}

/// The office's journals and all that is needed to work with them.
pub(crate) struct Engine {
    pub store: JournalStore,
    pub board: Board,
    signals: Signals,
    shelf: Shelf,
    /// The owner's folder of procedure files.
    folder: PathBuf,
    clocks: Box<dyn Clocks>,
    boot: BootId,
    device: DeviceId,
    /// What the page shows of a job, until something in it changes.
    shown: HashMap<JobId, OfficeJob>,
    /// The valves of each job, once its opening has come.
    known: HashMap<JobId, Vec<KnownValve>>,
    closing: bool,
}

impl Engine {
    pub fn new(
        store: JournalStore,
        clocks: Box<dyn Clocks>,
        signals: Signals,
        folder: PathBuf,
    ) -> Result<Self, OfficeError> {
        let mut engine = Self {
            board: Board::load(store.store())?,
            device: store.device(),
            boot: store.boot(),
            store,
            signals,
            shelf: Shelf::new()?,
            folder,
            clocks,
            shown: HashMap::new(),
            known: HashMap::new(),
            closing: false,
        };
        engine.read_folder()?;
        Ok(engine)
    }

    pub fn hand_out(&mut self, job: &HandOut) -> Result<OfficeJob, OfficeError> {
        let procedures = self.shelf.at_hand();
        valid::hand_out(job, procedures)?;
        let number = job.number.trim();
        for known in self.store.jobs()? {
            let state = self.state(known)?;
            if state
                .opening()
                .is_some_and(|opening| opening.number.trim() == number)
            {
                return Err(OfficeError::NumberTaken(number.to_owned()));
            }
        }
        let id = JobId(Uuid::now_v7());
        let known = self.known_valves()?;
        let earlier = |valve: &Option<AssetId>| match valve {
            None => Ok(None),
            Some(id) => match known.iter().find(|known| known.valve.id == *id) {
                Some(known) => Ok(Some(known)),
                None => Err(OfficeError::UnknownValve),
            },
        };
        let first = earlier(&job.known)?;
        let mut stations: Vec<AssetId> = first.iter().map(|known| known.station.id).collect();
        let valve = first.map_or_else(|| AssetId(Uuid::now_v7()), |known| known.valve.id);
        let mut beside = Vec::new();
        for other in &job.beside {
            let other = earlier(&other.known)?;
            stations.extend(other.iter().map(|known| known.station.id));
            beside.push(other.map_or_else(|| AssetId(Uuid::now_v7()), |known| known.valve.id));
        }
        let all: BTreeSet<AssetId> = std::iter::once(valve).chain(beside.iter().copied()).collect();
        if all.len() <= beside.len() {
            return Err(OfficeError::ValveTwice);
        }
        // The chamber is the one that its valves were last in.
        let station = stations
            .first()
            .copied()
            .unwrap_or_else(|| AssetId(Uuid::now_v7()));
        let worked_by =
            std::iter::once(&job.procedure).chain(job.beside.iter().map(|other| &other.procedure));
        let mut carried = self.shelf.to_carry(worked_by.map(String::as_str));
        for valve in all {
            carried.extend(self.earlier(valve)?.into_iter().map(Body::History));
        }
        let entries: Vec<_> = told::handed_out(job, station, valve, &beside, carried, self.shelf.at_hand())
            .into_iter()
            .enumerate()
            .map(|(at, body)| {
                // The opening's id is the job's own.
                let entry = if at == 0 {
                    EntryId(id.0)
                } else {
                    EntryId(Uuid::now_v7())
                };
                self.entry(entry, body)
            })
            .collect();
        self.append(id, &entries)?;
        self.job(id)
    }

    /// Reads the owner's procedure files again. Jobs that are handed out keep the files that they carry.
    pub fn reload_procedures(&mut self) -> Result<AtHand, OfficeError> {
        self.read_folder()?;
        self.shown_changed();
        Ok(self.shelf.shown(Some(self.folder.display().to_string())))
    }

    /// A broken file is refused; the rest go on working.
    fn read_folder(&mut self) -> Result<(), OfficeError> {
        self.shelf.take_in(procedure_files(&self.folder))?;
        for refused in self.shelf.refused() {
            tracing::warn!(
                file = refused.file,
                line = refused.line,
                code = refused.code,
                "a procedure file is refused: {}",
                refused.reason
            );
        }
        Ok(())
    }

    /// Every valve that a job here is about, by the newest job of each.
    fn known_valves(&mut self) -> Result<Vec<KnownValve>, OfficeError> {
        for job in self.store.jobs()? {
            if !self.known.contains_key(&job) {
                let valves = known(&*self.state(job)?);
                // Until the opening has come there is nothing to know, and it never changes afterwards.
                if !valves.is_empty() {
                    self.known.insert(job, valves);
                }
            }
        }
        Ok(newest(self.known.values().flatten().cloned()))
    }

    /// The closed visits to a valve, the newest last.
    fn earlier(&mut self, valve: AssetId) -> Result<Vec<History>, OfficeError> {
        self.known_valves()?;
        let about = |(job, valves): (&JobId, &Vec<KnownValve>)| {
            valves.iter().any(|known| known.valve.id == valve).then_some(*job)
        };
        let jobs: Vec<JobId> = self.known.iter().filter_map(about).collect();
        let mut visits = Vec::new();
        for job in jobs {
            let state = self.state(job)?;
            visits.extend(visit(&state, &self.shelf.of_job(&state), valve));
        }
        Ok(last(visits))
    }

    pub fn change_request(&mut self, job: JobId, change: ChangeRequest) -> Result<OfficeJob, OfficeError> {
        valid::asked("asked.", &change.asked)?;
        let state = self.state(job)?;
        let opening = state.opening().ok_or(OfficeError::NotOpened)?;
        if !opening.valves.iter().any(|valve| valve.id == change.valve) {
            return Err(OfficeError::UnknownValve);
        }
        let body = told::request(change.valve, &change.asked, change.replaces);
        let entry = self.entry(EntryId(Uuid::now_v7()), body);
        self.append(job, &[entry])?;
        self.job(job)
    }

    pub fn home(&mut self) -> Result<OfficeHome, OfficeError> {
        let mut jobs = self.store.jobs()?;
        // Ids begin with the time at which they were made.
        jobs.sort_unstable_by(|a, b| b.cmp(a));
        Ok(OfficeHome {
            jobs: jobs
                .into_iter()
                .map(|job| self.job(job))
                // A job whose opening has not come has nothing to be listed by.
                .filter(|job| !matches!(job, Err(OfficeError::NotOpened)))
                .collect::<Result<_, _>>()?,
            tablets: self.board.tablets(),
            known: self.known_valves()?,
            procedures: self.shelf.shown(Some(self.folder.display().to_string())),
        })
    }

    pub fn job(&mut self, job: JobId) -> Result<OfficeJob, OfficeError> {
        if let Some(shown) = self.shown.get(&job) {
            return Ok(shown.clone());
        }
        let state = self.state(job)?;
        let matches = self.signed_matches(job, &state)?;
        let shown = show::job(&state, &self.shelf.of_job(&state), self.device, matches)
            .ok_or(OfficeError::NotOpened)?;
        self.shown.insert(job, shown.clone());
        Ok(shown)
    }

    pub fn export(&mut self, job: JobId) -> Result<Export, OfficeError> {
        let at = self.wall();
        Ok(self.store.export(&mut self.shelf, job, &at)?)
    }

    pub fn printable(&mut self, job: JobId) -> Result<Printable, OfficeError> {
        let export = self.export(job)?;
        let photographs = self.store.store().photographs(&export)?;
        Ok(Printable { export, photographs })
    }

    pub fn record(&mut self, job: JobId) -> Result<Record, OfficeError> {
        let state = self.state(job)?;
        let clock = self.store.clock(job)?;
        let clock = clock
            .into_iter()
            .map(|(actor, reach)| (actor, reach.seq))
            .collect();
        Ok(record(
            &state,
            &self.shelf.of_job(&state),
            &clock,
            &self.store.heads(job)?,
        )?)
    }

    pub fn signed_record(&mut self, job: JobId) -> Result<Arc<[u8]>, OfficeError> {
        let state = self.state(job)?;
        let (_, sign_off) = signed::newest(&state).ok_or(OfficeError::NotSigned)?;
        self.keep_signed(job, &state)?;
        match self.signed_bytes(&sign_off)? {
            Some(bytes) => Ok(bytes.into()),
            None => Err(OfficeError::RecordMismatch),
        }
    }

    /// The job's folded state.
    pub fn state(&mut self, job: JobId) -> Result<Arc<JobState>, OfficeError> {
        Ok(self.store.state(job)?)
    }

    /// A job's journal grew, durably: what is shown and what is linked follow, and a new signature's record is
    /// kept.
    pub fn job_changed(&mut self, job: JobId) {
        self.shown.remove(&job);
        // Nobody listening is no error: the next link asks for what is held.
        let _ = self.signals.jobs.send(job);
        self.shown_changed();
        let kept = self.state(job).and_then(|state| self.keep_signed(job, &state));
        if let Err(error) = kept {
            // Tried again whenever the record is asked for.
            tracing::warn!(%job, code = error.code(), "a signed record was not kept: {error}");
        }
    }

    /// Something on the page may have changed.
    pub fn shown_changed(&self) {
        self.signals.revision.send_modify(|revision| *revision += 1);
    }

    /// The wall clock, RFC 3339.
    pub fn wall(&self) -> String {
        self.clocks.now().at
    }

    /// The thread ends after this request.
    pub fn close(&mut self) {
        self.closing = true;
    }

    /// Whether the thread ends.
    pub fn closing(&self) -> bool {
        self.closing
    }

    /// Whether the entries here make the record that was signed last. False where nobody has signed.
    fn signed_matches(&mut self, job: JobId, state: &JobState) -> Result<bool, OfficeError> {
        let Some((_, sign_off)) = signed::newest(state) else {
            return Ok(false);
        };
        self.keep_signed(job, state)?;
        Ok(self.signed_bytes(&sign_off)?.is_some())
    }

    /// Keeps the exact bytes of every signed record that the entries here make again. One that they do not make
    /// is not kept: it shows as `record_mismatch`.
    fn keep_signed(&mut self, job: JobId, state: &JobState) -> Result<(), OfficeError> {
        for (entry, sign_off) in signed::all(state) {
            if self.signed_bytes(&sign_off)?.is_some() {
                continue;
            }
            match self.store.record_at(&mut self.shelf, job, &sign_off)? {
                Some(record) if record.digest == sign_off.digest => {
                    self.store.store_mut().keep_signed_record(
                        job,
                        sign_off.revision,
                        record.text.as_bytes(),
                    )?;
                }
                _ => {
                    tracing::warn!(%job, %entry, code = "record_mismatch", "the record that was signed is another");
                }
            }
        }
        Ok(())
    }

    /// The exact bytes that a signature covers, if they are here.
    fn signed_bytes(&self, sign_off: &SignOff) -> Result<Option<Vec<u8>>, OfficeError> {
        // What is no digest was never kept under one.
        let Ok(digest) = sign_off.digest.parse::<ContentHash>() else {
            return Ok(None);
        };
        Ok(self
            .store
            .store()
            .signed_record(digest)?
            .map(|record| record.bytes))
    }

    fn entry(&self, id: EntryId, body: Body) -> Entry {
        let now = self.clocks.now();
        Entry {
            id,
            told: Told {
                by: PersonId::office(),
                keyed_by: None,
                device: self.device,
                boot: self.boot,
                mono_ms: now.mono_ms,
                at: now.at,
                body,
            },
        }
    }

    fn append(&mut self, job: JobId, entries: &[Entry]) -> Result<(), OfficeError> {
        self.store.append_all(job, entries)?;
        self.job_changed(job);
        Ok(())
    }
}
