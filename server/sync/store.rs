//! SQL of operations: kept for good, and the standing value of what can be said twice.

use super::hlc::Hlc;
use super::wire::{KnownOp, Op, Subject};
use crate::clock::Moment;
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::{CarId, CardId, DeviceId, OpId};
use sqlx::SqliteConnection;

/// An operation that was stored before.
pub struct Stored {
    pub seq: i64,
    pub body_hash: String,
    pub verdict: String,
}

pub async fn stored(tx: &mut WriteTx, id: OpId) -> Result<Option<Stored>, AppError> {
    let row = sqlx::query_as!(Stored, r#"select seq as "seq!", body_hash, verdict from ops where id = ?"#, id)
        .fetch_optional(&mut **tx)
        .await?;
    Ok(row)
}

/// What is known of an operation's subject.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Presence {
    Here,
    Gone,
    Unknown,
}

fn presence(row: Option<Option<i64>>) -> Presence {
    match row {
        None => Presence::Unknown,
        Some(None) => Presence::Here,
        Some(Some(_)) => Presence::Gone,
    }
}

pub async fn car_presence(tx: &mut WriteTx, car: CarId) -> Result<Presence, AppError> {
    Ok(presence(sqlx::query_scalar!("select gone_at from cars where id = ?", car).fetch_optional(&mut **tx).await?))
}

pub async fn card_presence(tx: &mut WriteTx, car: CarId, card: CardId) -> Result<Presence, AppError> {
    let row = sqlx::query_scalar!("select gone_at from cards where id = ? and car_id = ?", card, car)
        .fetch_optional(&mut **tx)
        .await?;
    Ok(presence(row))
}

/// Whether an operation names the card that its subject is on, as pages that show a card rely on it.
pub async fn is_on_its_card(tx: &mut WriteTx, card: Option<CardId>, subject: Subject) -> Result<bool, AppError> {
    match subject {
        Subject::Car(_) | Subject::Spec(_) | Subject::Part(_) => Ok(true),
        Subject::Card(id) => Ok(card == Some(id)),
        Subject::Step(id) => {
            let own = sqlx::query_scalar!(r#"select card_id as "card: CardId" from steps where id = ?"#, id)
                .fetch_optional(&mut **tx)
                .await?;
            Ok(own.is_none() || own == card)
        }
    }
}

/// Whether the subject belongs to the car and is still there. A step of a deleted card counts as gone.
pub async fn subject_presence(tx: &mut WriteTx, car: CarId, subject: Subject) -> Result<Presence, AppError> {
    let row = match subject {
        Subject::Car(id) if id == car => return Ok(Presence::Here),
        Subject::Car(_) => None,
        Subject::Card(id) => return card_presence(tx, car, id).await,
        Subject::Step(id) => {
            sqlx::query_scalar!(
                r#"
                select coalesce(steps.gone_at, cards.gone_at) as "gone_at: i64"
                from steps join cards on cards.id = steps.card_id
                where steps.id = ? and cards.car_id = ?
                "#,
                id,
                car,
            )
            .fetch_optional(&mut **tx)
            .await?
        }
        Subject::Spec(id) => {
            sqlx::query_scalar!("select gone_at from specs where id = ? and car_id = ?", id, car)
                .fetch_optional(&mut **tx)
                .await?
        }
        Subject::Part(id) => {
            sqlx::query_scalar!("select gone_at from parts where id = ? and car_id = ?", id, car)
                .fetch_optional(&mut **tx)
                .await?
        }
    };
    Ok(presence(row))
}

/// What is written beside the operation itself.
pub struct Receipt<'a> {
    pub sent_by: DeviceId,
    pub body_hash: &'a str,
    pub verdict: &'static str,
    pub received_at: Moment,
}

/// Adds an operation; the number given back is its place in the order in which they became durable.
pub async fn add(tx: &mut WriteTx, op: &Op, receipt: Receipt<'_>) -> Result<i64, AppError> {
    let (kind, subject_kind, subject_id) = (op.act.kind(), op.on.kind(), op.on.id());
    let body = serde_json::to_string(&op.act).map_err(AppError::internal)?;
    let done = sqlx::query!(
        r#"
        insert into ops
            (id, device_id, sent_by, hlc, car_id, card_id, subject_kind, subject_id, kind, body, body_hash, verdict, received_at)
        values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
        "#,
        op.id,
        op.device,
        receipt.sent_by,
        op.hlc,
        op.car,
        op.card,
        subject_kind,
        subject_id,
        kind,
        body,
        receipt.body_hash,
        receipt.verdict,
        receipt.received_at.0,
    )
    .execute(&mut **tx)
    .await?;
    Ok(done.last_insert_rowid())
}

/// Lets an operation stand for its subject's field, unless a later one (by clock, device, id) stands there.
pub async fn let_stand(tx: &mut WriteTx, op: &Op, seq: i64, field: &str) -> Result<(), AppError> {
    let subject_id = op.on.id();
    let body = serde_json::to_string(&op.act).map_err(AppError::internal)?;
    sqlx::query!(
        r#"
        insert into standing (subject_id, field, op_seq, hlc, device_id, op_id, car_id, card_id, body)
        values (?, ?, ?, ?, ?, ?, ?, ?, ?)
        on conflict (subject_id, field) do update set
            op_seq = excluded.op_seq, hlc = excluded.hlc, device_id = excluded.device_id, op_id = excluded.op_id,
            car_id = excluded.car_id, card_id = excluded.card_id, body = excluded.body
        where (excluded.hlc, excluded.device_id, excluded.op_id) > (standing.hlc, standing.device_id, standing.op_id)
        "#,
        subject_id,
        field,
        seq,
        op.hlc,
        op.device,
        op.id,
        op.car,
        op.card,
        body,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// The latest clock reading stored, so that the server's own operations come after all it has seen.
pub async fn latest_hlc(conn: &mut SqliteConnection) -> Result<Hlc, AppError> {
    let row = sqlx::query_scalar!(r#"select max(hlc) as "hlc: String" from ops"#).fetch_one(conn).await?;
    Ok(row.and_then(|text| text.parse().ok()).unwrap_or(Hlc::ZERO))
}

pub async fn latest_seq(conn: &mut SqliteConnection, car: CarId) -> Result<i64, AppError> {
    let row =
        sqlx::query_scalar!(r#"select max(seq) as "seq: i64" from ops where car_id = ?"#, car).fetch_one(conn).await?;
    Ok(row.unwrap_or(0))
}

/// Operations on a car after `seq`, in the order in which they became durable.
pub async fn since(conn: &mut SqliteConnection, car: CarId, seq: i64, most: i64) -> Result<Vec<KnownOp>, AppError> {
    let rows = sqlx::query!(
        r#"
        select seq as "seq!", id as "id: OpId", device_id as "device: DeviceId", hlc, card_id as "card: CardId",
            subject_kind, subject_id, body
        from ops
        where car_id = ? and seq > ?
        order by seq
        limit ?
        "#,
        car,
        seq,
        most,
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter()
        .map(|row| {
            let on = subject(&row.subject_kind, &row.subject_id)?;
            let act = serde_json::from_str(&row.body).map_err(AppError::internal)?;
            Ok(KnownOp {
                seq: row.seq,
                op: Op { id: row.id, device: row.device, hlc: row.hlc, car, card: row.card, on, act },
            })
        })
        .collect()
}

fn subject(kind: &str, id: &str) -> Result<Subject, AppError> {
    let json = serde_json::json!({ kind: id });
    serde_json::from_value(json).map_err(AppError::internal)
}
