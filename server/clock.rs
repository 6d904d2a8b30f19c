//! The only place that reads the time. Everything else is handed a `Clock`, so that tests can set it.

use std::sync::Arc;
use std::sync::atomic::{AtomicI64, Ordering};

/// Whole milliseconds since 1970-01-01 UTC.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize, serde::Deserialize)]
#[serde(transparent)]
pub struct Moment(pub i64);

impl Moment {
    pub const fn plus_minutes(self, minutes: i64) -> Moment {
        Moment(self.0 + minutes * 60_000)
    }

    pub const fn plus_days(self, days: i64) -> Moment {
        self.plus_minutes(days * 24 * 60)
    }

    /// As a timestamp; moments outside the calendar's range become its nearest end.
    pub fn timestamp(self) -> jiff::Timestamp {
        jiff::Timestamp::from_millisecond(self.0).unwrap_or(if self.0 < 0 {
            jiff::Timestamp::MIN
        } else {
            jiff::Timestamp::MAX
        })
    }

    /// As files carry it; moments before 1970 become 1970.
    pub fn system_time(self) -> std::time::SystemTime {
        let since = std::time::Duration::from_millis(u64::try_from(self.0).unwrap_or(0));
        std::time::UNIX_EPOCH + since
    }

    /// The last millisecond of a day in the garage's own time zone; `None` where the calendar ends.
    pub fn end_of(day: jiff::civil::Date) -> Option<Moment> {
        let midnight = day.tomorrow().ok()?.to_zoned_datetime(jiff::tz::TimeZone::system()).ok()?;
        Some(Moment(midnight.timestamp().as_millisecond() - 1))
    }

    /// In the garage's own time zone.
    pub fn local(self) -> jiff::ZonedDateTime {
        self.timestamp().to_zoned_datetime(jiff::tz::TimeZone::system())
    }
}

/// A source of the present moment.
#[derive(Clone)]
pub struct Clock(Source);

#[derive(Clone)]
enum Source {
    System,
    Set(Arc<AtomicI64>),
}

impl Clock {
    pub fn system() -> Clock {
        Clock(Source::System)
    }

    /// A clock that stands still until it is moved with `set`.
    pub fn standing_at(moment: Moment) -> Clock {
        Clock(Source::Set(Arc::new(AtomicI64::new(moment.0))))
    }

    /// Moves a standing clock; the system's clock is left alone.
    pub fn set(&self, moment: Moment) {
        if let Source::Set(at) = &self.0 {
            at.store(moment.0, Ordering::SeqCst);
        }
    }

    pub fn now(&self) -> Moment {
        match &self.0 {
            Source::System => Moment(jiff::Timestamp::now().as_millisecond()),
            Source::Set(at) => Moment(at.load(Ordering::SeqCst)),
        }
    }
}
