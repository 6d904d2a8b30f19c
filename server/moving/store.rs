//! SQL of exports: whole rows, whatever columns a table has.
//!
//! The statements are put together from names, which nowhere else is done: an export that named its columns would lose
//! each new one silently. Every name comes from `tables.rs` or from the database's own list of columns, never from a file.

use super::tables::{LOCAL, Of, Table, of_car};
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::CarId;
use serde_json::{Map, Value};
use sqlx::sqlite::SqliteRow;
use sqlx::{AssertSqlSafe, Column as _, Row as _, SqliteConnection, TypeInfo, ValueRef};
use std::collections::HashSet;

/// A row by its columns: text, whole numbers, null.
pub type Row = Map<String, Value>;

/// A column as the database knows it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Column {
    pub name: String,
    /// As it was declared: `TEXT`, `INTEGER`.
    pub kind: String,
    /// It has a value in every row, and none is made up where it is left out.
    pub is_needed: bool,
    pub may_be_null: bool,
}

/// The tables that the database has.
pub async fn tables(conn: &mut SqliteConnection) -> Result<Vec<String>, AppError> {
    let names = sqlx::query_scalar("select name from sqlite_schema where type = 'table' order by name");
    Ok(names.fetch_all(conn).await?)
}

/// The columns of a table that go out, in their order.
pub async fn columns(conn: &mut SqliteConnection, table: &str) -> Result<Vec<Column>, AppError> {
    type Told = (String, String, bool, bool, bool);
    let told: Vec<Told> = sqlx::query_as(
        r#"select name, upper(type), "notnull", dflt_value is not null, pk > 0 from pragma_table_info(?)"#,
    )
    .bind(table)
    .fetch_all(conn)
    .await?;
    let goes_out = |name: &str| !LOCAL.contains(&(table, name));
    let column = |(name, kind, not_null, has_default, is_key): Told| Column {
        is_needed: (not_null || is_key) && !has_default,
        may_be_null: !not_null && !is_key,
        name,
        kind,
    };
    Ok(told.into_iter().filter(|(name, ..)| goes_out(name)).map(column).collect())
}

/// The condition under which a row belongs to the car whose id is bound.
fn belongs(table: &Table) -> String {
    match table.of {
        Of::Car { column } => format!("{column} = ?"),
        Of::Row { column, table } => {
            let above = of_car(table).map_or_else(|| "false".to_owned(), belongs);
            format!("{column} in (select id from {table} where {above})")
        }
    }
}

/// The rows of a table that belong to a car, in the order in which they were entered.
pub async fn rows_of_car(conn: &mut SqliteConnection, table: &Table, car: CarId) -> Result<Vec<Row>, AppError> {
    let sql = format!("select * from {} where {} order by rowid", table.name, belongs(table));
    let rows = sqlx::query(AssertSqlSafe(sql)).bind(car).fetch_all(conn).await?;
    rows.iter().map(|row| row_out(table.name, row)).collect()
}

/// All rows of a table, in the order in which they were entered.
pub async fn rows(conn: &mut SqliteConnection, table: &'static str) -> Result<Vec<Row>, AppError> {
    let sql = format!("select * from {table} order by rowid");
    let rows = sqlx::query(AssertSqlSafe(sql)).fetch_all(conn).await?;
    rows.iter().map(|row| row_out(table, row)).collect()
}

fn row_out(table: &str, row: &SqliteRow) -> Result<Row, AppError> {
    let mut out = Row::new();
    for column in row.columns().iter().filter(|column| !LOCAL.contains(&(table, column.name()))) {
        out.insert(column.name().to_owned(), value_out(row, column.ordinal())?);
    }
    Ok(out)
}

fn value_out(row: &SqliteRow, at: usize) -> Result<Value, AppError> {
    let raw = row.try_get_raw(at)?;
    if raw.is_null() {
        return Ok(Value::Null);
    }
    match raw.type_info().name() {
        "TEXT" => Ok(Value::String(row.try_get(at)?)),
        "INTEGER" => Ok(Value::from(row.try_get::<i64, _>(at)?)),
        other => Err(AppError::internal(format!("an export cannot hold a value of the kind {other}"))),
    }
}

/// What becomes of a row whose key is here already.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Known {
    /// It is a fault.
    Fault,
    /// The one that is here stays.
    Stays,
}

/// Adds a row. Answers whether it was added.
///
/// # Errors
/// A column that the table does not have, or a value that it refuses.
pub async fn add(tx: &mut WriteTx, table: &'static str, row: &Row, known: Known) -> Result<bool, AppError> {
    let names: HashSet<String> = columns(tx, table).await?.into_iter().map(|column| column.name).collect();
    if let Some(stray) = row.keys().find(|name| !names.contains(*name)) {
        return Err(refused(table, &format!("it has no column ‘{stray}’")));
    }
    let listed: Vec<&str> = row.keys().map(String::as_str).collect();
    let places = vec!["?"; listed.len()].join(", ");
    let if_known = match known {
        Known::Fault => "",
        Known::Stays => " on conflict do nothing",
    };
    let sql = format!("insert into {table} ({}) values ({places}){if_known}", listed.join(", "));
    let mut query = sqlx::query(AssertSqlSafe(sql));
    for value in row.values() {
        query = match value {
            Value::Null => query.bind(None::<String>),
            Value::String(text) => query.bind(text.clone()),
            Value::Number(number) if number.is_i64() => query.bind(number.as_i64()),
            other => return Err(refused(table, &format!("{other} is neither text nor a whole number"))),
        };
    }
    let done = query.execute(&mut **tx).await.map_err(|cause| match cause.as_database_error() {
        Some(said) if !matches!(said.kind(), sqlx::error::ErrorKind::Other) => refused(table, said.message()),
        _ => strict(table, cause),
    })?;
    Ok(done.rows_affected() == 1)
}

/// SQLite's code for a value of the wrong type in a STRICT table (sqlite.org/rescode.html).
const WRONG_TYPE: &str = "3091";

fn strict(table: &str, cause: sqlx::Error) -> AppError {
    let said = cause.as_database_error().filter(|said| said.code().as_deref() == Some(WRONG_TYPE));
    match said.map(|said| said.message().to_owned()) {
        Some(said) => refused(table, &said),
        None => cause.into(),
    }
}

fn refused(table: &str, why: &str) -> AppError {
    super::refused(format!("a row of ‘{table}’ cannot be taken in ({why})"))
}

/// Whether a car of this id is or was here.
pub async fn is_known(conn: &mut SqliteConnection, car: CarId) -> Result<bool, AppError> {
    let found: Option<i64> =
        sqlx::query_scalar("select 1 from cars where id = ?").bind(car).fetch_optional(conn).await?;
    Ok(found.is_some())
}
