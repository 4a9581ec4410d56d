//! The lead tech's walk through the procedure: at every step, whatever it asks to leave behind is done and keyed
//! in, then the step is marked.

use super::hand::{Hand, as_keyed};
use super::scenario::{LEAD, MATE, figure};
use super::valve::Valve;
use anyhow::{Context, bail};
use std::collections::BTreeSet;
use turnwise_core::journal::{
    AssetId, Duty, Gauge, Level, Outcome, ParticularValue, PersonId, Position, Purpose, Water, particular,
};
use turnwise_core::procedure::{
    AtmosphereIs, Condition, LineUpIs, Owner, Procedure, ReadingIs, Sense, Stance, Step, ToldAs, ZeroCheck,
    ZoneLimitIs,
};
use turnwise_core::quantity::{Dimension, Unit};
use turnwise_core::tablet::view::{StepStatus, StepView};

/// More moves than any plan of the demo takes: beyond it something is wrong.
const MOVES_LIMIT: usize = 20;
/// How far the screw is backed out before pressure comes, turns. Far enough to be below the request.
const BACK_OUT: &str = "-1";
/// Why a photograph is not there.
const NO_PHOTOGRAPH: &str = "the scripted run has no camera";

/// The walk of one valve.
pub struct Walk {
    /// Who keys everything in.
    pub hand: Hand,
    /// What the gauges show.
    pub valve: Valve,
    /// The procedure worked by.
    pub procedure: Procedure,
}

impl Walk {
    /// Does every step that applies and is not settled, up to and with `last`. Says which steps were done.
    pub async fn through(&mut self, last: &str) -> anyhow::Result<Vec<String>> {
        let steps: Vec<Step> = self.procedure.steps().cloned().collect();
        if !steps.iter().any(|step| step.id == last) {
            bail!("the procedure has no step {last}");
        }
        let mut done = Vec::new();
        for step in &steps {
            let shown = self.hand.steps(Some(&step.id)).await?;
            let mut lines = shown.phases.iter().flat_map(|phase| &phase.steps);
            let applies = lines.any(|line| line.id == step.id);
            if let Some(shown) = shown.step.filter(|shown| applies && !is_settled(shown.status)) {
                self.do_step(step, shown)
                    .await
                    .with_context(|| format!("at step {}", step.id))?;
                done.push(step.id.clone());
            }
            if step.id == last {
                break;
            }
        }
        Ok(done)
    }

    /// Puts right what close-out says is missing, but for initials and signature, which are each person's own.
    pub async fn mend(&mut self) -> anyhow::Result<()> {
        let own = BTreeSet::from(["close_out.initials", "close_out.sign"]);
        for missing in self.hand.close_out().await?.missing {
            match &missing.step {
                Some(step) if own.contains(step.as_str()) => {}
                Some(step) => {
                    let step = self.procedure.step(step).cloned();
                    let step =
                        step.with_context(|| format!("the procedure has no step for {}", missing.code))?;
                    let shown = self.hand.step(&step.id).await?;
                    self.do_step(&step, shown)
                        .await
                        .with_context(|| format!("mending step {}", step.id))?;
                }
                None => {
                    let asked = self
                        .procedure
                        .closes_with
                        .iter()
                        .find(|asked| asked.code() == missing.code);
                    match asked.cloned() {
                        Some(Condition::Initials | Condition::Signed) | None => {}
                        Some(asked) => self.satisfy(&asked, None).await?,
                    }
                }
            }
        }
        Ok(())
    }

    /// Brings the setting to what is asked, move by move as the tablet plans them, and says how many it took.
    pub async fn set(&mut self, by: Option<PersonId>) -> anyhow::Result<usize> {
        for moves in 0..MOVES_LIMIT {
            self.read(by, "outlet", Purpose::Working, Water::Flowing).await?;
            let setting = self.hand.setting().await?;
            let plan = setting
                .plan
                .with_context(|| format!("the tablet has no plan: {}", setting.no_plan.join(", ")))?;
            if plan.leave_it {
                return Ok(moves);
            }
            let turn = as_keyed(&plan);
            self.hand.turn(by, turn.clone(), Some(&plan)).await?;
            self.valve.turn(turn.value()?);
        }
        bail!("the setting is not reached in {MOVES_LIMIT} moves")
    }

    async fn do_step(&mut self, step: &Step, shown: StepView) -> anyhow::Result<()> {
        let by = Some(caller(step.who));
        let mut shown = shown;
        if step.id == "set_flowing.set" {
            self.set(by).await?;
            shown = self.hand.step(&step.id).await?;
        }
        // Needs come first: a reading needs its flow proven before it is taken.
        for asked in step.needs.iter().chain(&step.evidence) {
            let code = asked.code();
            let mut conditions = shown.needs.iter().chain(&shown.evidence);
            if conditions.any(|condition| condition.code == code && !condition.met) {
                self.satisfy(asked, by).await.context(code)?;
                shown = self.hand.step(&step.id).await?;
            }
        }
        if let Some(stop) = shown.stops.iter().find(|stop| stop.in_force) {
            bail!("stopped: {}", stop.code);
        }
        if shown.status == StepStatus::Done {
            return Ok(());
        }
        let outcome = match step.options.first() {
            None => Outcome::Done,
            Some(first) => Outcome::Chosen(choice(&step.id).map_or_else(|| first.id.clone(), str::to_owned)),
        };
        self.hand.mark(by, &shown, outcome, NO_PHOTOGRAPH).await?;
        Ok(())
    }

    /// Makes a condition hold. What cannot be done in the script is left to be overridden with its reason.
    async fn satisfy(&mut self, asked: &Condition, by: Option<PersonId>) -> anyhow::Result<()> {
        let hand = self.hand.clone();
        match asked {
            Condition::Position { element, is } => {
                hand.position(by, element, self.stance(element, *is)?).await?;
            }
            Condition::LineUp { is } => self.whole_line_up(*is, by).await?,
            Condition::Reading(wanted) => self.readings(wanted, by).await?,
            Condition::Zero { point, .. } => {
                let zero = figure("0", Unit::Psi);
                hand.read(by, point, zero, Purpose::Working, Water::Still).await?;
            }
            Condition::Vented { points, .. } => {
                for point in points {
                    let zero = figure("0", Unit::Psi);
                    hand.read(by, point, zero, Purpose::Working, Water::Still).await?;
                }
            }
            Condition::Flow => {
                hand.water_moves(by, self.valve.flow()).await?;
            }
            Condition::Particular { name, is } => {
                let value = self.particular(name, is.as_deref())?;
                hand.particular(by, self.asset(self.procedure.particular_owner(name)), name, value)
                    .await?;
            }
            Condition::Gauge { point, zero } => self.gauge(point, *zero, by).await?,
            Condition::Duty { .. } => {
                for (name, duties) in duties() {
                    hand.joins(PersonId::of_name(name), name, &duties).await?;
                }
            }
            Condition::Move { sense, .. } => {
                let turn = figure(if *sense == Sense::In { "1/4" } else { BACK_OUT }, Unit::Turn);
                hand.turn(by, turn.clone(), None).await?;
                self.valve.turn(turn.value()?);
            }
            Condition::SpeedControl { control, .. } => {
                hand.speed_control(by, control, "2 1/4").await?;
            }
            Condition::Note { .. } => {
                hand.note(by, "nothing else to report").await?;
            }
            Condition::Atmosphere { is } => {
                let levels: &[Level] = match is {
                    AtmosphereIs::TestedAtTop => &[Level::Top],
                    _ => &[Level::Top, Level::Middle, Level::Bottom],
                };
                for level in levels {
                    hand.air(by, *level).await?;
                }
            }
            Condition::Any(any) => {
                let first = any.first().context("an empty choice")?;
                Box::pin(self.satisfy(first, by)).await?;
            }
            // Photographs come from a camera; the rest is another step's, the office's, or everybody's own.
            Condition::Photo { .. }
            | Condition::Step { .. }
            | Condition::StepAt { .. }
            | Condition::SetPoint(_)
            | Condition::Choice { .. }
            | Condition::Request
            | Condition::ZoneLimit {
                is: ZoneLimitIs::OnRecord | ZoneLimitIs::Within,
            }
            | Condition::PermitSpace
            | Condition::Attendant
            | Condition::Retrieval { .. }
            | Condition::Agreed
            | Condition::Initials
            | Condition::Signed => {}
        }
        Ok(())
    }

    async fn read(
        &self,
        by: Option<PersonId>,
        point: &str,
        purpose: Purpose,
        water: Water,
    ) -> anyhow::Result<()> {
        self.hand
            .read(by, point, self.valve.shows(point, purpose), purpose, water)
            .await?;
        Ok(())
    }

    async fn readings(&self, wanted: &ReadingIs, by: Option<PersonId>) -> anyhow::Result<()> {
        let purpose = wanted.purpose.unwrap_or(Purpose::Working);
        let water = wanted.water.unwrap_or(Water::Flowing);
        for _ in 0..wanted.count.max(1) {
            self.read(by, &wanted.point, purpose, water).await?;
        }
        Ok(())
    }

    fn stance(&self, element: &str, is: Stance) -> anyhow::Result<Position> {
        let known = self.procedure.element(element);
        let known = known.with_context(|| format!("the procedure has no element {element}"))?;
        Ok(match is {
            Stance::Is(position) => position,
            Stance::NotShut => Position::Throttled,
            Stance::Normal | Stance::Recorded => known.normal,
        })
    }

    async fn whole_line_up(&self, is: LineUpIs, by: Option<PersonId>) -> anyhow::Result<()> {
        for shown in self.hand.line_up().await?.elements {
            let now = match shown.standing.values.as_slice() {
                [one] => Some(one.value),
                _ => None,
            };
            let holds = match is {
                LineUpIs::Recorded => now.is_some(),
                LineUpIs::Normal => now == Some(shown.normal),
            };
            if !holds {
                self.hand.position(by, &shown.element, shown.normal).await?;
            }
        }
        Ok(())
    }

    async fn gauge(&self, point: &str, zero: Option<ZeroCheck>, by: Option<PersonId>) -> anyhow::Result<()> {
        let serial = format!("G-{point}");
        let known = self.hand.standing_gauge(&serial).await?;
        let mut gauge = known.map_or_else(
            || Gauge {
                serial: serial.clone(),
                point: Some(point.to_owned()),
                span: figure(if point == "inlet" { "300" } else { "160" }, Unit::Psi),
                grade: Some("1A".to_owned()),
                resolution: Some(figure("1", Unit::Psi)),
                calibration_due: Some("2027-03-31".to_owned()),
                zero_before: None,
                zero_after: None,
                replaces: Vec::new(),
            },
            |(gauge, _)| gauge,
        );
        let vented = Some(figure("0", Unit::Psi));
        match zero {
            None => {}
            Some(ZeroCheck::Before) => gauge.zero_before = vented,
            Some(ZeroCheck::After) => gauge.zero_after = vented,
        }
        self.hand.gauge(by, gauge).await?;
        Ok(())
    }

    fn asset(&self, owner: Owner) -> AssetId {
        match owner {
            Owner::Valve => self.hand.valve,
            Owner::Station => self.hand.station,
        }
    }

    /// What the script keys in for a particular: the word that is asked for, or something of its kind.
    fn particular(&self, name: &str, is: Option<&str>) -> anyhow::Result<ParticularValue> {
        let known = [
            (particular::PERMIT_SPACE, "no"),
            (particular::CLOCKWISE, "raises"),
            ("keeps_shut", "outlet_cock"),
            (particular::PLATE, "reducing pilot, spring 20-105 psi"),
            ("operator_told", "the duty operator, before the lid was lifted"),
            ("come_back", "strainer after three days"),
        ];
        if let Some(word) = is.or_else(|| known.iter().find(|known| known.0 == name).map(|known| known.1)) {
            return Ok(ParticularValue::Text(word.to_owned()));
        }
        let asked = self.procedure.particular(name);
        let asked = asked.with_context(|| format!("the procedure asks for no particular {name}"))?;
        Ok(match &asked.told_as {
            ToldAs::Figure(dimensions) => ParticularValue::Figure(match dimensions.first() {
                Some(Dimension::Pressure) => figure("8", Unit::Psi),
                Some(Dimension::Flow) => figure("15", Unit::GallonPerMinute),
                Some(Dimension::Threads) => figure("9", Unit::Thread),
                Some(Dimension::Time) => figure("14", Unit::Second),
                Some(Dimension::Length) => figure("6", Unit::Inch),
                Some(Dimension::Rate) => figure("13.5", Unit::PsiPerTurn),
                other => bail!("the script has no figure for {name}, a {other:?}"),
            }),
            ToldAs::Choice(words) => {
                ParticularValue::Text(words.first().context("an empty choice")?.id.clone())
            }
            ToldAs::Words => ParticularValue::Text("as seen".to_owned()),
        })
    }
}

/// Who does what on the job.
pub fn duties() -> [(&'static str, Vec<Duty>); 2] {
    [
        (LEAD, vec![Duty::WrenchHand, Duty::EntrySupervisor]),
        (MATE, vec![Duty::TopsideHand]),
    ]
}

/// Who calls out what a step leaves behind.
fn caller(who: Option<Duty>) -> PersonId {
    PersonId::of_name(match who {
        Some(Duty::TopsideHand | Duty::Attendant) => MATE,
        Some(Duty::WrenchHand | Duty::EntrySupervisor) | None => LEAD,
    })
}

fn is_settled(status: StepStatus) -> bool {
    matches!(
        status,
        StepStatus::Done | StepStatus::Overridden | StepStatus::NotDone
    )
}

/// What the script answers where the first option is not the answer.
fn choice(step: &str) -> Option<&'static str> {
    match step {
        "can_water_move.answer" => Some("yes"),
        "pre_job.scope" => Some("not_listed"),
        "pre_job.second_feed" => Some("second_feed"),
        "as_found.service" => Some("flowing"),
        "set_flowing.enough" => Some("at_least_minimum"),
        _ => None,
    }
}
