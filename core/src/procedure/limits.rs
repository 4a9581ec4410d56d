//! The rules and limits of the trade, each with where it comes from. Defaults: an owner may change them.

/// Where a limit comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Source {
    /// A published rule, by its name.
    Published(&'static str),
    /// Common practice, no source.
    CommonPractice,
}

/// A number with where it comes from.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Limit {
    /// The number, in the unit its documentation names.
    pub value: f64,
    /// Where it comes from.
    pub source: Source,
}

const fn published(value: f64, name: &'static str) -> Limit {
    Limit {
        value,
        source: Source::Published(name),
    }
}

const fn practice(value: f64) -> Limit {
    Limit {
        value,
        source: Source::CommonPractice,
    }
}

/// Least oxygen in the air, percent by volume.
pub const OXYGEN_LEAST: Limit = published(19.5, "OSHA 29 CFR 1910.146(b)");

/// Most oxygen in the air, percent by volume.
pub const OXYGEN_MOST: Limit = published(23.5, "OSHA 29 CFR 1910.146(b)");

/// Most flammable gas in the air, percent of the lower flammable limit.
pub const FLAMMABLE_MOST: Limit = published(10.0, "OSHA 29 CFR 1910.146(b)");

/// Most carbon monoxide in the air, ppm. Selectable: OSHA's limits differ by industry.
pub const CARBON_MONOXIDE_MOST: Limit = published(35.0, "NIOSH REL");

/// Most hydrogen sulphide in the air, ppm. Selectable: OSHA's limits differ by industry.
pub const HYDROGEN_SULPHIDE_MOST: Limit = published(10.0, "NIOSH REL");

/// Least pressure at ground level at all flows, psi. Below it anywhere: log time and depth, tell the operator.
pub const ZONE_LEAST: Limit = published(
    20.0,
    "Ten States Standards 8.2.1 (section number from memory, confirm)",
);

/// Least normal working pressure, psi.
pub const WORKING_LEAST: Limit = published(
    35.0,
    "Ten States Standards 8.2.1 (section number from memory, confirm)",
);

/// The usual working pressure begins here, psi.
pub const WORKING_USUAL_LOW: Limit = published(
    60.0,
    "Ten States Standards 8.2.1 (section number from memory, confirm)",
);

/// The usual working pressure ends here, psi.
pub const WORKING_USUAL_HIGH: Limit = published(
    80.0,
    "Ten States Standards 8.2.1 (section number from memory, confirm)",
);

/// Most static pressure inside buildings, psi.
pub const BUILDING_MOST: Limit = published(
    80.0,
    "plumbing codes: IPC 604.8, UPC 608.2 (section numbers from memory, confirm)",
);

/// A low-flow valve is set above its large valve by this, psi (5 to 10).
pub const LOW_FLOW_ABOVE_LARGE: Limit = practice(5.0);

/// A relief valve is set above the highest reducing set point by this, psi (15 to 20), and below the pipe's
/// limit at relieving flow.
pub const RELIEF_ABOVE_REDUCING: Limit = practice(15.0);

/// Most velocity in the valve for good, ft/s.
pub const VELOCITY_MOST: Limit = practice(20.0);

/// A set point stays this part of the spring's range away from either end.
pub const SPRING_MARGIN: Limit = practice(0.10);

/// The largest move while the station is isolated and far off, turns.
pub const MOVE_ISOLATED_MOST: Limit = practice(0.5);

/// The largest move with the zone on line, psi. Then wait.
pub const MOVE_ON_LINE_MOST: Limit = practice(5.0);

/// From this ratio of inlet to outlet (absolute pressures) up, look closer for cavitation. Sigma against the
/// valve's own limit decides.
pub const CAVITATION_LOOK_FROM: Limit = practice(2.0);

/// A gauge is read from this part of its span up.
pub const GAUGE_READ_FROM: Limit = practice(0.25);

/// A gauge is read up to this part of its span.
pub const GAUGE_READ_TO: Limit = practice(0.75);

/// Tolerance on the set point, psi, where the request names none: this or [`TOLERANCE_PART`], the larger.
pub const TOLERANCE: Limit = practice(2.0);

/// Tolerance on the set point as a part of it. Capped at [`TOLERANCE`] for valves set in a stagger.
pub const TOLERANCE_PART: Limit = practice(0.05);

/// A vented volume reads no more than this either way, psi: what a needle's rest and parallax make of zero.
pub const VENTED_WITHIN: Limit = practice(0.5);

/// Rigid, air-free trapped water gains about this near 15 degC, psi per degree F.
pub const WARMING_GAIN: Limit = practice(25.0);
