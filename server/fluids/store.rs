//! SQL of bottle sizes and of fluids on the shelf.

use super::bottles::{Kept, KeptFacts, Size, SizeFacts};
use crate::clock::Moment;
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::{BottleId, CarId, ShelfFluidId};
use sqlx::SqliteConnection;

struct SizeRow {
    id: BottleId,
    fluid: String,
    holds: String,
    price_minor: i64,
    currency: String,
}

pub async fn sizes_of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<Size>, AppError> {
    let rows = sqlx::query_as!(
        SizeRow,
        r#"
        select id as "id: BottleId", fluid, holds, price_minor, currency
        from bottle_sizes
        where car_id = ? and gone_at is null
        order by fluid, price_minor, id
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    let size = |row: SizeRow| {
        let SizeRow { id, fluid, holds, price_minor, currency } = row;
        Size { id, facts: SizeFacts { fluid, holds, price_minor, currency } }
    };
    Ok(rows.into_iter().map(size).collect())
}

pub async fn add_size(tx: &mut WriteTx, car: CarId, id: BottleId, facts: &SizeFacts) -> Result<(), AppError> {
    sqlx::query!(
        "insert into bottle_sizes (id, car_id, fluid, holds, price_minor, currency) values (?, ?, ?, ?, ?, ?)",
        id,
        car,
        facts.fluid,
        facts.holds,
        facts.price_minor,
        facts.currency,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Changes the price of a size that stands in the list.
pub async fn reprice(tx: &mut WriteTx, car: CarId, id: BottleId, facts: &SizeFacts) -> Result<(), AppError> {
    sqlx::query!(
        "update bottle_sizes set price_minor = ?, currency = ? where id = ? and car_id = ? and gone_at is null",
        facts.price_minor,
        facts.currency,
        id,
        car,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

pub async fn remove_size(tx: &mut WriteTx, car: CarId, id: BottleId, now: Moment) -> Result<(), AppError> {
    let done = sqlx::query!(
        "update bottle_sizes set gone_at = ? where id = ? and car_id = ? and gone_at is null",
        now.0,
        id,
        car
    )
    .execute(&mut **tx)
    .await?;
    one(done.rows_affected(), "such size of bottle")
}

struct KeptRow {
    id: ShelfFluidId,
    fluid: String,
    volume: String,
    opened: i64,
    since: String,
}

pub async fn shelf_of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<Kept>, AppError> {
    let rows = sqlx::query_as!(
        KeptRow,
        r#"
        select id as "id: ShelfFluidId", fluid, volume, opened, since
        from shelf_fluids
        where car_id = ? and gone_at is null
        order by fluid, opened desc, since, id
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    let kept = |row: KeptRow| {
        let KeptRow { id, fluid, volume, opened, since } = row;
        Kept { id, facts: KeptFacts { fluid, volume, opened: opened != 0, since } }
    };
    Ok(rows.into_iter().map(kept).collect())
}

pub async fn add_kept(tx: &mut WriteTx, car: CarId, id: ShelfFluidId, facts: &KeptFacts) -> Result<(), AppError> {
    sqlx::query!(
        "insert into shelf_fluids (id, car_id, fluid, volume, opened, since) values (?, ?, ?, ?, ?, ?)",
        id,
        car,
        facts.fluid,
        facts.volume,
        facts.opened,
        facts.since,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

pub async fn remove_kept(tx: &mut WriteTx, car: CarId, id: ShelfFluidId, now: Moment) -> Result<(), AppError> {
    let done = sqlx::query!(
        "update shelf_fluids set gone_at = ? where id = ? and car_id = ? and gone_at is null",
        now.0,
        id,
        car
    )
    .execute(&mut **tx)
    .await?;
    one(done.rows_affected(), "such bottle")
}

fn one(rows: u64, what: &'static str) -> Result<(), AppError> {
    if rows == 1 { Ok(()) } else { Err(AppError::NotFound(what)) }
}
