//! SQL of what has been done: standing values, and what was only added.

use crate::error::AppError;
use crate::ids::{CarId, CardId, DeviceId, OpId, SpecId};
use crate::sync::wire::{Act, SettledBody};
use crate::trade::ledger::Event;
use sqlx::SqliteConnection;

/// The operation that stands for a field of a subject.
#[derive(Debug, Clone)]
pub struct StandingOp {
    pub subject_id: String,
    pub field: String,
    pub hlc: String,
    pub device: String,
    pub op_id: String,
    pub card: Option<CardId>,
    pub act: Act,
}

impl StandingOp {
    /// Its place in the one total order.
    pub fn order(&self) -> (&str, &str, &str) {
        (&self.hlc, &self.device, &self.op_id)
    }
}

pub async fn standing_of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<StandingOp>, AppError> {
    let rows = sqlx::query!(
        r#"
        select subject_id, field, hlc, device_id, op_id, card_id as "card: CardId", body
        from standing
        where car_id = ?
        order by hlc, device_id, op_id
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter()
        .map(|row| {
            Ok(StandingOp {
                subject_id: row.subject_id,
                field: row.field,
                hlc: row.hlc,
                device: row.device_id,
                op_id: row.op_id,
                card: row.card,
                act: serde_json::from_str(&row.body).map_err(AppError::internal)?,
            })
        })
        .collect()
}

/// A loose end made or closed by hand.
#[derive(Debug, Clone)]
pub struct ByHand {
    hlc: String,
    device: String,
    op_id: String,
    entry: Entry,
}

#[derive(Debug, Clone)]
enum Entry {
    Undid { words: String, place: String },
    Closed { key: String },
}

impl ByHand {
    pub fn order(&self) -> (&str, &str, &str) {
        (&self.hlc, &self.device, &self.op_id)
    }

    pub fn event(&self) -> Event<'_> {
        match &self.entry {
            Entry::Undid { words, place } => {
                Event::Undid { key: format!("hand:{}", self.op_id), words, place, at: &self.hlc }
            }
            Entry::Closed { key } => Event::Closed { key },
        }
    }
}

pub async fn by_hand_of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<ByHand>, AppError> {
    let rows = sqlx::query!(
        r#"
        select hlc, device_id, id, body
        from ops
        where car_id = ? and kind in ('undid', 'closed')
        order by hlc, device_id, id
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    let mut found = Vec::with_capacity(rows.len());
    for row in rows {
        let entry = match serde_json::from_str(&row.body).map_err(AppError::internal)? {
            Act::Undid(body) => Entry::Undid { words: body.what, place: body.place },
            Act::Closed(body) => Entry::Closed { key: body.key },
            _ => continue,
        };
        found.push(ByHand { hlc: row.hlc, device: row.device_id, op_id: row.id, entry });
    }
    Ok(found)
}

/// An operation as the logbook shows it.
#[derive(Debug, Clone)]
pub struct Done {
    pub seq: i64,
    pub op_id: OpId,
    pub hlc: String,
    pub device: DeviceId,
    pub device_name: Option<String>,
    pub card: Option<CardId>,
    pub subject_kind: String,
    pub subject_id: String,
    /// False where its subject was deleted before it arrived.
    pub applied: bool,
    pub act: Act,
}

/// A disagreement settled or opened again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Settling {
    pub hlc: String,
    /// `None`: a device that is unknown here.
    pub device: Option<String>,
    pub body: SettledBody,
}

/// Every settling and re-opening of a spec, the latest first.
pub async fn settlings_of(conn: &mut SqliteConnection, spec: SpecId) -> Result<Vec<Settling>, AppError> {
    let rows = sqlx::query!(
        r#"
        select hlc, devices.name as "name?", body
        from ops left join devices on devices.id = ops.device_id
        where subject_id = ? and ops.kind = 'settled'
        order by hlc desc, device_id desc, ops.id desc
        "#,
        spec
    )
    .fetch_all(conn)
    .await?;
    let mut found = Vec::with_capacity(rows.len());
    for row in rows {
        if let Act::Settled(body) = serde_json::from_str(&row.body).map_err(AppError::internal)? {
            found.push(Settling { hlc: row.hlc, device: row.name, body });
        }
    }
    Ok(found)
}

/// Everything done on a car, oldest first by the devices' clocks.
pub async fn done_on_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<Done>, AppError> {
    let rows = sqlx::query!(
        r#"
        select seq as "seq!", ops.id as "id: OpId", hlc, device_id as "device: DeviceId", devices.name as "name?",
            card_id as "card: CardId", subject_kind, subject_id, verdict, body
        from ops left join devices on devices.id = ops.device_id
        where car_id = ?
        order by hlc, device_id, ops.id
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter()
        .map(|row| {
            Ok(Done {
                seq: row.seq,
                op_id: row.id,
                hlc: row.hlc,
                device: row.device,
                device_name: row.name,
                card: row.card,
                subject_kind: row.subject_kind,
                subject_id: row.subject_id,
                applied: row.verdict == "applied",
                act: serde_json::from_str(&row.body).map_err(AppError::internal)?,
            })
        })
        .collect()
}
