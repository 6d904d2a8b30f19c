//! SQL of the index, which lives in memory.

use super::{BEGINS, ENDS};
use crate::error::AppError;
use sqlx::sqlite::SqliteConnectOptions;
use sqlx::{ConnectOptions, SqliteConnection};

/// Letters with marks are found by those without (`remove_diacritics 2`); beginnings of two and three letters are
/// looked up as fast as whole words.
const TABLE: &str = "create virtual table lines using fts5(
    op unindexed, what, more, since, weight, card, tokenize = \"unicode61 remove_diacritics 2\", prefix = '2 3')";

/// An index of lines: a JSON list, each line a list of its op and its parts, in the order of the columns.
pub async fn filled(lines: &str) -> Result<SqliteConnection, AppError> {
    let mut conn = SqliteConnectOptions::new().in_memory(true).connect().await?;
    sqlx::query(TABLE).execute(&mut conn).await?;
    sqlx::query(
        "insert into lines (op, what, more, since, weight, card)
        select value ->> 0, value ->> 1, value ->> 2, value ->> 3, value ->> 4, value ->> 5
        from json_each(?)",
    )
    .bind(lines)
    .execute(&mut conn)
    .await?;
    Ok(conn)
}

/// A line that was found: its op, and its parts with the hits marked.
#[derive(sqlx::FromRow)]
pub struct Marked {
    pub op: String,
    pub what: String,
    pub more: String,
    pub since: String,
    pub card: String,
}

pub async fn matching(conn: &mut SqliteConnection, query: &str) -> Result<Vec<Marked>, AppError> {
    let rows = sqlx::query_as::<_, Marked>(
        "select op, highlight(lines, 1, ?1, ?2) as what, highlight(lines, 2, ?1, ?2) as more,
            highlight(lines, 3, ?1, ?2) as since, highlight(lines, 5, ?1, ?2) as card
        from lines
        where lines match ?3",
    )
    .bind(BEGINS.to_string())
    .bind(ENDS.to_string())
    .bind(query)
    .fetch_all(conn)
    .await?;
    Ok(rows)
}
