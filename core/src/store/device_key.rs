//! The key that this device signs with: drawn once, kept with the rest.

use super::{KeySeed, Store, StoreError};
use crate::record::hex;
use crate::record::signature::DeviceKey;

/// Where the secret half is kept, among the things a device remembers about itself. The file is not encrypted yet, so
/// whoever has the tablet's files has its key.
const KEY: &str = "signing_key";

impl Store {
    /// This device's key: the one that is kept, or one made from `new` and kept from now on.
    ///
    /// # Errors
    /// [`StoreError::Corrupt`] where what is kept is no key; else what the disk says.
    pub fn device_key(&mut self, new: KeySeed) -> Result<DeviceKey, StoreError> {
        let kept = self.setting(KEY)?;
        let secret = match kept {
            Some(kept) => from_hex(&kept).ok_or_else(|| {
                StoreError::Corrupt("the key that this device signs with is no key".to_owned())
            })?,
            None => {
                self.set_setting(KEY, &hex(&new.0))?;
                new.0
            }
        };
        Ok(DeviceKey::from_secret(secret))
    }
}

/// Exactly 32 bytes in lower-case hex.
fn from_hex(text: &str) -> Option<[u8; 32]> {
    crate::record::signature::bytes_of_hex(text)
}
