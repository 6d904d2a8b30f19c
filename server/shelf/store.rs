//! SQL of parts.

use crate::clock::Moment;
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::{CarId, PartId};
use crate::sync::wire::Act;
use crate::trade::closed_set::closed_set;
use sqlx::SqliteConnection;

closed_set! {
    /// Where a part is.
    pub enum PartState {
        Wanted = "wanted", "wanted";
        Ordered = "ordered", "ordered";
        Here = "here", "here";
        Fitted = "fitted", "fitted";
        SentBack = "sent-back", "sent back";
    }
}

impl PartState {
    /// True while a job that needs the part would stop for want of it.
    pub fn is_missing(self) -> bool {
        matches!(self, PartState::Wanted | PartState::Ordered | PartState::SentBack)
    }
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartFacts {
    pub name: String,
    pub number: String,
    pub supplier: String,
    pub quantity: String,
    pub state: PartState,
    /// In hundredths of the currency.
    pub price_minor: Option<i64>,
    pub currency: String,
    /// ISO 8601 day.
    pub expected_on: Option<String>,
    pub note: String,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    pub id: PartId,
    pub facts: PartFacts,
    pub rev: i64,
}

struct PartRow {
    id: PartId,
    name: String,
    number: String,
    supplier: String,
    quantity: String,
    state: String,
    price_minor: Option<i64>,
    currency: String,
    expected_on: Option<String>,
    note: String,
    rev: i64,
}

impl PartRow {
    fn read(self) -> Result<Part, AppError> {
        let state = PartState::from_name(&self.state)
            .ok_or_else(|| AppError::internal(format!("parts.state of {} holds nothing that is known", self.id)))?;
        let facts = PartFacts {
            name: self.name,
            number: self.number,
            supplier: self.supplier,
            quantity: self.quantity,
            state,
            price_minor: self.price_minor,
            currency: self.currency,
            expected_on: self.expected_on,
            note: self.note,
        };
        Ok(Part { id: self.id, facts, rev: self.rev })
    }
}

pub async fn of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<Part>, AppError> {
    let rows = sqlx::query_as!(
        PartRow,
        r#"
        select id as "id: PartId", name, number, supplier, quantity, state, price_minor, currency, expected_on, note, rev
        from parts
        where car_id = ? and gone_at is null
        order by supplier, name, id
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter().map(PartRow::read).collect()
}

pub async fn get(conn: &mut SqliteConnection, car: CarId, part: PartId) -> Result<Part, AppError> {
    let parts = of_car(conn, car).await?;
    parts.into_iter().find(|known| known.id == part).ok_or(AppError::NotFound("such part"))
}

pub async fn add(tx: &mut WriteTx, car: CarId, part: PartId, facts: &PartFacts) -> Result<(), AppError> {
    let state = facts.state.name();
    sqlx::query!(
        r#"
        insert into parts (id, car_id, name, number, supplier, quantity, state, price_minor, currency, expected_on, note)
        values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
        "#,
        part,
        car,
        facts.name,
        facts.number,
        facts.supplier,
        facts.quantity,
        state,
        facts.price_minor,
        facts.currency,
        facts.expected_on,
        facts.note,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Changes a part that nobody changed since `rev` was read.
pub async fn change(tx: &mut WriteTx, car: CarId, part: PartId, rev: i64, facts: &PartFacts) -> Result<(), AppError> {
    let state = facts.state.name();
    let done = sqlx::query!(
        r#"
        update parts
        set name = ?, number = ?, supplier = ?, quantity = ?, state = ?, price_minor = ?, currency = ?, expected_on = ?,
            note = ?, rev = rev + 1
        where id = ? and car_id = ? and rev = ? and gone_at is null
        "#,
        facts.name,
        facts.number,
        facts.supplier,
        facts.quantity,
        state,
        facts.price_minor,
        facts.currency,
        facts.expected_on,
        facts.note,
        part,
        car,
        rev,
    )
    .execute(&mut **tx)
    .await?;
    if done.rows_affected() == 1 { Ok(()) } else { Err(AppError::ChangedMeanwhile) }
}

pub async fn remove(tx: &mut WriteTx, car: CarId, part: PartId, now: Moment) -> Result<(), AppError> {
    sqlx::query!("update parts set gone_at = ? where id = ? and car_id = ? and gone_at is null", now.0, part, car)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// Something of a part that came or was used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moved {
    pub part: PartId,
    pub act: Act,
    pub hlc: String,
    pub device_name: Option<String>,
}

/// What came and what was used on a car, oldest first.
pub async fn moved_on_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<Moved>, AppError> {
    let rows = sqlx::query!(
        r#"
        select subject_id as "part: PartId", hlc, devices.name as "name?", body
        from ops left join devices on devices.id = ops.device_id
        where car_id = ? and ops.kind in ('part-used', 'arrival')
        order by hlc, device_id, ops.id
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter()
        .map(|row| {
            let act = serde_json::from_str(&row.body).map_err(AppError::internal)?;
            Ok(Moved { part: row.part, act, hlc: row.hlc, device_name: row.name })
        })
        .collect()
}
