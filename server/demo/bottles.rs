//! The bottles of the demo car: what shops sell, and what stands on the shelf.

use super::format::DemoBottles;
use crate::clock::Moment;
use crate::db::WriteTx;
use crate::error::StartError;
use crate::fluids::bottles::{KeptFacts, SizeFacts};
use crate::fluids::store;
use crate::ids::{BottleId, CarId, ShelfFluidId};

pub(super) async fn add(tx: &mut WriteTx, car: CarId, now: Moment) -> Result<(), StartError> {
    let demo = super::read::<DemoBottles>("bottles.toml").map_err(StartError::Said)?;
    let fault = |fluid: &str| StartError::Said(format!("seed/demo/bottles.toml: ‘{fluid}’ cannot be read"));
    for size in demo.size {
        let super::format::DemoSize { fluid, holds, price_minor, currency } = size;
        let facts = SizeFacts { fluid, holds, price_minor, currency };
        facts.bottle().ok_or_else(|| fault(&facts.fluid))?;
        store::add_size(tx, car, BottleId::new(), &facts).await?;
    }
    for kept in demo.kept {
        let since = now.plus_days(-kept.days_ago).local().date().to_string();
        let facts = KeptFacts { fluid: kept.fluid, volume: kept.volume, opened: kept.opened, since };
        facts.on_shelf().ok_or_else(|| fault(&facts.fluid))?;
        store::add_kept(tx, car, ShelfFluidId::new(), &facts).await?;
    }
    Ok(())
}
