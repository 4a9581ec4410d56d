//! Certificates that this device holds, one a key: the newest that was issued.

use super::{Store, StoreError};
use crate::record::certificate::Certificate;

fn name(key: &str) -> String {
    format!("certificate:{key}")
}

impl Store {
    /// Keeps a certificate from now on.
    ///
    /// # Errors
    /// What the disk says.
    pub fn keep_certificate(&mut self, certificate: &Certificate) -> Result<(), StoreError> {
        let text =
            serde_json::to_string(certificate).map_err(|error| StoreError::Corrupt(error.to_string()))?;
        self.set_setting(&name(&certificate.vouched.key), &text)
    }

    /// The certificate of a key, if one is here.
    ///
    /// # Errors
    /// [`StoreError::Corrupt`] where what is kept is no certificate; else what the disk says.
    pub fn certificate(&self, key: &str) -> Result<Option<Certificate>, StoreError> {
        let Some(kept) = self.setting(&name(key))? else {
            return Ok(None);
        };
        serde_json::from_str(&kept)
            .map(Some)
            .map_err(|_| StoreError::Corrupt(format!("what is kept as the certificate of {key} is none")))
    }
}
