//! What the planner is told of a car, and the forms that tell it.

use crate::support::{Client, TestApp};
use axum::http::StatusCode;
use std::sync::Arc;
use underlamp::ids::{CarId, CardId};
use underlamp::plan::facts::Facts;
use underlamp::plan::garage::{Told, job_id, told};
use underlamp::plan::model::Planning;
use underlamp::plan::store;
use underlamp::trade::plan::{Arrival, Effort, Fault, Note, Waits, plan};
use underlamp::work::whole::WholeCar;

struct Garage {
    app: TestApp,
    desk: Client,
    car: CarId,
}

impl Garage {
    async fn open() -> Garage {
        let app = TestApp::demo().await;
        let desk = app.owner().await;
        let car = app.demo_car().await;
        Garage { app, desk, car }
    }

    async fn read(&self) -> (Arc<WholeCar>, Planning) {
        let whole = self.app.state.cars.get(&self.app.state.read, self.car).await.unwrap();
        let planning = store::planning(&mut self.app.state.read.conn().await.unwrap(), self.car).await.unwrap();
        (whole, planning)
    }

    fn now(&self) -> jiff::civil::DateTime {
        self.app.state.clock.now().local().datetime()
    }

    async fn told(&self) -> Told {
        let (whole, planning) = self.read().await;
        told(&whole, &planning, self.now())
    }

    async fn facts(&self) -> Facts {
        let (whole, planning) = self.read().await;
        Facts::of(&whole, &planning, self.now())
    }

    async fn card(&self, title: &str) -> CardId {
        let (whole, _) = self.read().await;
        let found = whole.state.cards.iter().find(|card| card.card.facts.title.contains(title));
        found.unwrap_or_else(|| panic!("no card ‘{title}’")).card.id
    }

    fn at(&self, tail: &str) -> String {
        format!("/cars/{}{tail}", self.car)
    }

    /// The fields of a card's form as it stands, with other predecessors.
    async fn put_after(&self, card: CardId, after: &[CardId], put_off: bool) -> crate::support::Answer {
        let (whole, _) = self.read().await;
        let facts = &whole.state.card(card).unwrap().card;
        let rev = facts.rev.to_string();
        let minutes = facts.facts.minutes.unwrap();
        let [low, likely, high] = [minutes.low, minutes.likely, minutes.high].map(|m| m.to_string());
        let after: Vec<String> = after.iter().map(ToString::to_string).collect();
        let mut fields = vec![
            ("rev", rev.as_str()),
            ("title", &facts.facts.title),
            ("system", facts.facts.system.name()),
            ("why", &facts.facts.why),
            ("low", &low),
            ("likely", &likely),
            ("high", &high),
            ("put_off", if put_off { "yes" } else { "" }),
        ];
        fields.extend(after.iter().map(|id| ("after", id.as_str())));
        self.desk.post_form(&self.at(&format!("/cards/{card}/edit")), &fields).await
    }

    async fn no_evenings(&self) {
        let mut beside = self.app.beside().await;
        sqlx::query("delete from evenings").execute(&mut beside).await.unwrap();
    }
}

/// A day from the app's today on.
fn day(garage: &Garage, days: i64) -> String {
    garage.now().date().saturating_add(jiff::Span::new().days(days)).to_string()
}

#[tokio::test]
async fn the_demo_car_is_told_whole_and_can_be_planned() {
    let garage = Garage::open().await;
    let told = garage.told().await;
    for (job, card) in told.garage.jobs.iter().zip(&told.cards) {
        assert_eq!(job.id, job_id(*card));
        assert!(!job.pieces.is_empty() && job.done < job.pieces.len());
        assert!(job.blocked_by.iter().all(|barred| !job.needs.contains(barred)));
        assert!(job.needs.iter().all(|need| told.garage.access.iter().any(|access| access.id == *need)));
    }
    // Both ends are up since the axle oil was begun, and the axle is drained.
    let open: Vec<&str> =
        told.garage.access.iter().filter(|access| access.open).map(|access| access.id.0.as_str()).collect();
    assert!(open.contains(&"corner:front end") && open.contains(&"corner:rear end"), "{open:?}");
    let correction = told.correction.as_ref().expect("three cards are finished, with their times").to_string();
    assert!(correction.contains("times the estimate, by 3 records"), "{correction}");
    assert!(told.left_out.is_empty(), "{:?}", told.left_out);
    let plan = plan(&told.garage, Effort::QUICK).unwrap();
    assert!((5..=14).contains(&plan.evenings.len()), "{} evenings", plan.evenings.len());
    assert!(plan.evenings.iter().any(|evening| !evening.open.is_empty()), "nothing is left open for a night");
}

#[tokio::test]
async fn the_same_car_is_told_the_same_twice() {
    let garage = Garage::open().await;
    assert_eq!(garage.told().await.garage, garage.told().await.garage);
}

#[tokio::test]
async fn what_was_ticked_takes_no_time_any_more() {
    let garage = Garage::open().await;
    let card = garage.card("Renew coolant").await;
    let work = |told: &Told| {
        let job = told.garage.jobs.iter().find(|job| job.id == job_id(card)).unwrap();
        (job.pieces.iter().map(|piece| piece.likely()).sum::<u32>(), job.done)
    };
    let before = work(&garage.told().await);
    let (whole, _) = garage.read().await;
    for step in &whole.state.card(card).unwrap().steps {
        let path = garage.at(&format!("/cards/{card}/steps/{}/tick", step.id));
        garage.desk.post_form(&path, &[("state", "done")]).await;
        let told = garage.told().await;
        if told.garage.jobs.iter().all(|job| job.id != job_id(card)) {
            return;
        }
        let now = work(&told);
        assert!(now.0 <= before.0 && now.1 >= before.1, "{now:?} after {before:?}");
    }
    panic!("a finished card is still to be planned");
}

#[tokio::test]
async fn a_ring_of_predecessors_is_refused_with_all_its_members() {
    let garage = Garage::open().await;
    let (one, two) = (garage.card("Renew coolant").await, garage.card("gearbox and transfer").await);
    let three = garage.card("track-rod").await;
    assert_eq!(garage.put_after(one, &[two], false).await.status, StatusCode::SEE_OTHER);
    assert_eq!(garage.put_after(two, &[three], false).await.status, StatusCode::SEE_OTHER);
    let refused = garage.put_after(three, &[one], false).await;
    assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY);
    for member in ["Renew coolant", "gearbox and transfer", "track-rod"] {
        let told = refused.text.split("in a ring").nth(1).unwrap().split("Take one away").next().unwrap();
        assert!(told.contains(member), "{member} is not named: {told}");
    }
    let (_, planning) = garage.read().await;
    assert_eq!((planning.after(two), planning.after(three)), (&[three][..], &[][..]));
    let page = garage.desk.get(&garage.at(&format!("/cards/{one}"))).await.text;
    assert!(page.contains("Only after") && page.contains("gearbox and transfer"));
    // Nor after itself, a card of nowhere, or words.
    assert_eq!(garage.put_after(one, &[one], false).await.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(garage.put_after(one, &[CardId::new()], false).await.status, StatusCode::UNPROCESSABLE_ENTITY);
}

#[tokio::test]
async fn a_card_that_is_put_off_is_not_planned_and_what_follows_it_is_told() {
    let garage = Garage::open().await;
    let (first, after) = (garage.card("Renew coolant").await, garage.card("gearbox and transfer").await);
    garage.put_after(after, &[first], false).await;
    garage.put_after(first, &[], true).await;
    let told = garage.told().await;
    assert!(!told.cards.contains(&first) && !told.cards.contains(&after));
    let say = &told.left_out.iter().find(|out| out.card == after).unwrap().say;
    assert!(say.contains("Renew coolant") && say.contains("put off"), "{say}");
    assert!(plan(&told.garage, Effort::QUICK).is_ok(), "no fault of an unknown predecessor");
    let page = garage.desk.get(&garage.at(&format!("/cards/{first}"))).await.text;
    assert!(page.contains("Put off."));
}

#[tokio::test]
async fn without_evenings_or_with_short_ones_it_is_said_what_to_do() {
    let garage = Garage::open().await;
    garage.no_evenings().await;
    let told = garage.told().await;
    let faults = plan(&told.garage, Effort::QUICK).unwrap_err();
    assert!(matches!(faults[0], Fault::NoEvenings(_)), "{faults:?}");
    // Brake hoses cannot be left with the brakes open: no evening of two hours holds them.
    let fields =
        [("day", day(&garage, 5)), ("starts", "19:00".into()), ("minutes", "120".into()), ("helper", "yes".into())];
    let fields: Vec<(&str, &str)> = fields.iter().map(|(name, value)| (*name, value.as_str())).collect();
    assert_eq!(garage.desk.post_form(&garage.at("/plan/evenings"), &fields).await.status, StatusCode::SEE_OTHER);
    let hoses = garage.card("flexible brake hoses").await;
    garage.put_after(hoses, &[], false).await;
    let mut told = garage.told().await;
    told.garage.parts.iter_mut().for_each(|part| part.arrival = Arrival::OnTheShelf);
    told.garage.jobs.iter_mut().for_each(|job| job.tools.clear());
    let notes = plan(&told.garage, Effort::QUICK).unwrap().notes;
    let why = notes.iter().find_map(|note| match note {
        Note::Waits { title, why, .. } if title.contains("flexible brake hoses") => Some(why.clone()),
        _ => None,
    });
    assert!(matches!(why, Some(Waits::TooLong { .. })), "{notes:?}");
}

#[tokio::test]
async fn a_part_that_nobody_has_looked_for_keeps_its_job_waiting() {
    let garage = Garage::open().await;
    let mut beside = garage.app.beside().await;
    // Said after all that came, and of no supplier whose days of delivery are known.
    let sent_back = "update parts set state = 'sent-back', delivery_low = null, delivery_likely = null, \
        delivery_high = null, said_after = (select max(seq) from ops)";
    sqlx::query(sent_back).execute(&mut beside).await.unwrap();
    let told = garage.told().await;
    assert!(told.garage.parts.iter().all(|part| part.arrival == Arrival::Unknown));
    let notes = plan(&told.garage, Effort::QUICK).unwrap().notes;
    let waits = |note: &Note| matches!(note, Note::Waits { why: Waits::PartUnknown { .. }, .. });
    assert!(notes.iter().any(waits), "{notes:?}");
    sqlx::query("update parts set state = 'wanted', expected_on = null").execute(&mut beside).await.unwrap();
    let told = garage.told().await;
    assert!(told.guesses.iter().all(|say| say.contains("guess")) && !told.guesses.is_empty());
}

#[tokio::test]
async fn five_hundred_cards_are_told_and_nothing_exceeds_what_the_planner_holds() {
    let garage = Garage::open().await;
    let mut beside = garage.app.beside().await;
    // Each card thirty times over, every copy with a part of its own taken off.
    for statement in [
        "create temp table n as with recursive n(n) as (select 1 union all select n + 1 from n where n < 30) select n from n",
        "create temp table copies as select id as old, lower(hex(randomblob(4)) || '-' || hex(randomblob(2)) || '-7000-8000-' || \
         hex(randomblob(6))) as new, n from cards, n",
        "insert into cards (id, car_id, title, system, why, place_in_order, minutes_low, minutes_likely, minutes_high, helper) \
         select new, car_id, title || ' ' || n, system, why, place_in_order + 100 * n, minutes_low, minutes_likely, \
         minutes_high, helper from cards join copies on old = id",
        "insert into steps (id, card_id, place_in_order, verb, object_kind, object, words, detail, marks) \
         select lower(hex(randomblob(4)) || '-' || hex(randomblob(2)) || '-7000-8000-' || hex(randomblob(6))), new, \
         place_in_order, verb, object_kind, case when object_kind = 'part' then object || ' ' || n else object end, words, \
         detail, marks from steps join copies on old = card_id",
    ] {
        sqlx::query(statement).execute(&mut beside).await.unwrap();
    }
    let told = garage.told().await;
    assert!(told.garage.jobs.len() > 500);
    assert!(told.garage.access.len() <= 64);
    assert!(told.garage.jobs.iter().map(|job| job.pieces.len()).sum::<usize>() <= 5_000);
    // What most cards share is told although there is not room for all.
    assert!(told.garage.access.iter().any(|access| access.id.0 == "corner:front end"));
}

#[tokio::test]
async fn what_changed_since_a_plan_was_made_is_said() {
    let garage = Garage::open().await;
    let made = garage.facts().await;
    let kept: Facts = serde_json::from_str(&serde_json::to_string(&made).unwrap()).unwrap();
    assert!(kept.changed(&garage.facts().await).is_empty(), "nothing has happened");
    let card = garage.card("Renew coolant").await;
    let (whole, _) = garage.read().await;
    let step = whole.state.card(card).unwrap().steps[0].id;
    garage.desk.post_form(&garage.at(&format!("/cards/{card}/steps/{step}/tick")), &[("state", "done")]).await;
    let said = kept.changed(&garage.facts().await);
    assert_eq!(said, ["‘Renew coolant, hoses and thermostat’ was worked on."]);
    garage.no_evenings().await;
    let said = kept.changed(&garage.facts().await);
    assert!(said.iter().any(|say| say.contains("no evening any more")), "{said:?}");
}

#[tokio::test]
async fn the_time_worked_is_noted_at_the_desk_and_stands_against_the_guess() {
    let garage = Garage::open().await;
    let card = garage.card("Renew coolant").await;
    let path = garage.at(&format!("/cards/{card}/time"));
    for bad in ["", "0", "25:00", "an hour", "-5"] {
        let again = garage.desk.post_form(&path, &[("minutes", bad)]).await;
        assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY, "‘{bad}’");
    }
    assert_eq!(garage.desk.post_form(&path, &[("minutes", "1:30")]).await.status, StatusCode::SEE_OTHER);
    let page = garage.desk.get(&garage.at(&format!("/cards/{card}"))).await.text;
    assert!(page.contains("Worked so far: 1 h 30 min, against a likely 3 h."));
    assert!(page.contains("It may be left") && page.contains("To get at it"));
}

#[tokio::test]
async fn evenings_are_put_in_changed_and_taken_away() {
    let garage = Garage::open().await;
    garage.no_evenings().await;
    let list = garage.at("/plan/evenings");
    let (from, until) = (day(&garage, 1), day(&garage, 28));
    let many = [
        ("weekday", "tuesday"),
        ("weekday", "thursday"),
        ("from", &from),
        ("until", &until),
        ("starts", "19:00"),
        ("minutes", "2:00"),
    ];
    assert_eq!(garage.desk.post_form(&format!("{list}/many"), &many).await.status, StatusCode::SEE_OTHER);
    let (_, planning) = garage.read().await;
    assert_eq!(planning.evenings.len(), 8, "four weeks of two days");
    // The same once more: they meet those that are there, and none is put in.
    let again = garage.desk.post_form(&format!("{list}/many"), &many).await;
    assert_eq!(again.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(again.text.contains("Nothing was put in"));
    let first = &planning.evenings[0];
    let path = format!("{list}/{}", first.id);
    let day = first.facts.day.to_string();
    let change = |rev: &'static str, minutes: &'static str| {
        let fields =
            [("rev", rev), ("day", day.as_str()), ("starts", "18:30"), ("minutes", minutes), ("note", "early")];
        fields.map(|(name, value)| (name, value.to_owned()))
    };
    let post = async |fields: [(&'static str, String); 5]| {
        let fields = fields.each_ref().map(|(name, value)| (*name, value.as_str()));
        garage.desk.post_form(&path, &fields).await.status
    };
    assert_eq!(post(change("1", "1500")).await, StatusCode::UNPROCESSABLE_ENTITY);
    assert_eq!(post(change("1", "90")).await, StatusCode::SEE_OTHER);
    assert_eq!(post(change("1", "60")).await, StatusCode::CONFLICT, "changed meanwhile at another desk");
    garage.desk.post_form(&format!("{path}/helper"), &[("comes", "yes")]).await;
    let (_, planning) = garage.read().await;
    assert!(planning.evenings[0].facts.helper && planning.evenings[0].facts.minutes == 90);
    assert_eq!(garage.desk.post_form(&format!("{path}/remove"), &[]).await.status, StatusCode::SEE_OTHER);
    assert_eq!(garage.desk.post_form(&format!("{path}/remove"), &[]).await.status, StatusCode::NOT_FOUND);
    assert_eq!(garage.read().await.1.evenings.len(), 7);
}

#[tokio::test]
async fn an_evening_that_cannot_be_is_refused_in_words() {
    let garage = Garage::open().await;
    garage.no_evenings().await;
    let list = garage.at("/plan/evenings");
    let (past, soon) = (day(&garage, -1), day(&garage, 2));
    for (day, starts, minutes, say) in [
        (past.as_str(), "19:00", "120", "That day is past"),
        (&soon, "19:00", "0", "from 1 minute to 24 hours"),
        (&soon, "19:00", "25:00", "from 1 minute to 24 hours"),
        (&soon, "", "120", "Write when it begins"),
        ("", "19:00", "120", "Choose a day"),
    ] {
        let fields = [("day", day), ("starts", starts), ("minutes", minutes)];
        let refused = garage.desk.post_form(&list, &fields).await;
        assert_eq!(refused.status, StatusCode::UNPROCESSABLE_ENTITY, "{fields:?}");
        assert!(refused.text.contains(say), "{fields:?}");
    }
    let fields = [("day", soon.as_str()), ("starts", "19:00"), ("minutes", "120")];
    assert_eq!(garage.desk.post_form(&list, &fields).await.status, StatusCode::SEE_OTHER);
    let twice = garage.desk.post_form(&list, &[("day", soon.as_str()), ("starts", "20:30"), ("minutes", "60")]).await;
    assert_eq!(twice.status, StatusCode::UNPROCESSABLE_ENTITY);
    assert!(twice.text.contains("you are at the Skarv already"));
    assert_eq!(garage.read().await.1.evenings.len(), 1);
}
