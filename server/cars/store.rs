//! SQL of cars.

use crate::clock::Moment;
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::CarId;
use sqlx::SqliteConnection;

/// A car as it is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Car {
    pub id: CarId,
    pub name: String,
    pub make: String,
    pub model: String,
    pub year: Option<i64>,
    /// One `name: value` a line.
    pub codes: String,
    pub story: String,
    /// ISO 8601 day.
    pub wanted_on: Option<String>,
    pub wanted_for: String,
    /// The demo's car: its make, model and values are made up.
    pub invented: bool,
}

impl Car {
    /// The codes by name and value; a line without a colon has no name.
    pub fn code_lines(&self) -> Vec<(String, String)> {
        let lines = self.codes.lines().map(|line| line.split_once(':').unwrap_or(("", line)));
        lines.map(|(name, value)| (name.trim().to_owned(), value.trim().to_owned())).collect()
    }
}

/// What the form at the desk says of a car.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CarFacts {
    pub name: String,
    pub make: String,
    pub model: String,
    pub year: Option<i64>,
    pub codes: String,
    pub story: String,
    pub wanted_on: Option<String>,
    pub wanted_for: String,
}

pub async fn all(conn: &mut SqliteConnection) -> Result<Vec<Car>, AppError> {
    let rows = sqlx::query_as!(
        Car,
        r#"
        select id as "id: CarId", name, make, model, year, codes, story, wanted_on, wanted_for, invented as "invented: bool"
        from cars
        where gone_at is null
        order by made_at, id
        "#
    )
    .fetch_all(conn)
    .await?;
    Ok(rows)
}

pub async fn get(conn: &mut SqliteConnection, car: CarId) -> Result<Car, AppError> {
    let row = sqlx::query_as!(
        Car,
        r#"
        select id as "id: CarId", name, make, model, year, codes, story, wanted_on, wanted_for, invented as "invented: bool"
        from cars
        where id = ? and gone_at is null
        "#,
        car
    )
    .fetch_optional(conn)
    .await?;
    row.ok_or(AppError::NotFound("such car"))
}

pub async fn add(tx: &mut WriteTx, car: CarId, facts: &CarFacts, invented: bool, now: Moment) -> Result<(), AppError> {
    sqlx::query!(
        r#"
        insert into cars (id, name, make, model, year, codes, story, wanted_on, wanted_for, invented, made_at)
        values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
        "#,
        car,
        facts.name,
        facts.make,
        facts.model,
        facts.year,
        facts.codes,
        facts.story,
        facts.wanted_on,
        facts.wanted_for,
        invented,
        now.0,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

pub async fn change(tx: &mut WriteTx, car: CarId, facts: &CarFacts) -> Result<(), AppError> {
    let done = sqlx::query!(
        r#"
        update cars set name = ?, make = ?, model = ?, year = ?, codes = ?, story = ?, wanted_on = ?, wanted_for = ?
        where id = ? and gone_at is null
        "#,
        facts.name,
        facts.make,
        facts.model,
        facts.year,
        facts.codes,
        facts.story,
        facts.wanted_on,
        facts.wanted_for,
        car,
    )
    .execute(&mut **tx)
    .await?;
    if done.rows_affected() == 0 {
        return Err(AppError::NotFound("such car"));
    }
    Ok(())
}
