//! Times as loggers write them.

use jiff::civil::{Date, DateTime, Time};

/// A time as a cell says it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum When {
    /// With an offset: a moment.
    Moment(jiff::Timestamp),
    /// By the clock on the spot, with no word on its offset.
    Local(DateTime),
    /// By the clock on the spot, but day and month might change places: as if the day came first, and the month.
    Either {
        /// Day before month.
        day_first: Option<DateTime>,
        /// Month before day.
        month_first: Option<DateTime>,
    },
    /// Seconds since something.
    Elapsed(f64),
}

impl When {
    /// Seconds since the epoch, or since whatever it is counted from. None where the order of day and month that was said
    /// does not fit.
    pub fn seconds(self, day_first: bool) -> Option<f64> {
        let local = |at: DateTime| {
            let moment = at.to_zoned_datetime(jiff::tz::TimeZone::UTC).ok()?.timestamp();
            Some(seconds(moment))
        };
        match self {
            Self::Moment(at) => Some(seconds(at)),
            Self::Local(at) => local(at),
            Self::Either {
                day_first: by_day,
                month_first,
            } => local(if day_first { by_day? } else { month_first? }),
            Self::Elapsed(s) => Some(s),
        }
    }

    /// Whether the clock's offset is not known.
    pub fn is_local(self) -> bool {
        matches!(self, Self::Local(_) | Self::Either { .. })
    }
}

#[expect(
    clippy::cast_precision_loss,
    reason = "a microsecond in a year needs 45 bits of the 53"
)]
fn seconds(at: jiff::Timestamp) -> f64 {
    at.as_microsecond() as f64 / 1e6
}

/// Reads a time: ISO 8601 with or without an offset, `25.11.2025 10:00:05`, `11/25/2025 10:00 PM`, or a plain number of
/// seconds. None for anything else.
pub fn when(cell: &str) -> Option<When> {
    let cell = cell.trim();
    if !cell.starts_with(|first: char| first.is_ascii_digit() || first == '-') {
        return None;
    }
    let digits = cell.bytes().take_while(u8::is_ascii_digit).count();
    let separator = cell.as_bytes().get(digits).copied();
    match (digits, separator) {
        (4, Some(b'-' | b'/' | b'.')) => iso(cell),
        (1 | 2, Some(b'/' | b'-')) => parted(cell, digits),
        (1 | 2, Some(b'.')) if cell.matches('.').count() >= 2 => parted(cell, digits),
        _ => super::number::number(cell).map(When::Elapsed),
    }
}

fn iso(cell: &str) -> Option<When> {
    let (date, clock) = parts(cell);
    if let Some(clock) = clock {
        let has_offset =
            clock.ends_with(['Z', 'z']) || clock.bytes().skip(5).any(|byte| matches!(byte, b'+' | b'-'));
        if has_offset {
            return cell.replacen(' ', "T", 1).parse().ok().map(When::Moment);
        }
    }
    let mut numbers = date.split(['-', '/', '.']);
    let (year, month, day) = (numbers.next()?, numbers.next()?, numbers.next()?);
    if numbers.next().is_some() {
        return None;
    }
    let date = Date::new(year.parse().ok()?, month.parse().ok()?, day.parse().ok()?).ok()?;
    Some(When::Local(date.to_datetime(time(clock)?)))
}

/// Day, month and year, with two digits or four, then a clock.
fn parted(cell: &str, digits: usize) -> Option<When> {
    let by_points = cell.as_bytes().get(digits) == Some(&b'.');
    let (date, clock) = parts(cell);
    let mut numbers = date.split(['/', '-', '.']);
    let (one, two, year) = (numbers.next()?, numbers.next()?, numbers.next()?);
    if numbers.next().is_some() {
        return None;
    }
    let (one, two): (i8, i8) = (one.parse().ok()?, two.parse().ok()?);
    let year: i16 = match year.len() {
        2 => year.parse::<i16>().ok()? + 2000,
        4 => year.parse().ok()?,
        _ => return None,
    };
    let time = time(clock)?;
    let at = |day, month| Some(Date::new(year, month, day).ok()?.to_datetime(time));
    let (day_first, month_first) = (at(one, two), at(two, one));
    if by_points {
        // With points the day comes first everywhere.
        return day_first.map(When::Local);
    }
    if day_first.is_none() && month_first.is_none() {
        return None;
    }
    Some(When::Either {
        day_first,
        month_first,
    })
}

fn parts(cell: &str) -> (&str, Option<&str>) {
    cell.split_once([' ', 'T', 't'])
        .map_or((cell, None), |(date, clock)| (date, Some(clock.trim())))
}

/// `10:00`, `10:00:05.25`, `10:00:05,25`, `10:00 PM`. Midnight where there is none.
fn time(clock: Option<&str>) -> Option<Time> {
    let Some(clock) = clock.filter(|clock| !clock.is_empty()) else {
        return Some(Time::midnight());
    };
    let upper = clock.trim_end().to_ascii_uppercase();
    let half = ["AM", "PM"].into_iter().find(|half| upper.ends_with(half));
    let digits = half.map_or(upper.as_str(), |half| {
        upper[..upper.len() - half.len()].trim_end()
    });
    let mut parts = digits.split(':');
    let hour: i8 = parts.next()?.trim().parse().ok()?;
    let minute: i8 = parts.next()?.parse().ok()?;
    let (second, nanosecond) = match parts.next() {
        None => (0, 0),
        Some(seconds) => {
            let (whole, part) = seconds.split_once(['.', ',']).unwrap_or((seconds, "0"));
            if part.is_empty() || part.len() > 9 {
                return None;
            }
            let scale = 10_i32.pow(u32::try_from(9 - part.len()).ok()?);
            (whole.parse().ok()?, part.parse::<i32>().ok()?.checked_mul(scale)?)
        }
    };
    if parts.next().is_some() {
        return None;
    }
    let hour = match half {
        Some("AM") if hour == 12 => 0,
        Some("PM") if hour < 12 => hour + 12,
        _ => hour,
    };
    Time::new(hour, minute, second, nanosecond).ok()
}
