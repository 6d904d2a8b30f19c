//! SQL of what the plan is made from.

use super::model::{Evening, EveningFacts, Kept, Planning};
use crate::clock::Moment;
use crate::db::{WriteTx, changed_one};
use crate::error::AppError;
use crate::ids::{CarId, CardId, EveningId};
use jiff::civil::Date;
use sqlx::SqliteConnection;
use std::collections::{BTreeMap, BTreeSet};

/// All that is stored for the plan of a car.
pub async fn planning(conn: &mut SqliteConnection, car: CarId) -> Result<Planning, AppError> {
    Ok(Planning {
        put_off: put_off(&mut *conn, car).await?,
        after: after(&mut *conn, car).await?,
        evenings: evenings_of_car(&mut *conn, car).await?,
        pins: pins(&mut *conn, car).await?,
        kept: kept(conn, car).await?,
    })
}

async fn put_off(conn: &mut SqliteConnection, car: CarId) -> Result<BTreeSet<CardId>, AppError> {
    let rows = sqlx::query!(
        r#"select id as "id: CardId" from cards where car_id = ? and put_off = 1 and gone_at is null"#,
        car
    )
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(|row| row.id).collect())
}

async fn after(conn: &mut SqliteConnection, car: CarId) -> Result<BTreeMap<CardId, Vec<CardId>>, AppError> {
    let rows = sqlx::query!(
        r#"
        select card_id as "card: CardId", after_id as "after: CardId"
        from card_after
            join cards as waits on waits.id = card_id
            join cards as first on first.id = after_id
        where waits.car_id = ? and waits.gone_at is null and first.gone_at is null
        order by waits.place_in_order, waits.id, first.place_in_order, first.id
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    let mut found: BTreeMap<CardId, Vec<CardId>> = BTreeMap::new();
    for row in rows {
        found.entry(row.card).or_default().push(row.after);
    }
    Ok(found)
}

async fn pins(conn: &mut SqliteConnection, car: CarId) -> Result<BTreeMap<CardId, EveningId>, AppError> {
    let rows = sqlx::query!(
        r#"
        select card_id as "card: CardId", evening_id as "evening: EveningId"
        from plan_pins
            join cards on cards.id = card_id
            join evenings on evenings.id = evening_id
        where cards.car_id = ? and cards.gone_at is null and evenings.gone_at is null
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(|row| (row.card, row.evening)).collect())
}

async fn kept(conn: &mut SqliteConnection, car: CarId) -> Result<Option<Kept>, AppError> {
    let row = sqlx::query!(r#"select made_at, plan, facts from kept_plans where car_id = ?"#, car)
        .fetch_optional(conn)
        .await?;
    Ok(row.map(|row| Kept { made_at: Moment(row.made_at), plan: row.plan, facts: row.facts }))
}

struct EveningRow {
    id: EveningId,
    day: String,
    starts: String,
    minutes: i64,
    helper: bool,
    note: String,
    rev: i64,
}

impl EveningRow {
    fn read(self) -> Result<Evening, AppError> {
        let facts = EveningFacts {
            day: self.day.parse().map_err(AppError::internal)?,
            starts: self.starts.parse().map_err(AppError::internal)?,
            minutes: u32::try_from(self.minutes).map_err(AppError::internal)?,
            helper: self.helper,
            note: self.note,
        };
        Ok(Evening { id: self.id, facts, rev: self.rev })
    }
}

/// In the order in which they come, past ones too.
pub async fn evenings_of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<Evening>, AppError> {
    let rows = sqlx::query_as!(
        EveningRow,
        r#"
        select id as "id: EveningId", day, starts, minutes, helper as "helper: bool", note, rev
        from evenings
        where car_id = ? and gone_at is null
        order by day, starts, id
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter().map(EveningRow::read).collect()
}

/// Errors where the car has no such evening.
pub async fn evening(conn: &mut SqliteConnection, car: CarId, evening: EveningId) -> Result<Evening, AppError> {
    let evenings = evenings_of_car(conn, car).await?;
    evenings.into_iter().find(|known| known.id == evening).ok_or(AppError::NotFound("such evening"))
}

/// The evenings of every car of the garage from this day on, with the car's name: one person works on them all.
pub async fn evenings_of_garage(conn: &mut SqliteConnection, from: Date) -> Result<Vec<(Evening, String)>, AppError> {
    let from = from.to_string();
    let rows = sqlx::query!(
        r#"
        select evenings.id as "id: EveningId", day, starts, minutes, helper as "helper: bool", note, rev, name
        from evenings join cars on cars.id = car_id
        where day >= ? and evenings.gone_at is null and cars.gone_at is null
        order by day, starts, evenings.id
        "#,
        from
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter()
        .map(|row| {
            let (id, day, starts, minutes) = (row.id, row.day, row.starts, row.minutes);
            let evening = EveningRow { id, day, starts, minutes, helper: row.helper, note: row.note, rev: row.rev };
            Ok((evening.read()?, row.name))
        })
        .collect()
}

pub async fn add_evening(
    tx: &mut WriteTx,
    car: CarId,
    evening: EveningId,
    facts: &EveningFacts,
) -> Result<(), AppError> {
    let (day, starts) = (facts.day.to_string(), starts(facts));
    sqlx::query!(
        "insert into evenings (id, car_id, day, starts, minutes, helper, note) values (?, ?, ?, ?, ?, ?, ?)",
        evening,
        car,
        day,
        starts,
        facts.minutes,
        facts.helper,
        facts.note,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

fn starts(facts: &EveningFacts) -> String {
    facts.starts.strftime("%H:%M").to_string()
}

/// Changes an evening that nobody changed since `rev` was read.
pub async fn change_evening(
    tx: &mut WriteTx,
    car: CarId,
    evening: EveningId,
    rev: i64,
    facts: &EveningFacts,
) -> Result<(), AppError> {
    let (day, starts) = (facts.day.to_string(), starts(facts));
    let done = sqlx::query!(
        r#"
        update evenings
        set day = ?, starts = ?, minutes = ?, helper = ?, note = ?, rev = rev + 1
        where id = ? and car_id = ? and rev = ? and gone_at is null
        "#,
        day,
        starts,
        facts.minutes,
        facts.helper,
        facts.note,
        evening,
        car,
        rev,
    )
    .execute(&mut **tx)
    .await?;
    changed_one(done.rows_affected())
}

/// Takes an evening away. Cards that were kept to it are free again.
pub async fn remove_evening(tx: &mut WriteTx, car: CarId, evening: EveningId, now: Moment) -> Result<(), AppError> {
    let done = sqlx::query!(
        "update evenings set gone_at = ? where id = ? and car_id = ? and gone_at is null",
        now.0,
        evening,
        car
    )
    .execute(&mut **tx)
    .await?;
    if done.rows_affected() == 0 {
        return Err(AppError::NotFound("such evening"));
    }
    sqlx::query!("delete from plan_pins where evening_id = ?", evening).execute(&mut **tx).await?;
    Ok(())
}

/// Whether a card is put off, and what it comes after. The caller has looked for rings, and that all are of one car.
pub async fn set_in_plan(tx: &mut WriteTx, card: CardId, put_off: bool, after: &[CardId]) -> Result<(), AppError> {
    sqlx::query!("update cards set put_off = ? where id = ?", put_off, card).execute(&mut **tx).await?;
    sqlx::query!("delete from card_after where card_id = ?", card).execute(&mut **tx).await?;
    for first in after {
        sqlx::query!("insert or ignore into card_after (card_id, after_id) values (?, ?)", card, first)
            .execute(&mut **tx)
            .await?;
    }
    Ok(())
}

/// Keeps all that is left of a card to one evening. The caller has looked that both are the car's.
pub async fn pin(tx: &mut WriteTx, card: CardId, evening: EveningId) -> Result<(), AppError> {
    sqlx::query!(
        r#"
        insert into plan_pins (card_id, evening_id) values (?, ?)
        on conflict (card_id) do update set evening_id = excluded.evening_id
        "#,
        card,
        evening
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Lets the plan choose the card's evening again.
pub async fn unpin(tx: &mut WriteTx, card: CardId) -> Result<(), AppError> {
    sqlx::query!("delete from plan_pins where card_id = ?", card).execute(&mut **tx).await?;
    Ok(())
}

/// Keeps a plan in place of the one kept before.
pub async fn keep_plan(tx: &mut WriteTx, car: CarId, plan: &Kept) -> Result<(), AppError> {
    sqlx::query!(
        r#"
        insert into kept_plans (car_id, made_at, plan, facts) values (?, ?, ?, ?)
        on conflict (car_id) do update set made_at = excluded.made_at, plan = excluded.plan, facts = excluded.facts
        "#,
        car,
        plan.made_at.0,
        plan.plan,
        plan.facts,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}
