//! What a screen can ask to see.

use super::view::{
    CloseOutView, CrewView, ExportFile, ExportQuery, HomeView, JobHead, LineUpView, PreJobView, ReadingsView,
    RecordContent, SettingView, StepsView,
};
use crate::journal::{AssetId, JobId};
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
    /// To [`Screen::CloseOut`].
    CloseOut(CloseOutView),
    /// To [`Screen::Crew`].
    Crew(CrewView),
}
