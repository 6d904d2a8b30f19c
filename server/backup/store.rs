//! SQL of backups.

use crate::clock::Moment;
use crate::error::AppError;
use sqlx::SqliteConnection;

/// When this garage's database came to be.
pub async fn began(conn: &mut SqliteConnection) -> Result<Moment, AppError> {
    Ok(Moment(sqlx::query_scalar!("select made_at from store").fetch_one(conn).await?))
}
