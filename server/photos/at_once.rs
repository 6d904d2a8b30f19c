//! A photo in one piece, as a page without scripts sends it: `multipart/form-data` (RFC 7578) with one file.
//!
//! It goes the way of every photo: the shelf receives it, the pipeline looks at it, the store records it.

use super::pipeline::{MAX_BYTES, Refusal};
use super::routes::finish;
use super::shelf::{Sha256Hex, ShelfError, Standing};
use crate::access::Owner;
use crate::app::OwnerState;
use crate::error::AppError;
use axum::extract::multipart::{Field, MultipartError, MultipartRejection};
use axum::extract::{DefaultBodyLimit, FromRequest, Multipart, Request};
use bytes::Bytes;
use std::convert::Infallible;

/// A browser shows an answer only after it was allowed to send all of its form, so a file that is too large is read on
/// and thrown away up to here, in bytes.
const MOST_READ: usize = 512 * 1024 * 1024;
/// More than any text field of such a form holds, in bytes.
const LONGEST_TEXT: usize = 64;

/// A form with the revision that it is about, and one file.
pub struct OnePhoto {
    pub rev: i64,
    pub file: Sent,
}

/// What came as the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Sent {
    /// No file was chosen, or an empty one.
    Nothing,
    /// More than a photo may have.
    TooLarge,
    Whole(Bytes),
}

impl<S: Send + Sync> FromRequest<S> for OnePhoto {
    type Rejection = AppError;

    async fn from_request(mut request: Request, state: &S) -> Result<OnePhoto, AppError> {
        DefaultBodyLimit::max(MOST_READ).apply(&mut request);
        let mut form = Multipart::from_request(request, state).await?;
        let (mut rev, mut file) = (None, Sent::Nothing);
        while let Some(field) = form.next_field().await? {
            match field.name() {
                Some("rev") => rev = number(read_up_to(field, LONGEST_TEXT).await?),
                Some("file") => file = sent(read_up_to(field, most_of_a_photo()).await?),
                Some(_) | None => return Err(malformed("it has a field that does not belong to it")),
            }
        }
        Ok(OnePhoto { rev: rev.ok_or_else(|| malformed("its revision is missing"))?, file })
    }
}

fn most_of_a_photo() -> usize {
    usize::try_from(MAX_BYTES).unwrap_or(usize::MAX)
}

fn number(text: Option<Vec<u8>>) -> Option<i64> {
    String::from_utf8(text?).ok()?.parse().ok()
}

fn sent(bytes: Option<Vec<u8>>) -> Sent {
    match bytes {
        None => Sent::TooLarge,
        Some(bytes) if bytes.is_empty() => Sent::Nothing,
        Some(bytes) => Sent::Whole(Bytes::from(bytes)),
    }
}

/// All of a field; `None` when it is longer than `most`. It is read to its end either way.
pub(crate) async fn read_up_to(mut field: Field<'_>, most: usize) -> Result<Option<Vec<u8>>, AppError> {
    let mut kept = Some(Vec::new());
    while let Some(piece) = field.chunk().await? {
        kept = kept.filter(|bytes| bytes.len() + piece.len() <= most);
        if let Some(bytes) = &mut kept {
            bytes.extend_from_slice(&piece);
        }
    }
    Ok(kept)
}

pub(crate) fn malformed(why: &str) -> AppError {
    AppError::Invalid("malformed", format!("This form could not be read: {why}."))
}

impl From<MultipartRejection> for AppError {
    fn from(cause: MultipartRejection) -> AppError {
        malformed(cause.body_text().trim_end_matches('.'))
    }
}

impl From<MultipartError> for AppError {
    fn from(cause: MultipartError) -> AppError {
        if cause.status() == axum::http::StatusCode::PAYLOAD_TOO_LARGE {
            return Refusal::TooLarge.into();
        }
        malformed(cause.body_text().trim_end_matches('.'))
    }
}

impl From<Refusal> for AppError {
    fn from(refusal: Refusal) -> AppError {
        ShelfError::from(refusal).into()
    }
}

/// Brings in a whole photo, durably, and answers its name.
///
/// # Errors
/// [`AppError::Invalid`] and [`AppError::TooLarge`] with a sentence for whoever chose the file; trouble with the disk.
pub async fn bring_in(state: &OwnerState, owner: &Owner, bytes: Bytes) -> Result<Sha256Hex, AppError> {
    let sha = Sha256Hex::of(&bytes);
    let standing = state.photos.begin(&sha, bytes.len() as u64).await?;
    if let Standing::Receiving { offset, .. } = standing {
        // What an upload that was cut off left behind is the beginning of these bytes, or the hash will say so.
        let had = usize::try_from(offset).unwrap_or(usize::MAX).min(bytes.len());
        let pieces = futures_util::stream::iter([Ok::<_, Infallible>(bytes.slice(had..))]);
        state.photos.append(&sha, offset, pieces).await?;
    }
    finish(state, owner, &sha).await?;
    Ok(sha)
}
