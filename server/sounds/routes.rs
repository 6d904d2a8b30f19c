//! Clips at the desk: brought in, heard, and held beside another.

use super::form::{SpeedForm, TurnsForm};
use super::listen::{Listened, listen};
use super::model::ClipRow;
use super::upload::OneClip;
use super::views::{BesidePage, ClipPage, Side, SoundsPage};
use super::wav::MOST_BYTES;
use super::{picture, store, wav};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::cars::store as cars;
use crate::db::ReadDb;
use crate::error::AppError;
use crate::ids::CarId;
use crate::photos::shelf::Sha256Hex;
use crate::sync::apply::do_in;
use crate::sync::wire::{Act, ClipBody, Subject};
use crate::trade::sound::Clip;
use crate::web::extract::{Form, Path, Query};
use crate::web::form::Slips;
use crate::web::page::{Page, Place, show, show_again};
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

const LONGEST_CAPTION: usize = 200;
const FOR_EVER: &str = "private, max-age=31536000, immutable";

pub(super) fn list_href(car: CarId) -> String {
    format!("/cars/{car}/sounds")
}

/// `GET /cars/{car}/sounds`
pub async fn list(State(state): State<ReaderState>, page: Page, Path(car): Path<CarId>) -> Result<Response, AppError> {
    show(&list_page(&state.read, page, car, String::new(), None, Slips::default()).await?)
}

async fn list_page(
    db: &ReadDb,
    page: Page,
    car: CarId,
    caption: String,
    turns: Option<TurnsForm>,
    slips: Slips,
) -> Result<SoundsPage, AppError> {
    let mut conn = db.conn().await?;
    let known = cars::get(&mut conn, car).await?;
    let clips = store::of_car(&mut conn, car).await?;
    let parts = store::parts(&mut conn, car).await?;
    let turns = match turns {
        Some(typed) => typed,
        None => TurnsForm::of(&store::turns(&mut conn, car).await?),
    };
    Ok(SoundsPage::new(page.at_desk(car, &known.name, Place::Car), car, &clips, &parts, caption, turns, slips))
}

/// `POST /cars/{car}/sounds`: a WAV file.
pub async fn bring(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    sent: OneClip,
) -> Result<Response, AppError> {
    let mut slips = Slips::default();
    let no_words = "Say what is heard, and when, such as whine at idle, cold.";
    let caption = slips.needed("caption", &sent.caption, LONGEST_CAPTION, no_words);
    let read = read_file(sent.file, &mut slips).await?;
    let Some((bytes, clip)) = read.filter(|_| slips.is_empty()) else {
        return show_again(&list_page(&state.read, page, car, sent.caption, None, slips).await?);
    };
    let sha256 = Sha256Hex::of(&bytes).as_str().to_owned();
    let (now, length) = (state.clock.now(), bytes.len() as u64);
    let mut tx = state.write.begin(&owner).await?;
    store::keep(&mut tx, &sha256, &bytes, &clip, now).await?;
    let act = Act::Clip(ClipBody { sha256: sha256.clone(), bytes: length, caption });
    do_in(&mut tx, &owner, now, (car, None, Subject::Car(car)), act).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("{}/{sha256}", list_href(car))).into_response())
}

/// The bytes and what they sound like; the slips say what is wrong with them.
async fn read_file(file: Option<Vec<u8>>, slips: &mut Slips) -> Result<Option<(Vec<u8>, Clip)>, AppError> {
    let Some(bytes) = file else {
        slips.say("file", format!("This file is larger than {} MiB. Cut out ten seconds.", MOST_BYTES / 1024 / 1024));
        return Ok(None);
    };
    if bytes.is_empty() {
        slips.say("file", "Choose the WAV file.");
        return Ok(None);
    }
    let (bytes, read) = blocking(move || {
        let read = wav::read(&bytes);
        (bytes, read)
    })
    .await?;
    match read {
        Ok(clip) => Ok(Some((bytes, clip))),
        Err(error) => {
            slips.say("file", error.to_string());
            Ok(None)
        }
    }
}

/// Work on samples takes a good part of a second: not on a thread that serves others.
async fn blocking<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> Result<T, AppError> {
    tokio::task::spawn_blocking(work).await.map_err(AppError::internal)
}

/// `POST /cars/{car}/sounds/turns`: what the shafts' speeds follow from.
pub async fn keep_turns(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path(car): Path<CarId>,
    Form(typed): Form<TurnsForm>,
) -> Result<Response, AppError> {
    let mut slips = Slips::default();
    let Some(said) = typed.read(&mut slips) else {
        return show_again(&list_page(&state.read, page, car, String::new(), Some(typed), slips).await?);
    };
    let mut tx = state.write.begin(&owner).await?;
    cars::get(&mut tx, car).await?;
    store::keep_turns(&mut tx, car, &said).await?;
    tx.commit().await?;
    Ok(Redirect::to(&list_href(car)).into_response())
}

/// A clip, read and heard.
async fn heard(db: &ReadDb, car: CarId, sha256: &str) -> Result<(ClipRow, Clip, Listened), AppError> {
    let mut conn = db.conn().await?;
    let clips = store::of_car(&mut conn, car).await?;
    let row = clips.into_iter().find(|clip| clip.sha256 == sha256).ok_or(AppError::NotFound("such clip"))?;
    let bytes = store::bytes(&mut conn, car, sha256).await?;
    let said = store::speeds(&mut conn, car, sha256).await?;
    let turns = store::turns(&mut conn, car).await?;
    drop(conn);
    let heard = blocking(move || wav::read(&bytes).map(|clip| (listen(&clip, &turns, &said), clip))).await?;
    let (listened, clip) = heard.map_err(AppError::internal)?;
    Ok((row, clip, listened))
}

/// `GET /cars/{car}/sounds/{clip}`
pub async fn clip(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, sha256)): Path<(CarId, String)>,
) -> Result<Response, AppError> {
    show(&clip_page(&state.read, page, car, &sha256, None, Slips::default()).await?)
}

async fn clip_page(
    db: &ReadDb,
    page: Page,
    car: CarId,
    sha256: &str,
    typed: Option<SpeedForm>,
    slips: Slips,
) -> Result<ClipPage, AppError> {
    let (row, clip, listened) = heard(db, car, sha256).await?;
    let mut conn = db.conn().await?;
    let known = cars::get(&mut conn, car).await?;
    let parts = store::parts(&mut conn, car).await?;
    let others = store::of_car(&mut conn, car).await?;
    let form = match typed {
        Some(typed) => typed,
        None => SpeedForm::of(&store::speeds(&mut conn, car, sha256).await?),
    };
    let page = page.at_desk(car, &known.name, Place::Car);
    let side = Side::new(car, &row, &clip, &listened, listened.top(clip.rate()));
    let list = listened.shortlist(&parts);
    Ok(ClipPage::new(page, car, (side, &listened, &list), &others, (form, slips)))
}

/// `POST /cars/{car}/sounds/{clip}`: the speeds while it was taken.
pub async fn keep_speeds(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, sha256)): Path<(CarId, String)>,
    Form(typed): Form<SpeedForm>,
) -> Result<Response, AppError> {
    let mut slips = Slips::default();
    let Some(said) = typed.read(&mut slips) else {
        return show_again(&clip_page(&state.read, page, car, &sha256, Some(typed), slips).await?);
    };
    let mut tx = state.write.begin(&owner).await?;
    store::bytes(&mut tx, car, &sha256).await?;
    store::keep_speeds(&mut tx, car, &sha256, &said).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("{}/{sha256}", list_href(car))).into_response())
}

/// `GET /cars/{car}/sounds/{clip}/sound.wav`: whole, or the piece that a player asks for.
pub async fn sound(
    State(state): State<ReaderState>,
    Path((car, sha256)): Path<(CarId, String)>,
    headers: HeaderMap,
) -> Result<Response, AppError> {
    let bytes = store::bytes(&mut *state.read.conn().await?, car, &sha256).await?;
    let kind =
        [(header::CONTENT_TYPE, "audio/wav"), (header::ACCEPT_RANGES, "bytes"), (header::CACHE_CONTROL, FOR_EVER)];
    let asked = headers.get(header::RANGE).and_then(|range| range.to_str().ok());
    let Some((from, to)) = asked.and_then(|range| piece(range, bytes.len())) else {
        return Ok((kind, bytes).into_response());
    };
    let place = format!("bytes {from}-{to}/{}", bytes.len());
    let part = bytes[from..=to].to_vec();
    Ok((StatusCode::PARTIAL_CONTENT, kind, [(header::CONTENT_RANGE, place)], part).into_response())
}

/// First and last byte of a single range that lies within `length` (RFC 9110, 14.1.2). Some browsers play no sound without;
/// what is not understood is answered whole, as it permits.
fn piece(range: &str, length: usize) -> Option<(usize, usize)> {
    let (from, to) = range.strip_prefix("bytes=")?.split_once('-')?;
    let last = length.checked_sub(1)?;
    let (from, to) = match (from, to) {
        ("", tail) => (length.checked_sub(tail.parse::<usize>().ok()?.min(length))?, last),
        (from, "") => (from.parse().ok()?, last),
        (from, to) => (from.parse().ok()?, to.parse::<usize>().ok()?.min(last)),
    };
    (from <= to).then_some((from, to))
}

/// Up to which frequency a picture goes.
#[derive(Debug, Deserialize)]
pub struct UpTo {
    #[serde(default = "usual_top")]
    top: u32,
}

fn usual_top() -> u32 {
    4_000
}

/// `GET /cars/{car}/sounds/{clip}/levels.png?top=…`
pub async fn levels(
    State(state): State<ReaderState>,
    Path((car, sha256)): Path<(CarId, String)>,
    Query(asked): Query<UpTo>,
) -> Result<Response, AppError> {
    let bytes = store::bytes(&mut *state.read.conn().await?, car, &sha256).await?;
    let draw = move || {
        let clip = wav::read(&bytes).map_err(AppError::internal)?;
        picture::draw(&clip, f64::from(asked.top))
    };
    let png = blocking(draw).await??;
    Ok(([(header::CONTENT_TYPE, "image/png"), (header::CACHE_CONTROL, FOR_EVER)], png).into_response())
}

/// The clip to hold beside.
#[derive(Debug, Deserialize)]
pub struct Other {
    #[serde(default)]
    after: String,
}

/// `GET /cars/{car}/sounds/{clip}/beside?after=…`
pub async fn beside(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, sha256)): Path<(CarId, String)>,
    Query(other): Query<Other>,
) -> Result<Response, AppError> {
    let (first_row, first_clip, first) = heard(&state.read, car, &sha256).await?;
    let (second_row, second_clip, second) = heard(&state.read, car, &other.after).await?;
    let known = cars::get(&mut *state.read.conn().await?, car).await?;
    let top = first.top(first_clip.rate()).max(second.top(second_clip.rate()));
    let before = Side::new(car, &first_row, &first_clip, &first, top);
    let after = Side::new(car, &second_row, &second_clip, &second, top);
    show(&BesidePage::new(page.at_desk(car, &known.name, Place::Car), car, (before, &first), (after, &second)))
}

#[cfg(test)]
mod tests {
    use super::piece;

    #[test]
    fn a_player_is_given_the_piece_it_asks_for_and_nothing_beyond_the_clip() {
        for (range, found) in [
            ("bytes=0-", Some((0, 99))),
            ("bytes=10-19", Some((10, 19))),
            ("bytes=90-500", Some((90, 99))),
            ("bytes=-10", Some((90, 99))),
            ("bytes=-500", Some((0, 99))),
            ("bytes=-0", None),
            ("bytes=100-", None),
            ("bytes=9-3", None),
            ("bytes=0-1,5-6", None),
            ("samples=0-1", None),
            ("bytes=", None),
        ] {
            assert_eq!(piece(range, 100), found, "{range}");
        }
        assert_eq!(piece("bytes=0-", 0), None);
    }
}
