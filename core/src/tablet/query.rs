//! What a screen can ask to see.

use super::view::{
    CloseOutView, CrewView, DiagnosisView, ExportFile, ExportQuery, HomeView, JobHead, LineUpView,
    LoggerLookView, LoggerView, PreJobView, ReadingsView, RecordContent, SettingView, StepsView,
};
use crate::diagnosis::Symptom;
use crate::journal::{AssetId, EntryId, JobId};
use serde::{Deserialize, Serialize};
use ts_rs::TS;

/// One question.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Query {
    /// The jobs on this tablet, and who uses it.
    Home,
    /// One screen of one job.
    Job(JobQuery),
    /// What the logger's file holds whose parts came, read so.
    Logger(crate::logger::Reading),
    /// What a signature of a job's record would cover.
    Record {
        /// The job.
        job: JobId,
    },
    /// A job as a file for others.
    Export(ExportQuery),
}

/// One screen of one job.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct JobQuery {
    /// The job.
    pub job: JobId,
    /// The valve in hand; the job's first, if none is given.
    #[serde(default)]
    #[ts(optional)]
    pub valve: Option<AssetId>,
    /// The screw in hand, where the valve has several; its first, if none is given.
    #[serde(default)]
    #[ts(optional)]
    pub screw: Option<String>,
    /// Which screen.
    pub screen: Screen,
}

/// The screens of a job.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Screen {
    /// Request, particulars, gauges, history, checks.
    PreJob,
    /// Cocks, block valves and speed controls.
    LineUp,
    /// The procedure, one step at a time.
    Steps {
        /// Which procedure: the valve's own, if none is given.
        #[serde(default)]
        #[ts(optional)]
        procedure: Option<String>,
        /// Which step to show: the one in hand, if none is given.
        #[serde(default)]
        #[ts(optional)]
        step: Option<String>,
    },
    /// The screw.
    Setting,
    /// Readings and everything else, newest first.
    Readings {
        /// How many of the newest to show.
        newest: u32,
    },
    /// Why the valve does not do what it should.
    Diagnosis {
        /// What is wrong: what the record shows first, if none is given.
        #[serde(default)]
        #[ts(optional)]
        symptom: Option<Symptom>,
    },
    /// Loggers' files.
    Logger {
        /// Which file to draw: the newest, if none is given.
        #[serde(default)]
        #[ts(optional)]
        entry: Option<EntryId>,
        /// The window's beginning, in seconds since the first sample; the first, if none is given.
        #[serde(default)]
        #[ts(optional)]
        from_s: Option<u32>,
        /// The window's end; the last sample, if none is given.
        #[serde(default)]
        #[ts(optional)]
        to_s: Option<u32>,
    },
    /// What is missing, disagreements, initials, signature.
    CloseOut,
    /// People and links.
    Crew,
}

/// The answer to a [`Query`].
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
#[allow(
    clippy::large_enum_variant,
    reason = "one is made at a time and sent away at once"
)]
pub enum View {
    /// To [`Query::Home`].
    Home(HomeView),
    /// To [`Query::Job`].
    Job {
        /// What every screen of a job shows.
        head: JobHead,
        /// The screen itself.
        screen: ScreenView,
    },
    /// To [`Query::Logger`].
    Logger(LoggerLookView),
    /// To [`Query::Record`].
    Record(RecordContent),
    /// To [`Query::Export`].
    Export(ExportFile),
}

/// One screen of a job.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
#[allow(
    clippy::large_enum_variant,
    reason = "one is made at a time and sent away at once"
)]
pub enum ScreenView {
    /// To [`Screen::PreJob`].
    PreJob(PreJobView),
    /// To [`Screen::LineUp`].
    LineUp(LineUpView),
    /// To [`Screen::Steps`].
    Steps(StepsView),
    /// To [`Screen::Setting`].
    Setting(SettingView),
    /// To [`Screen::Readings`].
    Readings(ReadingsView),
    /// To [`Screen::Diagnosis`].
    Diagnosis(DiagnosisView),
    /// To [`Screen::Logger`].
    Logger(LoggerView),
    /// To [`Screen::CloseOut`].
    CloseOut(CloseOutView),
    /// To [`Screen::Crew`].
    Crew(CrewView),
}
