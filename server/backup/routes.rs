//! HTTP of the backups: how they stand, where and when they are kept, and one at once.

use super::form::BackupForm;
use super::settings;
use super::views::BackupsPage;
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::error::AppError;
use crate::web::extract::Form;
use crate::web::form::Slips;
use crate::web::page::{Page, show, show_again};
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};

const HERE: &str = "/backups";

/// `GET /backups`
pub async fn show_them(State(state): State<ReaderState>, page: Page) -> Result<Response, AppError> {
    let standing = state.backups.standing().await?;
    show(&BackupsPage::new(page, standing, state.clock.now()))
}

/// `POST /backups`: tries the place, and keeps what was chosen if it can be used.
pub async fn set(
    State(state): State<OwnerState>,
    _owner: Owner,
    page: Page,
    Form(form): Form<BackupForm>,
) -> Result<Response, AppError> {
    let folder = state.backups.folder();
    let before = settings::load(folder).map_err(AppError::internal)?;
    let mut slips = Slips::default();
    if let Some(chosen) = form.read(folder, before.as_ref(), &mut slips) {
        let field = if form.kind == "folder" { "path" } else { "address" };
        let tried = match state.backups.target(&chosen.place) {
            Ok(target) => target.kept().await.map(drop).map_err(|trouble| trouble.to_string()),
            Err(say) => Err(say),
        };
        match tried {
            Ok(()) => {
                state.backups.set(&chosen).map_err(AppError::internal)?;
                tracing::info!(place = ?chosen.place, "backups are kept from now on");
                return Ok(Redirect::to(HERE).into_response());
            }
            Err(say) => slips.say(field, say),
        }
    }
    let standing = state.backups.standing().await?;
    let mut again = BackupsPage::new(page, standing, state.clock.now());
    // What was typed comes back, but for the password.
    again.form = BackupForm { password: String::new(), ..form };
    again.slips = slips;
    show_again(&again)
}

/// `POST /backups/now`: makes one in a task of its own; the page says how it goes.
pub async fn make_now(State(state): State<OwnerState>, _owner: Owner) -> Result<Response, AppError> {
    let standing = state.backups.standing().await?;
    if standing.under_way_since.is_none() && standing.settings.is_some() {
        tokio::spawn(async move {
            if let Err(trouble) = state.backups.make_one().await {
                tracing::warn!(%trouble, "no backup was made");
            }
        });
    }
    Ok(Redirect::to(HERE).into_response())
}

/// `POST /backups/stop`: none is made by itself any more.
pub async fn stop(State(state): State<OwnerState>, _owner: Owner) -> Result<Response, AppError> {
    state.backups.stop().map_err(AppError::internal)?;
    tracing::info!("no more backups are made by themselves");
    Ok(Redirect::to(HERE).into_response())
}
