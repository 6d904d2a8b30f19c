//! SQL of parts.

use crate::clock::Moment;
use crate::db::{WriteTx, changed_one};
use crate::error::AppError;
use crate::ids::{CarId, PartId};
use crate::sync::hlc::Hlc;
use crate::sync::wire::Act;
use crate::trade::buying::{Many, Move, Sort, Stage, Standing, standing};
use crate::trade::plan::Spread;
use sqlx::SqliteConnection;
use std::collections::HashMap;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PartFacts {
    pub sort: Sort,
    pub name: String,
    pub number: String,
    /// The number under its bars, where it is another than the part number.
    pub barcode: String,
    pub supplier: String,
    pub quantity: String,
    /// Of a part that is stored: as it follows from what was said and what came since.
    pub state: Stage,
    /// In hundredths of the currency.
    pub price_minor: Option<i64>,
    pub currency: String,
    /// ISO 8601 day; the earliest where there is a latest too.
    pub expected_on: Option<String>,
    pub expected_latest: Option<String>,
    /// How many days delivery takes.
    pub delivery: Option<Spread>,
    pub note: String,
}

impl PartFacts {
    /// One of a thing that is wanted, of which nothing else is known.
    pub fn wanted(name: &str) -> PartFacts {
        PartFacts {
            sort: Sort::Part,
            name: name.to_owned(),
            number: String::new(),
            barcode: String::new(),
            supplier: String::new(),
            quantity: "1".into(),
            state: Stage::Wanted,
            price_minor: None,
            currency: String::new(),
            expected_on: None,
            expected_latest: None,
            delivery: None,
            note: String::new(),
        }
    }
}

/// What was said of a part at the desk.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Said {
    pub stage: Stage,
    /// `None`: before this was kept.
    pub at: Option<Moment>,
    /// The last operation that was known then: only what came later counts beside it.
    pub after: i64,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    pub id: PartId,
    pub facts: PartFacts,
    pub said: Said,
    /// What came and was used since that was said comes to this.
    pub standing: Standing,
    /// When the last of it came or was used, of what counts.
    pub moved_at: Option<Moment>,
    pub rev: i64,
}

impl Part {
    /// A part of which nothing came yet.
    pub fn new(id: PartId, facts: PartFacts) -> Part {
        let standing = Standing { stage: facts.state, partly_here: None, partly_fitted: None };
        let said = Said { stage: facts.state, at: None, after: 0 };
        Part { id, facts, said, standing, moved_at: None, rev: 1 }
    }

    pub fn many(&self) -> Many {
        Many::parse(&self.facts.quantity)
    }

    /// As it was said, before anything came.
    pub fn untouched(self) -> Part {
        let facts = PartFacts { state: self.said.stage, ..self.facts };
        Part { said: self.said, rev: self.rev, ..Part::new(self.id, facts) }
    }
}

struct PartRow {
    id: PartId,
    sort: String,
    name: String,
    number: String,
    barcode: String,
    supplier: String,
    quantity: String,
    state: String,
    price_minor: Option<i64>,
    currency: String,
    expected_on: Option<String>,
    expected_latest: Option<String>,
    delivery_low: Option<i64>,
    delivery_likely: Option<i64>,
    delivery_high: Option<i64>,
    note: String,
    said_at: Option<i64>,
    said_after: i64,
    rev: i64,
}

impl PartRow {
    fn read(self, moves: &[Counted]) -> Result<Part, AppError> {
        let unknown = |column| AppError::internal(format!("parts.{column} of {} holds nothing that is known", self.id));
        let said = Stage::from_name(&self.state).ok_or_else(|| unknown("state"))?;
        let sort = Sort::from_name(&self.sort).ok_or_else(|| unknown("sort"))?;
        let delivery = delivery([self.delivery_low, self.delivery_likely, self.delivery_high]);
        let listed: Vec<(Move, &str)> = moves.iter().map(|one| (one.kind, one.quantity.as_str())).collect();
        let standing = standing(said, &Many::parse(&self.quantity), &listed);
        let facts = PartFacts {
            sort,
            name: self.name,
            number: self.number,
            barcode: self.barcode,
            supplier: self.supplier,
            quantity: self.quantity,
            state: standing.stage,
            price_minor: self.price_minor,
            currency: self.currency,
            expected_on: self.expected_on,
            expected_latest: self.expected_latest,
            delivery,
            note: self.note,
        };
        let said = Said { stage: said, at: self.said_at.map(Moment), after: self.said_after };
        let moved_at = moves.iter().map(|one| one.at).max();
        Ok(Part { id: self.id, facts, said, standing, moved_at, rev: self.rev })
    }
}

fn delivery([low, likely, high]: [Option<i64>; 3]) -> Option<Spread> {
    let days = |number: Option<i64>| number.and_then(|days| u32::try_from(days).ok());
    Spread::new(days(low)?, days(likely)?, days(high)?).ok()
}

/// Something that came or was used after it was said where its part is.
struct Counted {
    kind: Move,
    quantity: String,
    at: Moment,
}

async fn counted_on_car(conn: &mut SqliteConnection, car: CarId) -> Result<HashMap<PartId, Vec<Counted>>, AppError> {
    let rows = sqlx::query!(
        r#"
        select subject_id as "part: PartId", hlc, body
        from ops join parts on parts.id = ops.subject_id
        where ops.car_id = ? and ops.kind in ('part-used', 'arrival') and ops.seq > parts.said_after
        order by ops.seq
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    let mut counted: HashMap<PartId, Vec<Counted>> = HashMap::new();
    for row in rows {
        let act: Act = serde_json::from_str(&row.body).map_err(AppError::internal)?;
        let (kind, quantity) = match act {
            Act::Arrival(body) => (Move::Arrived, body.quantity),
            Act::PartUsed(body) => (Move::Used, body.quantity),
            _ => continue,
        };
        let at = row.hlc.parse::<Hlc>().unwrap_or(Hlc::ZERO).moment();
        counted.entry(row.part).or_default().push(Counted { kind, quantity, at });
    }
    Ok(counted)
}

pub async fn of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<Part>, AppError> {
    let rows = sqlx::query_as!(
        PartRow,
        r#"
        select id as "id: PartId", sort, name, number, barcode, supplier, quantity, state, price_minor, currency,
            expected_on, expected_latest, delivery_low, delivery_likely, delivery_high, note, said_at, said_after, rev
        from parts
        where car_id = ? and gone_at is null
        order by supplier, name, id
        "#,
        car
    )
    .fetch_all(&mut *conn)
    .await?;
    let counted = counted_on_car(conn, car).await?;
    rows.into_iter()
        .map(|row| {
            let moves = counted.get(&row.id).map_or(&[][..], Vec::as_slice);
            row.read(moves)
        })
        .collect()
}

pub async fn get(conn: &mut SqliteConnection, car: CarId, part: PartId) -> Result<Part, AppError> {
    let parts = of_car(conn, car).await?;
    parts.into_iter().find(|known| known.id == part).ok_or(AppError::NotFound("such part"))
}

/// Adds a part whose state is said `now`.
pub async fn add(
    tx: &mut WriteTx,
    car: CarId,
    part: PartId,
    facts: &PartFacts,
    now: Option<Moment>,
) -> Result<(), AppError> {
    let (sort, state, now) = (facts.sort.name(), facts.state.name(), now.map(|now| now.0));
    let [low, likely, high] = days(facts);
    sqlx::query!(
        r#"
        insert into parts (id, car_id, sort, name, number, barcode, supplier, quantity, state, price_minor, currency,
            expected_on, expected_latest, delivery_low, delivery_likely, delivery_high, note, said_at, said_after)
        values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, (select coalesce(max(seq), 0) from ops))
        "#,
        part,
        car,
        sort,
        facts.name,
        facts.number,
        facts.barcode,
        facts.supplier,
        facts.quantity,
        state,
        facts.price_minor,
        facts.currency,
        facts.expected_on,
        facts.expected_latest,
        low,
        likely,
        high,
        facts.note,
        now,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

fn days(facts: &PartFacts) -> [Option<u32>; 3] {
    let Some(days) = facts.delivery else { return [None; 3] };
    [days.low(), days.likely(), days.high()].map(Some)
}

/// Changes a part that nobody changed since `rev` was read. Its state stays as it follows: see [`say`].
pub async fn change(tx: &mut WriteTx, car: CarId, part: PartId, rev: i64, facts: &PartFacts) -> Result<(), AppError> {
    let sort = facts.sort.name();
    let [low, likely, high] = days(facts);
    let done = sqlx::query!(
        r#"
        update parts
        set sort = ?, name = ?, number = ?, barcode = ?, supplier = ?, quantity = ?, price_minor = ?, currency = ?,
            expected_on = ?, expected_latest = ?, delivery_low = ?, delivery_likely = ?, delivery_high = ?, note = ?,
            rev = rev + 1
        where id = ? and car_id = ? and rev = ? and gone_at is null
        "#,
        sort,
        facts.name,
        facts.number,
        facts.barcode,
        facts.supplier,
        facts.quantity,
        facts.price_minor,
        facts.currency,
        facts.expected_on,
        facts.expected_latest,
        low,
        likely,
        high,
        facts.note,
        part,
        car,
        rev,
    )
    .execute(&mut **tx)
    .await?;
    changed_one(done.rows_affected())
}

/// Says where a part is: what came and was used until now is in it. Only from wanted to ordered and back some of it may be
/// here already, and stays so.
pub async fn say(tx: &mut WriteTx, car: CarId, part: &Part, stage: Stage, now: Moment) -> Result<(), AppError> {
    let is_awaited = |stage| matches!(stage, Stage::Wanted | Stage::Ordered);
    let keeps = is_awaited(part.facts.state) && is_awaited(stage);
    let (state, id) = (stage.name(), part.id);
    sqlx::query!(
        r#"
        update parts set state = ?, said_at = ?, rev = rev + 1,
            said_after = case when ? then said_after else (select coalesce(max(seq), 0) from ops) end
        where id = ? and car_id = ? and gone_at is null
        "#,
        state,
        now.0,
        keeps,
        id,
        car,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// What came and was used until now was known when the states of the car's parts were said.
pub async fn all_known(tx: &mut WriteTx, car: CarId) -> Result<(), AppError> {
    sqlx::query!("update parts set said_after = (select coalesce(max(seq), 0) from ops) where car_id = ?", car)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// Where something was ordered, and when it is expected.
pub struct Order<'a> {
    pub supplier: &'a str,
    /// ISO 8601 days: the earliest and the latest.
    pub on: Option<&'a str>,
    pub latest: Option<&'a str>,
}

pub async fn ordered_at(tx: &mut WriteTx, car: CarId, part: PartId, order: &Order<'_>) -> Result<(), AppError> {
    sqlx::query!(
        r#"
        update parts set supplier = ?, expected_on = ?, expected_latest = ?
        where id = ? and car_id = ? and gone_at is null
        "#,
        order.supplier,
        order.on,
        order.latest,
        part,
        car,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

pub async fn remove(tx: &mut WriteTx, car: CarId, part: PartId, now: Moment) -> Result<(), AppError> {
    sqlx::query!("update parts set gone_at = ? where id = ? and car_id = ? and gone_at is null", now.0, part, car)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// Something of a part that came or was used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Moved {
    pub part: PartId,
    pub act: Act,
    pub hlc: String,
    pub device_name: Option<String>,
}

/// What came and what was used on a car, oldest first.
pub async fn moved_on_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<Moved>, AppError> {
    let rows = sqlx::query!(
        r#"
        select subject_id as "part: PartId", hlc, devices.name as "name?", body
        from ops left join devices on devices.id = ops.device_id
        where car_id = ? and ops.kind in ('part-used', 'arrival')
        order by hlc, device_id, ops.id
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter()
        .map(|row| {
            let act = serde_json::from_str(&row.body).map_err(AppError::internal)?;
            Ok(Moved { part: row.part, act, hlc: row.hlc, device_name: row.name })
        })
        .collect()
}
