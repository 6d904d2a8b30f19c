//! Photos: brought in piece by piece, made upright and free of location, and shown.
//!
//! `pipeline` turns bytes into safe pictures, `shelf` keeps files on disk, `store` records the finished ones.
//! `at_once` takes a whole photo from a form of a page without scripts.

pub mod at_once;
pub mod pipeline;
pub mod routes;
pub mod shelf;
pub mod store;

use shelf::{Kind, PhotoShelf, Sha256Hex, ShelfError, StoredFile};

/// Finished photos to look at. Nothing can be brought in, changed or taken away through it.
#[derive(Clone)]
pub struct Pictures(PhotoShelf);

impl Pictures {
    pub fn of(shelf: &PhotoShelf) -> Pictures {
        Pictures(shelf.clone())
    }

    /// The file of a picture; `None` where its photo is not (all) here.
    ///
    /// # Errors
    /// When the photo folder cannot be read.
    pub async fn read(&self, sha: &Sha256Hex, kind: Kind) -> Result<Option<StoredFile>, ShelfError> {
        self.0.read(sha, kind).await
    }
}
