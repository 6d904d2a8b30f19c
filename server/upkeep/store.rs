//! SQL of upkeep.

use super::model::{Item, ItemFacts, Kept, Paper, WordFacts, WordKind};
use crate::clock::Moment;
use crate::db::{WriteTx, changed_one};
use crate::error::AppError;
use crate::ids::{CarId, CardId, PaperId, UpkeepItemId};
use crate::trade::calendar::Date;
use crate::trade::spec::SourceKind;
use crate::trade::upkeep::{Distance, DistanceUnit};
use sqlx::SqliteConnection;

/// Everything of a car.
pub async fn of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Kept, AppError> {
    Ok(Kept {
        items: items_of_car(&mut *conn, car).await?,
        papers: papers_of_car(&mut *conn, car).await?,
        words: words_of_car(&mut *conn, car).await?,
        stands_since: stands_since(conn, car).await?,
    })
}

/// A column that holds nothing that is known.
fn unreadable(column: &str, held: &str) -> AppError {
    AppError::internal(format!("{column} holds ‘{held}’, which is nothing that is known"))
}

fn unit(column: &str, held: &str) -> Result<DistanceUnit, AppError> {
    DistanceUnit::from_name(held).ok_or_else(|| unreadable(column, held))
}

async fn items_of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<Item>, AppError> {
    let rows = sqlx::query!(
        r#"
        select id as "id: UpkeepItemId", what, distance, unit, months, source_kind, citation, page,
            card_id as "card: CardId", rev
        from upkeep_items
        where car_id = ? and gone_at is null
        order by id
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter()
        .map(|row| {
            let source = SourceKind::from_name(&row.source_kind);
            let source = source.ok_or_else(|| unreadable("upkeep_items.source_kind", &row.source_kind))?;
            let facts = ItemFacts {
                what: row.what,
                distance: row.distance,
                unit: unit("upkeep_items.unit", &row.unit)?,
                months: row.months,
                source,
                citation: row.citation,
                page: row.page,
                card: row.card,
            };
            Ok(Item { id: row.id, facts, rev: row.rev })
        })
        .collect()
}

pub async fn add_item(tx: &mut WriteTx, car: CarId, item: UpkeepItemId, facts: &ItemFacts) -> Result<(), AppError> {
    let (unit, source) = (facts.unit.name(), facts.source.name());
    sqlx::query!(
        r#"
        insert into upkeep_items (id, car_id, what, distance, unit, months, source_kind, citation, page, card_id)
        values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
        "#,
        item,
        car,
        facts.what,
        facts.distance,
        unit,
        facts.months,
        source,
        facts.citation,
        facts.page,
        facts.card,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Changes an item that nobody changed since `rev` was read.
pub async fn change_item(
    tx: &mut WriteTx,
    (car, item): (CarId, UpkeepItemId),
    rev: i64,
    facts: &ItemFacts,
) -> Result<(), AppError> {
    let (unit, source) = (facts.unit.name(), facts.source.name());
    let done = sqlx::query!(
        r#"
        update upkeep_items
        set what = ?, distance = ?, unit = ?, months = ?, source_kind = ?, citation = ?, page = ?, card_id = ?,
            rev = rev + 1
        where id = ? and car_id = ? and rev = ? and gone_at is null
        "#,
        facts.what,
        facts.distance,
        unit,
        facts.months,
        source,
        facts.citation,
        facts.page,
        facts.card,
        item,
        car,
        rev,
    )
    .execute(&mut **tx)
    .await?;
    changed_one(done.rows_affected())
}

pub async fn remove_item(tx: &mut WriteTx, car: CarId, item: UpkeepItemId, now: Moment) -> Result<(), AppError> {
    let done = sqlx::query!(
        "update upkeep_items set gone_at = ? where id = ? and car_id = ? and gone_at is null",
        now.0,
        item,
        car
    )
    .execute(&mut **tx)
    .await?;
    if done.rows_affected() == 1 { Ok(()) } else { Err(AppError::NotFound("such item")) }
}

async fn papers_of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<Paper>, AppError> {
    let rows = sqlx::query!(
        r#"
        select id as "id: PaperId", day, number, unit, from_where
        from odometer_papers
        where car_id = ?
        order by day, id
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter()
        .map(|row| {
            let unit = unit("odometer_papers.unit", &row.unit)?;
            let day = Date::parse(&row.day).map_err(AppError::internal)?;
            let shown = Distance::read(&row.number, unit).map_err(AppError::internal)?;
            Ok(Paper { id: row.id, day, shown, from_where: row.from_where })
        })
        .collect()
}

pub async fn add_paper(tx: &mut WriteTx, car: CarId, paper: &Paper, now: Moment) -> Result<(), AppError> {
    let (day, number, unit) = (paper.day.to_string(), paper.shown.number().to_string(), paper.shown.unit().name());
    sqlx::query!(
        "insert into odometer_papers (id, car_id, day, number, unit, from_where, made_at) values (?, ?, ?, ?, ?, ?, ?)",
        paper.id,
        car,
        day,
        number,
        unit,
        paper.from_where,
        now.0,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// The latest word on each reading.
async fn words_of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<WordFacts>, AppError> {
    let rows = sqlx::query!(
        r#"
        select reading, kind, digits, first, first_unit, second, second_unit, note
        from odometer_words
        where id in (select max(id) from odometer_words where car_id = ? group by reading)
        order by id
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter()
        .map(|row| {
            let kind = match row.kind.as_str() {
                "" => None,
                name => Some(WordKind::from_name(name).ok_or_else(|| unreadable("odometer_words.kind", name))?),
            };
            Ok(WordFacts {
                reading: row.reading,
                kind,
                digits: row.digits,
                first: row.first,
                first_unit: row.first_unit,
                second: row.second,
                second_unit: row.second_unit,
                note: row.note,
            })
        })
        .collect()
}

pub async fn add_word(tx: &mut WriteTx, car: CarId, word: &WordFacts, now: Moment) -> Result<(), AppError> {
    let kind = word.kind.map_or("", WordKind::name);
    sqlx::query!(
        r#"
        insert into odometer_words (car_id, reading, kind, digits, first, first_unit, second, second_unit, note, made_at)
        values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
        "#,
        car,
        word.reading,
        kind,
        word.digits,
        word.first,
        word.first_unit,
        word.second,
        word.second_unit,
        word.note,
        now.0,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

async fn stands_since(conn: &mut SqliteConnection, car: CarId) -> Result<Option<Date>, AppError> {
    let since = sqlx::query_scalar!("select since from stays where car_id = ? and until is null", car)
        .fetch_optional(conn)
        .await?;
    since.map(|day| Date::parse(&day).map_err(AppError::internal)).transpose()
}

/// The car is put away. Errors where it stands already.
pub async fn begin_stay(tx: &mut WriteTx, car: CarId, since: Date, now: Moment) -> Result<(), AppError> {
    let since = since.to_string();
    let done = sqlx::query!(
        r#"
        insert into stays (car_id, since, made_at)
        select ?, ?, ?
        where not exists (select 1 from stays where car_id = ? and until is null)
        "#,
        car,
        since,
        now.0,
        car,
    )
    .execute(&mut **tx)
    .await?;
    changed_one(done.rows_affected())
}

/// The car runs again. Errors where it does not stand.
pub async fn end_stay(tx: &mut WriteTx, car: CarId, until: Date) -> Result<(), AppError> {
    let until = until.to_string();
    let done = sqlx::query!("update stays set until = ? where car_id = ? and until is null", until, car)
        .execute(&mut **tx)
        .await?;
    changed_one(done.rows_affected())
}
