//! What tonight is good for, on the phone: answers for some lengths, worked out at the garage when the plan was kept, so that
//! they are there without signal. They change with the plan that is kept and not with each tick.

use crate::app::ReaderState;
use crate::clock::Moment;
use crate::error::AppError;
use crate::ids::CarId;
use crate::plan::pages::made::Made;
use crate::plan::pages::told;
use crate::plan::pages::tonight::{Answer, ShownStart};
use crate::plan::store;
use crate::web::extract::Path;
use crate::web::page::{Page, show};
use crate::web::words::day_and_time;
use crate::work::whole::WholeCar;
use askama::Template;
use axum::extract::State;
use axum::response::Response;
use sqlx::SqliteConnection;

/// The answers that were worked out with the kept plan, and when.
pub struct Answers {
    at: Moment,
    alone: Vec<Answer>,
    helped: Vec<Answer>,
}

#[derive(Template)]
#[template(path = "under/tonight.html")]
pub struct TonightPage {
    page: Page,
    car: String,
    /// When it was worked out; empty where no plan is kept.
    age: String,
    groups: Vec<(&'static str, Vec<Row>)>,
}

struct Row {
    evening: String,
    /// Empty where nothing fits.
    title: String,
    /// The card; empty where it is gone meanwhile.
    href: String,
    more: String,
}

/// What was kept with the plan of a car; `None` where no plan is kept.
pub async fn kept(conn: &mut SqliteConnection, car: CarId) -> Result<Option<Answers>, AppError> {
    let planning = store::planning(conn, car).await?;
    Ok(planning.kept.as_ref().and_then(told::kept).map(|kept| Answers::of(kept.made)))
}

impl Answers {
    fn of(made: Made) -> Answers {
        let (helped, alone) = made.tonight.into_iter().partition(|answer| answer.helper);
        Answers { at: made.at, alone, helped }
    }
}

impl TonightPage {
    pub fn of(page: Page, under: &WholeCar, answers: Option<&Answers>) -> TonightPage {
        let car = &under.car;
        let rows = |all: &[Answer]| rows(under, all);
        let groups = answers.map_or(Vec::new(), |answers| {
            vec![("Alone", rows(&answers.alone)), ("With a helper", rows(&answers.helped))]
        });
        TonightPage {
            page: page.script("tonight").under_car(car.id, &car.name, None, "card"),
            car: car.id.to_string(),
            age: answers.map_or(String::new(), |answers| day_and_time(answers.at)),
            groups,
        }
    }
}

/// A row for each length that something fits, after one for all the shorter ones: what fits an hour fits two.
fn rows(under: &WholeCar, all: &[Answer]) -> Vec<Row> {
    let too_short = all.iter().rfind(|answer| answer.best.is_none()).map(|answer| Row {
        evening: format!("Up to {}", answer.length),
        title: String::new(),
        href: String::new(),
        more: "Nothing that was left fitted.".to_owned(),
    });
    let fitting = all.iter().filter_map(|answer| Some(row(under, answer, answer.best.as_ref()?)));
    too_short.into_iter().chain(fitting).collect()
}

fn row(under: &WholeCar, answer: &Answer, start: &ShownStart) -> Row {
    let is_there = under.state.cards.iter().any(|card| card.card.id.to_string() == start.job);
    let then = if start.then.is_empty() { String::new() } else { format!("Then {}. ", start.then_words()) };
    Row {
        evening: answer.length.clone(),
        title: start.title.clone(),
        href: if is_there { format!("/under/{}/cards/{}", under.car.id, start.job) } else { String::new() },
        more: format!("{then}{}", start.say),
    }
}

/// `GET /under/{car}/tonight`
pub async fn tonight(
    State(state): State<ReaderState>,
    page: Page,
    Path(car): Path<CarId>,
) -> Result<Response, AppError> {
    let under = state.cars.get(&state.read, car).await?;
    let answers = kept(&mut *state.read.conn().await?, car).await?;
    show(&TonightPage::of(page, &under, answers.as_ref()))
}
