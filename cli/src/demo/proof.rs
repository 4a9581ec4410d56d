//! What must hold, and waiting for what must come to hold.

use anyhow::bail;
use futures_util::future::select_all;
use std::collections::BTreeMap;
use std::time::Duration;
use tokio::sync::watch;
use tokio::time::timeout;

/// How long anything may take to come to hold. Links heal within five seconds; more means that something is wrong.
const PATIENCE: Duration = Duration::from_secs(20);

/// Every condition that was checked, in words, and whether it held.
#[derive(Debug, Default)]
pub struct Proof {
    /// The conditions.
    pub checked: BTreeMap<&'static str, bool>,
}

impl Proof {
    /// Notes whether a condition holds. One that once did not stays so.
    pub fn holds(&mut self, what: &'static str, holds: bool) {
        let known = self.checked.entry(what).or_insert(true);
        *known &= holds;
        if !holds {
            tracing::error!("this does not hold: {what}");
        }
    }

    /// Whether every condition held, and there was one at all.
    pub fn all(&self) -> bool {
        !self.checked.is_empty() && self.checked.values().all(|held| *held)
    }
}

/// Looks again after every change until `look` says yes.
///
/// Errors: what `look` says, or that it took longer than anything should.
pub async fn until(
    what: &str,
    changes: &[watch::Receiver<u64>],
    mut look: impl AsyncFnMut() -> anyhow::Result<bool>,
) -> anyhow::Result<()> {
    let mut changes = changes.to_vec();
    let waited = timeout(PATIENCE, async {
        loop {
            // Marked as seen before looking, so that what changes meanwhile is looked at again.
            for revision in &mut changes {
                revision.mark_unchanged();
            }
            if look().await? {
                return Ok(());
            }
            let moved = changes.iter_mut().map(|revision| Box::pin(revision.changed()));
            if select_all(moved).await.0.is_err() {
                bail!("the program that is waited for has ended");
            }
        }
    });
    match waited.await {
        Ok(looked) => looked,
        Err(_) => bail!(
            "this did not come to hold within {} s: {what}",
            PATIENCE.as_secs()
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_condition_that_does_not_hold_fails_the_whole() {
        let mut proof = Proof::default();
        proof.holds("the one", true);
        assert!(proof.all());
        proof.holds("the other", false);
        assert!(!proof.all());
        assert!(!proof.checked["the other"]);
    }

    #[test]
    fn what_once_did_not_hold_is_not_made_good_later() {
        let mut proof = Proof::default();
        proof.holds("the one", false);
        proof.holds("the one", true);
        assert!(!proof.all());
    }

    #[test]
    fn nothing_checked_is_nothing_proven() {
        assert!(!Proof::default().all());
    }

    #[tokio::test]
    async fn waiting_for_a_program_that_has_ended_ends() {
        let (revision, changes) = watch::channel(0);
        drop(revision);
        let waited = until("something", &[changes], async || Ok(false)).await;
        assert!(waited.is_err());
    }
}
