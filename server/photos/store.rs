//! SQL of finished photos.

use crate::clock::Moment;
use crate::db::WriteTx;
use crate::error::AppError;
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
