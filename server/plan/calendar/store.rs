//! SQL of the calendar links.

use crate::clock::Moment;
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::{CalendarLinkId, CarId};
use sqlx::SqliteConnection;

/// A link as its maker sees it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Link {
    pub id: CalendarLinkId,
    pub label: String,
    pub made_at: Moment,
    pub taken_back_at: Option<Moment>,
}

/// The car that a secret opens the evenings of, and its name: while the link was not taken back and the car is there.
pub async fn car_of_secret(
    conn: &mut SqliteConnection,
    secret_hash: &str,
) -> Result<Option<(CarId, String)>, AppError> {
    let row = sqlx::query!(
        r#"
        select cars.id as "id: CarId", name
        from calendar_links join cars on cars.id = car_id
        where secret_hash = ? and taken_back_at is null and cars.gone_at is null
        "#,
        secret_hash
    )
    .fetch_optional(conn)
    .await?;
    Ok(row.map(|row| (row.id, row.name)))
}

/// The links of a car, the newest first.
pub async fn of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<Link>, AppError> {
    let rows = sqlx::query!(
        r#"
        select id as "id: CalendarLinkId", label, made_at, taken_back_at
        from calendar_links
        where car_id = ?
        order by made_at desc, id desc
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    let link = |row_id, label, made: i64, taken: Option<i64>| Link {
        id: row_id,
        label,
        made_at: Moment(made),
        taken_back_at: taken.map(Moment),
    };
    Ok(rows.into_iter().map(|row| link(row.id, row.label, row.made_at, row.taken_back_at)).collect())
}

pub async fn add(tx: &mut WriteTx, car: CarId, secret_hash: &str, link: &Link) -> Result<(), AppError> {
    sqlx::query!(
        "insert into calendar_links (id, car_id, label, secret_hash, made_at) values (?, ?, ?, ?, ?)",
        link.id,
        car,
        link.label,
        secret_hash,
        link.made_at.0,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Takes a link of a car back. Doing it again changes nothing.
pub async fn take_back(tx: &mut WriteTx, car: CarId, link: CalendarLinkId, now: Moment) -> Result<(), AppError> {
    sqlx::query!(
        "update calendar_links set taken_back_at = ? where id = ? and car_id = ? and taken_back_at is null",
        now.0,
        link,
        car,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}
