//! The photographs of a record, as far as their bytes are here.

use super::{ContentHash, Store, StoreError};
use crate::record::export::Export;
use std::collections::BTreeMap;

impl Store {
    /// The bytes of every photograph that an export's record names, by SHA-256 in lower-case hex. One whose bytes are not
    /// here, or have changed on the disk, is left out: whoever shows the record says that it is not at hand.
    ///
    /// # Errors
    /// What the disk says.
    pub fn photographs(&self, export: &Export) -> Result<BTreeMap<String, Vec<u8>>, StoreError> {
        let mut all = BTreeMap::new();
        for line in export.record["photographs"].as_array().into_iter().flatten() {
            let Some(Ok(hash)) = line["sha256"].as_str().map(str::parse::<ContentHash>) else {
                continue;
            };
            match self.blob(hash) {
                Ok(Some(bytes)) => {
                    all.insert(hash.to_string(), bytes);
                }
                Ok(None) | Err(StoreError::Corrupt(_)) => {}
                Err(error) => return Err(error),
            }
        }
        Ok(all)
    }
}
