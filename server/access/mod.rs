//! Who may come in, and what they may do.
//!
//! A browser is *paired* by a one-time code and then holds a session cookie. There are two kinds of
//! authority, and they are types:
//!
//! - [`Reader`]: a paired browser on a route that only shows. Its state ([`ReaderState`]) holds no writing
//!   handle, so such a handler cannot write, whoever calls it.
//! - [`Helper`]: whoever holds the link to one job. Reads that job, and can reach nothing else: see `helper.rs`.
//! - [`Owner`]: a paired browser on a route that changes something. It is the proof that
//!   [`WriteDb::begin`](crate::db::WriteDb::begin) asks for, and can only be made in this folder.
//!
//! A handler on a reader's route that asks for a writing handle does not compile:
//!
//! ```compile_fail
//! use axum::extract::State;
//! use axum::http::Method;
//! use underlamp::access::Table;
//! use underlamp::db::WriteDb;
//!
//! async fn sly(State(_write): State<WriteDb>) {}
//! let table = Table::new().read(Method::GET, "/sly", sly);
//! ```
//!
//! while the same handler on an owner's route does:
//!
//! ```
//! use axum::extract::State;
//! use axum::http::Method;
//! use underlamp::access::Table;
//! use underlamp::db::WriteDb;
//!
//! async fn honest(State(_write): State<WriteDb>) {}
//! let table = Table::new().write(Method::POST, "/honest", honest);
//! ```

mod cross_site;
mod helper;
mod pairing;
pub mod routes;
mod session;
mod store;
mod table;

pub use cross_site::refuse_cross_site;
pub use helper::{Helper, LinkSecret, cookie as helper_cookie, helper_of};
pub use pairing::{Code, Tries, new_code};
pub use routes::qr_svg;
pub use session::{Paired, require_pairing};
pub use table::{Listed, Table, Who};

use crate::app::{OwnerState, ReaderState};
use crate::clock::Moment;
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::DeviceId;
use axum::extract::FromRequestParts;
use axum::http::request::Parts;

/// Proof that a paired browser asks for a change. Made only from a valid session.
#[derive(Debug, Clone, Copy)]
pub struct Owner {
    device: DeviceId,
}

impl Owner {
    pub fn device(&self) -> DeviceId {
        self.device
    }
}

/// A paired browser that is only shown something.
#[derive(Debug, Clone, Copy)]
pub struct Reader {
    device: DeviceId,
}

impl Reader {
    pub fn device(&self) -> DeviceId {
        self.device
    }
}

/// Proof of standing at the door: pairing, and keeping sessions alive. Made only in this folder.
pub struct Doorkeeper(());

/// Remembers that the owner's device has stored something of ours, so that a loss can be told.
pub async fn kept_something(tx: &mut WriteTx, owner: &Owner) -> Result<(), AppError> {
    store::kept_something(tx, owner.device).await
}

/// Gives the program's own doings a device, so that the logbook can say who did them. It cannot come in.
pub(crate) async fn add_program_device(
    tx: &mut WriteTx,
    device: DeviceId,
    name: &str,
    now: Moment,
) -> Result<(), AppError> {
    store::add_device(tx, device, name, "desk", now).await
}

/// An owner for the program itself: the demo and the command line write as this device.
pub(crate) fn the_program_as(device: DeviceId) -> Owner {
    Owner { device }
}

impl FromRequestParts<OwnerState> for Owner {
    type Rejection = AppError;
    async fn from_request_parts(parts: &mut Parts, _: &OwnerState) -> Result<Self, AppError> {
        let paired = parts.extensions.get::<Paired>().ok_or(AppError::NotPaired)?;
        Ok(Owner { device: paired.device })
    }
}

impl FromRequestParts<ReaderState> for Reader {
    type Rejection = AppError;
    async fn from_request_parts(parts: &mut Parts, _: &ReaderState) -> Result<Self, AppError> {
        let paired = parts.extensions.get::<Paired>().ok_or(AppError::NotPaired)?;
        Ok(Reader { device: paired.device })
    }
}
