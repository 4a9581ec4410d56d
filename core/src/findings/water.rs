//! Where water stands under pressure at a station, as far as its line-up on record tells. Nothing here is measured:
//! it shows what an open valve would join before anybody opens it.
//!
//! The station is a graph: places, joined by elements that are open, by the main valves and the pilot, which let
//! through only what they regulate (common practice, no source). Every place is reached twice: by the ways that are
//! surely open, and by those that may be. Where the two differ, it is not known.

use crate::journal::Position;
use crate::procedure::{Branch, Element, ElementClass, Side, Tap};
use serde::{Deserialize, Serialize};
use std::collections::BTreeMap;
use ts_rs::TS;

/// A stretch of pipe, or a chamber, that has one pressure.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// The main before the station.
    Supply,
    /// Between the upstream block valve and the valve.
    Inlet,
    /// The pilot and what feeds it.
    Pilot,
    /// The control chamber.
    Cover,
    /// Behind the pilot.
    PilotOutlet,
    /// Between the valve and the downstream block valve.
    Outlet,
    /// Behind the station.
    Zone,
    /// Where a relief valve lets water go.
    Outfall,
}

/// What stands in a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
#[serde(rename_all = "snake_case")]
pub enum Wet {
    /// The pressure of the main before the station.
    Supply,
    /// What a valve or a pilot lets through.
    Regulated,
    /// Every way to it is shut. What was trapped there may still press.
    ShutOff,
    /// Nobody said how something on the way stands, or two people differ.
    NotKnown,
}

/// One part and what stands in it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize, TS)]
pub struct WaterAt {
    /// Which part.
    pub part: Part,
    /// Of which of the station's pipes. Supply and zone belong to all of them and are told once.
    pub branch: Branch,
    /// What stands there.
    pub wet: Wet,
    /// Whether it is open to the air by a vent, a hydrant or an outfall.
    pub to_air: bool,
    /// Whether this must not be: the zone joined to the main with no valve between.
    pub unguarded: bool,
}

/// How an element stands on record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Stands {
    /// As everybody says who said anything.
    So(Position),
    /// Nobody said, or people differ.
    NotKnown,
}

impl Stands {
    fn surely_passes(self) -> bool {
        matches!(self, Self::So(Position::Open | Position::Throttled))
    }

    fn may_pass(self) -> bool {
        self != Self::So(Position::Shut)
    }
}

/// How far pressure comes: not at all, as regulated, as it is in the supply.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord)]
enum Reach {
    #[default]
    Nothing,
    Regulated,
    Supply,
}

type Place = (Part, Branch);

const SUPPLY: Place = (Part::Supply, Branch::Main);
const ZONE: Place = (Part::Zone, Branch::Main);

struct Join {
    ends: [Place; 2],
    surely: bool,
    maybe: bool,
    /// A valve or a pilot: it lets less through, and nothing back.
    regulates: bool,
}

/// What stands where, part by part in the order of the water. `stands` says how each element stands on record.
///
/// Worked example: with the upstream block valve open and the downstream one shut, inlet and outlet have water and the
/// zone has none; the bypass opened beside them gives the zone the pressure of the supply.
pub fn water(elements: &[Element], stands: impl Fn(&Element) -> Stands) -> Vec<WaterAt> {
    let joins = joins(elements, &stands);
    let source = if elements.iter().any(|element| element.branch != Branch::Relief) {
        (SUPPLY, Reach::Supply)
    } else {
        (ZONE, Reach::Regulated)
    };
    let surely = reached(&joins, source, |join| join.surely);
    let maybe = reached(&joins, source, |join| join.maybe);
    let mut places: Vec<Place> = joins.iter().flat_map(|join| join.ends).collect();
    places.sort_unstable();
    places.dedup();
    let airs: Vec<Place> = elements
        .iter()
        .filter(|element| stands(element).surely_passes())
        .filter_map(open_to_air)
        .collect();
    places
        .into_iter()
        .map(|place| {
            let sure = surely.get(&place).copied().unwrap_or_default();
            let wet = match (sure, maybe.get(&place).copied().unwrap_or_default()) {
                (sure, may) if sure != may => Wet::NotKnown,
                (Reach::Nothing, _) => Wet::ShutOff,
                (Reach::Regulated, _) => Wet::Regulated,
                (Reach::Supply, _) => Wet::Supply,
            };
            WaterAt {
                part: place.0,
                branch: place.1,
                wet,
                to_air: airs.contains(&place) || place.0 == Part::Outfall,
                unguarded: place == ZONE && sure == Reach::Supply,
            }
        })
        .collect()
}

/// The parts where something else would stand if one element stood otherwise.
pub fn would(
    elements: &[Element],
    stands: impl Fn(&Element) -> Stands,
    moved: &str,
    to: Position,
) -> Vec<WaterAt> {
    let now = water(elements, &stands);
    let then = water(elements, |element| {
        if element.id == moved {
            Stands::So(to)
        } else {
            stands(element)
        }
    });
    then.into_iter().filter(|part| !now.contains(part)).collect()
}

/// Which pipe the valve in hand stands in: that of its control circuit.
pub fn own_branch(elements: &[Element]) -> Branch {
    elements
        .iter()
        .find(|element| element.side == Side::Control)
        .map_or(Branch::Main, |element| element.branch)
}

fn joins(elements: &[Element], stands: &impl Fn(&Element) -> Stands) -> Vec<Join> {
    let own = own_branch(elements);
    let mut joins: Vec<Join> = elements
        .iter()
        .filter_map(|element| {
            let ends = ends(element)?;
            let stands = stands(element);
            Some(Join {
                ends,
                surely: stands.surely_passes(),
                maybe: stands.may_pass(),
                regulates: false,
            })
        })
        .collect();
    let mut branches: Vec<Branch> = elements
        .iter()
        .filter(|element| element.side != Side::Zone)
        .map(|element| element.branch)
        .collect();
    branches.sort_unstable();
    branches.dedup();
    for branch in branches {
        if branch == Branch::Bypass {
            continue;
        }
        let always = |from: Place, to: Place, regulates| Join {
            ends: [from, to],
            surely: true,
            maybe: true,
            regulates,
        };
        let blocked = |side| {
            elements.iter().any(|element| {
                element.class == ElementClass::BlockValve && element.branch == branch && element.side == side
            })
        };
        if !blocked(Side::Upstream) {
            joins.push(always(head_of(branch), (Part::Inlet, branch), false));
        }
        if !blocked(Side::Downstream) {
            joins.push(always((Part::Outlet, branch), tail_of(branch), false));
        }
        joins.push(always((Part::Inlet, branch), (Part::Outlet, branch), true));
        if branch == own {
            joins.push(always((Part::Pilot, branch), (Part::PilotOutlet, branch), true));
        }
    }
    joins
}

/// The two places that an element joins when it is open.
fn ends(element: &Element) -> Option<[Place; 2]> {
    let at = |part| (part, element.branch);
    match (element.class, element.side, element.tap) {
        (ElementClass::BlockValve, Side::Upstream, _) => Some([head_of(element.branch), at(Part::Inlet)]),
        (ElementClass::BlockValve, Side::Downstream, _) => Some([at(Part::Outlet), tail_of(element.branch)]),
        (ElementClass::Bypass, ..) => Some([SUPPLY, ZONE]),
        (ElementClass::Cock, _, Some(Tap::Inlet)) => Some([at(Part::Inlet), at(Part::Pilot)]),
        (ElementClass::Cock, _, Some(Tap::Cover)) => Some([at(Part::Pilot), at(Part::Cover)]),
        (ElementClass::Cock, _, Some(Tap::Outlet)) => Some([at(Part::PilotOutlet), at(Part::Outlet)]),
        _ => None,
    }
}

/// Where an element lets water out when it is open.
fn open_to_air(element: &Element) -> Option<Place> {
    match (element.class, element.side) {
        (ElementClass::Hydrant, _) => Some(ZONE),
        (ElementClass::Vent, Side::Control) => Some((Part::Cover, element.branch)),
        (ElementClass::Vent, Side::Upstream) => Some((Part::Inlet, element.branch)),
        (ElementClass::Vent, _) => Some((Part::Outlet, element.branch)),
        _ => None,
    }
}

fn head_of(branch: Branch) -> Place {
    if branch == Branch::Relief { ZONE } else { SUPPLY }
}

fn tail_of(branch: Branch) -> Place {
    if branch == Branch::Relief {
        (Part::Outfall, branch)
    } else {
        ZONE
    }
}

/// How far pressure comes through the joins that pass.
fn reached(joins: &[Join], source: (Place, Reach), passes: impl Fn(&Join) -> bool) -> BTreeMap<Place, Reach> {
    let mut reached = BTreeMap::from([source]);
    loop {
        let mut further = false;
        for join in joins.iter().filter(|join| passes(join)) {
            let [one, other] = join.ends;
            let ways: &[(Place, Place)] = if join.regulates {
                &[(one, other)]
            } else {
                &[(one, other), (other, one)]
            };
            for &(from, to) in ways {
                let mut comes = reached.get(&from).copied().unwrap_or_default();
                if join.regulates {
                    comes = comes.min(Reach::Regulated);
                }
                let there = reached.entry(to).or_default();
                if comes > *there {
                    *there = comes;
                    further = true;
                }
            }
        }
        if !further {
            return reached;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::procedure::Procedures;

    /// What stands where with every element as in service, but for some.
    fn with(procedure: &str, but: &[(&str, Stands)]) -> Vec<WaterAt> {
        let procedures = Procedures::built_in().unwrap();
        let elements = &procedures.get(procedure).unwrap().elements;
        water(elements, |element| {
            but.iter()
                .find(|(id, _)| *id == element.id)
                .map_or(Stands::So(element.normal), |(_, stands)| *stands)
        })
    }

    fn at(all: &[WaterAt], part: Part, branch: Branch) -> Wet {
        let found = all.iter().find(|each| (each.part, each.branch) == (part, branch));
        found.unwrap().wet
    }

    const OPEN: Stands = Stands::So(Position::Open);
    const SHUT: Stands = Stands::So(Position::Shut);

    #[test]
    fn in_service_the_zone_has_what_the_valve_lets_through() {
        let all = with("reducing", &[]);
        assert_eq!(at(&all, Part::Inlet, Branch::Main), Wet::Supply);
        assert_eq!(at(&all, Part::Cover, Branch::Main), Wet::Supply);
        assert_eq!(at(&all, Part::Outlet, Branch::Main), Wet::Regulated);
        assert_eq!(at(&all, Part::Zone, Branch::Main), Wet::Regulated);
        assert!(all.iter().all(|each| !each.unguarded && !each.to_air));
    }

    #[test]
    fn with_both_block_valves_shut_nothing_reaches_the_valve() {
        let all = with(
            "reducing",
            &[("upstream_block", SHUT), ("downstream_block", SHUT)],
        );
        for part in [Part::Inlet, Part::Pilot, Part::Cover, Part::Outlet, Part::Zone] {
            assert_eq!(at(&all, part, Branch::Main), Wet::ShutOff, "{part:?}");
        }
    }

    #[test]
    fn an_open_bypass_gives_the_zone_the_supply_unguarded() {
        let all = with("reducing", &[("bypass", OPEN), ("downstream_block", SHUT)]);
        let zone = all.iter().find(|each| each.part == Part::Zone).unwrap();
        assert!(zone.unguarded);
        assert_eq!(zone.wet, Wet::Supply);
        assert_eq!(at(&all, Part::Outlet, Branch::Main), Wet::Regulated);
    }

    #[test]
    fn what_nobody_said_leaves_open_what_stands_behind_it() {
        let all = with("reducing", &[("upstream_block", Stands::NotKnown)]);
        assert_eq!(at(&all, Part::Supply, Branch::Main), Wet::Supply);
        for part in [Part::Inlet, Part::Outlet, Part::Zone] {
            assert_eq!(at(&all, part, Branch::Main), Wet::NotKnown, "{part:?}");
        }
        let bypass = with("reducing", &[("bypass", Stands::NotKnown)]);
        assert_eq!(at(&bypass, Part::Zone, Branch::Main), Wet::NotKnown);
        assert_eq!(at(&bypass, Part::Inlet, Branch::Main), Wet::Supply);
    }

    #[test]
    fn an_open_vent_is_told_where_it_lets_water_out() {
        let all = with(
            "reducing",
            &[("cover_vent", OPEN), ("hydrant", Stands::So(Position::Throttled))],
        );
        let open: Vec<Part> = all
            .iter()
            .filter(|each| each.to_air)
            .map(|each| each.part)
            .collect();
        assert_eq!(open, [Part::Cover, Part::Zone]);
    }

    #[test]
    fn a_zone_fed_by_the_valve_beside_comes_back_to_an_open_downstream_block() {
        let all = with("parallel_large", &[("large_upstream_block", SHUT)]);
        assert_eq!(at(&all, Part::Inlet, Branch::Large), Wet::ShutOff);
        assert_eq!(at(&all, Part::Outlet, Branch::Large), Wet::Regulated);
        let alone = with(
            "parallel_large",
            &[
                ("large_upstream_block", SHUT),
                ("low_flow_downstream_block", SHUT),
            ],
        );
        assert_eq!(at(&alone, Part::Outlet, Branch::Large), Wet::ShutOff);
    }

    #[test]
    fn a_relief_valve_takes_from_the_zone_and_ends_in_the_open() {
        let beside = with("large_with_relief", &[]);
        assert_eq!(at(&beside, Part::Inlet, Branch::Relief), Wet::Regulated);
        let alone = with("relief", &[("relief_block", SHUT)]);
        assert_eq!(at(&alone, Part::Zone, Branch::Main), Wet::Regulated);
        assert_eq!(at(&alone, Part::Inlet, Branch::Relief), Wet::ShutOff);
        assert!(alone.iter().any(|each| each.part == Part::Outfall && each.to_air));
        assert_eq!(
            own_branch(&Procedures::built_in().unwrap().get("relief").unwrap().elements),
            Branch::Relief
        );
    }

    #[test]
    fn what_an_element_would_change_is_told_before_it_is_moved() {
        let procedures = Procedures::built_in().unwrap();
        let elements = &procedures.get("reducing").unwrap().elements;
        let told = would(
            elements,
            |element| Stands::So(element.normal),
            "bypass",
            Position::Open,
        );
        let parts: Vec<_> = told
            .iter()
            .map(|each| (each.part, each.wet, each.unguarded))
            .collect();
        assert_eq!(
            parts,
            [
                (Part::PilotOutlet, Wet::Supply, false),
                (Part::Outlet, Wet::Supply, false),
                (Part::Zone, Wet::Supply, true),
            ],
            "past the valve into the zone, and back through the open downstream block"
        );
        assert!(
            would(
                elements,
                |element| Stands::So(element.normal),
                "bypass",
                Position::Shut
            )
            .is_empty()
        );
    }
}
