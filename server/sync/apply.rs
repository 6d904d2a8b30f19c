//! Where an operation becomes durable: once, in any order, any number of times.
//!
//! A batch is one immediate transaction. Each operation is judged alone; the answer is made only after the
//! commit, which syncs the log file (see `db`). The work runs in a task of its own, so that a phone leaving
//! the Wi-Fi cannot drop it half-way.

use super::hlc::Hlc;
use super::judge::{self, Refusal};
use super::store::{self, Presence, Receipt};
use super::wire::{Act, Op, Subject, Verdict};
use crate::access::Owner;
use crate::app::OwnerState;
use crate::clock::Moment;
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::{CarId, CardId, DeviceId, OpId};
use crate::logbook::reached;
use crate::specs::store as specs;
use serde_json::Value;
use sha2::{Digest, Sha256};

/// Takes a batch as it came, and answers each operation in the order sent.
pub async fn batch(state: OwnerState, owner: Owner, raw: Vec<Value>) -> Result<Vec<Verdict>, AppError> {
    tokio::spawn(async move {
        let now = state.clock.now();
        let mut tx = state.write.begin(&owner).await?;
        let latest = store::latest_hlc(&mut tx).await?.moment().max(now);
        let mut verdicts = Vec::with_capacity(raw.len());
        for one in &raw {
            verdicts.push(match judge::read(one, latest) {
                Ok((op, _)) => take_op(&mut tx, owner.device(), &op, now).await?,
                Err((id, refusal)) => refusal.verdict(id),
            });
        }
        tx.commit().await?;
        Ok(verdicts)
    })
    .await
    .map_err(AppError::internal)?
}

/// Stores one well-formed operation, unless it was stored before or is about nothing we ever knew.
pub async fn take_op(tx: &mut WriteTx, sent_by: DeviceId, op: &Op, now: Moment) -> Result<Verdict, AppError> {
    let body_hash = hash(op)?;
    if let Some(stored) = store::stored(tx, op.id).await? {
        return Ok(match stored {
            stored if stored.body_hash != body_hash => Refusal::id_reused().verdict(Some(op.id)),
            stored if stored.verdict == KEPT => kept(op.id, stored.seq),
            stored => Verdict::Had { id: op.id, seq: stored.seq },
        });
    }
    let presence = match presence_of(tx, op).await? {
        Ok(presence) => presence,
        Err(refusal) => return Ok(refusal.verdict(Some(op.id))),
    };
    let verdict = if presence == Presence::Gone { KEPT } else { "applied" };
    let seq = store::add(tx, op, Receipt { sent_by, body_hash: &body_hash, verdict, received_at: now }).await?;
    // It stands even where its card was deleted meanwhile: oil that was drained is drained, and what all devices
    // agree on may not depend on which came first.
    if let Some(field) = op.act.field() {
        store::let_stand(tx, op, seq, &field).await?;
    }
    if presence == Presence::Here {
        reached::keep(tx, op, seq).await?;
    }
    if let (Act::Settled(_), Subject::Spec(spec)) = (&op.act, op.on) {
        specs::settle_as_it_stands(tx, spec).await?;
    }
    Ok(if presence == Presence::Gone { kept(op.id, seq) } else { Verdict::Applied { id: op.id, seq } })
}

/// The verdict on something whose subject was deleted.
const KEPT: &str = "kept";

fn kept(id: OpId, seq: i64) -> Verdict {
    let say = "What this is about was deleted meanwhile. It is kept in the logbook.".to_owned();
    Verdict::Kept { id, seq, say }
}

/// Whether what an operation is about is here, gone, or was never known.
async fn presence_of(tx: &mut WriteTx, op: &Op) -> Result<Result<Presence, Refusal>, AppError> {
    let car = store::car_presence(tx, op.car).await?;
    if car == Presence::Unknown {
        return Ok(Err(Refusal::unknown_car()));
    }
    let card = match op.card {
        Some(card) => store::card_presence(tx, op.car, card).await?,
        None => Presence::Here,
    };
    if !store::is_on_its_card(tx, op.card, op.on).await? {
        return Ok(Err(Refusal::wrong_card()));
    }
    let subject = store::subject_presence(tx, op.car, op.on).await?;
    let all = [car, card, subject];
    if all.contains(&Presence::Unknown) {
        return Ok(Err(Refusal::unknown_subject()));
    }
    Ok(Ok(if all.contains(&Presence::Gone) { Presence::Gone } else { Presence::Here }))
}

/// Two deliveries of an operation are the same when this is.
///
/// The clock is left out: a phone whose clock was corrected gives new readings to all that waits, among it
/// what was stored before but whose answer was lost. The first reading stored stays.
fn hash(op: &Op) -> Result<String, AppError> {
    let content = (op.id, op.device, op.car, op.card, op.on, &op.act);
    let text = serde_json::to_vec(&content).map_err(AppError::internal)?;
    Ok(hex::encode(Sha256::digest(text)))
}

/// An operation made at the desk or by a form without scripts: the server is then the device's clock.
pub async fn do_now(
    state: &OwnerState,
    owner: &Owner,
    car: CarId,
    card: Option<CardId>,
    on: Subject,
    act: Act,
) -> Result<Verdict, AppError> {
    let mut tx = state.write.begin(owner).await?;
    let verdict = do_in(&mut tx, owner, state.clock.now(), (car, card, on), act).await?;
    tx.commit().await?;
    Ok(verdict)
}

/// The same within a change that holds together. Errors where the operation is refused.
pub async fn do_in(
    tx: &mut WriteTx,
    owner: &Owner,
    now: Moment,
    (car, card, on): (CarId, Option<CardId>, Subject),
    act: Act,
) -> Result<Verdict, AppError> {
    let hlc: Hlc = store::latest_hlc(tx).await?.next(now);
    let op = Op { id: OpId::new(), device: owner.device(), hlc: hlc.to_string(), car, card, on, act };
    let raw = serde_json::to_value(&op).map_err(AppError::internal)?;
    let (op, _) = judge::read(&raw, hlc.moment().max(now))
        .map_err(|(_, refusal)| AppError::Invalid(refusal.code, refusal.say))?;
    match take_op(tx, owner.device(), &op, now).await? {
        Verdict::Refused { code, say, .. } => Err(AppError::Invalid(code, say)),
        taken => Ok(taken),
    }
}
