//! HTTP of moving house: cars as files, out and in.

use super::bring::{Brought, To, Wish, bring};
use super::document::SCHEMA_TEXT;
use super::out::{self, What};
use super::sheets::Sheet;
use super::views::{MovingPage, TakePage};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::cars::store as cars;
use crate::error::AppError;
use crate::ids::CarId;
use crate::web::extract::Path as In;
use crate::web::page::{Page, Place, show, show_again};
use crate::web::sheet;
use axum::body::Body;
use axum::extract::multipart::Field;
use axum::extract::{DefaultBodyLimit, FromRequest, Multipart, Request, State};
use axum::http::header::{CONTENT_DISPOSITION, CONTENT_LENGTH, CONTENT_TYPE};
use axum::response::{IntoResponse, Response};
use futures_util::stream;
use std::path::{Path, PathBuf};
use tempfile::TempDir;
use tokio::fs::File;
use tokio::io::{AsyncReadExt, AsyncWriteExt};

/// The car's own file among those of `/cars/{car}/take/{file}`.
const WHOLE_CAR: &str = "car.tar.gz";
/// Sent at a time, in bytes.
const PIECE: usize = 64 * 1024;

/// `GET /cars/{car}/take`
pub async fn take(State(state): State<ReaderState>, page: Page, In(car): In<CarId>) -> Result<Response, AppError> {
    let known = cars::get(&mut *state.read.conn().await?, car).await?;
    let page = page.at_desk(car, &known.name, Place::Car);
    show(&TakePage { page, car, name: known.name })
}

/// `GET /cars/{car}/take/{file}`: the whole car, or a table of it.
pub async fn file(
    State(state): State<ReaderState>,
    In((car, file)): In<(CarId, String)>,
) -> Result<Response, AppError> {
    if file == WHOLE_CAR {
        return archive(&state, What::Car(car), "car").await;
    }
    let sheet = file.strip_suffix(".csv").and_then(Sheet::from_name).ok_or(AppError::NotFound("such file"))?;
    let table = sheet.of(&state, car).await?;
    let headers = [(CONTENT_TYPE, sheet::MEDIA_TYPE.to_owned()), (CONTENT_DISPOSITION, attached(&sheet.file()))];
    Ok((headers, table).into_response())
}

/// `GET /moving/garage.tar.gz`
pub async fn garage(State(state): State<ReaderState>) -> Result<Response, AppError> {
    archive(&state, What::Garage, "garage").await
}

fn attached(name: &str) -> String {
    format!("attachment; filename=\"{name}\"")
}

/// The archive is whole on disk before its first byte is sent, so that trouble is told as a sentence.
async fn archive(state: &ReaderState, what: What, called: &str) -> Result<Response, AppError> {
    let scratch = state.scratch.folder()?;
    let made = scratch.path().join("export");
    let now = state.clock.now();
    out::write(&state.read, &state.photos, what, now, (&made, scratch.path())).await?;
    let file = File::open(&made).await.map_err(AppError::disk)?;
    let length = file.metadata().await.map_err(AppError::disk)?.len();
    let headers = [
        (CONTENT_TYPE, "application/gzip".to_owned()),
        (CONTENT_LENGTH, length.to_string()),
        (CONTENT_DISPOSITION, attached(&format!("{called}-{}.tar.gz", now.local().date()))),
    ];
    Ok((headers, Body::from_stream(pieces(file, scratch))).into_response())
}

/// The bytes of a file; its folder goes when the last of them is sent, or when nobody wants more.
fn pieces(file: File, folder: TempDir) -> impl futures_util::Stream<Item = std::io::Result<Vec<u8>>> {
    stream::try_unfold((file, folder), |(mut file, folder)| async move {
        let mut piece = vec![0; PIECE];
        let n = file.read(&mut piece).await?;
        piece.truncate(n);
        Ok((n > 0).then_some((piece, (file, folder))))
    })
}

/// `GET /schemas/underlamp-car-1.json`
pub async fn schema() -> Response {
    ([(CONTENT_TYPE, "application/schema+json")], SCHEMA_TEXT).into_response()
}

/// `GET /moving`
pub async fn ask(State(state): State<ReaderState>, page: Page) -> Result<Response, AppError> {
    let cars = cars::all(&mut *state.read.conn().await?).await?.len();
    show(&MovingPage::new(page, cars))
}

/// `POST /moving`: brings a file in.
pub async fn bring_in(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    sent: Sent,
) -> Result<Response, AppError> {
    let known = cars::all(&mut *state.read.conn().await?).await?.len();
    let told = if sent.bytes == 0 {
        Err("Choose the file first: it was taken out under ‘Moving house’ or ‘Take it with you’.".to_owned())
    } else {
        match bring_whole(state, owner, sent).await {
            Ok(brought) => Ok(brought),
            Err(AppError::Invalid(_, say)) => Err(say),
            Err(other) => return Err(other),
        }
    };
    match told {
        Ok(brought) => {
            let cars = known + brought.cars.len();
            show(&MovingPage { brought: Some(brought), ..MovingPage::new(page, cars) })
        }
        Err(refused) => show_again(&MovingPage { refused, ..MovingPage::new(page, known) }),
    }
}

/// In a task of its own: a browser that goes away cannot drop it half-way.
async fn bring_whole(state: OwnerState, owner: Owner, sent: Sent) -> Result<Brought, AppError> {
    let task = tokio::spawn(async move {
        let to = To { write: &state.write, photos: &state.photos, scratch: &state.scratch };
        bring(to, &owner, &sent.file, sent.wish).await
    });
    task.await.map_err(AppError::internal)?
}

/// A file that was sent, on disk, with what was chosen beside it.
pub struct Sent {
    file: PathBuf,
    bytes: u64,
    wish: Wish,
    _folder: TempDir,
}

impl FromRequest<OwnerState> for Sent {
    type Rejection = AppError;

    async fn from_request(mut request: Request, state: &OwnerState) -> Result<Sent, AppError> {
        // A garage may hold tens of thousands of photos: the limit is the room on the disk.
        DefaultBodyLimit::disable().apply(&mut request);
        let mut form = Multipart::from_request(request, state).await?;
        let folder = state.scratch.folder()?;
        let file = folder.path().join("sent");
        let (mut bytes, mut wish) = (0, Wish::default());
        while let Some(field) = form.next_field().await? {
            match field.name() {
                Some("file") => bytes = keep(field, &file).await?,
                Some("leave_known") => wish.leave_known = true,
                Some("chest") => wish.chest = true,
                Some(_) | None => {
                    let say = "This form could not be read: it has a field that does not belong to it.";
                    return Err(AppError::Invalid("malformed", say.into()));
                }
            }
        }
        Ok(Sent { file, bytes, wish, _folder: folder })
    }
}

/// Writes a field to disk as it comes. Answers its length in bytes.
///
/// A browser shows an answer only after it was allowed to send all of its form, so the rest of a file that does not fit is
/// read and thrown away.
async fn keep(mut field: Field<'_>, file: &Path) -> Result<u64, AppError> {
    let mut out = File::create(file).await.map_err(AppError::disk)?;
    let (mut bytes, mut trouble) = (0, None);
    while let Some(piece) = field.chunk().await.map_err(|_| cut_off())? {
        if trouble.is_none() {
            trouble = out.write_all(&piece).await.err();
        }
        bytes += piece.len() as u64;
    }
    match trouble {
        Some(cause) => Err(AppError::disk(cause)),
        None => out.flush().await.map(|()| bytes).map_err(AppError::disk),
    }
}

fn cut_off() -> AppError {
    AppError::Invalid("malformed", "The file did not arrive whole. Nothing was changed; send it again.".into())
}
