//! SQL of clips, their speeds and the rotating parts.

use super::model::{CarTurns, ClipRow, ClipSpeeds, KeptPart};
use crate::clock::Moment;
use crate::db::{WriteTx, changed_one};
use crate::error::AppError;
use crate::ids::{CarId, TurningPartId};
use crate::trade::sound::{Clip, DriveKind, Shaft, WrittenPart};
use sqlx::SqliteConnection;

/// Keeps a clip's bytes. Repeating it is harmless.
pub async fn keep(tx: &mut WriteTx, sha256: &str, bytes: &[u8], clip: &Clip, now: Moment) -> Result<(), AppError> {
    let (rate, seconds) = (i64::from(clip.rate()), clip.seconds());
    sqlx::query!(
        "insert into clips (sha256, bytes, rate, seconds, stored_at) values (?, ?, ?, ?, ?) on conflict do nothing",
        sha256,
        bytes,
        rate,
        seconds,
        now.0,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// The clips noted on a car whose bytes are here, the latest first.
pub async fn of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<ClipRow>, AppError> {
    let rows = sqlx::query_as!(
        ClipRow,
        r#"
        select clips.sha256, body ->> '$.clip.caption' as "caption!: String", hlc, seconds, rate
        from ops join clips on clips.sha256 = body ->> '$.clip.sha256'
        where car_id = ? and kind = 'clip'
        order by hlc desc, device_id desc, ops.id desc
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    Ok(rows)
}

/// The bytes of a clip that was noted on this car.
pub async fn bytes(conn: &mut SqliteConnection, car: CarId, sha256: &str) -> Result<Vec<u8>, AppError> {
    let found = sqlx::query_scalar!(
        r#"
        select bytes from clips
        where sha256 = ?1 and exists
            (select 1 from ops where car_id = ?2 and kind = 'clip' and body ->> '$.clip.sha256' = ?1)
        "#,
        sha256,
        car
    )
    .fetch_optional(conn)
    .await?;
    found.ok_or(AppError::NotFound("such clip"))
}

/// What was said of the speeds of a clip; empty where nothing was.
pub async fn speeds(conn: &mut SqliteConnection, car: CarId, sha256: &str) -> Result<ClipSpeeds, AppError> {
    let found = sqlx::query_as!(
        ClipSpeeds,
        "select turns, turns_give, road, road_give, rev from clip_speeds where car_id = ? and sha256 = ?",
        car,
        sha256
    )
    .fetch_optional(conn)
    .await?;
    Ok(found.unwrap_or_default())
}

/// Keeps speeds that nobody changed since their `rev` was read.
pub async fn keep_speeds(tx: &mut WriteTx, car: CarId, sha256: &str, said: &ClipSpeeds) -> Result<(), AppError> {
    let done = sqlx::query!(
        r#"
        insert into clip_speeds (car_id, sha256, turns, turns_give, road, road_give) values (?1, ?2, ?3, ?4, ?5, ?6)
        on conflict (car_id, sha256) do update
        set turns = ?3, turns_give = ?4, road = ?5, road_give = ?6, rev = rev + 1 where rev = ?7
        "#,
        car,
        sha256,
        said.turns,
        said.turns_give,
        said.road,
        said.road_give,
        said.rev,
    )
    .execute(&mut **tx)
    .await?;
    changed_one(done.rows_affected())
}

/// What the speeds of a car's shafts follow from; empty where nothing was said.
pub async fn turns(conn: &mut SqliteConnection, car: CarId) -> Result<CarTurns, AppError> {
    let found =
        sqlx::query_as!(CarTurns, "select cylinders, cycle, round, axle, rev from turning_cars where car_id = ?", car)
            .fetch_optional(conn)
            .await?;
    Ok(found.unwrap_or_default())
}

/// Keeps what nobody changed since its `rev` was read.
pub async fn keep_turns(tx: &mut WriteTx, car: CarId, said: &CarTurns) -> Result<(), AppError> {
    let done = sqlx::query!(
        r#"
        insert into turning_cars (car_id, cylinders, cycle, round, axle) values (?1, ?2, ?3, ?4, ?5)
        on conflict (car_id) do update
        set cylinders = ?2, cycle = ?3, round = ?4, axle = ?5, rev = rev + 1 where rev = ?6
        "#,
        car,
        said.cylinders,
        said.cycle,
        said.round,
        said.axle,
        said.rev,
    )
    .execute(&mut **tx)
    .await?;
    changed_one(done.rows_affected())
}

struct PartRow {
    id: TurningPartId,
    name: String,
    shaft: String,
    drive: String,
    driver: String,
    driven: String,
    counts: String,
    bearing: String,
    rev: i64,
}

impl PartRow {
    fn read(self) -> Result<KeptPart, AppError> {
        let unknown = |column: &str| AppError::internal(format!("turning_parts.{column} of {} is not known", self.id));
        let shaft = Shaft::from_name(&self.shaft).ok_or_else(|| unknown("shaft"))?;
        let drive = DriveKind::from_name(&self.drive).ok_or_else(|| unknown("drive"))?;
        let PartRow { id, name, driver, driven, counts, bearing, rev, .. } = self;
        Ok(KeptPart { id, written: WrittenPart { name, shaft, drive, driver, driven, counts, bearing }, rev })
    }
}

/// The rotating parts of a car by name.
pub async fn parts(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<KeptPart>, AppError> {
    let rows = sqlx::query_as!(
        PartRow,
        r#"
        select id as "id: TurningPartId", name, shaft, drive, driver, driven, counts, bearing, rev
        from turning_parts where car_id = ? order by name, id
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter().map(PartRow::read).collect()
}

pub async fn add_part(tx: &mut WriteTx, car: CarId, id: TurningPartId, part: &WrittenPart) -> Result<(), AppError> {
    let (shaft, drive) = (part.shaft.name(), part.drive.name());
    sqlx::query!(
        r#"
        insert into turning_parts (id, car_id, name, shaft, drive, driver, driven, counts, bearing)
        values (?, ?, ?, ?, ?, ?, ?, ?, ?)
        "#,
        id,
        car,
        part.name,
        shaft,
        drive,
        part.driver,
        part.driven,
        part.counts,
        part.bearing,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Changes a part that nobody changed since `rev` was read.
pub async fn change_part(
    tx: &mut WriteTx,
    car: CarId,
    id: TurningPartId,
    rev: i64,
    part: &WrittenPart,
) -> Result<(), AppError> {
    let (shaft, drive) = (part.shaft.name(), part.drive.name());
    let done = sqlx::query!(
        r#"
        update turning_parts
        set name = ?, shaft = ?, drive = ?, driver = ?, driven = ?, counts = ?, bearing = ?, rev = rev + 1
        where id = ? and car_id = ? and rev = ?
        "#,
        part.name,
        shaft,
        drive,
        part.driver,
        part.driven,
        part.counts,
        part.bearing,
        id,
        car,
        rev,
    )
    .execute(&mut **tx)
    .await?;
    changed_one(done.rows_affected())
}

pub async fn remove_part(tx: &mut WriteTx, car: CarId, id: TurningPartId) -> Result<(), AppError> {
    let done =
        sqlx::query!("delete from turning_parts where id = ? and car_id = ?", id, car).execute(&mut **tx).await?;
    if done.rows_affected() == 1 { Ok(()) } else { Err(AppError::NotFound("such part")) }
}
