//! SQL of job cards and their steps.

use super::model::{Attached, Card, CardFacts, Minutes, Step, StepEffect, StepFacts, StepPart};
use crate::clock::Moment;
use crate::db::{WriteTx, changed_one};
use crate::error::AppError;
use crate::ids::{CarId, CardId, PartId, SpecId, StepId};
use crate::trade::checker::{StepOnPaper, effects};
use crate::trade::spec::System;
use crate::trade::steps::{ObjectKind, Verb};
use sqlx::SqliteConnection;
use std::collections::HashMap;

struct CardRow {
    id: CardId,
    car_id: CarId,
    title: String,
    system: String,
    why: String,
    minutes_low: Option<i64>,
    minutes_likely: Option<i64>,
    minutes_high: Option<i64>,
    helper: bool,
    rev: i64,
}

impl CardRow {
    fn read(self) -> Result<Card, AppError> {
        let system = System::from_name(&self.system)
            .ok_or_else(|| AppError::internal(format!("cards.system of {} holds nothing that is known", self.id)))?;
        let minutes = match (self.minutes_low, self.minutes_likely, self.minutes_high) {
            (Some(low), Some(likely), Some(high)) => Some(Minutes { low, likely, high }),
            _ => None,
        };
        let facts = CardFacts { title: self.title, system, why: self.why, minutes, helper: self.helper };
        Ok(Card { id: self.id, car: self.car_id, facts, rev: self.rev })
    }
}

pub async fn cards_of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<Card>, AppError> {
    let rows = sqlx::query_as!(
        CardRow,
        r#"
        select id as "id: CardId", car_id as "car_id: CarId", title, system, why, minutes_low, minutes_likely, minutes_high,
            helper as "helper: bool", rev
        from cards
        where car_id = ? and gone_at is null
        order by place_in_order, id
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter().map(CardRow::read).collect()
}

pub async fn card(conn: &mut SqliteConnection, car: CarId, card: CardId) -> Result<Card, AppError> {
    let row = sqlx::query_as!(
        CardRow,
        r#"
        select id as "id: CardId", car_id as "car_id: CarId", title, system, why, minutes_low, minutes_likely, minutes_high,
            helper as "helper: bool", rev
        from cards
        where id = ? and car_id = ? and gone_at is null
        "#,
        card,
        car
    )
    .fetch_optional(conn)
    .await?;
    row.ok_or(AppError::NotFound("such job card"))?.read()
}

struct StepRow {
    id: StepId,
    card_id: CardId,
    verb: String,
    object_kind: String,
    object: String,
    words: String,
    detail: String,
    asks: Option<String>,
    marks: String,
    rev: i64,
}

impl StepRow {
    fn read(self, attached: Attached) -> Result<Step, AppError> {
        let unreadable =
            |column: &str| AppError::internal(format!("steps.{column} of {} holds nothing that is known", self.id));
        let facts = StepFacts {
            verb: Verb::from_name(&self.verb).ok_or_else(|| unreadable("verb"))?,
            object_kind: ObjectKind::from_name(&self.object_kind).ok_or_else(|| unreadable("object_kind"))?,
            object: self.object,
            words: self.words,
            detail: self.detail,
            asks: self.asks.map(|json| serde_json::from_str(&json)).transpose().map_err(AppError::internal)?,
            marks: serde_json::from_str(&self.marks).map_err(AppError::internal)?,
        };
        Ok(Step { id: self.id, card: self.card_id, facts, attached, rev: self.rev })
    }
}

/// Every step of a car's cards, by card and place.
pub async fn steps_of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<Step>, AppError> {
    let rows = sqlx::query_as!(
        StepRow,
        r#"
        select steps.id as "id: StepId", card_id as "card_id: CardId", verb, object_kind, object, words, detail, asks,
            marks, steps.rev
        from steps join cards on cards.id = steps.card_id
        where cards.car_id = ? and cards.gone_at is null and steps.gone_at is null
        order by cards.place_in_order, cards.id, steps.place_in_order, steps.id
        "#,
        car
    )
    .fetch_all(&mut *conn)
    .await?;
    let mut attached = attached(conn, Some(car), None).await?;
    rows.into_iter()
        .map(|row| {
            let with = attached.remove(&row.id).unwrap_or_default();
            row.read(with)
        })
        .collect()
}

/// The steps of one card, in order.
pub async fn steps_of_card(conn: &mut SqliteConnection, card: CardId) -> Result<Vec<Step>, AppError> {
    let rows = sqlx::query_as!(
        StepRow,
        r#"
        select id as "id: StepId", card_id as "card_id: CardId", verb, object_kind, object, words, detail, asks, marks, rev
        from steps
        where card_id = ? and gone_at is null
        order by place_in_order, id
        "#,
        card
    )
    .fetch_all(&mut *conn)
    .await?;
    let mut attached = attached(conn, None, Some(card)).await?;
    rows.into_iter()
        .map(|row| {
            let with = attached.remove(&row.id).unwrap_or_default();
            row.read(with)
        })
        .collect()
}

/// One step of a card.
pub async fn step(conn: &mut SqliteConnection, card: CardId, step: StepId) -> Result<Step, AppError> {
    let steps = steps_of_card(conn, card).await?;
    steps.into_iter().find(|known| known.id == step).ok_or(AppError::NotFound("such step"))
}

/// What every step of a car does to the ledger: those on its cards, and those that were ticked before they were
/// taken away. By card and place.
pub async fn effects_of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<StepEffect>, AppError> {
    let rows = sqlx::query!(
        r#"
        select steps.id as "step: StepId", card_id as "card: CardId", title, verb, object_kind, object, words, marks,
            (steps.gone_at is not null or cards.gone_at is not null) as "gone!: bool",
            row_number() over (
                partition by card_id, steps.gone_at is null order by steps.place_in_order, steps.id
            ) as "number!: i64"
        from steps join cards on cards.id = steps.card_id
        where cards.car_id = ? and (
            steps.gone_at is null and cards.gone_at is null
            or exists (select 1 from standing where subject_id = steps.id and field = 'tick')
        )
        order by cards.place_in_order, cards.id, steps.place_in_order, steps.id
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter()
        .map(|row| {
            let unreadable = |column: &str| {
                AppError::internal(format!("steps.{column} of {} holds nothing that is known", row.step))
            };
            let verb = Verb::from_name(&row.verb).ok_or_else(|| unreadable("verb"))?;
            let kind = ObjectKind::from_name(&row.object_kind).ok_or_else(|| unreadable("object_kind"))?;
            Ok(StepEffect {
                step: row.step,
                card: row.card,
                card_title: row.title,
                number: usize::try_from(row.number).map_err(AppError::internal)?,
                verb,
                words: row.words,
                compiled: effects(&StepOnPaper {
                    marks: serde_json::from_str(&row.marks).map_err(AppError::internal)?,
                    ..StepOnPaper::new(verb, kind, &row.object)
                }),
                gone: row.gone,
            })
        })
        .collect()
}

type AttachedBySteps = HashMap<StepId, Attached>;

/// What is attached to the steps of a car's cards, or of one card: one of the two is given.
async fn attached(
    conn: &mut SqliteConnection,
    car: Option<CarId>,
    card: Option<CardId>,
) -> Result<AttachedBySteps, AppError> {
    let mut found = AttachedBySteps::new();
    for (step, spec) in specs_at_steps(&mut *conn, car, card).await? {
        found.entry(step).or_default().specs.push(spec);
    }
    for (step, part) in parts_at_steps(&mut *conn, car, card).await? {
        found.entry(step).or_default().parts.push(part);
    }
    for (step, tool) in tools_at_steps(&mut *conn, car, card).await? {
        found.entry(step).or_default().tools.push(tool);
    }
    for (step, caution) in cautions_at_steps(conn, car, card).await? {
        found.entry(step).or_default().cautions.push(caution);
    }
    Ok(found)
}

async fn specs_at_steps(
    conn: &mut SqliteConnection,
    car: Option<CarId>,
    card: Option<CardId>,
) -> Result<Vec<(StepId, SpecId)>, AppError> {
    let rows = sqlx::query!(
        r#"
        select step_id as "step: StepId", spec_id as "spec: SpecId"
        from cards join steps on steps.card_id = cards.id join step_specs on step_id = steps.id
        where (cards.car_id = ? or cards.id = ?)
            and exists (select 1 from specs where specs.id = spec_id and specs.gone_at is null)
        order by step_specs.place_in_order
        "#,
        car,
        card
    )
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(|row| (row.step, row.spec)).collect())
}

async fn parts_at_steps(
    conn: &mut SqliteConnection,
    car: Option<CarId>,
    card: Option<CardId>,
) -> Result<Vec<(StepId, StepPart)>, AppError> {
    let rows = sqlx::query!(
        r#"
        select step_id as "step: StepId", part_id as "part: PartId", step_parts.quantity
        from cards join steps on steps.card_id = cards.id join step_parts on step_id = steps.id
        where (cards.car_id = ? or cards.id = ?)
            and exists (select 1 from parts where parts.id = part_id and parts.gone_at is null)
        order by step_parts.place_in_order
        "#,
        car,
        card
    )
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(|row| (row.step, StepPart { part: row.part, quantity: row.quantity })).collect())
}

async fn tools_at_steps(
    conn: &mut SqliteConnection,
    car: Option<CarId>,
    card: Option<CardId>,
) -> Result<Vec<(StepId, String)>, AppError> {
    let rows = sqlx::query!(
        r#"
        select step_id as "step: StepId", tool
        from cards join steps on steps.card_id = cards.id join step_tools on step_id = steps.id
        where (cards.car_id = ? or cards.id = ?)
        order by step_tools.place_in_order
        "#,
        car,
        card
    )
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(|row| (row.step, row.tool)).collect())
}

async fn cautions_at_steps(
    conn: &mut SqliteConnection,
    car: Option<CarId>,
    card: Option<CardId>,
) -> Result<Vec<(StepId, String)>, AppError> {
    let rows = sqlx::query!(
        r#"
        select step_id as "step: StepId", caution
        from cards join steps on steps.card_id = cards.id join step_cautions on step_id = steps.id
        where (cards.car_id = ? or cards.id = ?)
        order by step_cautions.place_in_order
        "#,
        car,
        card
    )
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(|row| (row.step, row.caution)).collect())
}

/// Adds a card at the end of the car's order.
pub async fn add_card(tx: &mut WriteTx, car: CarId, card: CardId, facts: &CardFacts) -> Result<(), AppError> {
    let system = facts.system.name();
    let (low, likely, high) = minutes(facts);
    sqlx::query!(
        r#"
        insert into cards (
            id, car_id, title, system, why, place_in_order, minutes_low, minutes_likely, minutes_high, helper
        )
        values (?, ?, ?, ?, ?, (select coalesce(max(place_in_order), 0) + 1 from cards where car_id = ?), ?, ?, ?, ?)
        "#,
        card,
        car,
        facts.title,
        system,
        facts.why,
        car,
        low,
        likely,
        high,
        facts.helper,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

fn minutes(facts: &CardFacts) -> (Option<i64>, Option<i64>, Option<i64>) {
    let minutes = facts.minutes;
    (minutes.map(|m| m.low), minutes.map(|m| m.likely), minutes.map(|m| m.high))
}

/// Changes a card that nobody changed since `rev` was read.
pub async fn change_card(
    tx: &mut WriteTx,
    car: CarId,
    card: CardId,
    rev: i64,
    facts: &CardFacts,
) -> Result<(), AppError> {
    let system = facts.system.name();
    let (low, likely, high) = minutes(facts);
    let done = sqlx::query!(
        r#"
        update cards
        set title = ?, system = ?, why = ?, minutes_low = ?, minutes_likely = ?, minutes_high = ?, helper = ?, rev = rev + 1
        where id = ? and car_id = ? and rev = ? and gone_at is null
        "#,
        facts.title,
        system,
        facts.why,
        low,
        likely,
        high,
        facts.helper,
        card,
        car,
        rev,
    )
    .execute(&mut **tx)
    .await?;
    changed_one(done.rows_affected())
}

/// Takes a card off the car. Its rows stay, as phones and the logbook may still speak of them.
pub async fn remove_card(tx: &mut WriteTx, car: CarId, card: CardId, now: Moment) -> Result<(), AppError> {
    let done =
        sqlx::query!("update cards set gone_at = ? where id = ? and car_id = ? and gone_at is null", now.0, card, car)
            .execute(&mut **tx)
            .await?;
    if done.rows_affected() == 0 {
        return Err(AppError::NotFound("such job card"));
    }
    Ok(())
}

/// Adds a step at the end of the card.
pub async fn add_step(tx: &mut WriteTx, card: CardId, step: StepId, facts: &StepFacts) -> Result<(), AppError> {
    let (verb, kind) = (facts.verb.name(), facts.object_kind.name());
    let (asks, marks) = (asks(facts)?, marks(facts)?);
    sqlx::query!(
        r#"
        insert into steps (id, card_id, place_in_order, verb, object_kind, object, words, detail, asks, marks)
        values (?, ?, (select coalesce(max(place_in_order), 0) + 1 from steps where card_id = ?), ?, ?, ?, ?, ?, ?, ?)
        "#,
        step,
        card,
        card,
        verb,
        kind,
        facts.object,
        facts.words,
        facts.detail,
        asks,
        marks,
    )
    .execute(&mut **tx)
    .await?;
    touch_card(tx, card).await
}

fn marks(facts: &StepFacts) -> Result<String, AppError> {
    serde_json::to_string(&facts.marks).map_err(AppError::internal)
}

fn asks(facts: &StepFacts) -> Result<Option<String>, AppError> {
    facts.asks.as_ref().map(serde_json::to_string).transpose().map_err(AppError::internal)
}

/// Changes a step that nobody changed since `rev` was read.
pub async fn change_step(
    tx: &mut WriteTx,
    card: CardId,
    step: StepId,
    rev: i64,
    facts: &StepFacts,
) -> Result<(), AppError> {
    let (verb, kind) = (facts.verb.name(), facts.object_kind.name());
    let (asks, marks) = (asks(facts)?, marks(facts)?);
    let done = sqlx::query!(
        r#"
        update steps
        set verb = ?, object_kind = ?, object = ?, words = ?, detail = ?, asks = ?, marks = ?, rev = rev + 1
        where id = ? and card_id = ? and rev = ? and gone_at is null
        "#,
        verb,
        kind,
        facts.object,
        facts.words,
        facts.detail,
        asks,
        marks,
        step,
        card,
        rev,
    )
    .execute(&mut **tx)
    .await?;
    changed_one(done.rows_affected())?;
    touch_card(tx, card).await
}

pub async fn remove_step(tx: &mut WriteTx, card: CardId, step: StepId, now: Moment) -> Result<(), AppError> {
    let done = sqlx::query!(
        "update steps set gone_at = ? where id = ? and card_id = ? and gone_at is null",
        now.0,
        step,
        card
    )
    .execute(&mut **tx)
    .await?;
    if done.rows_affected() == 0 {
        return Err(AppError::NotFound("such step"));
    }
    touch_card(tx, card).await
}

/// Puts the card's steps into the order given. Steps that are not named keep their place after those that are.
pub async fn order_steps(tx: &mut WriteTx, card: CardId, order: &[StepId]) -> Result<(), AppError> {
    sqlx::query!("update steps set place_in_order = place_in_order + 100000 where card_id = ?", card)
        .execute(&mut **tx)
        .await?;
    for (place, step) in (1_i64..).zip(order) {
        sqlx::query!("update steps set place_in_order = ? where id = ? and card_id = ?", place, step, card)
            .execute(&mut **tx)
            .await?;
    }
    touch_card(tx, card).await
}

/// Puts the car's cards into the order given.
pub async fn order_cards(tx: &mut WriteTx, car: CarId, order: &[CardId]) -> Result<(), AppError> {
    sqlx::query!("update cards set place_in_order = place_in_order + 100000 where car_id = ?", car)
        .execute(&mut **tx)
        .await?;
    for (place, card) in (1_i64..).zip(order) {
        sqlx::query!("update cards set place_in_order = ? where id = ? and car_id = ?", place, card, car)
            .execute(&mut **tx)
            .await?;
    }
    Ok(())
}

/// Replaces everything that is attached to a step.
pub async fn attach(tx: &mut WriteTx, card: CardId, step: StepId, attached: &Attached) -> Result<(), AppError> {
    sqlx::query!("delete from step_specs where step_id = ?", step).execute(&mut **tx).await?;
    sqlx::query!("delete from step_parts where step_id = ?", step).execute(&mut **tx).await?;
    sqlx::query!("delete from step_tools where step_id = ?", step).execute(&mut **tx).await?;
    sqlx::query!("delete from step_cautions where step_id = ?", step).execute(&mut **tx).await?;
    for (place, spec) in (1_i64..).zip(&attached.specs) {
        sqlx::query!(
            "insert or ignore into step_specs (step_id, spec_id, place_in_order) values (?, ?, ?)",
            step,
            spec,
            place
        )
        .execute(&mut **tx)
        .await?;
    }
    for (place, part) in (1_i64..).zip(&attached.parts) {
        sqlx::query!(
            "insert or ignore into step_parts (step_id, part_id, quantity, place_in_order) values (?, ?, ?, ?)",
            step,
            part.part,
            part.quantity,
            place,
        )
        .execute(&mut **tx)
        .await?;
    }
    for (place, tool) in (1_i64..).zip(&attached.tools) {
        sqlx::query!(
            "insert or ignore into step_tools (step_id, tool, place_in_order) values (?, ?, ?)",
            step,
            tool,
            place
        )
        .execute(&mut **tx)
        .await?;
    }
    for (place, caution) in (1_i64..).zip(&attached.cautions) {
        sqlx::query!(
            "insert or ignore into step_cautions (step_id, caution, place_in_order) values (?, ?, ?)",
            step,
            caution,
            place,
        )
        .execute(&mut **tx)
        .await?;
    }
    touch_card(tx, card).await
}

async fn touch_card(tx: &mut WriteTx, card: CardId) -> Result<(), AppError> {
    sqlx::query!("update cards set rev = rev + 1 where id = ?", card).execute(&mut **tx).await?;
    Ok(())
}
