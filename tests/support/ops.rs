//! Operations as phones make them, and a small car for them to be about.

use super::TestApp;
use serde_json::{Value, json};
use underlamp::access::Table;
use underlamp::clock::Moment;
use underlamp::ids::{CarId, CardId, DeviceId, OpId, StepId};
use underlamp::sync::hlc::Hlc;

/// Ids of a car with one card of a few steps, taken from the demo.
#[derive(Debug, Clone)]
pub struct SmallCar {
    pub car: CarId,
    pub card: CardId,
    pub steps: Vec<StepId>,
}

impl SmallCar {
    /// The demo's car and the card of it that has the most steps.
    pub async fn of(app: &TestApp) -> SmallCar {
        let mut conn = app.state.read.conn().await.unwrap();
        let car = underlamp::cars::store::all(&mut conn).await.unwrap()[0].id;
        let steps = underlamp::jobs::store::steps_of_car(&mut conn, car).await.unwrap();
        let cards = underlamp::jobs::store::cards_of_car(&mut conn, car).await.unwrap();
        let of = |card: CardId| -> Vec<StepId> {
            steps.iter().filter(|step| step.card == card).map(|step| step.id).collect()
        };
        let card = cards.iter().map(|card| card.id).max_by_key(|card| of(*card).len()).unwrap();
        SmallCar { car, card, steps: of(card) }
    }

    pub fn op(&self, device: DeviceId, hlc: Hlc, on: Value, act: Value) -> Value {
        json!({
            "id": OpId::new(), "device": device, "hlc": hlc.to_string(), "car": self.car, "card": self.card,
            "on": on, "do": act,
        })
    }

    pub fn tick(&self, device: DeviceId, hlc: Hlc, step: StepId, state: &str) -> Value {
        self.op(device, hlc, json!({ "step": step }), json!({ "tick": { "state": state } }))
    }

    pub fn note(&self, device: DeviceId, hlc: Hlc, text: &str) -> Value {
        self.op(device, hlc, json!({ "card": self.card }), json!({ "note": { "text": text } }))
    }
}

/// The clock reading of a device that looks at its clock for the first time.
pub fn at(moment: Moment) -> Hlc {
    Hlc::ZERO.next(moment)
}

/// Routes with which a test does to the garage what no phone can: delete a card, leave the disk no room.
pub fn god_routes() -> Table {
    use axum::extract::{Path, State};
    use axum::http::Method;
    use underlamp::access::Owner;
    use underlamp::db::WriteDb;
    use underlamp::error::AppError;

    async fn delete_card(
        State(write): State<WriteDb>,
        owner: Owner,
        Path((car, card)): Path<(CarId, CardId)>,
    ) -> Result<(), AppError> {
        let mut tx = write.begin(&owner).await?;
        underlamp::jobs::store::remove_card(&mut tx, car, card, Moment(1)).await?;
        tx.commit().await
    }

    async fn no_room(State(write): State<WriteDb>, owner: Owner, Path(pages): Path<u32>) -> Result<(), AppError> {
        let mut tx = write.begin(&owner).await?;
        sqlx::query(sqlx::AssertSqlSafe(format!("pragma max_page_count = {pages}"))).execute(&mut *tx).await?;
        tx.commit().await
    }

    Table::new().write(Method::POST, "/test/delete/{car}/{card}", delete_card).write(
        Method::POST,
        "/test/pages/{pages}",
        no_room,
    )
}
