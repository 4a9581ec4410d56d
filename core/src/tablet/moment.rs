//! The clocks of a device.

use std::time::Instant;

/// One moment, as a device's clocks tell it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Moment {
    /// The wall clock with its offset, RFC 3339.
    pub at: String,
    /// Milliseconds since the program started, from a clock that never jumps.
    pub mono_ms: u64,
}

/// Where the time comes from: the device, or a test.
pub trait Clocks: Send + 'static {
    /// Now.
    fn now(&self) -> Moment;
}

/// The device's own clocks.
#[derive(Debug)]
pub struct DeviceClocks {
    began: Instant,
}

impl DeviceClocks {
    /// Clocks that count from now on.
    pub fn start() -> Self {
        Self {
            began: Instant::now(),
        }
    }
}

impl Clocks for DeviceClocks {
    fn now(&self) -> Moment {
        let now = jiff::Timestamp::now();
        let offset = jiff::tz::TimeZone::system().to_offset(now);
        Moment {
            at: now.display_with_offset(offset).to_string(),
            mono_ms: u64::try_from(self.began.elapsed().as_millis()).unwrap_or(u64::MAX),
        }
    }
}
