//! The sources of a spec: added, changed, taken out, and settled on where they disagree.

use super::form::SaysForm;
use super::model::{Says, Spec};
use super::photo::{Candidates, after_adding};
use super::routes::{Rev, frame, to_spec};
use super::shown::said_by;
use super::store;
use super::views::{Beside, SaysPage, SpecPage};
use crate::access::Owner;
use crate::app::{OwnerState, ReaderState};
use crate::db::WriteTx;
use crate::error::AppError;
use crate::ids::{CarId, SpecId, SpecValueId};
use crate::sync::apply::do_in;
use crate::sync::wire::{Act, SettledBody, Subject};
use crate::web::extract::{Form, Path};
use crate::web::form::{Slips, show_collision};
use crate::web::page::{Page, show, show_again};
use axum::extract::State;
use axum::response::Response;
use serde::Deserialize;

/// Claims a spec of a car for a change to its sources. Errors where it is not there or was changed meanwhile.
pub(super) async fn claim(tx: &mut WriteTx, car: CarId, spec: SpecId, rev: i64) -> Result<Spec, AppError> {
    let known = store::get(tx, car, spec).await?;
    store::claim(tx, car, spec, rev).await?;
    Ok(known)
}

/// The source of a spec that an address names.
pub(super) fn source(spec: &Spec, says: SpecValueId) -> Result<&Says, AppError> {
    spec.says(says).ok_or(AppError::NotFound("such source"))
}

/// `POST /cars/{car}/specs/{spec}/says`: adds what another source says. Sources never collide: each is kept.
pub async fn add(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, spec)): Path<(CarId, SpecId)>,
    Form(typed): Form<SaysForm>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    let page = frame(&mut tx, page, car).await?;
    let spec = store::get(&mut tx, car, spec).await?;
    let mut slips = Slips::default();
    let candidates = Candidates::read(&mut tx, car).await?;
    let Some(facts) = candidates.facts(&typed, Some(spec.facts.kind), &mut slips) else {
        let beside = Beside::read(&mut tx, &state.clock, (car, spec.id)).await?;
        return show_again(&SpecPage::new(page, &spec, &beside, typed, slips));
    };
    let says = Says { id: SpecValueId::new(), facts, settled: false };
    store::add_says(&mut tx, spec.id, &says, state.clock.now()).await?;
    tx.commit().await?;
    Ok(after_adding(&typed, (car, spec.id, says.id)))
}

/// `GET /cars/{car}/specs/{spec}/says/{says}`
pub async fn edit(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, spec, says)): Path<(CarId, SpecId, SpecValueId)>,
) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let page = frame(&mut conn, page, car).await?;
    let spec = store::get(&mut conn, car, spec).await?;
    let form = SaysForm::from((source(&spec, says)?, spec.rev));
    let candidates = Candidates::read(&mut conn, car).await?;
    show(&SaysPage::new(page, &spec, says, form, Slips::default(), &candidates))
}

/// `POST /cars/{car}/specs/{spec}/says/{says}`
pub async fn change(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, spec, id)): Path<(CarId, SpecId, SpecValueId)>,
    Form(typed): Form<SaysForm>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    let page = frame(&mut tx, page, car).await?;
    let spec = store::get(&mut tx, car, spec).await?;
    let known = source(&spec, id)?;
    let mut slips = Slips::default();
    let candidates = Candidates::read(&mut tx, car).await?;
    let Some(facts) = candidates.facts(&typed, Some(spec.facts.kind), &mut slips) else {
        return show_again(&SaysPage::new(page, &spec, id, typed, slips, &candidates));
    };
    if typed.rev != spec.rev {
        let differs = typed.differing(known);
        let again = SaysForm { rev: spec.rev, ..typed };
        return show_collision(&SaysPage::new(page, &spec, id, again, slips, &candidates).differing(differs));
    }
    store::change_says(&mut tx, spec.id, id, &facts).await?;
    tx.commit().await?;
    Ok(to_spec(car, spec.id))
}

/// `POST /cars/{car}/specs/{spec}/says/{says}/remove`
pub async fn remove(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, spec, id)): Path<(CarId, SpecId, SpecValueId)>,
    Form(Rev { rev }): Form<Rev>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    let known = claim(&mut tx, car, spec, rev).await?;
    source(&known, id)?;
    store::remove_says(&mut tx, spec, id, state.clock.now()).await?;
    tx.commit().await?;
    Ok(to_spec(car, spec))
}

#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
pub struct SettleForm {
    rev: i64,
    /// The source settled on; empty: the question is open again.
    on: String,
    /// Why, in a line; may be empty.
    #[serde(default)]
    why: String,
}

/// `POST /cars/{car}/specs/{spec}/settle`: the restorer decides which source holds, or opens the question again.
pub async fn settle(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, spec)): Path<(CarId, SpecId)>,
    Form(typed): Form<SettleForm>,
) -> Result<Response, AppError> {
    let on = match typed.on.as_str() {
        "" => None,
        id => Some(id.parse().map_err(|_| AppError::NotFound("such source"))?),
    };
    let mut tx = state.write.begin(&owner).await?;
    let known = claim(&mut tx, car, spec, typed.rev).await?;
    let says = on.map(|id| source(&known, id)).transpose()?;
    let body = SettledBody {
        on: typed.on,
        say: says.map(|says| said_by(known.facts.kind, says)).unwrap_or_default(),
        why: typed.why.trim().to_owned(),
    };
    do_in(&mut tx, &owner, state.clock.now(), (car, None, Subject::Spec(spec)), Act::Settled(body)).await?;
    tx.commit().await?;
    Ok(to_spec(car, spec))
}
