//! A job's record on paper.

use crate::engine::Engine;
use crate::error::OfficeError;
use crate::handle::OfficeHandle;
use std::collections::BTreeMap;
use tokio::sync::Semaphore;
use turnwise_core::journal::JobId;
use turnwise_core::record::export::Export;
use turnwise_record::pdf::{Options, PdfError, render};

/// How many records are set at once. The rest wait: each takes a core, and holds its photographs.
static PRESSES: Semaphore = Semaphore::const_new(2);

/// What a page is made of.
pub(crate) struct Printable {
    pub export: Export,
    /// The photographs at hand, by their hash.
    pub photographs: BTreeMap<String, Vec<u8>>,
}

impl From<PdfError> for OfficeError {
    fn from(error: PdfError) -> Self {
        Self::Unable {
            code: error.code(),
            message: error.to_string(),
        }
    }
}

impl OfficeHandle {
    /// A job's export as a PDF that carries it. The engine is asked only for what the page is made of; the page is set
    /// on a thread for slow work, so nobody's entries wait for it.
    ///
    /// Errors: as for an export, and [`PdfError`] under its own code.
    pub async fn printed(&self, job: JobId, options: Options) -> Result<Vec<u8>, OfficeError> {
        // Never closed, so this is not refused.
        let _press = PRESSES.acquire().await.map_err(|_| OfficeError::Stopping)?;
        let Printable { export, photographs } = self
            .ask(move |engine: &mut Engine| engine.printable(job))
            .await??;
        let setting = tokio::task::spawn_blocking(move || {
            render(&export, &|hash| photographs.get(hash).cloned(), &options)
        });
        Ok(setting.await.map_err(|error| OfficeError::Unable {
            code: "not_printed",
            message: error.to_string(),
        })??)
    }
}
