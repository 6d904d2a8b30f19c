use super::*;
use crate::ids::{DeviceId, OpId};
use crate::logbook::found::findings;
use crate::logbook::store::Thing;
use crate::sync::hlc::Hlc;
use crate::sync::wire::{FindingBody, PhotoBody, TextBody, Tick, TickBody, TimeBody, Weight};
use std::collections::HashSet;

/// 2026-11-17 12:00 UTC: far from any evening's end in every time zone but the outermost.
const NOON: Moment = Moment(1_794_916_800_000);

fn op(at: Moment, subject: &str, act: Act) -> Done {
    Done {
        seq: 1,
        op_id: OpId::new(),
        hlc: Hlc::ZERO.next(at).to_string(),
        device: DeviceId(uuid::Uuid::nil()),
        device_name: Some("phone".into()),
        card: None,
        subject_kind: "card".into(),
        subject_id: subject.into(),
        applied: true,
        act,
    }
}

fn note(at: Moment, subject: &str, text: &str) -> Done {
    op(at, subject, Act::Note(TextBody { text: text.into() }))
}

fn ask(ops: &[Done], things: &Things, asked: &Asked) -> Book {
    open(&Context::new(ops, things, &HashSet::new()), ops, asked)
}

#[test]
fn a_page_holds_thirty_evenings_and_the_next_page_the_rest() {
    let ops: Vec<Done> = (0..70).map(|day| note(NOON.plus_days(day), "", &format!("day {day}"))).collect();
    let page = |page| ask(&ops, &Things::new(), &Asked { page, ..Asked::default() });
    assert_eq!(page(0).total, 70);
    let counts = [page(0), page(1), page(2), page(3)].map(|book| book.evenings.len());
    assert_eq!(counts, [30, 30, 10, 0]);
    assert_eq!(page(0).evenings[0].groups[0].entries[0].what, "day 69");
    assert_eq!(page(usize::MAX).evenings.len(), 0);
    let all = ask(&ops, &Things::new(), &Asked { all: true, ..Asked::default() });
    assert_eq!(all.evenings.len(), 70);
}

#[test]
fn a_book_can_be_narrowed_to_what_was_found_or_to_a_card() {
    let card = CardId::new();
    let things = Things::from([(card.to_string(), Thing { name: "Rear axle oil".into(), gone: false, card: None })]);
    let ops = [
        note(NOON, &card.to_string(), "Washer missing"),
        note(NOON.plus_days(1), "", "washer found"),
        note(NOON.plus_days(2), "", "nothing"),
    ];
    let only = |ids: &[OpId]| Asked { only: Some(ids.iter().copied().collect()), ..Asked::default() };
    let some = ask(&ops, &things, &only(&[ops[0].op_id, ops[1].op_id]));
    assert_eq!((some.total, some.entries), (2, 2));
    assert_eq!(ask(&ops, &things, &only(&[])).total, 0);
    let of_card = ask(&ops, &things, &Asked { card: Some(card), ..Asked::default() });
    assert_eq!(of_card.total, 1);
    assert_eq!(of_card.evenings[0].groups[0].card, Some(card));
}

#[test]
fn an_evening_adds_up_the_minutes_that_count() {
    let work = |minutes, applied| Done { applied, ..op(NOON, "", Act::Time(TimeBody { minutes })) };
    let ops = [work(50, true), work(35, true), work(999, false)];
    assert_eq!(ask(&ops, &Things::new(), &Asked::default()).evenings[0].minutes, 85);
}

#[test]
fn an_evening_in_short_counts_what_was_done() {
    let done = || op(NOON, "", Act::Tick(TickBody { state: Tick::Done }));
    let ops = [done(), done(), note(NOON, "", "x"), note(NOON.plus_days(3), "", "later")];
    let short = lately(&ops, 5);
    assert_eq!(
        short.iter().map(|evening| evening.line.as_str()).collect::<Vec<_>>(),
        ["1 note or reading", "2 steps done, 1 note or reading"]
    );
    assert_eq!(lately(&ops, 1).len(), 1);
}

#[test]
fn a_finding_keeps_the_pictures_taken_along_with_it_and_no_others() {
    let finding = |at: Moment, subject: &str, text: &str, weight| {
        op(at, subject, Act::Finding(FindingBody { text: text.into(), place: String::new(), weight }))
    };
    let photo = |at: Moment, subject: &str, sha: &str| {
        op(
            at,
            subject,
            Act::Photo(PhotoBody {
                sha256: sha.into(),
                bytes: 1,
                mime: "image/jpeg".into(),
                caption: String::new(),
                question: None,
            }),
        )
    };
    let at = |minutes| NOON.plus_minutes(minutes);
    let elsewhere = Done { device: DeviceId::new(), ..photo(at(1), "a", "other phone") };
    let ops = [
        finding(at(0), "a", "fine one", Weight::Fine),
        photo(at(1), "a", "first"),
        elsewhere,
        photo(at(9), "a", "second"),
        photo(at(9), "b", "too late elsewhere"),
        finding(at(30), "a", "bad one", Weight::Act),
        photo(at(28), "b", "just before"),
    ];
    let (things, pictures) = (Things::new(), HashSet::new());
    let found = findings(&ops, &Context::new(&ops, &things, &pictures));
    assert_eq!(found.iter().map(|found| found.entry.what.as_str()).collect::<Vec<_>>(), ["bad one", "fine one"]);
    let shas = |index: usize| found[index].pictures.iter().map(|picture| picture.sha256.as_str()).collect::<Vec<_>>();
    assert_eq!((shas(0), shas(1)), (vec!["just before"], vec!["first", "second"]));
}
