//! SQL of devices, sessions and pairing codes.

use super::session::Paired;
use crate::clock::Moment;
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::DeviceId;
use sqlx::SqliteConnection;

pub struct FoundSession {
    pub paired: Paired,
    pub last_seen: Moment,
}

/// The device behind a session that has not ended.
pub async fn session(
    conn: &mut SqliteConnection,
    secret_hash: &str,
    now: Moment,
) -> Result<Option<FoundSession>, AppError> {
    let row = sqlx::query!(
        r#"
        select devices.id as "id: DeviceId", name, kept_something, last_seen_at
        from sessions
        join devices on devices.id = sessions.device_id
        where secret_hash = ? and ends_at > ?
        "#,
        secret_hash,
        now.0,
    )
    .fetch_optional(conn)
    .await?;
    Ok(row.map(|row| FoundSession {
        paired: Paired { device: row.id, name: row.name, kept_something: row.kept_something != 0 },
        last_seen: Moment(row.last_seen_at),
    }))
}

/// Notes that a device was seen, and lets its session run on from now.
pub async fn seen(
    tx: &mut WriteTx,
    device: DeviceId,
    secret_hash: &str,
    now: Moment,
    ends: Moment,
) -> Result<(), AppError> {
    sqlx::query!("update devices set last_seen_at = ? where id = ?", now.0, device).execute(&mut **tx).await?;
    sqlx::query!("update sessions set ends_at = ? where secret_hash = ?", ends.0, secret_hash)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// Takes out codes and sessions that ended more than a day ago; until then their fate can still be told.
pub async fn forget_what_has_ended(tx: &mut WriteTx, now: Moment) -> Result<(), AppError> {
    let yesterday = now.plus_days(-1).0;
    sqlx::query!("delete from pairing_codes where ends_at < ?", yesterday).execute(&mut **tx).await?;
    sqlx::query!("delete from sessions where ends_at < ?", yesterday).execute(&mut **tx).await?;
    Ok(())
}

/// Remembers that a device has stored something of ours, so that its loss can be told.
pub async fn kept_something(tx: &mut WriteTx, device: DeviceId) -> Result<(), AppError> {
    sqlx::query!("update devices set kept_something = 1 where id = ?", device).execute(&mut **tx).await?;
    Ok(())
}

pub async fn add_device(
    tx: &mut WriteTx,
    device: DeviceId,
    name: &str,
    kind: &str,
    now: Moment,
) -> Result<(), AppError> {
    sqlx::query!(
        "insert into devices (id, name, kind, paired_at, last_seen_at) values (?, ?, ?, ?, ?)",
        device,
        name,
        kind,
        now.0,
        now.0,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

pub async fn add_session(
    tx: &mut WriteTx,
    secret_hash: &str,
    device: DeviceId,
    now: Moment,
    ends: Moment,
) -> Result<(), AppError> {
    sqlx::query!(
        "insert into sessions (secret_hash, device_id, made_at, ends_at) values (?, ?, ?, ?)",
        secret_hash,
        device,
        now.0,
        ends.0,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Ends every session of a device.
pub async fn end_sessions(tx: &mut WriteTx, device: DeviceId) -> Result<(), AppError> {
    sqlx::query!("delete from sessions where device_id = ?", device).execute(&mut **tx).await?;
    Ok(())
}

pub struct Device {
    pub id: DeviceId,
    pub name: String,
    pub kind: String,
    pub paired_at: i64,
    pub last_seen_at: i64,
}

/// Devices that can still come in, the latest seen first.
pub async fn devices(conn: &mut SqliteConnection, now: Moment) -> Result<Vec<Device>, AppError> {
    let rows = sqlx::query_as!(
        Device,
        r#"
        select id as "id: DeviceId", name, kind, paired_at, last_seen_at
        from devices
        where exists (select 1 from sessions where device_id = devices.id and ends_at > ?)
        order by last_seen_at desc
        "#,
        now.0,
    )
    .fetch_all(conn)
    .await?;
    Ok(rows)
}

pub async fn add_code(tx: &mut WriteTx, code_hash: &str, now: Moment, ends: Moment) -> Result<(), AppError> {
    sqlx::query!("insert into pairing_codes (code_hash, made_at, ends_at) values (?, ?, ?)", code_hash, now.0, ends.0)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

pub struct CodeRow {
    pub ends_at: i64,
    pub wrong_tries: i64,
    pub used_at: Option<i64>,
}

pub async fn code(tx: &mut WriteTx, code_hash: &str) -> Result<Option<CodeRow>, AppError> {
    let row = sqlx::query_as!(
        CodeRow,
        "select ends_at, wrong_tries, used_at from pairing_codes where code_hash = ?",
        code_hash,
    )
    .fetch_optional(&mut **tx)
    .await?;
    Ok(row)
}

pub async fn use_code(tx: &mut WriteTx, code_hash: &str, now: Moment) -> Result<(), AppError> {
    sqlx::query!("update pairing_codes set used_at = ? where code_hash = ?", now.0, code_hash)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// A wrong try counts against every code that is still good, as nobody can tell which one was meant.
pub async fn count_wrong_try(tx: &mut WriteTx, now: Moment) -> Result<(), AppError> {
    sqlx::query!("update pairing_codes set wrong_tries = wrong_tries + 1 where used_at is null and ends_at > ?", now.0)
        .execute(&mut **tx)
        .await?;
    Ok(())
}
