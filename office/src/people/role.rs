//! What a person may do at the office's pages. What they may do on a job is another matter, which the job's grants say.

use serde::{Deserialize, Serialize};
use std::fmt;
use std::str::FromStr;
use ts_rs::TS;

/// What a person may do at the office's pages.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum DeskRole {
    /// Lets people, tablets and programs in, and all that the others do.
    Administrator,
    /// Hands out work and keeps records.
    Office,
    /// Leads crews: sees all work and all records.
    Lead,
    /// Works on jobs: sees the work.
    Technician,
    /// Reads records.
    Reader,
}

/// Text that names no role.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
#[error("there is no such role")]
pub struct UnknownRole;

impl DeskRole {
    /// Every role.
    pub const ALL: [Self; 5] = [
        Self::Administrator,
        Self::Office,
        Self::Lead,
        Self::Technician,
        Self::Reader,
    ];

    /// As it is kept and sent.
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Administrator => "administrator",
            Self::Office => "office",
            Self::Lead => "lead",
            Self::Technician => "technician",
            Self::Reader => "reader",
        }
    }
}

impl FromStr for DeskRole {
    type Err = UnknownRole;

    fn from_str(text: &str) -> Result<Self, UnknownRole> {
        Self::ALL
            .into_iter()
            .find(|role| role.as_str() == text)
            .ok_or(UnknownRole)
    }
}

impl fmt::Display for DeskRole {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.as_str())
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_role_reads_back_as_it_is_written_and_as_json_has_it() {
        for role in DeskRole::ALL {
            assert_eq!(role.as_str().parse(), Ok(role));
            assert_eq!(serde_json::to_string(&role).unwrap(), format!("\"{role}\""));
        }
        assert_eq!("owner".parse::<DeskRole>(), Err(UnknownRole));
    }
}
