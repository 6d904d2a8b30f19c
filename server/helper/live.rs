//! What changed, told at once: server-sent events (WHATWG HTML, 9.2), and the same in one answer for those who ask again and
//! again.

use super::presence::Around;
use super::views::JobView;
use crate::access::{Helper, Reader};
use crate::app::{HelperState, ReaderState};
use crate::db::Version;
use crate::error::AppError;
use crate::ids::CardId;
use crate::web::extract::Path;
use axum::Json;
use axum::extract::State;
use axum::response::sse::{Event, KeepAlive, Sse};
use futures_util::stream::{self, Stream};
use serde::Serialize;
use std::convert::Infallible;
use std::time::Duration;

/// How soon a change is told.
const LOOK_EVERY: Duration = Duration::from_millis(700);

/// What a helper's page compares with what it shows.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Told {
    /// Changes whenever the page does.
    tag: String,
}

async fn told(state: &HelperState, helper: &Helper) -> Result<Told, AppError> {
    let job = state.job.now(helper, state.clock.now()).await?;
    Ok(Told { tag: JobView::of(&job)?.drawn()?.tag })
}

/// `GET /h/now`
pub async fn now(State(state): State<HelperState>, helper: Helper) -> Result<Json<Told>, AppError> {
    state.presence.seen(&helper, state.clock.now());
    told(&state, &helper).await.map(Json)
}

/// `GET /h/live`: `told` whenever the page is to be fetched anew, `over` when the link has ended.
pub async fn live(
    State(state): State<HelperState>,
    helper: Helper,
) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let watch = Watch { state, helper, version: None, told: None, over: false };
    Sse::new(stream::unfold(watch, Watch::next)).keep_alive(KeepAlive::default())
}

struct Watch {
    state: HelperState,
    helper: Helper,
    version: Option<Version>,
    told: Option<Told>,
    over: bool,
}

impl Watch {
    async fn next(mut self) -> Option<(Result<Event, Infallible>, Watch)> {
        if self.over {
            return None;
        }
        loop {
            self.state.presence.seen(&self.helper, self.state.clock.now());
            match self.look().await {
                Ok(Some(told)) => return Some((Ok(event("told", &told)), self)),
                Ok(None) => {}
                Err(AppError::LinkOver) => {
                    self.over = true;
                    return Some((Ok(Event::default().event("over").data("{}")), self));
                }
                Err(cause) => tracing::warn!(%cause, "what a helper watches could not be looked at"),
            }
            tokio::time::sleep(LOOK_EVERY).await;
        }
    }

    /// What is to be told, if anything is new. That the link still holds is looked at each time: it ends by the clock too.
    async fn look(&mut self) -> Result<Option<Told>, AppError> {
        let version = self.state.job.version().await;
        let job = self.state.job.now(&self.helper, self.state.clock.now()).await?;
        if version.is_some() && version == self.version {
            return Ok(None);
        }
        self.version = version;
        let told = Told { tag: JobView::of(&job)?.drawn()?.tag };
        if self.told.as_ref() == Some(&told) {
            return Ok(None);
        }
        self.told = Some(told.clone());
        Ok(Some(told))
    }
}

fn event(name: &str, data: &impl Serialize) -> Event {
    // Plain structs of text: they always become JSON.
    Event::default().event(name).json_data(data).unwrap_or_default()
}

/// `GET /sync/helpers/{card}`: who is around, and how many could be.
pub async fn around(
    State(state): State<ReaderState>,
    _reader: Reader,
    Path(card): Path<CardId>,
) -> Result<Json<AroundCard>, AppError> {
    let now = state.clock.now();
    let links = super::store::of_card(&mut *state.read.conn().await?, card).await?;
    let links = links.iter().filter(|link| link.holds(now)).count();
    Ok(Json(AroundCard { links, around: state.presence.around(card, now) }))
}

#[derive(Debug, Serialize)]
pub struct AroundCard {
    links: usize,
    #[serde(flatten)]
    around: Around,
}

/// `GET /sync/helpers/{card}/live`: the event `around`, whenever somebody comes, goes or calls.
pub async fn around_live(
    State(state): State<ReaderState>,
    _reader: Reader,
    Path(card): Path<CardId>,
) -> Sse<impl Stream<Item = Result<Event, Infallible>>> {
    let told: Option<Around> = None;
    let stream = stream::unfold((state, told), move |(state, mut told)| async move {
        loop {
            let around = state.presence.around(card, state.clock.now());
            if told.as_ref() != Some(&around) {
                let said = event("around", &around);
                told = Some(around);
                return Some((Ok(said), (state, told)));
            }
            tokio::time::sleep(LOOK_EVERY).await;
        }
    });
    Sse::new(stream).keep_alive(KeepAlive::default())
}
