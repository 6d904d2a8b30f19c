//! What the page of a paste shows.

use super::columns::Column;
use super::draft::{Common, Doubts, Draft};
use super::form::PasteForm;
use super::table::Table;
use crate::ids::CarId;
use crate::specs::model::Spec;
use crate::specs::views::{SourceChoice, kind_choices, source_choices, system_choices};
use crate::web::form::Choice;
use crate::web::page::Page;
use crate::web::words;
use askama::Template;

/// A row with its doubts.
pub struct RowView {
    pub at: usize,
    pub number: usize,
    pub draft: Draft,
    pub doubts: Doubts,
    pub systems: Vec<Choice>,
    pub kinds: Vec<Choice>,
}

/// A column with what it is taken for.
pub struct ColumnView {
    pub name: String,
    pub example: String,
    pub choices: Vec<Choice>,
}

#[derive(Template)]
#[template(path = "specs/paste.html")]
pub struct PastePage {
    page: Page,
    book: String,
    form: PasteForm,
    sources: Vec<SourceChoice>,
    systems: Vec<Choice>,
    kinds: Vec<Choice>,
    columns: Vec<ColumnView>,
    rows: Vec<RowView>,
    split: &'static str,
    aside: Vec<String>,
    /// Why nothing was read or saved; empty when there is nothing to say.
    trouble: String,
    /// The row at which saving stopped, in words.
    stopped: Vec<String>,
}

impl PastePage {
    pub fn new(page: Page, car: CarId, form: PasteForm) -> PastePage {
        let Common { system, kind, source, .. } = form.common();
        PastePage {
            page,
            book: format!("/cars/{car}/specs"),
            sources: source_choices(&source),
            systems: system_choices(&system),
            kinds: kind_choices(&kind),
            form,
            columns: Vec::new(),
            rows: Vec::new(),
            split: "",
            aside: Vec::new(),
            trouble: String::new(),
            stopped: Vec::new(),
        }
    }

    pub fn troubled(self, trouble: String) -> PastePage {
        PastePage { trouble, ..self }
    }

    /// With the table taken apart, and each row as it would be saved.
    pub fn looked_at(self, table: &Table, columns: &[Column], rows: Vec<Draft>, book: &[Spec]) -> PastePage {
        let common = self.form.common();
        let views = columns.iter().enumerate().map(|(at, column)| ColumnView {
            name: table
                .header
                .as_ref()
                .and_then(|names| names.get(at))
                .cloned()
                .unwrap_or_else(|| format!("column {}", at + 1)),
            example: table
                .rows
                .iter()
                .find_map(|row| row.get(at).filter(|cell| !cell.is_empty()))
                .cloned()
                .unwrap_or_default(),
            choices: Column::ALL.iter().map(|one| Choice::new(one.name(), one.label(), one == column)).collect(),
        });
        let columns = views.collect();
        let rows: Vec<RowView> =
            rows.into_iter().enumerate().map(|(at, draft)| row_view(at, draft, &common, book)).collect();
        let stopped = rows
            .iter()
            .filter(|row| self.form.is_to_be_saved() && row.draft.kept && !row.doubts.stops.is_empty())
            .map(|row| format!("Row {}: {}", row.number, row.doubts.stops.join(" ")))
            .collect();
        PastePage { columns, split: table.split.words(), aside: table.aside.clone(), stopped, rows, ..self }
    }

    fn found(&self) -> String {
        words::count(self.rows.len(), "row", "rows")
    }
}

fn row_view(at: usize, mut draft: Draft, common: &Common, book: &[Spec]) -> RowView {
    let doubts = draft.doubts(common, book);
    // What cannot be saved is not offered as if it could.
    draft.kept = draft.kept && (doubts.stops.is_empty() || !draft.slipped);
    RowView {
        at,
        number: at + 1,
        systems: system_choices(&draft.system),
        kinds: kind_choices(&draft.kind),
        doubts,
        draft,
    }
}
