//! What a kept backup is called: which garage it is of, and when it was made.

use crate::clock::Moment;
use crate::ids::StoreId;
use jiff::Timestamp;
use std::fmt;
use std::str::FromStr;

const BEGINS: &str = "underlamp-";
const ENDS: &str = ".backup";
/// Added while it is still being written.
const PART: &str = ".part";
/// Basic format of ISO 8601, in UTC: sorts by age, and holds nothing that a file system refuses.
const WRITTEN: &str = "%Y%m%dT%H%M%SZ";
/// How much of the store's id stands in a name, from its end, where ids differ most.
const SERIES: usize = 12;

/// `underlamp-5e1a70008000-20261125T030000Z.backup`
///
/// Two garages may keep theirs in one place: only those of the same series are ever thinned out. A restored garage is
/// another store, and begins a series of its own.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Name {
    pub made_at: Moment,
    pub series: String,
}

impl Name {
    pub fn new(store: StoreId, now: Moment) -> Name {
        Name { series: series_of(store), made_at: Moment(now.0.div_euclid(1000) * 1000) }
    }

    /// What it is called until it is whole.
    pub fn part(&self) -> String {
        format!("{self}{PART}")
    }
}

/// What all backups of a garage have in common.
pub fn series_of(store: StoreId) -> String {
    let id = store.0.simple().to_string();
    id[id.len() - SERIES..].to_owned()
}

/// Whether a file is one that was left half-written by this garage.
pub fn is_part_of(file: &str, series: &str) -> bool {
    file.strip_suffix(PART).and_then(|name| name.parse::<Name>().ok()).is_some_and(|name| name.series == series)
}

impl fmt::Display for Name {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{BEGINS}{}-{}{ENDS}", self.series, self.made_at.timestamp().strftime(WRITTEN))
    }
}

/// The name is none of ours.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct NoName;

impl FromStr for Name {
    type Err = NoName;

    fn from_str(file: &str) -> Result<Name, NoName> {
        let inner = file.strip_prefix(BEGINS).and_then(|rest| rest.strip_suffix(ENDS)).ok_or(NoName)?;
        let (series, made) = inner.split_once('-').ok_or(NoName)?;
        if series.len() != SERIES || !series.bytes().all(|digit| matches!(digit, b'0'..=b'9' | b'a'..=b'f')) {
            return Err(NoName);
        }
        let civil = jiff::civil::DateTime::strptime(WRITTEN, made).map_err(|_| NoName)?;
        let at: Timestamp = civil.to_zoned_datetime(jiff::tz::TimeZone::UTC).map_err(|_| NoName)?.timestamp();
        Ok(Name { series: series.to_owned(), made_at: Moment(at.as_millisecond()) })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const EVENING: Moment = Moment(1_795_629_600_123);

    #[test]
    fn a_name_says_when_it_was_made_and_is_read_back() {
        let store: StoreId = "01890a5d-ac96-774b-bcce-b302099a8057".parse().unwrap();
        let name = Name::new(store, EVENING);
        assert_eq!(name.to_string(), "underlamp-b302099a8057-20261125T180000Z.backup");
        assert_eq!(name.to_string().parse(), Ok(name.clone()));
        assert_eq!(name.made_at, Moment(1_795_629_600_000));
        assert!(is_part_of(&name.part(), "b302099a8057"));
        assert!(!is_part_of(&name.to_string(), "b302099a8057"));
        assert!(!is_part_of(&name.part(), "b302099a8058"));
    }

    #[test]
    fn what_somebody_else_keeps_there_is_no_backup_of_ours() {
        for file in [
            "holiday.jpg",
            "underlamp-.backup",
            "underlamp-b302099a8057-20261125T180000Z.backup.part",
            "underlamp-b302099a8057-20261325T180000Z.backup",
            "underlamp-B302099A8057-20261125T180000Z.backup",
            "underlamp-b302099a8057-yesterday.backup",
            "copy of underlamp-b302099a8057-20261125T180000Z.backup",
            "../underlamp-b302099a8057-20261125T180000Z.backup",
        ] {
            assert_eq!(file.parse::<Name>(), Err(NoName), "{file}");
        }
    }
}
