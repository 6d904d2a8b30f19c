//! The clips of the demo car, and what turns on it.

use super::format::{DemoClip, DemoSounds};
use crate::clock::Moment;
use crate::db::WriteTx;
use crate::error::StartError;
use crate::ids::{CarId, TurningPartId};
use crate::photos::shelf::Sha256Hex;
use crate::sounds::form::{SpeedForm, TurnsForm};
use crate::sounds::{store, wav};
use crate::sync::wire::ClipBody;
use crate::web::form::Slips;
use std::collections::HashMap;

/// Answers the clips by file name; their captions are still empty.
pub(super) async fn add(tx: &mut WriteTx, car: CarId, now: Moment) -> Result<HashMap<String, ClipBody>, StartError> {
    let demo = super::read::<DemoSounds>("sounds.toml").map_err(StartError::Said)?;
    let fault = |say: String| StartError::Said(format!("seed/demo/sounds.toml: {say}"));
    let turns = demo.turns;
    let turns =
        TurnsForm { cylinders: turns.cylinders, cycle: turns.cycle, round: turns.round, axle: turns.axle, rev: 0 };
    let said = turns.read(&mut Slips::default()).ok_or_else(|| fault("its turns cannot be read".into()))?;
    store::keep_turns(tx, car, &said).await?;
    for part in &demo.part {
        part.read().map_err(|cause| fault(format!("{}: {cause}", part.name)))?;
        store::add_part(tx, car, TurningPartId::new(), part).await?;
    }
    let mut clips = HashMap::new();
    for DemoClip { file, turns } in demo.clip {
        let bytes = super::sound(&file).map_err(StartError::Said)?;
        let clip = wav::read(&bytes).map_err(|cause| fault(format!("{file}: {cause}")))?;
        let sha256 = Sha256Hex::of(&bytes).as_str().to_owned();
        store::keep(tx, &sha256, &bytes, &clip, now).await?;
        let form = SpeedForm { turns, ..SpeedForm::default() };
        let said =
            form.read(&mut Slips::default()).ok_or_else(|| fault(format!("{file}: its turns cannot be read")))?;
        store::keep_speeds(tx, car, &sha256, &said).await?;
        clips.insert(file, ClipBody { sha256, bytes: bytes.len() as u64, caption: String::new() });
    }
    Ok(clips)
}
