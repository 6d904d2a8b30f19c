//! SQL of the tool chest.

use super::model::{Kept, WrenchFacts};
use crate::clock::Moment;
use crate::db::{WriteTx, changed_one};
use crate::error::AppError;
use crate::ids::WrenchId;
use crate::trade::torque_wrench::WrenchKind;
use sqlx::SqliteConnection;

struct WrenchRow {
    id: WrenchId,
    name: String,
    kind: String,
    span: String,
    graduation: String,
    deviation: String,
    calibrated_on: String,
    uses: String,
    lever: String,
    serial: String,
    rev: i64,
}

impl WrenchRow {
    fn read(self) -> Result<Kept, AppError> {
        let kind = WrenchKind::from_name(&self.kind)
            .ok_or_else(|| AppError::internal(format!("wrenches.kind of {} holds nothing that is known", self.id)))?;
        let facts = WrenchFacts {
            name: self.name,
            kind,
            span: self.span,
            graduation: self.graduation,
            deviation: self.deviation,
            calibrated_on: self.calibrated_on,
            uses: self.uses,
            lever: self.lever,
            serial: self.serial,
        };
        Kept::read(self.id, facts, self.rev)
    }
}

pub async fn all(conn: &mut SqliteConnection) -> Result<Vec<Kept>, AppError> {
    let rows = sqlx::query_as!(
        WrenchRow,
        r#"
        select id as "id: WrenchId", name, kind, span, graduation, deviation, calibrated_on, uses, lever, serial, rev
        from wrenches
        where gone_at is null
        order by name, id
        "#
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter().map(WrenchRow::read).collect()
}

pub async fn get(conn: &mut SqliteConnection, wrench: WrenchId) -> Result<Kept, AppError> {
    let kept = all(conn).await?;
    kept.into_iter().find(|known| known.id == wrench).ok_or(AppError::NotFound("such wrench"))
}

pub async fn add(tx: &mut WriteTx, wrench: WrenchId, facts: &WrenchFacts) -> Result<(), AppError> {
    let kind = facts.kind.name();
    sqlx::query!(
        r#"
        insert into wrenches (id, name, kind, span, graduation, deviation, calibrated_on, uses, lever, serial)
        values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
        "#,
        wrench,
        facts.name,
        kind,
        facts.span,
        facts.graduation,
        facts.deviation,
        facts.calibrated_on,
        facts.uses,
        facts.lever,
        facts.serial,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Changes a wrench that nobody changed since `rev` was read.
pub async fn change(tx: &mut WriteTx, wrench: WrenchId, rev: i64, facts: &WrenchFacts) -> Result<(), AppError> {
    let kind = facts.kind.name();
    let done = sqlx::query!(
        r#"
        update wrenches
        set name = ?, kind = ?, span = ?, graduation = ?, deviation = ?, calibrated_on = ?, uses = ?, lever = ?,
            serial = ?, rev = rev + 1
        where id = ? and rev = ? and gone_at is null
        "#,
        facts.name,
        kind,
        facts.span,
        facts.graduation,
        facts.deviation,
        facts.calibrated_on,
        facts.uses,
        facts.lever,
        facts.serial,
        wrench,
        rev,
    )
    .execute(&mut **tx)
    .await?;
    changed_one(done.rows_affected())
}

pub async fn remove(tx: &mut WriteTx, wrench: WrenchId, now: Moment) -> Result<(), AppError> {
    let done = sqlx::query!("update wrenches set gone_at = ? where id = ? and gone_at is null", now.0, wrench)
        .execute(&mut **tx)
        .await?;
    if done.rows_affected() == 1 { Ok(()) } else { Err(AppError::NotFound("such wrench")) }
}
