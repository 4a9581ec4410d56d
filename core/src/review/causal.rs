//! What somebody had seen of many entries, found without looking at each.

use crate::journal::Folded;
use std::collections::HashMap;

/// An entry with its place in fold order.
pub(super) type Placed<'a> = (usize, &'a Folded);

/// Entries sorted out by their writers. A writer who saw one of another's entries saw those before it too, so
/// that what was seen is found by halving.
pub(super) struct ByWriter<'a> {
    lines: HashMap<u32, Vec<Placed<'a>>>,
}

impl<'a> ByWriter<'a> {
    /// Of entries in fold order, in which each writer's own come in their order.
    pub(super) fn of(all: impl IntoIterator<Item = Placed<'a>>) -> Self {
        let mut lines: HashMap<u32, Vec<Placed<'a>>> = HashMap::new();
        for placed in all {
            lines.entry(placed.1.actor).or_default().push(placed);
        }
        Self { lines }
    }

    /// The newest of each writer that was seen, in no order.
    pub(super) fn newest_seen<'s>(
        &'s self,
        by: &'s Folded,
    ) -> impl Iterator<Item = Placed<'a>> + use<'a, 's> {
        self.lines.values().filter_map(move |line| {
            let seen = line.partition_point(|(_, it)| by.saw(it));
            line.get(seen.checked_sub(1)?).copied()
        })
    }

    /// Whether any was seen.
    pub(super) fn any_seen(&self, by: &Folded) -> bool {
        self.lines
            .values()
            .any(|line| line.first().is_some_and(|(_, it)| by.saw(it)))
    }

    /// Everything, in fold order, whose writer had seen all of these.
    pub(super) fn all_after(&self, seen: &[&Folded]) -> impl Iterator<Item = Placed<'a>> + use<'a> {
        let mut after: Vec<Placed<'a>> = self
            .lines
            .values()
            .flat_map(|line| {
                let from = line.partition_point(|(_, it)| !seen.iter().all(|old| it.saw(old)));
                line[from..].iter().copied()
            })
            .collect();
        after.sort_unstable_by_key(|(at, _)| *at);
        after.into_iter()
    }

    /// Whether anybody's writer had seen this.
    pub(super) fn any_after(&self, seen: &Folded) -> bool {
        self.lines
            .values()
            .any(|line| line.last().is_some_and(|(_, it)| it.saw(seen)))
    }

    /// What of these was seen, as something that is equal for those who saw the same.
    pub(super) fn reach(&self, by: &Folded) -> Vec<usize> {
        let mut reach: Vec<usize> = self.newest_seen(by).map(|(at, _)| at).collect();
        reach.sort_unstable();
        reach
    }
}

/// Those that no other one's writer had seen, in fold order. `all` is in fold order, where ancestors come first.
pub(super) fn newest<'a>(all: &[Placed<'a>]) -> Vec<Placed<'a>> {
    let mut newest: Vec<Placed<'a>> = Vec::new();
    for &(at, folded) in all.iter().rev() {
        if !newest.iter().any(|(_, later)| later.saw(folded)) {
            newest.push((at, folded));
        }
    }
    newest.reverse();
    newest
}

/// Groups of entries that hang together by pairs of which neither's writer had seen the other, in fold order.
/// One that everybody after it had seen, and that had seen everybody before it, is a group of its own.
pub(super) fn side_by_side<'a>(all: &[Placed<'a>]) -> Vec<Vec<Placed<'a>>> {
    /// A group so far: who is in it, and the newest of them.
    struct Group<'a> {
        members: Vec<Placed<'a>>,
        newest: Vec<Placed<'a>>,
    }
    let mut groups: Vec<Group<'a>> = Vec::new();
    for &placed in all {
        let mut members = vec![placed];
        let mut newest = vec![placed];
        // A group is left behind once its newest were all seen; those before it were then seen as well.
        while let Some(group) = groups.pop_if(|group| !group.newest.iter().all(|(_, it)| placed.1.saw(it))) {
            newest.splice(0..0, group.newest.into_iter().filter(|(_, it)| !placed.1.saw(it)));
            members.splice(0..0, group.members);
        }
        groups.push(Group { members, newest });
    }
    groups.into_iter().map(|group| group.members).collect()
}
