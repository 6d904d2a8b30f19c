//! The photo of a source: the page of the manual, the plate or the cap where it says so. Chosen of the car's photos,
//! or brought in here.

use super::form::{NOT_AMONG_THEM, SaysForm};
use super::model::{Says, SaysFacts};
use super::routes::{Rev, frame, to_spec};
use super::shown::citation_line;
use super::sources::{claim, source};
use super::store;
use super::views::SaysPage;
use crate::access::Owner;
use crate::app::OwnerState;
use crate::error::AppError;
use crate::ids::{CarId, SpecId, SpecValueId};
use crate::photos::at_once::{OnePhoto, Sent, bring_in};
use crate::photos::pipeline::Refusal;
use crate::photos::shelf::Sha256Hex;
use crate::photos::store as photos;
use crate::trade::spec::Kind;
use crate::web::extract::{Form, Path};
use crate::web::form::Slips;
use crate::web::page::{Page, show_again};
use axum::extract::State;
use axum::response::{IntoResponse, Redirect, Response};
use bytes::Bytes;
use sqlx::SqliteConnection;

/// A photo that a source may have.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Candidate {
    pub sha256: String,
    pub caption: String,
}

/// The photos that a source of a car may have: those noted on the car, and those of its other sources. Each once.
pub struct Candidates(Vec<Candidate>);

impl Candidates {
    pub async fn read(conn: &mut SqliteConnection, car: CarId) -> Result<Candidates, AppError> {
        let noted = photos::noted_on_car(&mut *conn, car).await?;
        let noted = noted.into_iter().map(|one| Candidate { sha256: one.sha256, caption: one.caption });
        let mut found: Vec<Candidate> = Vec::new();
        for one in
            store::of_car(conn, car).await?.iter().flat_map(|spec| spec.says.iter().filter_map(of_says)).chain(noted)
        {
            if !found.iter().any(|known| known.sha256 == one.sha256) {
                found.push(one);
            }
        }
        Ok(Candidates(found))
    }

    /// The facts as typed, unless something cannot be taken; the slips say what.
    pub fn facts(&self, typed: &SaysForm, kind: Option<Kind>, slips: &mut Slips) -> Option<SaysFacts> {
        let facts = typed.read(kind, slips)?;
        let known = |sha: &Sha256Hex| self.0.iter().any(|one| one.sha256 == sha.as_str());
        if facts.photo.as_ref().is_some_and(|sha| !known(sha)) {
            slips.say("photo", NOT_AMONG_THEM);
            return None;
        }
        Some(facts)
    }

    /// To choose from, with what is chosen.
    pub fn choices(&self, chosen: &str) -> PhotoChoices {
        let choice = |one: &Candidate| PhotoChoice {
            chosen: one.sha256 == chosen,
            caption: if one.caption.trim().is_empty() { "without a caption".into() } else { one.caption.clone() },
            sha256: one.sha256.clone(),
        };
        PhotoChoices { all: self.0.iter().map(choice).collect() }
    }
}

fn of_says(says: &Says) -> Option<Candidate> {
    let sha256 = says.facts.photo.as_ref()?.to_string();
    let of = citation_line(says);
    let of = if of.is_empty() { says.facts.source.label() } else { &of };
    Some(Candidate { sha256, caption: format!("of a source: {of}") })
}

/// A photo to choose.
pub struct PhotoChoice {
    pub sha256: String,
    pub caption: String,
    pub chosen: bool,
}

/// The photos to choose from, as a form shows them.
pub struct PhotoChoices {
    pub all: Vec<PhotoChoice>,
}

impl PhotoChoices {
    pub fn chosen(&self) -> Option<&PhotoChoice> {
        self.all.iter().find(|one| one.chosen)
    }
}

/// Where a source leads that was added: to its photo where one is to be brought in next, else to its spec.
pub(super) fn after_adding(typed: &SaysForm, (car, spec, says): (CarId, SpecId, SpecValueId)) -> Response {
    if typed.goes_on_to_photo() { to_photo(car, spec, says) } else { to_spec(car, spec) }
}

fn to_photo(car: CarId, spec: SpecId, says: SpecValueId) -> Response {
    Redirect::to(&format!("/cars/{car}/specs/{spec}/says/{says}#photo")).into_response()
}

/// `POST /cars/{car}/specs/{spec}/says/{says}/photo`: brings in a photo of a source.
pub async fn bring(
    State(state): State<OwnerState>,
    owner: Owner,
    page: Page,
    Path((car, spec, says)): Path<(CarId, SpecId, SpecValueId)>,
    OnePhoto { rev, file }: OnePhoto,
) -> Result<Response, AppError> {
    let mut conn = state.read.conn().await?;
    let page = frame(&mut conn, page, car).await?;
    let known = store::get(&mut conn, car, spec).await?;
    let candidates = Candidates::read(&mut conn, car).await?;
    drop(conn);
    let form = SaysForm::from((source(&known, says)?, known.rev));
    if known.rev != rev {
        return Err(AppError::ChangedMeanwhile);
    }
    let photo = match taken(&state, &owner, file).await? {
        Ok(photo) => photo,
        Err(say) => {
            let mut slips = Slips::default();
            slips.say("file", say);
            return show_again(&SaysPage::new(page, &known, says, form, slips, &candidates));
        }
    };
    put(&state, &owner, (car, spec, says), rev, Some(photo)).await
}

/// The name of the photo that was sent, or what is wrong with it, for whoever chose it.
async fn taken(state: &OwnerState, owner: &Owner, file: Sent) -> Result<Result<Sha256Hex, String>, AppError> {
    let bytes: Bytes = match file {
        Sent::Nothing => return Ok(Err("Choose a picture first: JPEG, PNG or WebP.".into())),
        Sent::TooLarge => return Ok(Err(Refusal::TooLarge.to_string())),
        Sent::Whole(bytes) => bytes,
    };
    match bring_in(state, owner, bytes).await {
        Ok(sha) => Ok(Ok(sha)),
        Err(AppError::Invalid(_, say) | AppError::TooLarge(say)) => Ok(Err(say)),
        Err(trouble) => Err(trouble),
    }
}

/// `POST /cars/{car}/specs/{spec}/says/{says}/photo/remove`: takes the photo off a source. One noted on the car stays there.
pub async fn remove(
    State(state): State<OwnerState>,
    owner: Owner,
    Path((car, spec, says)): Path<(CarId, SpecId, SpecValueId)>,
    Form(Rev { rev }): Form<Rev>,
) -> Result<Response, AppError> {
    put(&state, &owner, (car, spec, says), rev, None).await
}

async fn put(
    state: &OwnerState,
    owner: &Owner,
    (car, spec, says): (CarId, SpecId, SpecValueId),
    rev: i64,
    photo: Option<Sha256Hex>,
) -> Result<Response, AppError> {
    let mut tx = state.write.begin(owner).await?;
    let known = claim(&mut tx, car, spec, rev).await?;
    let facts = SaysFacts { photo, ..source(&known, says)?.facts.clone() };
    store::change_says(&mut tx, spec, says, &facts).await?;
    tx.commit().await?;
    Ok(to_spec(car, spec))
}
