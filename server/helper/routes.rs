//! The helper's pages: shown, never changed.

use super::presence::Call;
use super::views::{AloudPage, EnterPage, JobView, StepAloud, WatchPage};
use crate::access::{Helper, LinkSecret, helper_cookie, helper_of};
use crate::app::{DoorState, HelperState};
use crate::error::AppError;
use crate::photos::shelf::{Kind, Sha256Hex};
use crate::web::extract::{Form, Path, Query};
use crate::web::page::{Page, show, show_again};
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Redirect, Response};
use axum_extra::extract::CookieJar;
use serde::Deserialize;

/// `GET /h`: a link opens here; its secret stands behind `#`, and the page's script hands it in.
pub async fn enter(page: Page) -> Result<Response, AppError> {
    show(&EnterPage { page: page.script("helper-enter"), error: String::new() })
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct HandedIn {
    link: String,
}

/// `POST /h/in`
pub async fn hand_in(
    State(state): State<DoorState>,
    page: Page,
    jar: CookieJar,
    Form(HandedIn { link }): Form<HandedIn>,
) -> Result<Response, AppError> {
    let now = state.clock.now();
    state.tries.check(now)?;
    let secret = LinkSecret::read(&link);
    let found = helper_of(&mut *state.read.conn().await?, &secret, now).await;
    match found {
        Ok(_) => Ok((jar.add(helper_cookie(secret, state.site.secure)), Redirect::to("/h/job")).into_response()),
        Err(AppError::LinkOver) => {
            state.tries.count_wrong(now);
            show_again(&EnterPage { page: page.script("helper-enter"), error: AppError::LinkOver.to_string() })
        }
        Err(other) => Err(other),
    }
}

async fn watch(state: &HelperState, page: Page, helper: &Helper, called: Option<Call>) -> Result<WatchPage, AppError> {
    let job = JobView::of(&state.job.now(helper, state.clock.now()).await?)?.drawn()?;
    Ok(WatchPage {
        page: page.script("helper"),
        job,
        may_ring: helper.may_ring(),
        called: called.map(|call| format!("You called ‘{}’.", call.label())).unwrap_or_default(),
    })
}

/// `GET /h/job`
pub async fn job(State(state): State<HelperState>, page: Page, helper: Helper) -> Result<Response, AppError> {
    state.presence.seen(&helper, state.clock.now());
    show(&watch(&state, page, &helper, None).await?)
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct WhichStep {
    step: Option<usize>,
}

/// `GET /h/aloud`: one step to be read aloud; the one at hand, or the one asked for.
pub async fn aloud(
    State(state): State<HelperState>,
    page: Page,
    helper: Helper,
    Query(WhichStep { step }): Query<WhichStep>,
) -> Result<Response, AppError> {
    state.presence.seen(&helper, state.clock.now());
    let view = JobView::of(&state.job.now(&helper, state.clock.now()).await?)?;
    let (tag, steps) = (view.drawn()?.tag, view.steps);
    let at_hand = steps.iter().find(|step| step.state == "now").or(steps.last());
    let shown = match step {
        Some(n) => steps.iter().find(|step| step.n == n),
        None => at_hand,
    };
    let shown = shown.ok_or(AppError::NotFound("such step"))?;
    let n = shown.n;
    show(&AloudPage {
        page: page.script("helper"),
        tag,
        step: StepAloud::of(shown, steps.len()),
        back: (n > 1).then(|| n - 1),
        on: (n < steps.len()).then_some(n + 1),
        chosen: step.is_some(),
    })
}

/// `GET /h/photos/{sha256}/{which}`: a photo of the job.
pub async fn photo(
    State(state): State<HelperState>,
    helper: Helper,
    Path((sha, which)): Path<(String, String)>,
) -> Result<Response, AppError> {
    let kind = match which.as_str() {
        "thumb" => Kind::Thumb,
        "upright" => Kind::Upright,
        _ => return Err(AppError::NotFound("such picture")),
    };
    let sha = Sha256Hex::parse(&sha).map_err(|_| AppError::NotFound("such photo"))?;
    let stored = state.job.photo(&helper, &sha, kind, state.clock.now()).await?;
    let bytes = tokio::fs::read(&stored.path).await.map_err(AppError::internal)?;
    // Not to be kept: the link may be taken back.
    Ok(([(header::CONTENT_TYPE, stored.media_type), (header::CACHE_CONTROL, "no-store")], bytes).into_response())
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Calling {
    what: String,
}

/// `POST /h/ring`: tells the restorer. Nothing is stored.
pub async fn ring(
    State(state): State<HelperState>,
    page: Page,
    helper: Helper,
    Form(Calling { what }): Form<Calling>,
) -> Result<Response, AppError> {
    let call = Call::from_name(&what)
        .ok_or_else(|| AppError::Invalid("malformed", "A helper can call ‘done’ or ‘stop’.".into()))?;
    state.presence.ring(&helper, call, state.clock.now())?;
    show(&watch(&state, page, &helper, Some(call)).await?)
}
