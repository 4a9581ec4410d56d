//! One of the crew with a tablet: looks at its screens and presses what they offer, as a person would.

use super::scenario::figure;
use anyhow::{Context, bail};
use std::sync::{Arc, Mutex, PoisonError};
use turnwise_core::journal::{
    About, AssetId, AtmosphereTest, Body, Duty, EntryId, FlowEvidence, FlowProof, Gauge, JobId, Level,
    LineUp, Note, Outcome, ParticularValue, Particulars, PersonId, PersonJoined, Position, Purpose, Reading,
    Register, Resolution, ScrewMove, SpeedControl, StepMark, Water,
};
use turnwise_core::quantity::{Figure, Unit};
use turnwise_core::record::Record;
use turnwise_core::tablet::view::{
    CloseOutView, CrewView, JobHead, LineUpView, Plan, PreJobView, ReviewItem, SettingView, StepView,
    StepsView, Way,
};
use turnwise_core::tablet::{Command, JobQuery, Query, RecordEntry, Screen, ScreenView, TabletHandle, View};

/// One of the crew, on one job and one valve.
#[derive(Clone)]
pub struct Hand {
    /// Their tablet.
    pub tablet: TabletHandle,
    /// The job.
    pub job: JobId,
    /// The valve.
    pub valve: AssetId,
    /// The chamber.
    pub station: AssetId,
    /// Who they are.
    pub me: PersonId,
    /// Every reading they keyed in, as it was typed. Clones share it.
    pub typed: Typed,
}

/// Readings as they were typed, by the entries that they became.
#[derive(Clone, Debug, Default)]
pub struct Typed(Arc<Mutex<Vec<(EntryId, Figure)>>>);

impl Typed {
    /// All of them so far.
    pub fn all(&self) -> Vec<(EntryId, Figure)> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    fn add(&self, entry: EntryId, figure: Figure) {
        self.0
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .push((entry, figure));
    }
}

/// Asks for a screen and takes it apart.
macro_rules! screens {
    ($($(#[$doc:meta])* $name:ident = $screen:ident -> $view:ident;)*) => {
        impl Hand {
            $($(#[$doc])*
            pub async fn $name(&self) -> anyhow::Result<$view> {
                match self.look(Screen::$screen).await?.1 {
                    ScreenView::$screen(view) => Ok(view),
                    _ => bail!("the tablet shows another screen than {}", stringify!($screen)),
                }
            })*
        }
    };
}

screens! {
    /// The screen before the job.
    pre_job = PreJob -> PreJobView;
    /// The line-up.
    line_up = LineUp -> LineUpView;
    /// The screw.
    setting = Setting -> SettingView;
    /// What is missing, and who signs.
    close_out = CloseOut -> CloseOutView;
    /// Who is here.
    crew = Crew -> CrewView;
}

impl Hand {
    /// One of the crew, by the name that the tablet knows them by. The job must have come.
    pub async fn of(tablet: &TabletHandle, job: JobId, valve: AssetId, name: &str) -> anyhow::Result<Self> {
        let mut hand = Self {
            tablet: tablet.clone(),
            job,
            valve,
            station: valve,
            me: PersonId::of_name(name),
            typed: Typed::default(),
        };
        hand.station = hand.head().await?.station.id;
        Ok(hand)
    }

    /// What every screen of the job shows.
    pub async fn head(&self) -> anyhow::Result<JobHead> {
        Ok(self.look(Screen::Crew).await?.0)
    }

    /// The procedure with one step open.
    pub async fn steps(&self, step: Option<&str>) -> anyhow::Result<StepsView> {
        let screen = Screen::Steps {
            procedure: None,
            step: step.map(str::to_owned),
        };
        match self.look(screen).await?.1 {
            ScreenView::Steps(view) => Ok(view),
            _ => bail!("the tablet shows another screen than the steps"),
        }
    }

    /// One step.
    pub async fn step(&self, step: &str) -> anyhow::Result<StepView> {
        let shown = self.steps(Some(step)).await?.step;
        shown.with_context(|| format!("the tablet does not show step {step}"))
    }

    /// The record as it stands on this tablet.
    pub async fn record_now(&self) -> anyhow::Result<Record> {
        Ok(self.tablet.record(self.job).await?)
    }

    async fn look(&self, screen: Screen) -> anyhow::Result<(JobHead, ScreenView)> {
        let query = Query::Job(JobQuery {
            job: self.job,
            valve: Some(self.valve),
            screw: None,
            screen,
        });
        match self.tablet.view(query).await? {
            View::Job { head, screen } => Ok((head, screen)),
            _ => bail!("the tablet shows something else than a screen of a job"),
        }
    }

    /// Keys something in, for oneself or for whoever called it out.
    pub async fn tell(&self, called_by: Option<PersonId>, body: Body) -> anyhow::Result<EntryId> {
        let kind = body.kind().to_owned();
        let command = Command::Record(RecordEntry {
            job: self.job,
            called_by: called_by.filter(|person| *person != self.me),
            body,
        });
        let reply = self.tablet.command(command).await;
        let reply = reply.with_context(|| format!("the tablet did not take a {kind}"))?;
        reply
            .entries
            .first()
            .copied()
            .context("a command that was taken left no entry")
    }

    /// Says how an element of the line-up stands.
    pub async fn position(
        &self,
        by: Option<PersonId>,
        element: &str,
        position: Position,
    ) -> anyhow::Result<EntryId> {
        let shown = self.line_up().await?;
        let shown = shown.elements.into_iter().find(|shown| shown.element == element);
        let shown = shown.with_context(|| format!("the line-up has no {element}"))?;
        let body = LineUp {
            asset: shown.asset,
            element: element.to_owned(),
            position,
            counted: None,
            replaces: shown.standing.replaces,
        };
        self.tell(by, Body::LineUp(body)).await
    }

    /// Says how far a speed control is open.
    pub async fn speed_control(
        &self,
        by: Option<PersonId>,
        control: &str,
        turns: &str,
    ) -> anyhow::Result<EntryId> {
        let shown = self.line_up().await?;
        let shown = shown.controls.into_iter().find(|shown| shown.control == control);
        let shown = shown.with_context(|| format!("the line-up has no speed control {control}"))?;
        let body = SpeedControl {
            asset: self.valve,
            control: control.to_owned(),
            open: figure(turns, Unit::Turn),
            replaces: shown.standing.replaces,
        };
        self.tell(by, Body::SpeedControl(body)).await
    }

    /// Keys in a particular.
    pub async fn particular(
        &self,
        by: Option<PersonId>,
        asset: AssetId,
        name: &str,
        value: ParticularValue,
    ) -> anyhow::Result<EntryId> {
        let shown = self.pre_job().await?;
        let shown = shown
            .particulars
            .into_iter()
            .find(|shown| shown.asset == asset && shown.name == name);
        let body = Particulars {
            asset,
            name: name.to_owned(),
            value,
            replaces: shown.map(|shown| shown.standing.replaces).unwrap_or_default(),
        };
        self.tell(by, Body::Particulars(body)).await
    }

    /// Enters a gauge, or what its zero was before or after the work.
    pub async fn gauge(&self, by: Option<PersonId>, gauge: Gauge) -> anyhow::Result<EntryId> {
        let standing = self.standing_gauge(&gauge.serial).await?;
        let replaces = standing.map(|(_, replaces)| replaces).unwrap_or_default();
        self.tell(by, Body::Gauge(Gauge { replaces, ..gauge })).await
    }

    /// A gauge as it is on record, and what a new entry for it replaces.
    pub async fn standing_gauge(&self, serial: &str) -> anyhow::Result<Option<(Gauge, Vec<EntryId>)>> {
        let shown = self.pre_job().await?.gauges.into_iter().find_map(|mut standing| {
            let said = standing.values.pop()?;
            (said.value.serial == serial).then_some((said.value, standing.replaces))
        });
        Ok(shown)
    }

    /// Says what somebody does on this job.
    pub async fn joins(&self, person: PersonId, name: &str, duties: &[Duty]) -> anyhow::Result<EntryId> {
        let shown = self.crew().await?;
        let shown = shown.people.into_iter().find(|shown| shown.person.id == person);
        let body = PersonJoined {
            person,
            name: name.to_owned(),
            duties: duties.to_vec(),
            replaces: shown.map(|shown| shown.replaces).unwrap_or_default(),
        };
        self.tell(None, Body::PersonJoined(body)).await
    }

    /// Reads a gauge.
    pub async fn read(
        &self,
        by: Option<PersonId>,
        point: &str,
        figure: Figure,
        purpose: Purpose,
        water: Water,
    ) -> anyhow::Result<EntryId> {
        let request = match purpose {
            Purpose::AsLeft => self.setting().await?.request,
            _ => None,
        };
        let body = Reading {
            asset: self.valve,
            point: point.to_owned(),
            place: None,
            figure: figure.clone(),
            // The two gauges of the run are named after their points.
            gauge: matches!(point, "inlet" | "outlet").then(|| format!("G-{point}")),
            purpose,
            water,
            request,
        };
        let entry = self.tell(by, Body::Reading(body)).await?;
        self.typed.add(entry, figure);
        Ok(entry)
    }

    /// Turns the screw, by a plan or without one. Says how far, in turns, clockwise positive.
    pub async fn turn(
        &self,
        by: Option<PersonId>,
        turn: Figure,
        plan: Option<&Plan>,
    ) -> anyhow::Result<EntryId> {
        let shown = self.setting().await?;
        let body = ScrewMove {
            asset: self.valve,
            screw: shown.screw,
            turn,
            request: shown.request,
            planned_from: plan.map(|plan| plan.from),
        };
        self.tell(by, Body::ScrewMove(body)).await
    }

    /// Says that water moves, by the meter.
    pub async fn water_moves(&self, by: Option<PersonId>, flow: Figure) -> anyhow::Result<EntryId> {
        let body = FlowEvidence {
            asset: self.valve,
            how: FlowProof::Meter,
            flow: Some(flow),
            place: None,
        };
        self.tell(by, Body::FlowEvidence(body)).await
    }

    /// Tests the air at one level. The figures are those of clean air.
    pub async fn air(&self, by: Option<PersonId>, level: Level) -> anyhow::Result<EntryId> {
        let body = AtmosphereTest {
            asset: self.station,
            level,
            oxygen: figure("20.9", Unit::Percent),
            flammable: figure("0", Unit::PercentLfl),
            carbon_monoxide: figure("0", Unit::PartsPerMillion),
            hydrogen_sulphide: figure("0", Unit::PartsPerMillion),
            meter: "GM-3".to_owned(),
            bump_tested: true,
        };
        self.tell(by, Body::AtmosphereTest(body)).await
    }

    /// Writes a note.
    pub async fn note(&self, by: Option<PersonId>, text: &str) -> anyhow::Result<EntryId> {
        let text = text.to_owned();
        self.tell(by, Body::Note(Note { text, about: None })).await
    }

    /// Marks a step, with a reason for whatever of it is unmet.
    pub async fn mark(
        &self,
        by: Option<PersonId>,
        step: &StepView,
        outcome: Outcome,
        reason: &str,
    ) -> anyhow::Result<EntryId> {
        let unmet = step
            .needs
            .iter()
            .chain(&step.evidence)
            .filter(|condition| !condition.met);
        let overridden: Vec<_> = unmet.map(|condition| condition.code.clone()).collect();
        let body = StepMark {
            asset: self.valve,
            procedure: self.head().await?.procedure,
            step: step.id.clone(),
            outcome,
            reason: (!overridden.is_empty()).then(|| reason.to_owned()),
            overridden,
            replaces: step.mark.replaces.clone(),
        };
        let marked = self.tell(by, Body::StepMark(body)).await;
        marked.with_context(|| format!("step {}", step.id))
    }

    /// Settles a disagreement by saying what was found.
    pub async fn settle(&self, item: &ReviewItem, found: Body, reason: &str) -> anyhow::Result<EntryId> {
        let register: Register = item.register.clone().context("this item is no register's")?;
        let body = Resolution {
            about: About::Register {
                register,
                replaces: item.entries.clone(),
                value: Box::new(found),
            },
            reason: reason.to_owned(),
        };
        self.tell(None, Body::Resolution(body)).await
    }

    /// Stands by one's own entries.
    pub async fn initial(&self) -> anyhow::Result<()> {
        let shown = self.close_out().await?;
        let own = shown
            .initials
            .into_iter()
            .find(|shown| shown.person.id == self.me);
        let entries = own.context("the tablet shows no entries of this person")?.entries;
        let command = Command::Initial {
            job: self.job,
            person: self.me,
            entries,
        };
        self.tablet
            .command(command)
            .await
            .context("the initials were not taken")?;
        Ok(())
    }

    /// Signs the record that is shown, and says its digest.
    pub async fn sign(&self) -> anyhow::Result<String> {
        let shown = self.close_out().await?;
        if !shown.can_sign {
            bail!("the record cannot be signed: {}", shown.cannot_sign.join(", "));
        }
        let command = Command::Sign {
            job: self.job,
            person: self.me,
            digest: shown.record.digest.clone(),
        };
        self.tablet
            .command(command)
            .await
            .context("the signature was not taken")?;
        Ok(shown.record.digest)
    }
}

/// A planned turn as it is keyed in: the plain fraction that the screen shows, clockwise positive.
pub fn as_keyed(plan: &Plan) -> Figure {
    let digits = match plan.turn.way {
        Way::CounterClockwise => format!("-{}", plan.turn.fraction),
        Way::Clockwise | Way::None => plan.turn.fraction.clone(),
    };
    figure(&digits, Unit::Turn)
}
