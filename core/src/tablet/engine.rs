//! The one thread that owns a tablet's journals: commands in, views out, and what the link brings.

use super::board::Board;
use super::handle::OpenError;
use super::logger::Loggers;
use super::moment::{Clocks, Moment};
use super::show::{self, Drawn, Reached, Showing};
use super::view::{HomeView, JobCard, Person};
use super::{Command, CommandError, JobQuery, NewJob, Query, RecordEntry, Reply, Screen, ScreenView, View};
use super::{admit::admit, compose};
use crate::findings::history::{KnownValve, known, newest, visit};
use crate::journal::{
    ActorId, AssetId, Body, BootId, DeviceId, Entry, EntryId, History, Initials, JobId, JobOpened, JobState,
    PersonId, SignOff, Told,
};
use crate::link::secure::{CrewControl, Pins};
use crate::link::{DeviceRole, Hello};
use crate::procedure::{Procedure, ProcedureError, Shelf};
use crate::record::signature::Signed;
use crate::record::{Record, hex, record};
use crate::review::{Item, review};
use crate::store::{JournalStore, Pin, StoreError, procedure_files};
use std::collections::{BTreeMap, HashMap};
use std::path::PathBuf;
use std::sync::Arc;
use tokio::sync::{broadcast, watch};
use uuid::Uuid;

/// The setting under which the store keeps who uses this tablet.
const ME: &str = "person";

/// What the outside hears of: shared by the engine and every handle.
#[derive(Clone)]
pub(super) struct Signals {
    /// Grows whenever anything shown may have changed.
    pub revision: watch::Sender<u64>,
    /// The jobs whose journals changed, after the change is durable.
    pub jobs: broadcast::Sender<JobId>,
    /// Who this tablet is to its peers.
    pub hello: watch::Sender<Hello>,
    /// Whether links are to be left: true closes them.
    pub stop: watch::Sender<bool>,
    /// The tablets that are paired with this one.
    pub pins: watch::Sender<Pins>,
    /// The crew's link, while it runs.
    pub crew: watch::Sender<Option<CrewControl>>,
}

/// A tablet's journals and all that is needed to work with them.
pub(super) struct Engine {
    pub(super) store: JournalStore,
    pub(super) board: Board,
    pub(super) signals: Signals,
    pub(super) shelf: Shelf,
    /// The owner's folder of procedure files.
    folder: PathBuf,
    /// What a job is drawn by whose opening names no procedure that is here.
    usual: Procedure,
    clocks: Box<dyn Clocks>,
    boot: BootId,
    device: DeviceId,
    me: Option<Person>,
    /// The tablets that are paired with this one, as the disk has them.
    pub(super) pins: Vec<Pin>,
    reached: HashMap<JobId, Arc<Reached>>,
    cards: HashMap<JobId, (JobCard, Vec<KnownValve>)>,
    reviews: HashMap<JobId, Arc<[Item]>>,
    pub(super) loggers: Loggers,
}

impl Engine {
    pub fn new(
        store: JournalStore,
        clocks: Box<dyn Clocks>,
        boot: BootId,
        signals: Signals,
        folder: PathBuf,
    ) -> Result<Self, OpenError> {
        let me = store.store().setting(ME)?.map(|name: String| person(&name));
        let board = Board::load(&store)?;
        let shelf = Shelf::new()?;
        let usual = shelf
            .at_hand()
            .iter()
            .next()
            .cloned()
            .ok_or(OpenError::NoProcedure)?;
        let mut engine = Self {
            device: store.device(),
            store,
            board,
            signals,
            shelf,
            folder,
            usual,
            clocks,
            boot,
            me,
            pins: Vec::new(),
            reached: HashMap::new(),
            cards: HashMap::new(),
            reviews: HashMap::new(),
            loggers: Loggers::default(),
        };
        engine.tell_me();
        engine.read_folder()?;
        engine.tell_pins()?;
        Ok(engine)
    }

    /// Closes the store.
    pub fn close(self) -> Result<(), StoreError> {
        self.store.close()
    }

    pub fn command(&mut self, command: Command) -> Result<Reply, CommandError> {
        match command {
            Command::SetMe { name } => self.set_me(&name),
            Command::OpenJob(new) => self.open_job(new),
            Command::Record(entry) => self.record_entry(entry),
            Command::Initial { job, person, entries } => self.initial(job, person, entries),
            Command::Sign { job, person, digest } => self.sign(job, person, &digest),
            Command::ReloadProcedures => {
                self.read_folder()
                    .map_err(|error| CommandError::new(error.code(), error.to_string()))?;
                self.shown_changed();
                Ok(Reply::default())
            }
            Command::Logger(command) => self.logger(command),
            Command::Link { on } => {
                self.signals.stop.send_replace(!on);
                self.shown_changed();
                Ok(Reply::default())
            }
            Command::Crew(crew) => self.crew_command(&crew),
        }
    }

    pub fn view(&mut self, query: &Query) -> Result<View, CommandError> {
        match query {
            Query::Home => self.home(),
            Query::Job(query) => self.job_view(query),
            Query::Logger(reading) => Ok(View::Logger(self.loggers.look(reading))),
            Query::Record { job } => self.record_content(*job).map(View::Record),
            Query::Export(query) => self.export_file(query).map(View::Export),
        }
    }

    /// Something shown may have changed.
    pub fn shown_changed(&self) {
        self.signals.revision.send_modify(|revision| *revision += 1);
    }

    /// A job's journal or what others hold of it changed.
    pub fn job_changed(&mut self, job: JobId) {
        self.reached.remove(&job);
        self.cards.remove(&job);
        self.reviews.remove(&job);
        self.shown_changed();
    }

    /// Appends one body under this tablet's clocks. Durable when it returns.
    pub fn append(
        &mut self,
        job: JobId,
        id: EntryId,
        by: PersonId,
        keyed_by: Option<PersonId>,
        body: Body,
    ) -> Result<EntryId, CommandError> {
        let now = self.clocks.now();
        self.append_at(job, id, by, keyed_by, now, body)
    }

    /// Appends one body that was made at a moment of this tablet's clocks. Durable when it returns.
    fn append_at(
        &mut self,
        job: JobId,
        id: EntryId,
        by: PersonId,
        keyed_by: Option<PersonId>,
        now: Moment,
        body: Body,
    ) -> Result<EntryId, CommandError> {
        let entry = self.entry(id, by, keyed_by, now, body);
        self.store
            .append(job, &entry)
            .map_err(|error| from_store(&error))?;
        self.told(job);
        Ok(id)
    }

    /// An entry that was made at a moment of this tablet's clocks.
    fn entry(&self, id: EntryId, by: PersonId, keyed_by: Option<PersonId>, now: Moment, body: Body) -> Entry {
        Entry {
            id,
            told: Told {
                by,
                keyed_by: keyed_by.filter(|&keyed| keyed != by),
                device: self.device,
                boot: self.boot,
                mono_ms: now.mono_ms,
                at: now.at,
                body,
            },
        }
    }

    /// A job grew here: what is shown and what is linked follow.
    fn told(&mut self, job: JobId) {
        self.job_changed(job);
        // Nobody listening is no error: the next link asks for what is held.
        let _ = self.signals.jobs.send(job);
    }

    /// The clocks, for what the link stamps.
    pub fn wall(&self) -> String {
        self.clocks.now().at
    }

    /// Who uses this tablet.
    pub fn me(&self) -> Option<&Person> {
        self.me.as_ref()
    }

    pub fn device(&self) -> DeviceId {
        self.device
    }

    pub fn state(&mut self, job: JobId) -> Result<Arc<JobState>, CommandError> {
        self.store.state(job).map_err(|error| from_store(&error))
    }

    fn set_me(&mut self, name: &str) -> Result<Reply, CommandError> {
        let name = name.trim();
        if name.is_empty() || name.chars().count() > 80 {
            return Err(CommandError::new("bad_name", "a name has 1 to 80 characters"));
        }
        self.store
            .store_mut()
            .set_setting(ME, name)
            .map_err(|error| from_store(&error))?;
        self.me = Some(person(name));
        self.tell_me();
        self.shown_changed();
        Ok(Reply::default())
    }

    fn tell_me(&mut self) {
        let person = self.me.as_ref().map(|me| me.name.clone());
        self.signals.hello.send_modify(|hello| hello.person = person);
    }

    fn open_job(&mut self, new: NewJob) -> Result<Reply, CommandError> {
        let me = self.somebody()?;
        compose::check_new_job(&new, self.shelf.at_hand())?;
        let mut bodies = self
            .shelf
            .to_carry(new.valves.iter().map(|valve| valve.procedure.as_str()));
        for valve in &new.valves {
            bodies.extend(self.earlier(valve.id)?.into_iter().map(Body::History));
        }
        let job = JobId(Uuid::now_v7());
        let opened = JobOpened {
            number: new.number,
            customer: new.customer,
            site: new.site,
            station: new.station,
            valves: new.valves,
        };
        let bodies = std::iter::once(Body::JobOpened(opened)).chain(bodies);
        let entries: Vec<Entry> = bodies
            .enumerate()
            .map(|(at, body)| {
                // The opening's id is the job's own.
                let id = if at == 0 {
                    EntryId(job.0)
                } else {
                    EntryId(Uuid::now_v7())
                };
                self.entry(id, me.id, None, self.clocks.now(), body)
            })
            .collect();
        self.store
            .append_all(job, &entries)
            .map_err(|error| from_store(&error))?;
        self.told(job);
        Ok(Reply {
            job: Some(job),
            entries: entries.iter().map(|entry| entry.id).collect(),
        })
    }

    fn record_entry(&mut self, command: RecordEntry) -> Result<Reply, CommandError> {
        let me = self.somebody()?;
        let RecordEntry { job, called_by, body } = command;
        let by = called_by.unwrap_or(me.id);
        self.showing(job, None, Some(me.clone()), |showing| {
            if showing.state.role(me.id) == Some(crate::journal::Role::Reader) {
                return Err(CommandError::new(
                    "reads_only",
                    "the office lets this person read, not record",
                ));
            }
            admit(showing, by, &body)
        })??;
        let id = self.append(job, EntryId(Uuid::now_v7()), by, Some(me.id), body)?;
        Ok(Reply {
            job: Some(job),
            entries: vec![id],
        })
    }

    fn initial(&mut self, job: JobId, person: PersonId, shown: u32) -> Result<Reply, CommandError> {
        let me = self.somebody()?;
        let entries = self.showing(job, None, Some(me.clone()), |showing| {
            show::entries_of(showing, person)
        })?;
        if entries != shown || entries == 0 {
            return Err(CommandError::new(
                "entries_changed",
                format!("{entries} entries are this person's now, {shown} were shown; look again"),
            ));
        }
        let body = Body::Initials(Initials { entries });
        let id = self.append(job, EntryId(Uuid::now_v7()), person, Some(me.id), body)?;
        Ok(Reply {
            job: Some(job),
            entries: vec![id],
        })
    }

    fn sign(&mut self, job: JobId, signer: PersonId, digest: &str) -> Result<Reply, CommandError> {
        let me = self.somebody()?;
        let record = self.record(job)?;
        let shown = Some(Person {
            id: signer,
            name: me.name.clone(),
        });
        let (refused, revision) = self.showing(job, None, shown, |showing| {
            let refused = show::cannot_sign(showing, Some(&record));
            (refused.first().copied(), show::signatures(showing) + 1)
        })?;
        if let Some(code) = refused {
            return Err(CommandError::new(
                code,
                "the record cannot be signed now; close out says why",
            ));
        }
        if record.digest != digest {
            return Err(CommandError::new(
                "record_changed",
                "the record is not the one that was shown any more; read it again before signing",
            ));
        }
        let clock = self.reaches(job)?;
        let heads = self.store.heads(job).map_err(|error| from_store(&error))?;
        self.store
            .store_mut()
            .keep_signed_record(job, revision, record.text.as_bytes())
            .map_err(|error| from_store(&error))?;
        let key = self.store.device_key().map_err(|error| from_store(&error))?;
        let now = self.clocks.now();
        let mut heads: Vec<String> = heads.iter().map(|hash| hex(&hash.0)).collect();
        heads.sort_unstable();
        let message = Signed {
            job: &job.to_string(),
            revision,
            digest: &record.digest,
            heads: &heads,
            by: &signer.to_string(),
            at: &now.at,
        }
        .message();
        let body = Body::SignOff(SignOff {
            digest: record.digest,
            heads,
            clock: clock.iter().map(|(actor, seq)| (hex(&actor.0), *seq)).collect(),
            revision,
            key: Some(key.public()),
            signed_at: Some(now.at.clone()),
            signature: Some(key.sign(&message)),
        });
        let id = self.append_at(job, EntryId(Uuid::now_v7()), signer, Some(me.id), now, body)?;
        Ok(Reply {
            job: Some(job),
            entries: vec![id],
        })
    }

    /// The record as it would be signed now.
    pub fn record(&mut self, job: JobId) -> Result<Record, CommandError> {
        let state = self.state(job)?;
        let clock = self.reaches(job)?;
        let heads = self.store.heads(job).map_err(|error| from_store(&error))?;
        record(&state, &self.shelf.of_job(&state), &clock, &heads)
            .map_err(|error| CommandError::new(error.code(), error.to_string()))
    }

    /// How far each writer of a job has come here.
    fn reaches(&mut self, job: JobId) -> Result<BTreeMap<ActorId, u64>, CommandError> {
        let clock = self.store.clock(job).map_err(|error| from_store(&error))?;
        Ok(clock
            .into_iter()
            .map(|(actor, reach)| (actor, reach.seq))
            .collect())
    }

    fn home(&mut self) -> Result<View, CommandError> {
        let known = self.known_valves()?;
        let mut jobs: Vec<_> = self.cards.values().map(|(card, _)| card.clone()).collect();
        jobs.sort_by(|a, b| (a.status, &b.job).cmp(&(b.status, &a.job)));
        let key = self.store.device_key().map_err(|error| from_store(&error))?;
        Ok(View::Home(HomeView {
            me: self.me.clone(),
            key: key.public(),
            jobs,
            links: self.links(),
            known,
            procedures: self.shelf.shown(Some(self.folder.display().to_string())),
        }))
    }

    /// Every valve that a job on this tablet is about, by the newest job of each.
    fn known_valves(&mut self) -> Result<Vec<KnownValve>, CommandError> {
        for job in self.store.jobs().map_err(|error| from_store(&error))? {
            if !self.cards.contains_key(&job) {
                let me = self.me.clone();
                let card = self.showing(job, None, me, |showing| {
                    (show::card(showing), known(showing.state))
                })?;
                self.cards.insert(job, card);
            }
        }
        Ok(newest(self.cards.values().flat_map(|(_, known)| known).cloned()))
    }

    /// The closed visits to a valve that this tablet holds, the newest last.
    fn earlier(&mut self, valve: AssetId) -> Result<Vec<History>, CommandError> {
        self.known_valves()?;
        let jobs: Vec<JobId> = self
            .cards
            .iter()
            .filter(|(_, (_, known))| known.iter().any(|known| known.valve.id == valve))
            .map(|(&job, _)| job)
            .collect();
        let mut visits = Vec::new();
        for job in jobs {
            let state = self.state(job)?;
            let procedures = self.shelf.of_job(&state);
            visits.extend(visit(&state, &procedures, valve));
        }
        Ok(crate::findings::history::last(visits))
    }

    /// Reads the owner's folder. A broken file is refused; the rest go on working.
    fn read_folder(&mut self) -> Result<(), ProcedureError> {
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

    fn job_view(&mut self, query: &JobQuery) -> Result<View, CommandError> {
        let record = match query.screen {
            Screen::CloseOut => self.record(query.job).ok(),
            _ => None,
        };
        let drawn = match &query.screen {
            Screen::Logger { entry, from_s, to_s } => {
                self.drawn(query.job, query.valve, *entry, (*from_s, *to_s))?
            }
            _ => Drawn::default(),
        };
        let me = self.me.clone();
        self.showing(query.job, query.valve, me, |showing| {
            showing.asked_screw.clone_from(&query.screw);
            let showing = &*showing;
            let head = show::head(showing)
                .ok_or_else(|| CommandError::new("not_opened", "the job's opening has not arrived yet"))?;
            let screen = match &query.screen {
                Screen::PreJob => ScreenView::PreJob(show::pre_job(showing)),
                Screen::LineUp => ScreenView::LineUp(show::line_up(showing)),
                Screen::Steps { procedure, step } => {
                    ScreenView::Steps(show::steps(showing, procedure.as_deref(), step.as_deref()))
                }
                Screen::Setting => ScreenView::Setting(show::setting(showing).ok_or_else(|| {
                    CommandError::new("no_screw", "the procedure of this valve has no adjusting screw")
                })?),
                Screen::Readings { newest } => ScreenView::Readings(show::readings(showing, *newest)),
                Screen::Diagnosis { symptom } => ScreenView::Diagnosis(show::diagnosis(showing, *symptom)),
                Screen::Logger { .. } => ScreenView::Logger(show::logger(showing, drawn)),
                Screen::CloseOut => ScreenView::CloseOut(show::close_out(showing, record.as_ref())),
                Screen::Crew => ScreenView::Crew(show::crew(showing)),
            };
            Ok(View::Job { head, screen })
        })?
    }

    fn links(&self) -> super::view::Links {
        let mut links = self.board.links(!*self.signals.stop.borrow());
        links.crew = self.crew_link(&links.peers);
        links
    }

    pub(super) fn somebody(&self) -> Result<Person, CommandError> {
        self.me
            .clone()
            .ok_or_else(|| CommandError::new("nobody_here", "say first who uses this tablet"))
    }

    /// Lends what the screens of a job are drawn from.
    pub fn showing<T>(
        &mut self,
        job: JobId,
        valve: Option<AssetId>,
        me: Option<Person>,
        look: impl FnOnce(&mut Showing<'_>) -> T,
    ) -> Result<T, CommandError> {
        let state = self.state(job)?;
        let reached = self.reached(job)?;
        let procedures = self.shelf.of_job(&state);
        let reviewed = self
            .reviews
            .entry(job)
            .or_insert_with(|| review(&state, &procedures).into())
            .clone();
        let valves = state
            .opening()
            .map(|opening| opening.valves.as_slice())
            .unwrap_or_default();
        let in_hand = valves
            .iter()
            .find(|known| valve.is_none_or(|valve| valve == known.id));
        let found = in_hand.map(|valve| procedures.get(&valve.procedure));
        let procedure = found.flatten().unwrap_or(&self.usual);
        let valve = in_hand.map_or(AssetId(job.0), |valve| valve.id);
        let links = self.links();
        let mut showing = Showing::new(
            &state,
            &procedures,
            procedure,
            valve,
            self.device,
            me,
            &reached,
            links,
            &reviewed,
        );
        showing.procedure_missing = matches!(found, Some(None));
        Ok(look(&mut showing))
    }

    fn reached(&mut self, job: JobId) -> Result<Arc<Reached>, CommandError> {
        if let Some(known) = self.reached.get(&job) {
            return Ok(known.clone());
        }
        let mut reached = Reached::default();
        for (peer, clock) in self.store.custody(job).map_err(|error| from_store(&error))? {
            if self.board.role(peer) == Some(DeviceRole::Office) {
                crate::link::merge(&mut reached.office, &clock);
            } else {
                reached.mates.push(clock);
            }
        }
        let reached = Arc::new(reached);
        self.reached.insert(job, reached.clone());
        Ok(reached)
    }
}

/// A person known by name.
pub(super) fn person(name: &str) -> Person {
    Person {
        id: PersonId::of_name(name),
        name: name.to_owned(),
    }
}

/// A store's error as a command's.
pub(super) fn from_store(error: &StoreError) -> CommandError {
    CommandError::new(error.code(), error.to_string())
}
