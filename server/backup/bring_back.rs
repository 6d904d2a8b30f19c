//! `underlamp restore --from`: lists the backups that are kept in a place, and brings one of them back.

use super::restore;
use super::settings::Place;
use super::target::{Kept, PATIENCE, Target};
use super::trouble::Trouble;
use crate::config::{DataFolder, FromPlace};
use crate::error::StartError;
use crate::say::say;
use crate::web::words::day_and_time;
use std::io::BufRead;

fn said(trouble: Trouble) -> StartError {
    StartError::Said(format!("{trouble} Nothing was changed."))
}

/// Lists, or restores the one that was asked for, or the newest.
///
/// # Errors
/// The place cannot be used or holds none; anything `restore` says.
pub async fn from_place(folder: &DataFolder, from: &FromPlace) -> Result<(), StartError> {
    let place = place_of(from)?;
    let target = place.target(PATIENCE).map_err(StartError::Said)?;
    let kept = target.kept().await.map_err(said)?;
    if kept.is_empty() {
        return Err(StartError::Said(format!("{} holds no backup of a garage.", target.words())));
    }
    if from.list {
        kept.iter().for_each(|kept| say(line(kept)));
        return Ok(());
    }
    let chosen = match &from.which {
        Some(asked) => kept.iter().find(|kept| kept.name.to_string() == *asked),
        None => newest_of_one_garage(&kept)?,
    };
    let chosen = chosen.ok_or_else(|| {
        StartError::Said(format!("{} holds no such backup. See what it holds with --list.", target.words()))
    })?;
    bring_back(folder, &target, chosen).await
}

/// Two garages may keep theirs in one place; which of them is meant is not for the program to guess.
fn newest_of_one_garage(kept: &[Kept]) -> Result<Option<&Kept>, StartError> {
    let newest = kept.iter().max_by_key(|kept| kept.name.made_at);
    let series = newest.map(|kept| &kept.name.series);
    if kept.iter().any(|kept| Some(&kept.name.series) != series) {
        return Err(StartError::Said(
            "There are backups of more than one garage, or of one that was restored. See them with --list, and say which with --which.".into(),
        ));
    }
    Ok(newest)
}

fn line(kept: &Kept) -> String {
    let megabytes = kept.bytes.map_or("?".to_owned(), |bytes| (bytes / 1_000_000).to_string());
    format!("{}   {}   {megabytes} MB", kept.name, day_and_time(kept.name.made_at))
}

async fn bring_back(folder: &DataFolder, target: &Target, kept: &Kept) -> Result<(), StartError> {
    folder.make()?;
    let work = tempfile::tempdir().map_err(StartError::file("Cannot write to", &std::env::temp_dir()))?;
    let file = work.path().join(kept.name.to_string());
    target.fetch(&kept.name, &file).await.map_err(said)?;
    restore(folder, &file).await
}

fn place_of(from: &FromPlace) -> Result<Place, StartError> {
    let from_where = from.from.as_deref().unwrap_or_default();
    if !from_where.starts_with("http://") && !from_where.starts_with("https://") {
        return Ok(Place::Folder { path: from_where.into() });
    }
    let user = from.user.clone().unwrap_or_default();
    let password = match (&from.password, user.is_empty()) {
        (_, true) => String::new(),
        (Some(password), false) => password.clone(),
        (None, false) => ask_for_password()?,
    };
    Ok(Place::WebDav { address: from_where.to_owned(), user, password })
}

/// Never on the command line, where every user of the machine could read it.
fn ask_for_password() -> Result<String, StartError> {
    say("Password of that user (it shows as you type; UNDERLAMP_WEBDAV_PASSWORD avoids this question):");
    let mut line = String::new();
    std::io::stdin().lock().read_line(&mut line).map_err(|cause| StartError::Said(cause.to_string()))?;
    Ok(line.trim_end_matches(['\r', '\n']).to_owned())
}
