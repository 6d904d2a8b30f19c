//! A WAV file in one piece, as a page without scripts sends it: `multipart/form-data` (RFC 7578) with one file.

use super::wav::MOST_BYTES;
use crate::error::AppError;
use crate::photos::at_once::{malformed, read_up_to};
use axum::extract::{DefaultBodyLimit, FromRequest, Multipart, Request};

/// A browser shows an answer only after it was allowed to send all of its form, so a file that is too large is read on
/// and thrown away up to here, in bytes.
const MOST_READ: usize = 128 * 1024 * 1024;
/// In bytes.
const LONGEST_TEXT: usize = 4_000;

/// A form with what the clip is called, and the clip.
#[derive(Debug, Clone, Default)]
pub struct OneClip {
    pub caption: String,
    /// `None`: more than a clip may have. Empty: no file was chosen.
    pub file: Option<Vec<u8>>,
}

impl<S: Send + Sync> FromRequest<S> for OneClip {
    type Rejection = AppError;

    async fn from_request(mut request: Request, state: &S) -> Result<OneClip, AppError> {
        DefaultBodyLimit::max(MOST_READ).apply(&mut request);
        let mut form = Multipart::from_request(request, state).await?;
        let mut one = OneClip { file: Some(Vec::new()), ..OneClip::default() };
        while let Some(field) = form.next_field().await? {
            match field.name() {
                Some("caption") => {
                    let text = read_up_to(field, LONGEST_TEXT).await?.unwrap_or_default();
                    one.caption = String::from_utf8(text).map_err(|_| malformed("its words are no text"))?;
                }
                Some("file") => one.file = read_up_to(field, MOST_BYTES).await?,
                Some(_) | None => return Err(malformed("it has a field that does not belong to it")),
            }
        }
        Ok(one)
    }
}
