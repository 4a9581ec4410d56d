//! The devices this one has met, and what each last said that it has committed.

use super::{Store, StoreError, changes::whole};
use crate::journal::{ActorId, ChangeHash, Clock, DeviceId, JobId, Reach};
use rusqlite::{Connection, OptionalExtension, Row, named_params};
use std::collections::BTreeMap;
use uuid::Uuid;

/// A device that this one has met.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Peer {
    /// The device.
    pub device: DeviceId,
    /// What it calls itself, or empty where it never said.
    pub name: String,
    /// The person using it when it was last heard, by its own word.
    pub person: Option<String>,
    /// Whether it is an office.
    pub office: bool,
    /// The addresses where it was reached, sorted.
    pub addresses: Vec<String>,
    /// When it was last heard, RFC 3339 by this device's clock.
    pub last_heard: Option<String>,
}

impl Store {
    /// Keeps what is known of a peer, in place of what was known. Its custody stays.
    ///
    /// # Errors
    /// What the disk says.
    pub fn keep_peer(&mut self, peer: &Peer) -> Result<(), StoreError> {
        self.write(|transaction| {
            transaction
                .prepare_cached(
                    "INSERT INTO peer (device, name, person, office, last_heard) VALUES (?1, ?2, ?3, ?4, ?5)
                     ON CONFLICT DO UPDATE SET name = excluded.name, person = excluded.person,
                         office = excluded.office, last_heard = excluded.last_heard",
                )?
                .execute((
                    peer.device.0.as_bytes(),
                    &peer.name,
                    &peer.person,
                    peer.office,
                    &peer.last_heard,
                ))?;
            transaction
                .prepare_cached("DELETE FROM peer_address WHERE device = ?1")?
                .execute([peer.device.0.as_bytes()])?;
            let mut insert = transaction.prepare_cached(
                "INSERT INTO peer_address (device, address) VALUES (?1, ?2) ON CONFLICT DO NOTHING",
            )?;
            for address in &peer.addresses {
                insert.execute((peer.device.0.as_bytes(), address))?;
            }
            Ok(())
        })
    }

    /// A peer, or none where it was never met.
    pub fn peer(&self, device: DeviceId) -> Result<Option<Peer>, StoreError> {
        let peer = self
            .connection
            .prepare_cached("SELECT name, person, office, last_heard FROM peer WHERE device = ?1")?
            .query_row([device.0.as_bytes()], |row| {
                Ok((row.get(0)?, row.get(1)?, row.get(2)?, row.get(3)?))
            })
            .optional()?;
        let Some((name, person, office, last_heard)) = peer else {
            return Ok(None);
        };
        let addresses = self
            .connection
            .prepare_cached("SELECT address FROM peer_address WHERE device = ?1 ORDER BY address")?
            .query_map([device.0.as_bytes()], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        Ok(Some(Peer {
            device,
            name,
            person,
            office,
            addresses,
            last_heard,
        }))
    }

    /// Every peer, in the order of their ids.
    pub fn peers(&self) -> Result<Vec<Peer>, StoreError> {
        let devices: Vec<[u8; 16]> = self
            .connection
            .prepare_cached("SELECT device FROM peer ORDER BY device")?
            .query_map([], |row| row.get(0))?
            .collect::<Result<_, _>>()?;
        let mut peers = Vec::with_capacity(devices.len());
        for device in devices {
            peers.extend(self.peer(DeviceId(Uuid::from_bytes(device)))?);
        }
        Ok(peers)
    }

    /// Keeps what a peer says it has committed of a job, in place of what it said before. It may be less: a peer can
    /// have been put back from a copy. Saying the same again writes nothing.
    ///
    /// # Errors
    /// What the disk says.
    pub fn keep_stored(&mut self, peer: DeviceId, job: JobId, clock: &Clock) -> Result<(), StoreError> {
        if self.said_stored(peer, job)? == *clock {
            return Ok(());
        }
        self.write(|transaction| {
            transaction
                .prepare_cached("INSERT INTO peer (device, name) VALUES (?1, '') ON CONFLICT DO NOTHING")?
                .execute([peer.0.as_bytes()])?;
            transaction
                .prepare_cached("DELETE FROM custody WHERE job = ?1 AND peer = ?2")?
                .execute((job.0.as_bytes(), peer.0.as_bytes()))?;
            insert_stored(transaction, peer, job, clock)
        })
    }

    /// What a peer last said that it has committed of a job, in its own words. Empty where it never said.
    pub fn said_stored(&self, peer: DeviceId, job: JobId) -> Result<Clock, StoreError> {
        let clock = self
            .connection
            .prepare_cached("SELECT actor, seq, hash FROM custody WHERE job = ?1 AND peer = ?2")?
            .query_map((job.0.as_bytes(), peer.0.as_bytes()), |row| reach(row, 0))?
            .collect::<Result<_, _>>()?;
        Ok(clock)
    }

    /// What of a job is with whom: what every peer last said, as far as it can be relied on. A peer's word about a
    /// writer counts only where the change that it names is held here too, and so stands for the same history.
    pub fn custody(&self, job: JobId) -> Result<BTreeMap<DeviceId, Clock>, StoreError> {
        let mut statement = self.connection.prepare_cached(
            "SELECT peer, actor, seq, hash FROM custody JOIN change USING (job, actor, seq, hash) WHERE job = ?1",
        )?;
        let mut rows = statement.query([job.0.as_bytes()])?;
        let mut custody = BTreeMap::<DeviceId, Clock>::new();
        while let Some(row) = rows.next()? {
            let (actor, reach) = reach(row, 1)?;
            custody
                .entry(DeviceId(Uuid::from_bytes(row.get(0)?)))
                .or_default()
                .insert(actor, reach);
        }
        Ok(custody)
    }
}

/// Reads a writer and how far it has come, from three columns.
fn reach(row: &Row<'_>, first: usize) -> rusqlite::Result<(ActorId, Reach)> {
    Ok((
        ActorId(row.get(first)?),
        Reach {
            seq: row.get::<_, i64>(first + 1)?.unsigned_abs(),
            hash: ChangeHash(row.get(first + 2)?),
        },
    ))
}

fn insert_stored(
    connection: &Connection,
    peer: DeviceId,
    job: JobId,
    clock: &Clock,
) -> Result<(), StoreError> {
    let mut insert = connection.prepare_cached(
        "INSERT INTO custody (job, peer, actor, seq, hash) VALUES (:job, :peer, :actor, :seq, :hash)",
    )?;
    for (actor, reach) in clock {
        insert.execute(named_params! {
            ":job": job.0.as_bytes(),
            ":peer": peer.0.as_bytes(),
            ":actor": actor.0,
            ":seq": whole(reach.seq)?,
            ":hash": reach.hash.0,
        })?;
    }
    Ok(())
}
