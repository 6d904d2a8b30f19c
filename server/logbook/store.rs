//! SQL of names: what every card, step, spec and part of a car is or was called; and of what a tick reached.

use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::{CarId, CardId, OpId};
use crate::trade::steps::Verb;
use sqlx::SqliteConnection;
use std::collections::HashMap;

/// Something that an operation can be about, by the name it has or last had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Thing {
    pub name: String,
    /// It was deleted since; the logbook still speaks of it.
    pub gone: bool,
    /// The card a step belongs to.
    pub card: Option<CardId>,
}

/// By the id as text, as operations hold it.
pub type Things = HashMap<String, Thing>;

/// Every thing on a car that operations may be about, deleted ones among them.
pub async fn things_of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Things, AppError> {
    let mut things = Things::new();
    add_cards(conn, car, &mut things).await?;
    add_steps(conn, car, &mut things).await?;
    add_specs(conn, car, &mut things).await?;
    add_parts(conn, car, &mut things).await?;
    Ok(things)
}

async fn add_cards(conn: &mut SqliteConnection, car: CarId, things: &mut Things) -> Result<(), AppError> {
    let rows = sqlx::query!("select id, title, gone_at from cards where car_id = ?", car).fetch_all(&mut *conn).await?;
    things.extend(
        rows.into_iter().map(|row| (row.id, Thing { name: row.title, gone: row.gone_at.is_some(), card: None })),
    );
    Ok(())
}

async fn add_steps(conn: &mut SqliteConnection, car: CarId, things: &mut Things) -> Result<(), AppError> {
    let rows = sqlx::query!(
        r#"
        select steps.id, card_id as "card: CardId", verb, object, words,
            coalesce(steps.gone_at, cards.gone_at) as "gone_at: i64"
        from steps join cards on cards.id = steps.card_id
        where cards.car_id = ?
        "#,
        car
    )
    .fetch_all(&mut *conn)
    .await?;
    for row in rows {
        let name = if row.words.trim().is_empty() { verb_and_object(&row.verb, &row.object) } else { row.words };
        things.insert(row.id, Thing { name, gone: row.gone_at.is_some(), card: Some(row.card) });
    }
    Ok(())
}

fn verb_and_object(verb: &str, object: &str) -> String {
    let verb = Verb::from_name(verb).map_or("", Verb::label);
    format!("{verb} {object}").trim().to_owned()
}

async fn add_specs(conn: &mut SqliteConnection, car: CarId, things: &mut Things) -> Result<(), AppError> {
    let rows =
        sqlx::query!("select id, item, place, gone_at from specs where car_id = ?", car).fetch_all(&mut *conn).await?;
    for row in rows {
        let name = if row.place.is_empty() { row.item } else { format!("{}, {}", row.item, row.place) };
        things.insert(row.id, Thing { name, gone: row.gone_at.is_some(), card: None });
    }
    Ok(())
}

async fn add_parts(conn: &mut SqliteConnection, car: CarId, things: &mut Things) -> Result<(), AppError> {
    let rows = sqlx::query!("select id, name, gone_at from parts where car_id = ?", car).fetch_all(conn).await?;
    things.extend(
        rows.into_iter().map(|row| (row.id, Thing { name: row.name, gone: row.gone_at.is_some(), card: None })),
    );
    Ok(())
}

/// Keeps what the spec book asked for when a step was ticked. `seq`: the place of the tick.
pub async fn add_reached(tx: &mut WriteTx, seq: i64, words: &str) -> Result<(), AppError> {
    sqlx::query!("insert into reached (op_seq, words) values (?, ?)", seq, words).execute(&mut **tx).await?;
    Ok(())
}

/// What ticked steps of a car reached, in words.
pub async fn reached_on_car(conn: &mut SqliteConnection, car: CarId) -> Result<HashMap<OpId, String>, AppError> {
    let rows = sqlx::query!(
        r#"
        select ops.id as "op: OpId", words
        from reached join ops on ops.seq = reached.op_seq
        where ops.car_id = ?
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    Ok(rows.into_iter().map(|row| (row.op, row.words)).collect())
}
