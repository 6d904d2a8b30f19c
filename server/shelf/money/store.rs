//! SQL of the budget and the worth of a car.

use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::CarId;
use crate::trade::buying::{Currency, Money};
use sqlx::SqliteConnection;

/// What may be spent on a car, and what it is worth to its owner: hundredths and their currency.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Limits {
    pub budget: Option<(i64, String)>,
    pub worth: Option<(i64, String)>,
}

impl Limits {
    pub fn budget(&self) -> Option<Money> {
        money(self.budget.as_ref())
    }

    pub fn worth(&self) -> Option<Money> {
        money(self.worth.as_ref())
    }
}

fn money(kept: Option<&(i64, String)>) -> Option<Money> {
    let (minor, currency) = kept?;
    Money::from_hundredths(*minor, Currency::parse(currency).ok()?).ok()
}

pub async fn of_car(conn: &mut SqliteConnection, car: CarId) -> Result<Limits, AppError> {
    let row = sqlx::query!(
        "select budget_minor, budget_currency, worth_minor, worth_currency from cars where id = ? and gone_at is null",
        car
    )
    .fetch_optional(conn)
    .await?
    .ok_or(AppError::NotFound("such car"))?;
    Ok(Limits {
        budget: row.budget_minor.map(|minor| (minor, row.budget_currency)),
        worth: row.worth_minor.map(|minor| (minor, row.worth_currency)),
    })
}

pub async fn keep(tx: &mut WriteTx, car: CarId, limits: &Limits) -> Result<(), AppError> {
    let parts = |kept: &Option<(i64, String)>| match kept {
        Some((minor, currency)) => (Some(*minor), currency.clone()),
        None => (None, String::new()),
    };
    let ((budget, budget_currency), (worth, worth_currency)) = (parts(&limits.budget), parts(&limits.worth));
    sqlx::query!(
        r#"
        update cars set budget_minor = ?, budget_currency = ?, worth_minor = ?, worth_currency = ?
        where id = ? and gone_at is null
        "#,
        budget,
        budget_currency,
        worth,
        worth_currency,
        car,
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}
