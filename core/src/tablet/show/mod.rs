//! From a folded journal to what the screens show. Pure: what it needs to know is in [`Showing`].

mod close_out;
mod content;
mod crew;
mod diagnosis;
mod gather;
mod head;
mod line_up;
mod logger;
mod pre_job;
mod put_back;
mod readings;
mod review_item;
mod setting;
mod steps;
mod subject;
mod timeline;
mod verdicts;

pub(super) use close_out::{cannot_sign, close_out, entries_of, may_settle, may_sign, signatures};
pub(super) use content::content;
pub(super) use crew::crew;
pub(super) use diagnosis::diagnosis;
pub(super) use gather::{Reached, Showing};
pub(super) use head::{card, head};
pub(super) use line_up::line_up;
pub(super) use logger::{Drawn, drawn, logger};
pub(super) use pre_job::pre_job;
pub(super) use readings::readings;
pub(super) use setting::setting;
pub(super) use steps::steps;
pub(super) use timeline::can_be_withdrawn;
