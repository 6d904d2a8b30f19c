//! What became of the backups: a small file of the data folder, outside the database, so that it is there to tell when
//! the database is what is ill.

use super::settings::{read_json, write_json};
use crate::clock::Moment;
use crate::config::DataFolder;
use crate::error::StartError;
use serde::{Deserialize, Serialize};

#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub struct Record {
    /// The last one that was made, by hand or by itself, and found whole.
    pub good: Option<Good>,
    /// When the last one was made by itself.
    pub by_itself_at: Option<Moment>,
    /// What went wrong since.
    pub trouble: Option<Failed>,
    /// How often in a row.
    pub failures: u32,
    /// How many are kept, and the oldest, as of the last good one that was made by itself.
    pub kept: usize,
    pub oldest: Option<Moment>,
    /// Why older ones could not be thinned out after the last good one.
    pub untidy: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Good {
    pub at: Moment,
    pub place: String,
    pub bytes: u64,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Failed {
    pub at: Moment,
    pub say: String,
}

impl Record {
    /// After a good one that was made by itself.
    pub fn made(good: Good) -> Record {
        Record { by_itself_at: Some(good.at), good: Some(good), ..Record::default() }
    }

    pub fn load(folder: &DataFolder) -> Result<Record, StartError> {
        Ok(read_json(&folder.backup_record())?.unwrap_or_default())
    }

    pub fn save(&self, folder: &DataFolder) -> Result<(), StartError> {
        write_json(&folder.backup_record(), self)
    }
}
