//! SQL of the limits.

use super::model::{Kept, Limit, LimitFacts, key_of};
use crate::db::{WriteTx, changed_one};
use crate::error::AppError;
use crate::ids::{CarId, SpecId};
use crate::specs::model::Spec;
use crate::trade::limits::{Inputs, Rule};
use sqlx::SqliteConnection;

struct LimitRow {
    what: String,
    rule: String,
    least_spec: Option<SpecId>,
    most_spec: Option<SpecId>,
    margin: String,
    cylinders: String,
    cells: String,
    wheel: String,
    figure: String,
    rim: String,
    rev: i64,
}

impl LimitRow {
    fn read(self) -> Result<Kept, AppError> {
        let rule = Rule::from_name(&self.rule)
            .ok_or_else(|| AppError::internal(format!("limits.rule of ‘{}’ holds nothing that is known", self.what)))?;
        let facts = LimitFacts {
            what: self.what,
            rule,
            least: self.least_spec,
            most: self.most_spec,
            margin: self.margin,
            inputs: Inputs {
                cylinders: self.cylinders,
                cells: self.cells,
                wheel: self.wheel,
                figure: self.figure,
                rim: self.rim,
            },
        };
        Ok(Kept { facts, rev: self.rev })
    }
}

/// The limits of a car by name.
pub async fn kept_of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Vec<Kept>, AppError> {
    let rows = sqlx::query_as!(
        LimitRow,
        r#"
        select what, rule, least_spec as "least_spec: SpecId", most_spec as "most_spec: SpecId", margin, cylinders, cells,
            wheel, figure, rim, rev
        from limits
        where car_id = ?
        order by key
        "#,
        car
    )
    .fetch_all(conn)
    .await?;
    rows.into_iter().map(LimitRow::read).collect()
}

/// The limits of a car, with the figures that `specs`, its spec book, has for them.
pub async fn of_car(conn: &mut SqliteConnection, car: CarId, specs: &[Spec]) -> Result<Vec<Limit>, AppError> {
    Ok(kept_of_car(conn, car).await?.iter().map(|kept| Limit::of(&kept.facts, specs)).collect())
}

pub async fn add(tx: &mut WriteTx, car: CarId, facts: &LimitFacts) -> Result<(), AppError> {
    let (key, rule, inputs) = (key_of(&facts.what), facts.rule.name(), &facts.inputs);
    let done = sqlx::query!(
        r#"
        insert into limits (car_id, key, what, rule, least_spec, most_spec, margin, cylinders, cells, wheel, figure, rim)
        values (?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)
        on conflict (car_id, key) do nothing
        "#,
        car,
        key,
        facts.what,
        rule,
        facts.least,
        facts.most,
        facts.margin,
        inputs.cylinders,
        inputs.cells,
        inputs.wheel,
        inputs.figure,
        inputs.rim,
    )
    .execute(&mut **tx)
    .await?;
    changed_one(done.rows_affected())
}

/// Changes a limit that nobody changed since `rev` was read.
pub async fn change(tx: &mut WriteTx, car: CarId, rev: i64, facts: &LimitFacts) -> Result<(), AppError> {
    let (key, rule, inputs) = (key_of(&facts.what), facts.rule.name(), &facts.inputs);
    let done = sqlx::query!(
        r#"
        update limits
        set rule = ?, least_spec = ?, most_spec = ?, margin = ?, cylinders = ?, cells = ?, wheel = ?, figure = ?, rim = ?,
            rev = rev + 1
        where car_id = ? and key = ? and rev = ?
        "#,
        rule,
        facts.least,
        facts.most,
        facts.margin,
        inputs.cylinders,
        inputs.cells,
        inputs.wheel,
        inputs.figure,
        inputs.rim,
        car,
        key,
        rev,
    )
    .execute(&mut **tx)
    .await?;
    changed_one(done.rows_affected())
}

pub async fn remove(tx: &mut WriteTx, car: CarId, what: &str) -> Result<(), AppError> {
    let key = key_of(what);
    let done = sqlx::query!("delete from limits where car_id = ? and key = ?", car, key).execute(&mut **tx).await?;
    if done.rows_affected() == 1 { Ok(()) } else { Err(AppError::NotFound("such limit")) }
}
