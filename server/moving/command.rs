//! `underlamp export` and `underlamp import`.

use super::bring::{Brought, To, Wish, bring};
use super::out::{self, What};
use crate::access::the_program_as;
use crate::cars::store as cars;
use crate::clock::Clock;
use crate::config::DataFolder;
use crate::error::StartError;
use crate::garage::{Garage, open_either_way};
use crate::ids::DeviceId;
use crate::photos::Pictures;
use crate::photos::shelf::PhotoShelf;
use crate::say::say;
use std::path::Path;

/// Takes the garage, or the car of this name, out into a new file. Also while the garage is running.
///
/// # Errors
/// The file exists; there is no garage, no such car, or more than one; trouble with the disk.
pub async fn export(folder: &DataFolder, file: &Path, car: Option<&str>, clock: &Clock) -> Result<(), StartError> {
    if file.exists() {
        return Err(StartError::Said(format!("{} exists already. Choose another name.", file.display())));
    }
    if !folder.database().exists() {
        return Err(StartError::Said(format!("There is no garage in {}.", folder.path().display())));
    }
    let db = open_either_way(folder, clock).await?;
    let what = match car {
        None => What::Garage,
        Some(asked) => What::Car(the_one(&cars::all(&mut *db.read.conn().await?).await?, asked)?),
    };
    let shelf = PhotoShelf::open(folder.photos()).await.map_err(|cause| StartError::Said(cause.to_string()))?;
    let scratch = tempfile::tempdir().map_err(StartError::file("Cannot write to", &std::env::temp_dir()))?;
    let written = out::write(&db.read, &Pictures::of(&shelf), what, clock.now(), (file, scratch.path())).await;
    db.close().await;
    if let Err(cause) = written {
        // Half a file would be taken for a whole one; that it cannot be removed changes nothing of the cause.
        let _ = std::fs::remove_file(file);
        return Err(cause.into());
    }
    say(format_args!("{} holds everything, each file with its checksum.", file.display()));
    Ok(())
}

/// The car that is called so, or has this id.
fn the_one(cars: &[cars::Car], asked: &str) -> Result<crate::ids::CarId, StartError> {
    let is_it = |car: &&cars::Car| car.name.eq_ignore_ascii_case(asked) || car.id.to_string() == asked;
    let found: Vec<&cars::Car> = cars.iter().filter(is_it).collect();
    match found[..] {
        [car] => Ok(car.id),
        [] => {
            let names: Vec<&str> = cars.iter().map(|car| car.name.as_str()).collect();
            Err(StartError::Said(format!("No car is called ‘{asked}’ here. There are: {}.", names.join(", "))))
        }
        _ => {
            let ids: Vec<String> = found.iter().map(|car| car.id.to_string()).collect();
            Err(StartError::Said(format!("More than one car is called ‘{asked}’. Say which: {}.", ids.join(", "))))
        }
    }
}

/// Brings an export in. The garage must not be running: a running one takes it in by its own page.
///
/// # Errors
/// The garage is running; the file is refused, with the reason; trouble with the disk.
pub async fn import(folder: &DataFolder, file: &Path, wish: Wish) -> Result<(), StartError> {
    let garage = Garage::open(folder, Clock::system()).await?;
    let to = To { write: &garage.db.write, photos: &garage.photos, scratch: &garage.scratch };
    let brought = bring(to, &the_program_as(DeviceId::new()), file, wish).await;
    garage.db.close().await;
    let Brought { cars, left, photos, tools } = brought?;
    say(format_args!("Brought in: {}; {photos} photos and {tools} tools that were not here.", listed(&cars)));
    if !left.is_empty() {
        say(format_args!("Here already, and left as they are: {}.", listed(&left)));
    }
    Ok(())
}

fn listed(names: &[String]) -> String {
    if names.is_empty() { "no car".into() } else { names.join(", ") }
}
