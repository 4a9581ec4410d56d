//! What every screen of a job is drawn from.

use crate::journal::{
    ActorId, AssetId, Body, Clock, DeviceId, Folded, JobState, OFFICE_NAME, PersonId, Reading, Register,
};
use crate::procedure::{Procedure, Procedures, Screw};
use crate::quantity::{Figure, GaugePressure};
use crate::review::Item;
use crate::tablet::view::{Agreement, Custody, Links, Person, ReadingView, Safe, Said, SaidValue, Standing};
use std::collections::HashMap;

/// How far others have confirmed that they hold a job's entries, per actor of the journal.
#[derive(Clone, Debug, Default)]
pub struct Reached {
    /// At the office.
    pub office: Clock,
    /// With any crew mate.
    pub mates: Vec<Clock>,
}

impl Reached {
    /// Where an entry of this actor and number is safe.
    pub fn safe(&self, actor: ActorId, seq: u64) -> Safe {
        let holds = |clock: &Clock| clock.get(&actor).is_some_and(|reach| reach.seq >= seq);
        if holds(&self.office) {
            Safe::AtOffice
        } else if self.mates.iter().any(holds) {
            Safe::WithMate
        } else {
            Safe::OnlyHere
        }
    }
}

/// What every screen of a job is drawn from.
pub struct Showing<'a> {
    /// The folded journal.
    pub state: &'a JobState,
    /// All procedures.
    pub procedures: &'a Procedures,
    /// The valve's own procedure.
    pub procedure: &'a Procedure,
    /// The valve in hand.
    pub valve: AssetId,
    /// This tablet.
    pub device: DeviceId,
    /// Who uses it.
    pub me: Option<Person>,
    /// Where entries are safe.
    pub reached: &'a Reached,
    /// The links.
    pub links: Links,
    /// Whether the valve is worked by a procedure that this tablet does not have: then `procedure` is another, only
    /// to draw by, and nothing is recorded.
    pub procedure_missing: bool,
    /// The screw that was asked for, by its id; its procedure may have none of that name.
    pub asked_screw: Option<String>,
    /// The review of the job, settled items too.
    pub review: &'a [Item],
    names: HashMap<PersonId, String>,
    last_moves: Vec<&'a Folded>,
}

impl<'a> Showing<'a> {
    /// Gathers what the screens of one valve are drawn from.
    #[expect(
        clippy::too_many_arguments,
        reason = "one caller, and each is a thing of its own"
    )]
    pub fn new(
        state: &'a JobState,
        procedures: &'a Procedures,
        procedure: &'a Procedure,
        valve: AssetId,
        device: DeviceId,
        me: Option<Person>,
        reached: &'a Reached,
        links: Links,
        review: &'a [Item],
    ) -> Self {
        let mut names = HashMap::new();
        let mut last_moves: HashMap<u32, &Folded> = HashMap::new();
        for folded in state.live() {
            match &folded.entry.told.body {
                Body::Grant(grant) => {
                    names.entry(grant.person).or_insert_with(|| grant.name.clone());
                }
                Body::PersonJoined(joined) => {
                    names.insert(joined.person, joined.name.clone());
                }
                Body::ScrewMove(turned) if turned.asset == valve => {
                    last_moves.insert(folded.actor, folded);
                }
                _ => {}
            }
        }
        if let Some(me) = &me {
            names.entry(me.id).or_insert_with(|| me.name.clone());
        }
        let mut last_moves: Vec<_> = last_moves.into_values().collect();
        last_moves.sort_by_key(|folded| folded.hash);
        Self {
            state,
            procedures,
            procedure,
            valve,
            device,
            me,
            reached,
            links,
            procedure_missing: false,
            asked_screw: None,
            review,
            names,
            last_moves,
        }
    }

    /// The screw in hand: the one that was asked for, else the procedure's first. What it sets is read at
    /// [`Screw::sets`](crate::procedure::Screw), not always at the outlet.
    pub fn screw(&self) -> Option<&'a Screw> {
        let asked = self.asked_screw.as_deref();
        asked
            .and_then(|id| self.procedure.screw(id))
            .or_else(|| self.procedure.screws.first())
    }

    /// The point whose pressure the screw in hand sets.
    pub fn set_point(&self) -> &'a str {
        self.screw()
            .map_or(crate::findings::verdict::OUTLET, |screw| &screw.sets)
    }

    /// A person's name, or the start of the id where no name is on record.
    pub fn name(&self, person: PersonId) -> String {
        match self.names.get(&person) {
            Some(name) => name.clone(),
            None if person == PersonId::office() => OFFICE_NAME.to_owned(),
            None => person.to_string().chars().take(8).collect(),
        }
    }

    /// Everybody with a name on this job, sorted by it.
    pub fn people(&self) -> Vec<Person> {
        let mut people: Vec<_> = self
            .names
            .iter()
            .map(|(&id, name)| Person {
                id,
                name: name.clone(),
            })
            .collect();
        people.sort_by_key(|person| (person.name.to_lowercase(), person.id));
        people
    }

    /// Who said an entry, when, and where it is safe.
    pub fn said(&self, folded: &Folded) -> Said {
        let told = &folded.entry.told;
        Said {
            entry: folded.entry.id,
            person: told.by,
            by: self.name(told.by),
            keyed_by: told
                .keyed_by
                .filter(|&keyed| keyed != told.by)
                .map(|keyed| self.name(keyed)),
            here: told.device == self.device,
            at: told.at.clone(),
            safe: self.safe(folded),
        }
    }

    fn safe(&self, folded: &Folded) -> Safe {
        self.state
            .actors
            .get(folded.actor as usize)
            .map_or(Safe::OnlyHere, |&actor| self.reached.safe(actor, folded.seq))
    }

    /// How many entries are where.
    pub fn custody(&self) -> Custody {
        let mut custody = Custody::default();
        for folded in &self.state.entries {
            match self.safe(folded) {
                Safe::OnlyHere => custody.only_here += 1,
                Safe::WithMate => custody.with_mate += 1,
                Safe::AtOffice => custody.at_office += 1,
            }
        }
        custody
    }

    /// What stands in a register, its bodies seen through `value`.
    pub fn standing<T>(&self, register: &Register, value: impl Fn(&Body) -> Option<T>) -> Standing<T> {
        let Some(held) = self.state.registers.get(register) else {
            return Standing {
                agreement: Agreement::Never,
                values: Vec::new(),
                replaces: Vec::new(),
            };
        };
        let agreement = match (held.stands.len(), held.disagree) {
            (0, _) => Agreement::Unknown,
            (_, true) => Agreement::Disagreed,
            (_, false) => Agreement::Agreed,
        };
        let stands = held.stands.iter().map(|&at| &self.state.entries[at]);
        let mut values: Vec<_> = stands
            .clone()
            .filter_map(|folded| {
                Some(SaidValue {
                    value: value(folded.entry.told.body.found())?,
                    said: self.said(folded),
                })
            })
            .collect();
        if agreement == Agreement::Agreed {
            values.truncate(1);
        }
        Standing {
            agreement,
            values,
            replaces: stands.map(|folded| folded.entry.id).collect(),
        }
    }

    /// The live readings of the valve in hand, in fold order.
    pub fn readings(&self) -> impl DoubleEndedIterator<Item = (&'a Folded, &'a Reading)> {
        let valve = self.valve;
        self.state
            .live()
            .filter_map(move |folded| match &folded.entry.told.body {
                Body::Reading(reading) if reading.asset == valve => Some((folded, reading)),
                _ => None,
            })
    }

    /// The newest reading at a point: the last in fold order, which no other can have been made in knowledge
    /// of without coming after it.
    pub fn newest(&self, point: &str) -> Option<(&'a Folded, &'a Reading)> {
        self.readings().rev().find(|(_, reading)| reading.point == point)
    }

    /// Whether a reading was made without knowledge of a turn of the screw: it may be older than the turn.
    pub fn older_than_turn(&self, reading: &Folded) -> bool {
        self.last_moves.iter().any(|turned| !reading.saw(turned))
    }

    /// A reading as the screens show it.
    pub fn reading(&self, folded: &Folded, reading: &Reading) -> ReadingView {
        ReadingView {
            said: self.said(folded),
            point: reading.point.clone(),
            point_name: self.point_name(&reading.point),
            place: reading.place.clone(),
            figure: reading.figure.clone(),
            purpose: reading.purpose,
            water: reading.water,
            older_than_turn: self.older_than_turn(folded),
            over_limit: self.over_limit(reading),
        }
    }

    /// The zone's limit, where one stands.
    pub fn zone_limit(&self) -> Option<&'a Figure> {
        self.state
            .request(self.valve)
            .agreed()
            .copied()
            .flatten()?
            .zone_limit
            .as_ref()
    }

    /// Whether a reading of the zone's side is over the zone's limit.
    pub fn over_limit(&self, reading: &Reading) -> bool {
        let of_zone = self
            .procedure
            .point(&reading.point)
            .is_some_and(|point| point.zone);
        let pressure = |figure| GaugePressure::try_from(figure).ok();
        let limit = self.zone_limit().and_then(pressure);
        of_zone
            && pressure(&reading.figure)
                .zip(limit)
                .is_some_and(|(read, limit)| read > limit)
    }
}
