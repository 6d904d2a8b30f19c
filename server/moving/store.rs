//! SQL of exports: whole rows, whatever columns a table has.
//!
//! The statements are put together from names, which nowhere else is done: an export that named its columns would lose
//! each new one silently. Every name comes from `tables.rs` or from the database's own list of columns, never from a file.

use super::tables::{LOCAL, Of, Table, of_car, up_to};
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::CarId;
use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde_json::{Map, Value};
use sqlx::sqlite::SqliteRow;
use sqlx::{AssertSqlSafe, Column as _, Row as _, SqliteConnection, TypeInfo, ValueRef};
use std::collections::HashMap;

/// A row by its columns: text, whole numbers, null; other numbers as text, bytes as base64 (RFC 4648).
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
    pub is_key: bool,
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
        is_key,
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
        Of::Op { column } => format!("{column} in (select seq from ops where car_id = ?)"),
    }
}

/// The rows of a table that belong to a car, in the order in which they were entered.
pub async fn rows_of_car(conn: &mut SqliteConnection, table: &Table, car: CarId) -> Result<Vec<Row>, AppError> {
    let sql = format!("select * from {} where {} order by rowid", table.name, belongs(table));
    let rows = sqlx::query(AssertSqlSafe(sql)).bind(car).fetch_all(&mut *conn).await?;
    let mut out: Vec<Row> = rows.iter().map(|row| row_out(table.name, row)).collect::<Result<_, _>>()?;
    if let Of::Op { column } = table.of {
        for row in &mut out {
            name_operation(conn, column, row).await?;
        }
    }
    for column in up_to(table.name) {
        for row in &mut out {
            name_last_operation(conn, column, row, car).await?;
        }
    }
    Ok(out)
}

/// Puts the id of the car's last operation up to a number in the place of the number.
async fn name_last_operation(
    conn: &mut SqliteConnection,
    column: &str,
    row: &mut Row,
    car: CarId,
) -> Result<(), AppError> {
    let seq = row.get(column).and_then(Value::as_i64);
    let last = "select id from ops where car_id = ? and seq <= ? order by seq desc limit 1";
    let id: Option<String> = sqlx::query_scalar(last).bind(car).bind(seq).fetch_optional(conn).await?;
    row.insert(column.to_owned(), Value::String(id.unwrap_or_default()));
    Ok(())
}

/// Puts the id of an operation in the place of its number.
async fn name_operation(conn: &mut SqliteConnection, column: &str, row: &mut Row) -> Result<(), AppError> {
    let seq = row.get(column).and_then(Value::as_i64);
    let id: String = sqlx::query_scalar("select id from ops where seq = ?").bind(seq).fetch_one(conn).await?;
    row.insert(column.to_owned(), Value::String(id));
    Ok(())
}

/// A row with the number that its operation has here in the place of the operation's id.
pub async fn numbered(tx: &mut WriteTx, column: &str, row: &Row) -> Result<Row, AppError> {
    let id = row.get(column).and_then(Value::as_str).unwrap_or_default();
    let found = sqlx::query_scalar::<_, i64>("select seq from ops where id = ?").bind(id);
    let seq = found.fetch_optional(&mut **tx).await?;
    let seq = seq.ok_or_else(|| super::refused(format!("it speaks of an operation ‘{id}’ that is not in it")))?;
    let mut row = row.clone();
    row.insert(column.to_owned(), Value::from(seq));
    Ok(row)
}

/// A row with the numbers up to which operations were known, in the place of the last one's id.
pub async fn numbered_up_to(tx: &mut WriteTx, table: &str, row: &Row) -> Result<Row, AppError> {
    let mut out = row.clone();
    for column in up_to(table) {
        match row.get(column).and_then(Value::as_str) {
            None => {}
            Some("") => {
                out.insert(column.to_owned(), Value::from(0));
            }
            Some(_) => out = numbered(tx, column, &out).await?,
        }
    }
    Ok(out)
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
        // As text: every digit of it, whoever reads the JSON.
        "REAL" => Ok(Value::String(row.try_get::<f64, _>(at)?.to_string())),
        "BLOB" => Ok(Value::String(STANDARD.encode(row.try_get::<Vec<u8>, _>(at)?))),
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
    let kinds: HashMap<String, String> =
        columns(tx, table).await?.into_iter().map(|column| (column.name, column.kind)).collect();
    if let Some(stray) = row.keys().find(|name| !kinds.contains_key(*name)) {
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
    for (name, value) in row {
        let kind = kinds.get(name).map_or("", String::as_str);
        query = match value {
            Value::Null => query.bind(None::<String>),
            Value::String(text) if kind == "REAL" => {
                query.bind(text.parse::<f64>().map_err(|_| refused(table, &format!("‘{text}’ is no number")))?)
            }
            Value::String(text) if kind == "BLOB" => {
                query.bind(STANDARD.decode(text).map_err(|_| refused(table, &format!("‘{name}’ is no base64")))?)
            }
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::access::the_program_as;
    use crate::clock::Clock;
    use crate::ids::DeviceId;
    use serde_json::json;

    const MADE: [&str; 2] = [
        "create table sounds (sha256 text primary key, bytes blob not null, seconds real not null) strict",
        "insert into ops (seq, id, device_id, sent_by, hlc, car_id, subject_kind, subject_id, kind, body, body_hash, verdict, received_at)
         values (41, 'op', 'd', 'd', 'h', '01890a5d-ac96-774b-bcce-b302099a8057', 'car', 'c', 'note', '{}', '', 'applied', 1)",
    ];

    #[tokio::test]
    async fn bytes_numbers_and_what_hangs_on_an_operation_come_back_as_they_went_out() {
        let home = tempfile::tempdir().unwrap();
        let db = crate::db::open(&home.path().join("d.db"), &Clock::system()).await.unwrap();
        let mut tx = db.write.begin(&the_program_as(DeviceId::new())).await.unwrap();
        for sql in MADE {
            sqlx::query(sql).execute(&mut *tx).await.unwrap();
        }
        for seconds in ["0.1", "3", "1e-300", "123456789.12345679"] {
            let bytes = STANDARD.encode([0, 255, 10, 13]);
            let row = json!({ "sha256": seconds, "bytes": bytes, "seconds": seconds });
            add(&mut tx, "sounds", row.as_object().unwrap(), Known::Fault).await.unwrap();
        }
        let back = rows(&mut tx, "sounds").await.unwrap();
        assert!(back.iter().all(|row| row["bytes"] == "AP8KDQ=="), "{back:?}");
        let number = |row: &Row, name: &str| row[name].as_str().unwrap().parse::<f64>().unwrap().to_bits();
        assert!(back.iter().all(|row| number(row, "sha256") == number(row, "seconds")), "{back:?}");
        for (name, wrong) in [("seconds", "soon"), ("bytes", "???")] {
            let mut row = back[0].clone();
            row.insert(name.into(), json!(wrong));
            assert!(add(&mut tx, "sounds", &row, Known::Stays).await.is_err(), "{wrong}");
        }

        let out = json!({ "op_seq": "op", "words": "40 N·m" });
        let row = numbered(&mut tx, "op_seq", out.as_object().unwrap()).await.unwrap();
        assert_eq!(row["op_seq"], 41);
        add(&mut tx, "reached", &row, Known::Fault).await.unwrap();
        let table = Table::by_op("reached", "op_seq", "");
        let car = "01890a5d-ac96-774b-bcce-b302099a8057".parse().unwrap();
        assert_eq!(json!(rows_of_car(&mut tx, &table, car).await.unwrap()), json!([out]));
        assert!(rows_of_car(&mut tx, &table, CarId::new()).await.unwrap().is_empty());
        let stray = json!({ "op_seq": "none", "words": "" });
        assert!(numbered(&mut tx, "op_seq", stray.as_object().unwrap()).await.is_err());
    }
}
