//! Which key this device has, and the certificates of the tablets that it was paired with.

use super::{Store, StoreError};
use crate::journal::DeviceId;
use rusqlite::{OptionalExtension, named_params};
use uuid::Uuid;

/// How many addresses of a paired tablet are kept: the newest.
pub const PIN_ADDRESSES: usize = 8;

/// What this device proves itself with.
#[derive(Clone, PartialEq, Eq)]
pub struct LinkIdentity {
    /// The private key, Ed25519.
    pub key: [u8; 32],
    /// The certificate, DER.
    pub certificate: Vec<u8>,
}

impl std::fmt::Debug for LinkIdentity {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("LinkIdentity(..)")
    }
}

/// A tablet that was paired with this one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Pin {
    /// The device.
    pub device: DeviceId,
    /// SHA-256 of its certificate.
    pub fingerprint: [u8; 32],
    /// What it called itself when it was paired.
    pub name: String,
    /// When that was, RFC 3339 by this device's clock.
    pub paired_at: String,
    /// Where it was reached, the newest first.
    pub addresses: Vec<String>,
}

impl Store {
    /// The key and certificate that are kept, or none on a device that never made any.
    pub fn link_identity(&self) -> Result<Option<LinkIdentity>, StoreError> {
        Ok(self
            .connection
            .prepare_cached("SELECT key, certificate FROM link_identity")?
            .query_row([], |row| {
                Ok(LinkIdentity {
                    key: row.get(0)?,
                    certificate: row.get(1)?,
                })
            })
            .optional()?)
    }

    /// Keeps the key and certificate of a device that has none yet.
    ///
    /// # Errors
    /// What the disk says; also where one is kept already, since replacing it would make every crew mate a stranger.
    pub fn keep_link_identity(&mut self, identity: &LinkIdentity) -> Result<(), StoreError> {
        self.write(|transaction| {
            transaction
                .prepare_cached("INSERT INTO link_identity (only, key, certificate) VALUES (1, ?1, ?2)")?
                .execute((identity.key, &identity.certificate))?;
            Ok(())
        })
    }

    /// Every paired tablet, in the order of their ids.
    pub fn pins(&self) -> Result<Vec<Pin>, StoreError> {
        let mut pins: Vec<Pin> = self
            .connection
            .prepare_cached("SELECT device, fingerprint, name, paired_at FROM pin ORDER BY device")?
            .query_map([], |row| {
                Ok(Pin {
                    device: DeviceId(Uuid::from_bytes(row.get(0)?)),
                    fingerprint: row.get(1)?,
                    name: row.get(2)?,
                    paired_at: row.get(3)?,
                    addresses: Vec::new(),
                })
            })?
            .collect::<Result<_, _>>()?;
        let mut addresses = self.connection.prepare_cached(
            "SELECT address FROM pin_address WHERE device = ?1 ORDER BY used DESC, address",
        )?;
        for pin in &mut pins {
            pin.addresses = addresses
                .query_map([pin.device.0.as_bytes()], |row| row.get(0))?
                .collect::<Result<_, _>>()?;
        }
        Ok(pins)
    }

    /// Keeps a pairing, in place of an older one of the same device. Its addresses are kept with it.
    ///
    /// # Errors
    /// What the disk says; also where the certificate is another device's.
    pub fn keep_pin(&mut self, pin: &Pin) -> Result<(), StoreError> {
        self.write(|transaction| {
            transaction
                .prepare_cached(
                    "INSERT INTO pin (device, fingerprint, name, paired_at)
                     VALUES (:device, :fingerprint, :name, :paired_at)
                     ON CONFLICT (device) DO UPDATE SET fingerprint = excluded.fingerprint, name = excluded.name,
                         paired_at = excluded.paired_at",
                )?
                .execute(named_params! {
                    ":device": pin.device.0.as_bytes(),
                    ":fingerprint": pin.fingerprint,
                    ":name": pin.name,
                    ":paired_at": pin.paired_at,
                })?;
            for address in pin.addresses.iter().rev() {
                use_address(transaction, pin.device, address)?;
            }
            Ok(())
        })
    }

    /// Notes where a paired tablet was reached. Of a device that is not paired nothing is noted.
    ///
    /// # Errors
    /// What the disk says.
    pub fn pin_reached(&mut self, device: DeviceId, address: &str) -> Result<(), StoreError> {
        self.write(|transaction| {
            let paired: bool = transaction
                .prepare_cached("SELECT count(*) FROM pin WHERE device = ?1")?
                .query_row([device.0.as_bytes()], |row| row.get(0))?;
            if paired {
                use_address(transaction, device, address)?;
            }
            Ok(())
        })
    }

    /// Forgets a pairing and its addresses.
    ///
    /// # Errors
    /// What the disk says.
    pub fn forget_pin(&mut self, device: DeviceId) -> Result<(), StoreError> {
        self.write(|transaction| {
            transaction
                .prepare_cached("DELETE FROM pin WHERE device = ?1")?
                .execute([device.0.as_bytes()])?;
            Ok(())
        })
    }
}

/// Puts an address first, and lets go of the oldest beyond [`PIN_ADDRESSES`].
fn use_address(
    transaction: &rusqlite::Transaction<'_>,
    device: DeviceId,
    address: &str,
) -> Result<(), StoreError> {
    transaction
        .prepare_cached(
            "INSERT INTO pin_address (device, address, used)
             VALUES (?1, ?2, 1 + (SELECT coalesce(max(used), 0) FROM pin_address WHERE device = ?1))
             ON CONFLICT DO UPDATE SET used = excluded.used",
        )?
        .execute((device.0.as_bytes(), address))?;
    transaction
        .prepare_cached(
            "DELETE FROM pin_address WHERE device = ?1 AND address NOT IN
                 (SELECT address FROM pin_address WHERE device = ?1 ORDER BY used DESC LIMIT ?2)",
        )?
        .execute((
            device.0.as_bytes(),
            i64::try_from(PIN_ADDRESSES).unwrap_or(i64::MAX),
        ))?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;

    fn device(at: u128) -> DeviceId {
        DeviceId(Uuid::from_u128(at))
    }

    fn pin(at: u8) -> Pin {
        Pin {
            device: device(at.into()),
            fingerprint: [at; 32],
            name: format!("Tablet {at}"),
            paired_at: "2026-05-04T07:00:00Z".to_owned(),
            addresses: vec![format!("192.168.7.{at}:4700")],
        }
    }

    fn store(dir: &tempfile::TempDir) -> Store {
        Store::open(dir.path(), device(0xff)).unwrap()
    }

    #[test]
    fn what_was_paired_is_there_after_a_restart_and_gone_once_forgotten() {
        let dir = tempfile::tempdir().unwrap();
        let mut first = store(&dir);
        first.keep_pin(&pin(1)).unwrap();
        first.keep_pin(&pin(2)).unwrap();
        first.close().unwrap();
        let mut second = store(&dir);
        assert_eq!(second.pins().unwrap(), [pin(1), pin(2)]);
        second.forget_pin(device(1)).unwrap();
        assert_eq!(second.pins().unwrap(), [pin(2)]);
    }

    #[test]
    fn a_device_paired_anew_stands_under_its_new_certificate_only() {
        let dir = tempfile::tempdir().unwrap();
        let mut store = store(&dir);
        store.keep_pin(&pin(1)).unwrap();
        let anew = Pin {
            fingerprint: [9; 32],
            ..pin(1)
        };
        store.keep_pin(&anew).unwrap();
        assert_eq!(store.pins().unwrap(), [anew]);
    }

    #[test]
    fn one_certificate_does_not_stand_for_two_devices() {
        let dir = tempfile::tempdir().unwrap();
        let mut store = store(&dir);
        store.keep_pin(&pin(1)).unwrap();
        let second = Pin {
            device: device(2),
            ..pin(1)
        };
        assert!(store.keep_pin(&second).is_err());
        assert_eq!(store.pins().unwrap(), [pin(1)]);
    }

    #[test]
    fn the_address_reached_last_comes_first_and_the_oldest_are_let_go() {
        let dir = tempfile::tempdir().unwrap();
        let mut store = store(&dir);
        store.keep_pin(&pin(1)).unwrap();
        for at in 1..=PIN_ADDRESSES {
            store.pin_reached(device(1), &format!("10.0.0.{at}:1")).unwrap();
        }
        store.pin_reached(device(1), "10.0.0.3:1").unwrap();
        let addresses = store.pins().unwrap().remove(0).addresses;
        assert_eq!(addresses.len(), PIN_ADDRESSES);
        assert_eq!(addresses[0], "10.0.0.3:1");
        assert!(!addresses.contains(&"192.168.7.1:4700".to_owned()));
        store.pin_reached(device(7), "10.0.0.3:1").unwrap();
        assert_eq!(store.pins().unwrap().len(), 1, "a stranger's address is not kept");
    }

    #[test]
    fn the_key_is_made_once_and_never_replaced() {
        let dir = tempfile::tempdir().unwrap();
        let mut store = store(&dir);
        assert_eq!(store.link_identity().unwrap(), None);
        let made = LinkIdentity {
            key: [3; 32],
            certificate: vec![1, 2, 3],
        };
        store.keep_link_identity(&made).unwrap();
        let other = LinkIdentity {
            key: [4; 32],
            certificate: vec![4],
        };
        assert!(store.keep_link_identity(&other).is_err());
        assert_eq!(store.link_identity().unwrap(), Some(made));
    }

    #[test]
    fn a_key_is_not_printed() {
        let identity = LinkIdentity {
            key: [3; 32],
            certificate: vec![1],
        };
        assert_eq!(format!("{identity:?}"), "LinkIdentity(..)");
    }
}
