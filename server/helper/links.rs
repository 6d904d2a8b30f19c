//! The restorer's page of a card's links: made, looked at, taken back.

use super::store::{self, Link};
use super::views::{LinkForm, LinksPage, Made, ShownLink};
use crate::access::{LinkSecret, Owner, qr_svg};
use crate::app::{OwnerState, ReaderState};
use crate::clock::Moment;
use crate::error::AppError;
use crate::ids::{CarId, CardId, HelperLinkId};
use crate::jobs::routes::frame;
use crate::jobs::store as jobs;
use crate::web::extract::{Form, Path};
use crate::web::form::Slips;
use crate::web::page::{Page, show, show_again};
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use sqlx::SqliteConnection;

const LONGEST_LABEL: usize = 60;
/// Longest life of a link, in days: for longer, a new one is made.
const LONGEST_DAYS: i64 = 366;
/// Its life unless another day is chosen.
const USUAL_DAYS: i64 = 7;

/// `GET /cars/{car}/cards/{card}/helper`
pub async fn links(
    State(state): State<ReaderState>,
    page: Page,
    Path((car, card)): Path<(CarId, CardId)>,
) -> Result<Response, AppError> {
    let now = state.clock.now();
    let form = LinkForm { ends_on: day_text(now.plus_days(USUAL_DAYS)), ..LinkForm::default() };
    let mut conn = state.read.conn().await?;
    let shown = shown(&mut conn, page, (car, card), &state, now).await?;
    show(&LinksPage { form, ..shown })
}

/// The links of a card as they stand, with an empty form.
async fn shown(
    conn: &mut SqliteConnection,
    page: Page,
    (car, card): (CarId, CardId),
    state: &ReaderState,
    now: Moment,
) -> Result<LinksPage, AppError> {
    let page = frame(&mut *conn, page, car).await?;
    let title = jobs::card(&mut *conn, car, card).await?.facts.title;
    let watching = state.presence.around(card, now).watching;
    let links = store::of_card(conn, card).await?;
    Ok(LinksPage {
        page,
        car,
        base: base(car, card),
        title,
        links: links.iter().map(|link| ShownLink::of(link, &watching, now)).collect(),
        form: LinkForm::default(),
        slips: Slips::default(),
        made: None,
        only_here: state.site.is_only_here(),
    })
}

/// `POST /cars/{car}/cards/{card}/helper`: the answer shows the address once.
pub async fn make(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, card)): Path<(CarId, CardId)>,
    Form(form): Form<LinkForm>,
) -> Result<Response, AppError> {
    let now = state.clock.now();
    let mut tx = state.write.begin(&owner).await?;
    // Whatever was typed: the card must be there.
    jobs::card(&mut tx, car, card).await?;
    let mut slips = Slips::default();
    let mut made = None;
    if let Some(link) = read(&form, now, &mut slips) {
        let secret = LinkSecret::random();
        store::add(&mut tx, card, &secret.hash(), &link).await?;
        let address = secret.address(&state.site.canonical);
        made = Some(Made { label: link.label, qr: qr_svg(&address), address });
    }
    let shown = shown(&mut tx, page, (car, card), &ReaderState::from(&state), now).await?;
    tx.commit().await?;
    if made.is_some() {
        let form = LinkForm { label: String::new(), ..form };
        return show(&LinksPage { form, made, ..shown });
    }
    show_again(&LinksPage { form, slips, ..shown })
}

/// `POST /cars/{car}/cards/{card}/helper/{link}/take-back`: from now on the link shows nothing.
pub async fn take_back(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, card, link)): Path<(CarId, CardId, HelperLinkId)>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(&owner).await?;
    jobs::card(&mut tx, car, card).await?;
    store::take_back(&mut tx, card, link, state.clock.now()).await?;
    tx.commit().await?;
    state.presence.forget(link);
    Ok(Redirect::to(&format!("{}/helper", base(car, card))).into_response())
}

/// The link that a form asks for; it holds to the end of its last day, by the garage's own clock.
fn read(form: &LinkForm, now: Moment, slips: &mut Slips) -> Option<Link> {
    let label =
        slips.needed("label", &form.label, LONGEST_LABEL, "Say who gets it, so that you can tell it from others.");
    let day = slips.day("ends_on", &form.ends_on);
    if day.is_none() && slips.of("ends_on").is_empty() {
        slips.say("ends_on", "Say the last day on which it works.");
    }
    let ends_at = day.and_then(|day| Moment::end_of(day.parse().ok()?));
    match ends_at {
        Some(at) if at <= now => slips.say("ends_on", "That day is over: choose today or a later one."),
        Some(at) if at > now.plus_days(LONGEST_DAYS) => {
            slips
                .say("ends_on", "A link works for a year at the most: choose an earlier day, and make a new one then.");
        }
        _ => {}
    }
    let (true, Some(ends_at)) = (slips.is_empty(), ends_at) else { return None };
    let may_ring = !form.may_ring.is_empty();
    Some(Link { id: HelperLinkId::new(), label, may_ring, made_at: now, ends_at, taken_back_at: None })
}

fn base(car: CarId, card: CardId) -> String {
    format!("/cars/{car}/cards/{card}")
}

fn day_text(at: Moment) -> String {
    at.local().date().to_string()
}
