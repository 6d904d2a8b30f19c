//! SQL of specs and of what their sources say.

use super::model::{Says, SaysFacts, Spec, SpecFacts};
use crate::clock::Moment;
use crate::db::{WriteTx, changed_one};
use crate::error::AppError;
use crate::ids::{CarId, SpecId, SpecValueId};
use crate::photos::shelf::Sha256Hex;
use crate::trade::spec::{Kind, SourceKind, System};
use crate::trade::variant::{TheCar, judge};
use sqlx::SqliteConnection;
use std::collections::HashMap;

struct SpecRow {
    id: SpecId,
    car_id: CarId,
    system: String,
    item: String,
    place: String,
    kind: String,
    fastener: Option<String>,
    stages: Option<String>,
    bolts: Option<String>,
    variant: String,
    note: String,
    rev: i64,
}

struct SaysRow {
    id: SpecValueId,
    spec_id: SpecId,
    written: String,
    source_kind: String,
    citation: String,
    page: String,
    note: String,
    photo: Option<String>,
    settled: i64,
}

fn unreadable(table: &'static str, column: &'static str, id: impl std::fmt::Display) -> AppError {
    AppError::internal(format!("{table}.{column} of {id} holds nothing that is known"))
}

impl SpecRow {
    fn read(self, says: Vec<Says>, of: &TheCar) -> Result<Spec, AppError> {
        let system = System::from_name(&self.system).ok_or_else(|| unreadable("specs", "system", self.id))?;
        let kind = Kind::from_name(&self.kind).ok_or_else(|| unreadable("specs", "kind", self.id))?;
        let fastener = self.fastener.map(|json| serde_json::from_str(&json)).transpose().map_err(AppError::internal)?;
        let stages = self.stages.map(|json| serde_json::from_str(&json)).transpose().map_err(AppError::internal)?;
        let bolts = self.bolts.map(|json| serde_json::from_str(&json)).transpose().map_err(AppError::internal)?;
        let facts = SpecFacts {
            system,
            item: self.item,
            place: self.place,
            kind,
            fastener,
            stages: stages.unwrap_or_default(),
            bolts,
            variant: self.variant,
            note: self.note,
        };
        let holding = judge(&facts.variant, of);
        Ok(Spec { id: self.id, car: self.car_id, facts, says, holding, rev: self.rev })
    }
}

impl SaysRow {
    fn read(self) -> Result<Says, AppError> {
        let source = SourceKind::from_name(&self.source_kind)
            .ok_or_else(|| unreadable("spec_values", "source_kind", self.id))?;
        let photo = self.photo.as_deref().map(Sha256Hex::parse).transpose();
        let facts = SaysFacts {
            written: self.written,
            source,
            citation: self.citation,
            page: self.page,
            note: self.note,
            photo: photo.map_err(|_| unreadable("spec_values", "photo_sha256", self.id))?,
        };
        Ok(Says { id: self.id, facts, settled: self.settled != 0 })
    }
}

/// What variants are told apart by. A car that is not there has no codes.
async fn codes_of_car(conn: &mut SqliteConnection, car: CarId) -> Result<TheCar, AppError> {
    let row = sqlx::query!("select codes, year from cars where id = ?", car).fetch_optional(conn).await?;
    Ok(row.map(|row| TheCar::of(&row.codes, row.year)).unwrap_or_default())
}

/// The whole spec book of a car, by system and item.
pub async fn of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<Spec>, AppError> {
    let rows = sqlx::query_as!(
        SpecRow,
        r#"
        select id as "id: SpecId", car_id as "car_id: CarId", system, item, place, kind, fastener, stages, bolts,
            variant, note, rev
        from specs
        where car_id = ? and gone_at is null
        order by system, item, place, id
        "#,
        car
    )
    .fetch_all(&mut *conn)
    .await?;
    let says = sqlx::query_as!(
        SaysRow,
        r#"
        select spec_values.id as "id: SpecValueId", spec_id as "spec_id: SpecId", written, source_kind, citation, page,
            spec_values.note, photo_sha256 as photo, settled
        from spec_values join specs on specs.id = spec_values.spec_id
        where specs.car_id = ? and specs.gone_at is null and spec_values.gone_at is null
        order by spec_values.made_at, spec_values.id
        "#,
        car
    )
    .fetch_all(&mut *conn)
    .await?;
    let of = codes_of_car(conn, car).await?;
    let mut by_spec: HashMap<SpecId, Vec<Says>> = HashMap::new();
    for row in says {
        by_spec.entry(row.spec_id).or_default().push(row.read()?);
    }
    rows.into_iter()
        .map(|row| {
            let says = by_spec.remove(&row.id).unwrap_or_default();
            row.read(says, &of)
        })
        .collect()
}

/// One spec of a car.
pub async fn get(conn: &mut SqliteConnection, car: CarId, spec: SpecId) -> Result<Spec, AppError> {
    let row = sqlx::query_as!(
        SpecRow,
        r#"
        select id as "id: SpecId", car_id as "car_id: CarId", system, item, place, kind, fastener, stages, bolts,
            variant, note, rev
        from specs
        where id = ? and car_id = ? and gone_at is null
        "#,
        spec,
        car
    )
    .fetch_optional(&mut *conn)
    .await?
    .ok_or(AppError::NotFound("such spec"))?;
    let says = sqlx::query_as!(
        SaysRow,
        r#"
        select id as "id: SpecValueId", spec_id as "spec_id: SpecId", written, source_kind, citation, page, note,
            photo_sha256 as photo, settled
        from spec_values
        where spec_id = ? and gone_at is null
        order by made_at, id
        "#,
        spec
    )
    .fetch_all(&mut *conn)
    .await?;
    let of = codes_of_car(conn, car).await?;
    row.read(says.into_iter().map(SaysRow::read).collect::<Result<_, _>>()?, &of)
}

/// The JSON columns of a spec.
struct Columns {
    fastener: Option<String>,
    stages: Option<String>,
    bolts: Option<String>,
}

fn columns(facts: &SpecFacts) -> Result<Columns, AppError> {
    let fastener = facts.fastener.as_ref().map(serde_json::to_string).transpose().map_err(AppError::internal)?;
    let stages = (!facts.stages.is_empty())
        .then(|| serde_json::to_string(&facts.stages))
        .transpose()
        .map_err(AppError::internal)?;
    let bolts = facts.bolts.as_ref().map(serde_json::to_string).transpose().map_err(AppError::internal)?;
    Ok(Columns { fastener, stages, bolts })
}

pub async fn add(tx: &mut WriteTx, car: CarId, spec: SpecId, facts: &SpecFacts) -> Result<(), AppError> {
    let Columns { fastener, stages, bolts } = columns(facts)?;
    let (system, kind) = (facts.system.name(), facts.kind.name());
    sqlx::query!(
        r#"
        insert into specs (id, car_id, system, item, place, kind, fastener, stages, bolts, variant, note)
        values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
        "#,
        spec,
        car,
        system,
        facts.item,
        facts.place,
        kind,
        fastener,
        stages,
        bolts,
        facts.variant,
        facts.note,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Changes a spec that nobody changed since `rev` was read.
pub async fn change(tx: &mut WriteTx, car: CarId, spec: SpecId, rev: i64, facts: &SpecFacts) -> Result<(), AppError> {
    let Columns { fastener, stages, bolts } = columns(facts)?;
    let (system, kind) = (facts.system.name(), facts.kind.name());
    let done = sqlx::query!(
        r#"
        update specs
        set system = ?, item = ?, place = ?, kind = ?, fastener = ?, stages = ?, bolts = ?, variant = ?, note = ?,
            rev = rev + 1
        where id = ? and car_id = ? and rev = ? and gone_at is null
        "#,
        system,
        facts.item,
        facts.place,
        kind,
        fastener,
        stages,
        bolts,
        facts.variant,
        facts.note,
        spec,
        car,
        rev,
    )
    .execute(&mut **tx)
    .await?;
    changed_one(done.rows_affected())
}

/// Claims a spec for a change to its sources: errors unless nobody changed it since `rev` was read.
pub async fn claim(tx: &mut WriteTx, car: CarId, spec: SpecId, rev: i64) -> Result<(), AppError> {
    let done = sqlx::query!(
        "update specs set rev = rev + 1 where id = ? and car_id = ? and rev = ? and gone_at is null",
        spec,
        car,
        rev
    )
    .execute(&mut **tx)
    .await?;
    changed_one(done.rows_affected())
}

/// Takes a spec out of the book. Its row stays for the logbook.
pub async fn remove(tx: &mut WriteTx, car: CarId, spec: SpecId, now: Moment) -> Result<(), AppError> {
    let done =
        sqlx::query!("update specs set gone_at = ? where id = ? and car_id = ? and gone_at is null", now.0, spec, car)
            .execute(&mut **tx)
            .await?;
    if done.rows_affected() == 0 {
        return Err(AppError::NotFound("such spec"));
    }
    Ok(())
}

/// Adds what a source says of a spec.
pub async fn add_says(tx: &mut WriteTx, spec: SpecId, says: &Says, now: Moment) -> Result<(), AppError> {
    let (source, settled) = (says.facts.source.name(), says.settled);
    let photo = says.facts.photo.as_ref().map(Sha256Hex::as_str);
    sqlx::query!(
        r#"
        insert into spec_values (id, spec_id, written, source_kind, citation, page, note, photo_sha256, settled, made_at)
        values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
        "#,
        says.id,
        spec,
        says.facts.written,
        source,
        says.facts.citation,
        says.facts.page,
        says.facts.note,
        photo,
        settled,
        now.0,
    )
    .execute(&mut **tx)
    .await?;
    touch(tx, spec).await
}

pub async fn change_says(tx: &mut WriteTx, spec: SpecId, id: SpecValueId, facts: &SaysFacts) -> Result<(), AppError> {
    let source = facts.source.name();
    let photo = facts.photo.as_ref().map(Sha256Hex::as_str);
    let done = sqlx::query!(
        r#"
        update spec_values set written = ?, source_kind = ?, citation = ?, page = ?, note = ?, photo_sha256 = ?
        where id = ? and spec_id = ? and gone_at is null
        "#,
        facts.written,
        source,
        facts.citation,
        facts.page,
        facts.note,
        photo,
        id,
        spec,
    )
    .execute(&mut **tx)
    .await?;
    if done.rows_affected() == 0 {
        return Err(AppError::NotFound("such source"));
    }
    touch(tx, spec).await
}

pub async fn remove_says(tx: &mut WriteTx, spec: SpecId, id: SpecValueId, now: Moment) -> Result<(), AppError> {
    sqlx::query!("update spec_values set gone_at = ? where id = ? and spec_id = ?", now.0, id, spec)
        .execute(&mut **tx)
        .await?;
    touch(tx, spec).await
}

/// Settles a disagreement as the latest operation about it says, or opens it again. The other sources stay on record.
pub async fn settle_as_it_stands(tx: &mut WriteTx, spec: SpecId) -> Result<(), AppError> {
    sqlx::query!(
        r#"
        update spec_values
        set settled = id is (
            select body ->> '$.settled.on' from standing where subject_id = spec_values.spec_id and field = 'settled'
        )
        where spec_id = ? and gone_at is null
        "#,
        spec
    )
    .execute(&mut **tx)
    .await?;
    touch(tx, spec).await
}

async fn touch(tx: &mut WriteTx, spec: SpecId) -> Result<(), AppError> {
    sqlx::query!("update specs set rev = rev + 1 where id = ?", spec).execute(&mut **tx).await?;
    Ok(())
}
