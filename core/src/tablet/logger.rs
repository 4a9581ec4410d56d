//! A logger's file on its way in, and read again to be drawn.

use super::command::{KeepLogger, LoggerCommand};
use super::engine::{Engine, from_store};
use super::show::{Drawn, drawn};
use super::view::LoggerLookView;
use super::{CommandError, Reply};
use crate::journal::{AssetId, Body, EntryId, JobId, LoggerFile, Role};
use crate::logger::{LoggerError, MAX_PACKED, Reading, Series, look, pack, read, unpack};
use crate::quantity::{Dimension, Unit};
use crate::store::ContentHash;
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use std::sync::Arc;
use uuid::Uuid;

/// The longest name that a file may have.
const LONGEST_NAME: usize = 200;

/// The file whose parts come in, and the one drawn last: reading a million rows takes its time.
#[derive(Default)]
pub(super) struct Loggers {
    parts: Vec<u8>,
    next: u32,
    drawn: Option<(ContentHash, Reading, Arc<Series>)>,
}

fn refused(error: &LoggerError) -> CommandError {
    CommandError::new(&format!("logger_{}", error.code()), error.to_string())
}

impl Loggers {
    /// Takes one part in. Part 0 begins anew.
    fn take(&mut self, part: u32, base64: &str) -> Result<(), CommandError> {
        if part == 0 {
            self.parts.clear();
            self.next = 0;
        }
        let bytes = STANDARD
            .decode(base64)
            .map_err(|error| CommandError::new("logger_part", error.to_string()))?;
        if part != self.next {
            return Err(CommandError::new(
                "logger_part",
                format!("part {} was to follow, not {part}; begin anew", self.next),
            ));
        }
        if self.parts.len() + bytes.len() > MAX_PACKED {
            return Err(refused(&LoggerError::TooLarge));
        }
        self.parts.extend(bytes);
        self.next += 1;
        Ok(())
    }

    /// What the file holds whose parts came, read so.
    pub fn look(&self, reading: &Reading) -> LoggerLookView {
        let file = unpack(&self.parts);
        let found = file.as_ref().map_err(Clone::clone).and_then(|file| look(file));
        let series = file
            .as_ref()
            .map_err(Clone::clone)
            .and_then(|file| read(file, reading));
        let problem = found.as_ref().err().or(series.as_ref().err());
        LoggerLookView {
            problem: problem.map(|error| error.code().to_owned()),
            look: found.ok(),
            reading: *reading,
            drawn: series.ok().map(|series| drawn(&series, (None, None))),
            units: Unit::ALL
                .iter()
                .copied()
                .filter(|unit| unit.dimension() == Dimension::Pressure && *unit != Unit::Gigapascal)
                .collect(),
        }
    }
}

impl Engine {
    /// Takes a logger's file in.
    pub(super) fn logger(&mut self, command: LoggerCommand) -> Result<Reply, CommandError> {
        match command {
            LoggerCommand::Part { part, base64 } => {
                self.loggers.take(part, &base64)?;
                Ok(Reply::default())
            }
            LoggerCommand::Keep(keep) => self.keep_logger(keep),
        }
    }

    /// The bytes first, then the entry that names them: an entry never names what is not here.
    fn keep_logger(&mut self, keep: KeepLogger) -> Result<Reply, CommandError> {
        let me = self.somebody()?;
        let KeepLogger {
            job,
            asset,
            point,
            file: name,
            reading,
        } = keep;
        if name.trim().is_empty() || name.chars().count() > LONGEST_NAME {
            return Err(CommandError::new(
                "bad_name",
                "a file's name has 1 to 200 characters",
            ));
        }
        self.showing(job, Some(asset), Some(me.clone()), |showing| {
            if showing.state.role(me.id) == Some(Role::Reader) {
                return Err(CommandError::new(
                    "reads_only",
                    "the office lets this person read, not record",
                ));
            }
            if showing.procedure.point(&point).is_none() {
                return Err(CommandError::new("bad_field", "the procedure has no such point"));
            }
            Ok(())
        })??;
        let file = unpack(&self.loggers.parts).map_err(|error| refused(&error))?;
        let series = read(&file, &reading).map_err(|error| refused(&error))?;
        let packed = pack(&file).map_err(|error| refused(&error))?;
        let hash = self
            .store
            .store_mut()
            .keep_blob(&packed)
            .map_err(|error| from_store(&error))?;
        let count = |many: usize| u32::try_from(many).unwrap_or(u32::MAX);
        let body = Body::LoggerFile(LoggerFile {
            asset,
            point,
            file: name,
            sha256: hash.to_string(),
            size: count(packed.len()),
            reading: Reading {
                unit: Some(series.unit),
                ..reading
            },
            name: series.name.clone(),
            rows: count(series.rows.0),
        });
        let id = self.append(job, EntryId(Uuid::now_v7()), me.id, Some(me.id), body)?;
        self.loggers = Loggers::default();
        Ok(Reply {
            job: Some(job),
            entries: vec![id],
        })
    }

    /// The file that is asked for, or the newest, drawn within a window.
    pub(super) fn drawn(
        &mut self,
        job: JobId,
        valve: Option<AssetId>,
        asked: Option<EntryId>,
        window: (Option<u32>, Option<u32>),
    ) -> Result<Drawn, CommandError> {
        let state = self.state(job)?;
        let first = || Some(state.opening()?.valves.first()?.id);
        let valve = valve.or_else(first);
        let mut files = state
            .live()
            .rev()
            .filter_map(|folded| match &folded.entry.told.body {
                Body::LoggerFile(file) if valve.is_none_or(|valve| valve == file.asset) => {
                    Some((folded.entry.id, file))
                }
                _ => None,
            });
        let Some((entry, file)) = files.find(|(id, _)| asked.is_none_or(|asked| asked == *id)) else {
            return Ok(Drawn::default());
        };
        let series = self.series(file);
        Ok(Drawn {
            entry: Some(entry),
            problem: series.as_ref().err().map(|error| error.code.clone()),
            window: series.ok().map(|series| drawn(&series, window)),
        })
    }

    fn series(&mut self, file: &LoggerFile) -> Result<Arc<Series>, CommandError> {
        let not_here = || CommandError::new("not_here", "the file's bytes have not come here");
        let hash: ContentHash = file.sha256.parse().map_err(|_| not_here())?;
        if let Some((held, reading, series)) = &self.loggers.drawn
            && *held == hash
            && *reading == file.reading
        {
            return Ok(Arc::clone(series));
        }
        let packed = self
            .store
            .store()
            .blob(hash)
            .map_err(|error| from_store(&error))?
            .ok_or_else(not_here)?;
        let series = unpack(&packed)
            .and_then(|bytes| read(&bytes, &file.reading))
            .map_err(|error| refused(&error))?;
        let series = Arc::new(series);
        self.loggers.drawn = Some((hash, file.reading, Arc::clone(&series)));
        Ok(series)
    }
}
