//! What is typed on the page of a paste: the text, what its columns hold, what all rows share, and every row.

use super::columns::Column;
use super::draft::{Common, Draft};
use super::table::MOST_ROWS;
use crate::error::AppError;
use serde::Deserialize;

/// Lists of equal length hold the rows, a field each.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct PasteForm {
    pub text: String,
    #[serde(default)]
    pub source: String,
    #[serde(default)]
    pub citation: String,
    #[serde(default)]
    pub page: String,
    #[serde(default)]
    pub system: String,
    #[serde(default)]
    pub kind: String,
    /// Names of columns; none before the text was looked at.
    #[serde(default)]
    pub column: Vec<String>,
    /// `look` anew, or `save`.
    #[serde(default)]
    pub deed: String,
    /// Places of the rows that are to be saved, from 0.
    #[serde(default)]
    keep: Vec<usize>,
    /// Places of the rows whose cells were too many or too few.
    #[serde(default)]
    slipped: Vec<usize>,
    #[serde(default)]
    row_system: Vec<String>,
    #[serde(default)]
    row_item: Vec<String>,
    #[serde(default)]
    row_place: Vec<String>,
    #[serde(default)]
    row_kind: Vec<String>,
    #[serde(default)]
    row_value: Vec<String>,
    #[serde(default)]
    row_thread: Vec<String>,
    #[serde(default)]
    row_class: Vec<String>,
    #[serde(default)]
    row_head: Vec<String>,
    #[serde(default)]
    row_count: Vec<String>,
    #[serde(default)]
    row_note: Vec<String>,
    #[serde(default)]
    row_page: Vec<String>,
}

impl PasteForm {
    pub fn is_to_be_saved(&self) -> bool {
        self.deed == "save"
    }

    pub fn common(&self) -> Common {
        let kind = if self.kind.is_empty() { "text" } else { &self.kind };
        Common {
            system: self.system.clone(),
            kind: kind.to_owned(),
            source: self.source.clone(),
            citation: self.citation.clone(),
            page: self.page.clone(),
        }
    }

    /// What the columns were said to hold; `None` while nobody said, or where the text has other columns now.
    pub fn columns(&self, width: usize) -> Option<Vec<Column>> {
        let named: Vec<Column> = self.column.iter().filter_map(|name| Column::from_name(name)).collect();
        (named.len() == width).then_some(named)
    }

    /// The rows as they were changed on the page. Errors where the form was not sent whole.
    pub fn rows(&self) -> Result<Vec<Draft>, AppError> {
        let lists = [
            &self.row_system,
            &self.row_place,
            &self.row_kind,
            &self.row_value,
            &self.row_thread,
            &self.row_class,
            &self.row_head,
            &self.row_count,
            &self.row_note,
            &self.row_page,
        ];
        let count = self.row_item.len();
        if count > MOST_ROWS || lists.iter().any(|list| list.len() != count) {
            return Err(AppError::Invalid(
                "malformed",
                "The table came in only in part. Go back and send it again.".into(),
            ));
        }
        let row = |at: usize| Draft {
            kept: self.keep.contains(&at),
            system: self.row_system[at].clone(),
            item: self.row_item[at].clone(),
            place: self.row_place[at].clone(),
            kind: self.row_kind[at].clone(),
            value: self.row_value[at].clone(),
            thread: self.row_thread[at].clone(),
            class: self.row_class[at].clone(),
            head: self.row_head[at].clone(),
            count: self.row_count[at].clone(),
            note: self.row_note[at].clone(),
            page: self.row_page[at].clone(),
            slipped: self.slipped.contains(&at),
        };
        Ok((0..count).map(row).collect())
    }
}
