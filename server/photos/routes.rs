//! HTTP of photos: bytes come in by the protocol in DEVELOPERS.md, pictures go out.

use super::Pictures;
use super::pipeline::Refusal;
use super::shelf::{Kind, Sha256Hex, ShelfError, Standing};
use super::store::{self, PhotoRow};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::error::AppError;
use crate::web::extract::{Json, Path};
use axum::body::Body;
use axum::extract::State;
use axum::http::{HeaderMap, HeaderName, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use serde_json::json;

const OFFSET: HeaderName = HeaderName::from_static("upload-offset");
const LENGTH: HeaderName = HeaderName::from_static("upload-length");
const PIECE: &str = "application/offset+octet-stream";

impl From<ShelfError> for AppError {
    fn from(cause: ShelfError) -> AppError {
        let say = cause.to_string();
        match cause {
            ShelfError::NotStarted => AppError::NotFound("such upload"),
            ShelfError::WrongOffset { have } | ShelfError::Cut { have, .. } | ShelfError::Incomplete { have, .. } => {
                AppError::WrongOffset { have }
            }
            ShelfError::Superseded => AppError::Busy,
            ShelfError::TooLong { .. } | ShelfError::Refused(Refusal::TooLarge) => AppError::TooLarge(say),
            ShelfError::WrongHash => AppError::Invalid("wrong-hash", say),
            ShelfError::Refused(refusal) => AppError::Invalid(refusal_code(&refusal), say),
            ShelfError::DiskFull => AppError::DiskFull,
            ShelfError::Io(cause) => AppError::internal(cause),
        }
    }
}

fn refusal_code(refusal: &Refusal) -> &'static str {
    match refusal {
        Refusal::NotAPicture => "not-a-picture",
        Refusal::Unsupported(_) => "unsupported-picture",
        Refusal::TooManyPixels => "too-many-pixels",
        Refusal::Truncated | Refusal::Damaged => "damaged-picture",
        Refusal::TooLarge => "too-large",
    }
}

fn name(text: &str) -> Result<Sha256Hex, AppError> {
    Sha256Hex::parse(text).map_err(|cause| AppError::Invalid("malformed", cause.to_string()))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Begin {
    sha256: String,
    length: u64,
}

/// `POST /uploads`: announces a photo, and learns how much of it is here.
pub async fn begin(
    State(state): State<OwnerState>,
    owner: Owner,
    Json(asked): Json<Begin>,
) -> Result<Response, AppError> {
    let sha = name(&asked.sha256)?;
    let standing = state.photos.begin(&sha, asked.length).await?;
    answer(&state, &owner, &sha, standing).await
}

/// `PATCH /uploads/{sha256}`: adds a piece at an offset.
///
/// The body is handed on as it arrives, so the limit on other bodies does not matter here; the shelf has its own.
pub async fn piece(
    State(state): State<OwnerState>,
    owner: Owner,
    Path(sha): Path<String>,
    headers: HeaderMap,
    body: Body,
) -> Result<Response, AppError> {
    let sha = name(&sha)?;
    if headers.get(header::CONTENT_TYPE).is_none_or(|kind| kind != PIECE) {
        return Err(AppError::Invalid("malformed", format!("A piece of a photo comes as {PIECE}.")));
    }
    let at = headers
        .get(OFFSET)
        .and_then(|value| value.to_str().ok())
        .and_then(|text| text.parse::<u64>().ok())
        .ok_or_else(|| AppError::Invalid("malformed", "Upload-Offset must say where the piece begins.".into()))?;
    let standing = state.photos.append(&sha, at, body.into_data_stream()).await?;
    answer(&state, &owner, &sha, standing).await
}

/// Finishes the photo if all of it is here, and says how far it is.
async fn answer(state: &OwnerState, owner: &Owner, sha: &Sha256Hex, standing: Standing) -> Result<Response, AppError> {
    let waiting = match standing {
        Standing::Receiving { offset, .. } if !standing.awaits_finish() => Some(offset),
        Standing::Receiving { .. } | Standing::AlreadyHere => None,
    };
    if let Some(offset) = waiting {
        return Ok(axum::Json(json!({ "offset": offset, "done": false })).into_response());
    }
    let bytes = finish(state, owner, sha).await?;
    Ok(axum::Json(json!({ "offset": bytes, "done": true })).into_response())
}

/// Makes the finished photo of a complete upload and records it. Answers the length of its stored original in bytes.
pub(super) async fn finish(state: &OwnerState, owner: &Owner, sha: &Sha256Hex) -> Result<u64, AppError> {
    let photo = state.photos.finish(sha).await?;
    let original = state.photos.read(sha, Kind::Original).await?.ok_or(AppError::NotFound("such photo"))?;
    let row = PhotoRow {
        sha256: sha.as_str(),
        bytes: i64::try_from(original.length).map_err(AppError::internal)?,
        width: i64::from(photo.facts.size.width),
        height: i64::from(photo.facts.size.height),
    };
    let mut tx = state.write.begin(owner).await?;
    store::record(&mut tx, &row, state.clock.now()).await?;
    tx.commit().await?;
    Ok(original.length)
}

/// `HEAD /uploads/{sha256}`: how much is here.
pub async fn offset(
    State(state): State<OwnerState>,
    _owner: Owner,
    Path(sha): Path<String>,
) -> Result<Response, AppError> {
    let sha = name(&sha)?;
    let (offset, length) = match state.photos.offset(&sha).await? {
        Standing::Receiving { offset, length } => (offset, length),
        Standing::AlreadyHere => {
            let stored = state.photos.read(&sha, Kind::Original).await?.ok_or(AppError::NotFound("such photo"))?;
            (stored.length, stored.length)
        }
    };
    let headers = [(OFFSET, HeaderValue::from(offset)), (LENGTH, HeaderValue::from(length))];
    Ok((StatusCode::OK, headers).into_response())
}

/// `GET /photos/{sha256}/{which}`: `thumb`, `upright` or `original`.
pub async fn show(
    State(state): State<ReaderState>,
    Path((sha, which)): Path<(String, String)>,
) -> Result<Response, AppError> {
    let kind = match which.as_str() {
        "thumb" => Kind::Thumb,
        "upright" => Kind::Upright,
        "original" => Kind::Original,
        _ => return Err(AppError::NotFound("such picture")),
    };
    let sha = Sha256Hex::parse(&sha).map_err(|_| AppError::NotFound("such photo"))?;
    serve(&state.photos, &sha, kind).await
}

async fn serve(photos: &Pictures, sha: &Sha256Hex, kind: Kind) -> Result<Response, AppError> {
    let stored = photos.read(sha, kind).await?.ok_or(AppError::NotFound("such photo"))?;
    let bytes = tokio::fs::read(&stored.path).await.map_err(AppError::internal)?;
    let headers =
        [(header::CONTENT_TYPE, stored.media_type), (header::CACHE_CONTROL, "private, max-age=31536000, immutable")];
    Ok((headers, bytes).into_response())
}
