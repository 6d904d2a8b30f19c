//! SQL of finished photos.

use crate::clock::Moment;
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::CarId;
use sqlx::SqliteConnection;
use std::collections::HashSet;

pub struct PhotoRow<'a> {
    pub sha256: &'a str,
    pub bytes: i64,
    pub width: i64,
    pub height: i64,
}

/// Records a photo whose files are complete on disk. Repeating it is harmless.
pub async fn record(tx: &mut WriteTx, photo: &PhotoRow<'_>, now: Moment) -> Result<(), AppError> {
    sqlx::query!(
        "insert into photos (sha256, bytes, width, height, stored_at) values (?, ?, ?, ?, ?) on conflict do nothing",
        photo.sha256,
        photo.bytes,
        photo.width,
        photo.height,
        now.0,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// The photos that are complete, by the SHA-256 of what the phone sent.
pub async fn complete(conn: &mut SqliteConnection) -> Result<HashSet<String>, AppError> {
    let rows = sqlx::query_scalar!("select sha256 from photos").fetch_all(conn).await?;
    Ok(rows.into_iter().collect())
}

/// A photo that was noted, and what its note says.
pub struct Noted {
    pub sha256: String,
    pub caption: String,
}

/// The complete photos noted on a car, the latest first. One that was noted twice stands twice.
pub async fn noted_on_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<Noted>, AppError> {
    let rows = sqlx::query_as!(
        Noted,
        r#"
        select photos.sha256, body ->> '$.photo.caption' as "caption!: String"
        from ops join photos on photos.sha256 = body ->> '$.photo.sha256'
        where car_id = ? and kind = 'photo'
        order by hlc desc, device_id desc, ops.id desc
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    Ok(rows)
}
