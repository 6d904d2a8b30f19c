//! Whose turn it is: one request at a time touches an upload, and the newest wins.

use super::ShelfError;
use std::sync::Arc;
use tokio::sync::{OwnedMutexGuard, watch};

/// What the requests for one photo share. Lives as long as one of them.
#[derive(Debug, Default)]
pub(super) struct Upload {
    /// Number of the newest request.
    newest: watch::Sender<u64>,
    lock: Arc<tokio::sync::Mutex<()>>,
}

/// The right to touch the files of one photo. Moves into blocking work, so it outlives a dropped request.
pub(super) struct Turn {
    number: u64,
    upload: Arc<Upload>,
    _guard: OwnedMutexGuard<()>,
}

impl Turn {
    pub(super) async fn newest(upload: Arc<Upload>) -> Result<Self, ShelfError> {
        let mut number = 0;
        upload.newest.send_modify(|newest| {
            *newest += 1;
            number = *newest;
        });
        let mut newest = Newest { number, numbers: upload.newest.subscribe() };
        let guard = tokio::select! {
            biased;
            // A free lock is taken even if a newer request has come: else a crowd could wait in vain.
            guard = Arc::clone(&upload.lock).lock_owned() => guard,
            () = newest.passed() => return Err(ShelfError::Superseded),
        };
        Ok(Self { number, upload, _guard: guard })
    }

    pub(super) fn if_idle(upload: Arc<Upload>) -> Option<Self> {
        let guard = Arc::clone(&upload.lock).try_lock_owned().ok()?;
        let number = *upload.newest.borrow();
        Some(Self { number, upload, _guard: guard })
    }

    pub(super) fn watch(&self) -> Newest {
        Newest { number: self.number, numbers: self.upload.newest.subscribe() }
    }
}

/// Tells a request that a newer one for the same photo has come.
pub(super) struct Newest {
    number: u64,
    numbers: watch::Receiver<u64>,
}

impl Newest {
    pub(super) fn has_passed(&self) -> bool {
        *self.numbers.borrow() > self.number
    }

    pub(super) async fn passed(&mut self) {
        let number = self.number;
        // The sender lives in the `Upload` that this request's `Turn` holds. Were it gone, nobody could be newer.
        if self.numbers.wait_for(|newest| *newest > number).await.is_err() {
            std::future::pending::<()>().await;
        }
    }
}
