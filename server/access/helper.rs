//! The helper's link: a second way to become a reader, of one job and for a while.
//!
//! The link's secret stands behind `#` in its address, which browsers never send, so no log and no referrer holds it. The
//! page behind the link hands it in once, in a body, and the browser keeps it as a cookie that goes to `/h` only. The
//! database keeps its SHA-256.
//!
//! [`Helper`] is the proof of a link that holds. It has no method that writes, and a handler on a helper's route is given
//! [`HelperState`], in which there is no handle on the database at all, only [`OneJob`](crate::helper::job::OneJob):
//!
//! ```compile_fail
//! use axum::extract::State;
//! use axum::http::Method;
//! use underlamp::access::Table;
//! use underlamp::db::ReadDb;
//!
//! async fn curious(State(_everything): State<ReadDb>) {}
//! let table = Table::new().help(Method::GET, "/h/curious", curious);
//! ```
//!
//! ```
//! use axum::extract::State;
//! use axum::http::Method;
//! use underlamp::access::Table;
//! use underlamp::helper::job::OneJob;
//!
//! async fn modest(State(_job): State<OneJob>) {}
//! let table = Table::new().help(Method::GET, "/h/modest", modest);
//! ```

use super::session::{hash, new_secret};
use crate::app::{HelperState, OwnerState};
use crate::clock::Moment;
use crate::error::AppError;
use crate::helper::store;
use crate::ids::{CarId, CardId, HelperLinkId};
use axum::extract::{FromRequestParts, Request, State};
use axum::http::request::Parts;
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::CookieJar;
use axum_extra::extract::cookie::{Cookie, SameSite};

const COOKIE: &str = "underlamp-helper";
/// Where the cookie goes, and nowhere else.
const PLACE: &str = "/h";

/// Somebody who holds a link that is still good. Shows one job; changes nothing.
#[derive(Debug, Clone)]
pub struct Helper {
    link: HelperLinkId,
    car: CarId,
    card: CardId,
    label: String,
    may_ring: bool,
}

impl Helper {
    pub fn link(&self) -> HelperLinkId {
        self.link
    }

    pub fn car(&self) -> CarId {
        self.car
    }

    pub fn card(&self) -> CardId {
        self.card
    }

    pub fn label(&self) -> &str {
        &self.label
    }

    pub fn may_ring(&self) -> bool {
        self.may_ring
    }
}

/// The secret of a link, known only while the link is made or handed in: 256 random bits.
pub struct LinkSecret(String);

impl LinkSecret {
    pub fn random() -> LinkSecret {
        LinkSecret(new_secret())
    }

    /// Reads what was handed in: the whole address, or what stands behind its `#`.
    pub fn read(typed: &str) -> LinkSecret {
        let typed = typed.trim();
        LinkSecret(typed.rsplit_once('#').map_or(typed, |(_, secret)| secret).to_owned())
    }

    pub fn hash(&self) -> String {
        hash(&self.0)
    }

    /// The address for a calendar program, which can hand nothing in: the secret stands behind the question mark, which no
    /// log of ours keeps.
    pub fn calendar_address(&self, canonical: &str) -> String {
        format!("{canonical}/calendar/evenings.ics?key={}", self.0)
    }

    /// The address to hand on.
    pub fn address(&self, canonical: &str) -> String {
        format!("{canonical}{PLACE}#{}", self.0)
    }
}

/// The helper behind a secret. `Gone` where its link is over, was taken back or never was: a guess learns nothing.
pub async fn helper_of(
    conn: &mut sqlx::SqliteConnection,
    secret: &LinkSecret,
    now: Moment,
) -> Result<Helper, AppError> {
    let found = store::by_secret(conn, &secret.hash(), now).await?.ok_or(AppError::LinkOver)?;
    Ok(Helper { link: found.id, car: found.car, card: found.card, label: found.label, may_ring: found.may_ring })
}

/// The cookie by which a browser keeps a link; it lasts as long as the browser is open, and no longer than the link.
pub fn cookie(secret: LinkSecret, secure: bool) -> Cookie<'static> {
    Cookie::build((COOKIE, secret.0)).path(PLACE).http_only(true).same_site(SameSite::Strict).secure(secure).build()
}

/// Lets only holders of a good link past. Somebody on the way to a page is led to where the link is handed in.
pub async fn require_link(
    State(state): State<OwnerState>,
    jar: CookieJar,
    mut request: Request,
    next: Next,
) -> Response {
    let Some(held) = jar.get(COOKIE) else {
        return if super::session::wants_a_page(&request) {
            Redirect::to(PLACE).into_response()
        } else {
            AppError::NoLink.into_response()
        };
    };
    let secret = LinkSecret(held.value().to_owned());
    match find(&state, &secret).await {
        Ok(helper) => {
            request.extensions_mut().insert(helper);
            next.run(request).await
        }
        Err(error) => error.into_response(),
    }
}

async fn find(state: &OwnerState, secret: &LinkSecret) -> Result<Helper, AppError> {
    helper_of(&mut *state.read.conn().await?, secret, state.clock.now()).await
}

impl FromRequestParts<HelperState> for Helper {
    type Rejection = AppError;
    async fn from_request_parts(parts: &mut Parts, _: &HelperState) -> Result<Self, AppError> {
        parts.extensions.get::<Helper>().cloned().ok_or(AppError::NoLink)
    }
}
