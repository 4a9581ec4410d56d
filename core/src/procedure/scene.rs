//! What the journal shows: all of it now, or only what the writer of one entry had seen.

use super::condition::After;
use super::model::{Owner, Procedure, Step};
use crate::journal::{
    AssetId, AtmosphereTest, Body, EntryId, FlowEvidence, Folded, JobState, Outcome, ParticularValue,
    Position, Reading, Register, Request, ScrewMove, StepMark, particular,
};
use std::cell::OnceCell;
use std::collections::{BTreeMap, BTreeSet};

/// The entries about one valve and its chamber, sorted out once for many looks.
pub(super) struct Pool<'a> {
    pub state: &'a JobState,
    pub procedure: &'a Procedure,
    pub valve: AssetId,
    pub station: Option<AssetId>,
    /// By point, in fold order.
    readings: BTreeMap<&'a str, Vec<Said<'a, Reading>>>,
    moves: Vec<(&'a Folded, &'a ScrewMove)>,
    flows: Vec<(&'a Folded, &'a FlowEvidence)>,
    air: Vec<(&'a Folded, &'a AtmosphereTest)>,
    photos: Vec<&'a Folded>,
    notes: Vec<&'a Folded>,
}

impl<'a> Pool<'a> {
    pub(super) fn new(state: &'a JobState, procedure: &'a Procedure, valve: AssetId) -> Self {
        let station = state.opening().map(|opening| opening.station.id);
        let mut pool = Self {
            state,
            procedure,
            valve,
            station,
            readings: BTreeMap::new(),
            moves: Vec::new(),
            flows: Vec::new(),
            air: Vec::new(),
            photos: Vec::new(),
            notes: Vec::new(),
        };
        let effective = state.entries.iter().filter(|folded| folded.no_effect.is_none());
        for folded in effective {
            match &folded.entry.told.body {
                Body::Reading(it) if it.asset == valve => {
                    pool.readings.entry(&it.point).or_default().push((folded, it));
                }
                Body::ScrewMove(it) if it.asset == valve => pool.moves.push((folded, it)),
                Body::FlowEvidence(it) if it.asset == valve => pool.flows.push((folded, it)),
                Body::AtmosphereTest(it) if it.asset == valve || Some(it.asset) == station => {
                    pool.air.push((folded, it));
                }
                Body::Photo(_) => pool.photos.push(folded),
                Body::Note(_) => pool.notes.push(folded),
                _ => {}
            }
        }
        pool
    }

    /// All of it.
    pub(super) fn now(&self) -> Scene<'_, 'a> {
        Scene {
            pool: self,
            cut: None,
            refused: BTreeSet::new(),
            newest_moves: OnceCell::new(),
            over_limit: OnceCell::new(),
        }
    }

    /// What the writer of an entry had seen.
    pub(super) fn seen_by(&self, entry: &'a Folded) -> Scene<'_, 'a> {
        Scene {
            pool: self,
            cut: Some(entry),
            refused: BTreeSet::new(),
            newest_moves: OnceCell::new(),
            over_limit: OnceCell::new(),
        }
    }
}

/// One look at the journal.
pub(super) struct Scene<'p, 'a> {
    pub pool: &'p Pool<'a>,
    cut: Option<&'a Folded>,
    /// Marks that count for nothing: they went over a hard stop.
    pub refused: BTreeSet<EntryId>,
    newest_moves: OnceCell<Vec<&'a Folded>>,
    pub(super) over_limit: OnceCell<Option<Said<'a, Reading>>>,
}

/// An entry with what it says.
pub(super) type Said<'a, T> = (&'a Folded, &'a T);

impl<'a> Scene<'_, 'a> {
    fn there(&self, folded: &Folded) -> bool {
        self.cut.is_none_or(|cut| cut.saw(folded))
    }

    fn withdrawn(&self, folded: &Folded) -> bool {
        folded.withdrawn_by.is_some_and(|by| match self.cut {
            None => true,
            Some(cut) => self.pool.state.entry(by).is_some_and(|by| cut.saw(by)),
        })
    }

    fn live<T>(&self, all: &[Said<'a, T>]) -> Vec<Said<'a, T>> {
        let live = all
            .iter()
            .filter(|(folded, _)| self.there(folded) && !self.withdrawn(folded));
        live.copied().collect()
    }

    /// The readings at a point that nobody took back, in fold order.
    pub(super) fn readings_at(&self, point: &str) -> Vec<Said<'a, Reading>> {
        self.pool
            .readings
            .get(point)
            .map(|all| self.live(all))
            .unwrap_or_default()
    }

    /// The turns that nobody took back, in fold order.
    pub(super) fn moves(&self) -> Vec<Said<'a, ScrewMove>> {
        self.live(&self.pool.moves)
    }

    /// What was said of flow and not taken back, in fold order.
    pub(super) fn flows(&self) -> Vec<Said<'a, FlowEvidence>> {
        self.live(&self.pool.flows)
    }

    /// The tests of the air that nobody took back, in fold order.
    pub(super) fn air(&self) -> Vec<Said<'a, AtmosphereTest>> {
        self.live(&self.pool.air)
    }

    /// Whether a photograph was taken after all these.
    pub(super) fn photo_after(&self, after: &[After]) -> bool {
        self.any_after(&self.pool.photos, after)
    }

    /// Whether a note was written after all these.
    pub(super) fn note_after(&self, after: &[After]) -> bool {
        self.any_after(&self.pool.notes, after)
    }

    fn any_after(&self, all: &[&'a Folded], after: &[After]) -> bool {
        let seen = self.to_be_seen(after);
        all.iter()
            .any(|folded| self.there(folded) && !self.withdrawn(folded) && seen.by(folded))
    }

    /// The newest readings at a point: those that no other reading's writer there had seen. None where one of
    /// them was taken back, since that brings no older one back.
    pub(super) fn newest_at(&self, point: &str) -> Option<Vec<Said<'a, Reading>>> {
        let all = self.pool.readings.get(point)?;
        self.known(newest(
            all.iter().copied().filter(|(folded, _)| self.there(folded)),
        ))
    }

    /// The newest tests of the air at a level, as [`Scene::newest_at`].
    pub(super) fn newest_air(&self, level: crate::journal::Level) -> Option<Vec<Said<'a, AtmosphereTest>>> {
        let there = self.pool.air.iter().copied();
        self.known(newest(
            there.filter(|(folded, test)| test.level == level && self.there(folded)),
        ))
    }

    fn known<T>(&self, newest: Vec<Said<'a, T>>) -> Option<Vec<Said<'a, T>>> {
        let sure = !newest.is_empty() && newest.iter().all(|(folded, _)| !self.withdrawn(folded));
        sure.then_some(newest)
    }

    /// The entries that stand in a register, in fold order.
    pub(super) fn standing(&self, register: &Register) -> Vec<&'a Folded> {
        let state = self.pool.state;
        let Some(standing) = state.registers.get(register) else {
            return Vec::new();
        };
        let at = |index: &usize| &state.entries[*index];
        if self.cut.is_none() {
            return standing.stands.iter().map(at).collect();
        }
        let mut all: Vec<&Folded> = standing.stands.iter().chain(&standing.gone).map(at).collect();
        all.retain(|folded| self.there(folded));
        let replaced = |folded: &Folded| {
            all.iter()
                .any(|by| by.saw(folded) && by.entry.told.body.replaces().contains(&folded.entry.id))
        };
        all.iter()
            .copied()
            .filter(|folded| !self.withdrawn(folded) && !replaced(folded))
            .collect()
    }

    /// What stands in a register, if something does and nobody disagrees.
    pub(super) fn agreed(&self, register: &Register) -> Option<(&'a Body, Vec<&'a Folded>)> {
        let standing = self.standing(register);
        let first = standing.first()?.entry.told.body.found();
        let same = standing
            .iter()
            .all(|it| it.entry.told.body.found().same_value(first));
        same.then_some((first, standing))
    }

    /// The registers about this valve, its chamber or the whole job.
    pub(super) fn registers(&self) -> impl Iterator<Item = &'a Register> {
        let pool = self.pool;
        pool.state
            .registers
            .keys()
            .filter(move |register| match register {
                Register::Request { valve: asset }
                | Register::Particular { asset, .. }
                | Register::Position { asset, .. }
                | Register::SpeedControl { asset, .. }
                | Register::Step { asset, .. } => *asset == pool.valve || Some(*asset) == pool.station,
                Register::Gauge { .. } | Register::Duty { .. } | Register::Grant { .. } => true,
            })
    }

    /// How an element stands, if that is known and agreed.
    pub(super) fn position(&self, element: &str) -> Option<Position> {
        let owner = self.pool.procedure.element(element)?.of;
        let asset = owner.asset(self.pool.state, self.pool.valve);
        let register = Register::Position {
            asset,
            element: element.to_owned(),
        };
        match self.agreed(&register)?.0 {
            Body::LineUp(line_up) => Some(line_up.position),
            _ => None,
        }
    }

    /// A particular, if it is known and agreed.
    pub(super) fn particular(&self, name: &str) -> Option<&'a ParticularValue> {
        let owner = self.pool.procedure.particular_owner(name);
        self.particular_of(owner.asset(self.pool.state, self.pool.valve), name)
    }

    fn particular_of(&self, asset: AssetId, name: &str) -> Option<&'a ParticularValue> {
        let register = Register::Particular {
            asset,
            name: name.to_owned(),
        };
        match self.agreed(&register)?.0 {
            Body::Particulars(particulars) => Some(&particulars.value),
            _ => None,
        }
    }

    /// Whether the chamber is a permit space. What nobody said, or not everybody says, is one.
    pub(super) fn permit_space(&self) -> bool {
        !matches!(self.particular(particular::PERMIT_SPACE), Some(ParticularValue::Text(word)) if word == "no")
    }

    /// The requests that stand: one, unless people disagree.
    pub(super) fn requests(&self) -> Vec<(EntryId, &'a Request)> {
        let standing = self.standing(&Register::Request {
            valve: self.pool.valve,
        });
        let requests = standing
            .into_iter()
            .filter_map(|folded| match folded.entry.told.body.found() {
                Body::Request(request) => Some((folded.entry.id, request)),
                _ => None,
            });
        requests.collect()
    }

    /// The request, where exactly one thing is asked.
    pub(super) fn request(&self) -> Option<&'a Request> {
        let register = Register::Request {
            valve: self.pool.valve,
        };
        match self.agreed(&register)?.0 {
            Body::Request(request) => Some(request),
            _ => None,
        }
    }

    /// The marks of a step that stand, in fold order. A step of the chamber may be marked at any valve of the job.
    pub(super) fn marks(&self, step: &str) -> Vec<Said<'a, StepMark>> {
        let of_chamber = self
            .pool
            .procedure
            .step(step)
            .is_some_and(|step| step.of == Owner::Station);
        let mut registers = vec![(self.pool.valve, self.pool.procedure.id.as_str())];
        if of_chamber && let Some(opening) = self.pool.state.opening() {
            let others = opening.valves.iter().filter(|valve| valve.id != self.pool.valve);
            registers.extend(others.map(|valve| (valve.id, valve.procedure.as_str())));
        }
        let mut marks = Vec::new();
        for (asset, procedure) in registers {
            let register = Register::Step {
                asset,
                procedure: procedure.to_owned(),
                step: step.to_owned(),
            };
            for folded in self.standing(&register) {
                if let Body::StepMark(mark) = folded.entry.told.body.found() {
                    marks.push((folded, mark));
                }
            }
        }
        marks
    }

    /// What became of a step by its marks, if nobody disagrees and no stop was gone over.
    pub(super) fn outcome(&self, step: &str) -> Option<&'a Outcome> {
        let marks = self.marks(step);
        let outcome = &marks.first()?.1.outcome;
        let sound = marks
            .iter()
            .all(|(folded, mark)| mark.outcome == *outcome && !self.refused.contains(&folded.entry.id));
        sound.then_some(outcome)
    }

    /// Whether a step applies.
    pub(super) fn applies(&self, step: &Step) -> bool {
        step.when.iter().all(|condition| self.met(condition))
    }

    /// Whether a step is done, by a mark or by its evidence.
    pub(super) fn is_done(&self, step: &Step) -> bool {
        if self.marks(&step.id).is_empty() {
            return step.by_evidence && step.evidence.iter().all(|condition| self.met(condition));
        }
        matches!(self.outcome(&step.id), Some(Outcome::Done | Outcome::Chosen(_)))
    }

    /// What an entry's writer must have seen for the entry to be after all this.
    pub(super) fn to_be_seen(&self, after: &[After]) -> ToBeSeen<'a> {
        let mut entries = Vec::new();
        for after in after {
            match after {
                // Who saw the newest saw what those had seen.
                After::LastMove => entries.extend(self.newest_moves.get_or_init(|| {
                    newest(self.moves().into_iter())
                        .into_iter()
                        .map(|(moved, _)| moved)
                        .collect()
                })),
                After::Step(id) => {
                    let marks = self.marks(id);
                    let settled = !marks.is_empty()
                        || self
                            .pool
                            .procedure
                            .step(id)
                            .is_some_and(|step| !self.applies(step) || self.is_done(step));
                    if !settled {
                        return ToBeSeen(None);
                    }
                    entries.extend(marks.into_iter().map(|(mark, _)| mark));
                }
            }
        }
        ToBeSeen(Some(entries))
    }
}

/// The entries that one must have seen to be after them. None: there is nothing yet to be after.
pub(super) struct ToBeSeen<'a>(Option<Vec<&'a Folded>>);

impl ToBeSeen<'_> {
    /// Whether the writer of this entry had seen them all.
    pub(super) fn by(&self, folded: &Folded) -> bool {
        self.0
            .as_ref()
            .is_some_and(|all| all.iter().all(|seen| folded.saw(seen)))
    }
}

/// Those that no other one's writer had seen. `all` is in fold order, where ancestors come first.
pub(super) fn newest<'a, T>(all: impl DoubleEndedIterator<Item = Said<'a, T>>) -> Vec<Said<'a, T>> {
    let mut newest: Vec<Said<'a, T>> = Vec::new();
    for said in all.rev() {
        if !newest.iter().any(|(later, _)| later.saw(said.0)) {
            newest.push(said);
        }
    }
    newest.reverse();
    newest
}
