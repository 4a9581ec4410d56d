//! The key that this device signs with: drawn once, kept with the rest.

use super::{KeySeed, Store, StoreError};
use crate::record::hex;
use crate::record::signature::{DeviceKey, bytes_of_hex};

/// Where the secret half is kept, among the things a device remembers about itself. The file is not encrypted yet, so
/// whoever has the tablet's files has its key.
const KEY: &str = "signing_key";

impl Store {
    /// This device's key: the one that is kept, or one made from `new` and kept from now on.
    ///
    /// # Errors
    /// [`StoreError::Corrupt`] where what is kept is no key; else what the disk says.
    pub fn device_key(&mut self, new: KeySeed) -> Result<DeviceKey, StoreError> {
        if let Some(kept) = self.setting(KEY)? {
            let secret = bytes_of_hex(&kept).ok_or_else(|| {
                StoreError::Corrupt("the key that this device signs with is no key".to_owned())
            })?;
            return Ok(DeviceKey::from_secret(secret));
        }
        self.set_setting(KEY, &hex(&new.0))?;
        Ok(DeviceKey::from_secret(new.0))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::DeviceId;
    use uuid::Uuid;

    #[test]
    fn a_device_keeps_the_key_that_it_was_first_given() {
        let dir = tempfile::tempdir().unwrap();
        let open = || Store::open(dir.path(), DeviceId(Uuid::from_u128(1))).unwrap();
        let first = open().device_key(KeySeed([1; 32])).unwrap().public();
        let again = open().device_key(KeySeed([2; 32])).unwrap().public();
        assert_eq!(first, again);
    }

    #[test]
    fn a_kept_key_that_is_none_is_damage_and_is_not_replaced() {
        let dir = tempfile::tempdir().unwrap();
        let mut store = Store::open(dir.path(), DeviceId(Uuid::from_u128(1))).unwrap();
        store.set_setting(KEY, "ab").unwrap();
        assert_eq!(store.device_key(KeySeed([2; 32])).unwrap_err().code(), "corrupt");
        assert_eq!(store.setting(KEY).unwrap().as_deref(), Some("ab"));
    }
}
