//! SQL of the sockets and keys.

use super::model::{KeptTool, ToolFacts};
use crate::clock::Moment;
use crate::db::{WriteTx, changed_one};
use crate::error::AppError;
use crate::ids::ToolId;
use crate::trade::tools::{Tool, ToolKind};
use sqlx::SqliteConnection;

struct ToolRow {
    id: ToolId,
    kind: String,
    size: String,
    drive: String,
    onto: String,
    reach: String,
    outer_diameter: String,
    rev: i64,
}

impl ToolRow {
    fn read(self) -> Result<KeptTool, AppError> {
        let kind = ToolKind::from_name(&self.kind).ok_or_else(|| {
            AppError::internal(format!("chest_tools.kind of {} holds nothing that is known", self.id))
        })?;
        let facts = ToolFacts {
            kind,
            size: self.size,
            drive: self.drive,
            onto: self.onto,
            reach: self.reach,
            outer: self.outer_diameter,
        };
        KeptTool::read(self.id, facts, self.rev)
    }
}

/// Everything, in the order in which it was put in.
pub async fn all(conn: &mut SqliteConnection) -> Result<Vec<KeptTool>, AppError> {
    let rows = sqlx::query_as!(
        ToolRow,
        r#"
        select id as "id: ToolId", kind, size, drive, onto, reach, outer_diameter, rev
        from chest_tools
        where gone_at is null
        order by place_in_order, id
        "#
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter().map(ToolRow::read).collect()
}

/// The same without what only their own pages need.
pub async fn tools(conn: &mut SqliteConnection) -> Result<Vec<Tool>, AppError> {
    Ok(all(conn).await?.into_iter().map(|kept| kept.tool).collect())
}

pub async fn get(conn: &mut SqliteConnection, tool: ToolId) -> Result<KeptTool, AppError> {
    let kept = all(conn).await?;
    kept.into_iter().find(|known| known.id == tool).ok_or(AppError::NotFound("such tool"))
}

pub async fn add(tx: &mut WriteTx, tool: ToolId, facts: &ToolFacts) -> Result<(), AppError> {
    let kind = facts.kind.name();
    sqlx::query!(
        r#"
        insert into chest_tools (id, kind, size, drive, onto, reach, outer_diameter, place_in_order)
        values (?, ?, ?, ?, ?, ?, ?, (select coalesce(max(place_in_order), 0) + 1 from chest_tools))
        "#,
        tool,
        kind,
        facts.size,
        facts.drive,
        facts.onto,
        facts.reach,
        facts.outer,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Changes a tool that nobody changed since `rev` was read.
pub async fn change(tx: &mut WriteTx, tool: ToolId, rev: i64, facts: &ToolFacts) -> Result<(), AppError> {
    let kind = facts.kind.name();
    let done = sqlx::query!(
        r#"
        update chest_tools
        set kind = ?, size = ?, drive = ?, onto = ?, reach = ?, outer_diameter = ?, rev = rev + 1
        where id = ? and rev = ? and gone_at is null
        "#,
        kind,
        facts.size,
        facts.drive,
        facts.onto,
        facts.reach,
        facts.outer,
        tool,
        rev,
    )
    .execute(&mut **tx)
    .await?;
    changed_one(done.rows_affected())
}

pub async fn remove(tx: &mut WriteTx, tool: ToolId, now: Moment) -> Result<(), AppError> {
    let done = sqlx::query!("update chest_tools set gone_at = ? where id = ? and gone_at is null", now.0, tool)
        .execute(&mut **tx)
        .await?;
    if done.rows_affected() == 1 { Ok(()) } else { Err(AppError::NotFound("such tool")) }
}
