//! What is refused, what is named, and when something is due. The rate against numpy: `tests/published/usage.rs`.

use super::*;
use crate::trade::calendar::Date;
use proptest::prelude::*;
use rust_decimal::Decimal;

fn date(text: &str) -> Date {
    Date::parse(text).unwrap()
}

fn km(number: &str) -> Distance {
    Distance::read(number, DistanceUnit::Kilometre).unwrap()
}

fn mi(number: &str) -> Distance {
    Distance::read(number, DistanceUnit::Mile).unwrap()
}

fn read(day: &str, shown: Distance, word: Option<Word>) -> Reading {
    Reading { key: format!("{day} {shown}"), day: date(day), shown, word }
}

fn history(readings: &[(&str, Distance, Option<Word>)]) -> History {
    History::of(readings.iter().map(|(day, shown, word)| read(day, *shown, *word)).collect())
}

fn run(history: &History) -> Between {
    history.last().unwrap().run
}

#[test]
fn distances_are_read_as_typed_and_bad_ones_refused_in_words() {
    for (text, number) in
        [("134820", "134820"), (" 134 820 ", "134820"), ("84012,5", "84012.5"), ("0", "0"), ("-0", "0")]
    {
        assert_eq!(km(text).number(), number.parse().unwrap(), "{text}");
    }
    for (text, say) in [
        ("", "Type the number"),
        ("many", "is no distance"),
        ("1e5", "is no distance"),
        ("1.2.3", "is no distance"),
        (".", "is no distance"),
        ("134,820", "two ways"),
        ("-5", "negative"),
        ("10000000", "beyond"),
        ("99999999999999999999999999999999999", "beyond"),
        ("0.1234567890123456789012345678901", "beyond"),
    ] {
        let refusal = Distance::read(text, DistanceUnit::Kilometre).unwrap_err().to_string();
        assert!(refusal.contains(say), "{text}: {refusal}");
    }
    assert_eq!(km("9999999.9").to_string(), "9\u{a0}999\u{a0}999.9 km");
}

/// Source: a mile is 1.609344 km exactly (international yard and pound, 1959; from memory).
#[test]
fn a_hundred_thousand_miles_are_160_934_4_kilometres() {
    assert_eq!(mi("100000").kilometres(), "160934.4".parse().unwrap());
}

#[test]
fn intervals_are_read_and_nonsense_is_refused_with_a_way_out() {
    let read = |distance, months| Interval::read(distance, DistanceUnit::Kilometre, months);
    assert_eq!(read("10 000", "12").unwrap().to_string(), "every 10\u{a0}000 km or 12 months, whichever is first");
    assert_eq!(read("", "1").unwrap().to_string(), "every month");
    assert_eq!(Interval::parse("6000 mi").unwrap().to_string(), "every 6\u{a0}000 mi");
    assert_eq!(Interval::parse("24 months").unwrap().months(), Some(24));
    for (distance, months, say) in [
        ("", "", "Say how often"),
        ("0", "", "zero"),
        ("0.0", "12", "zero"),
        ("10000", "0", "zero"),
        ("-10000", "", "negative"),
        ("", "-3", "negative"),
        ("", "−3", "negative"),
        ("500001", "", "no interval of a car"),
        ("99999999999999999999999", "", "no interval of a car"),
        ("", "241", "twenty years"),
        ("", "99999999999999", "twenty years"),
        ("", "1.5", "whole number"),
        ("", "a year", "whole number"),
        ("far", "", "is no distance"),
    ] {
        let refusal = read(distance, months).unwrap_err().to_string();
        assert!(refusal.contains(say), "{distance}/{months}: {refusal}");
    }
    for text in ["", "often", "10000", "10000 km, 6000 mi", "12 months, 1 month", "3 years"] {
        assert!(Interval::parse(text).is_err(), "{text}");
    }
}

#[test]
fn a_clock_that_runs_backwards_is_named_and_not_used_until_it_is_explained() {
    let typed = history(&[("2026-01-01", km("134820"), None), ("2026-03-01", km("13510"), None)]);
    assert_eq!(typed.used().len(), 1);
    let why = typed.aside()[0].why.to_string();
    assert!(
        why.contains("runs backwards") && why.contains("134\u{a0}820 km") && why.contains("Say what happened"),
        "{why}"
    );
    let misread = history(&[
        ("2026-01-01", km("184820"), Some(Word::Misread)),
        ("2026-02-01", km("134900"), None),
        ("2026-03-01", km("135100"), None),
    ]);
    assert_eq!((misread.used().len(), run(&misread)), (2, Between::exactly(Decimal::from(200))));
}

#[test]
fn a_clock_that_turned_at_99_999_counts_through_nought() {
    let before = ("2026-01-01", km("99900"), None);
    let plain = history(&[before, ("2026-02-01", km("150"), None)]);
    let Why::Backwards { perhaps, .. } = &plain.aside()[0].why else { panic!() };
    assert_eq!(*perhaps, Some(Digits::Five));
    let rolled = |shown, digits| history(&[before, ("2026-02-01", shown, Some(Word::RolledOver(digits)))]);
    assert_eq!(run(&rolled(km("150"), Digits::Five)), Between::exactly(Decimal::from(250)));
    // To 999 999 it would have been nine hundred thousand kilometres in a month.
    assert!(matches!(rolled(km("150"), Digits::Six).aside()[0].why, Why::TooFar { .. }));
    assert!(matches!(rolled(mi("150"), Digits::Five).aside()[0].why, Why::DoesNotFit(_)));
    assert!(matches!(rolled(km("100000"), Digits::Five).aside()[0].why, Why::DoesNotFit(_)));
    let six =
        history(&[("2026-01-01", mi("999990"), None), ("2026-02-01", mi("10"), Some(Word::RolledOver(Digits::Six)))]);
    assert_eq!(run(&six), Between::exactly(mi("20").kilometres()));
}

#[test]
fn another_clock_counts_on_from_the_old_one_or_leaves_the_rest_unknown() {
    let before = ("2026-01-01", mi("84900"), None);
    let with =
        |old_end, new_start| history(&[before, ("2026-03-01", km("310"), Some(Word::Replaced { old_end, new_start }))]);
    let known = with(Some(mi("85000")), km("10"));
    assert_eq!(run(&known), Between::exactly("460.9344".parse().unwrap()));
    let unknown = with(None, km("10"));
    assert_eq!(run(&unknown), Between { low: Decimal::from(300), high: None });
    assert!(matches!(with(Some(mi("84000")), km("10")).aside()[0].why, Why::DoesNotFit(_)));
    assert!(matches!(with(Some(mi("85000")), km("400")).aside()[0].why, Why::DoesNotFit(_)));
}

#[test]
fn a_clock_that_stood_still_is_never_taken_for_a_car_that_stood_still() {
    let with = |word| history(&[("2026-01-01", km("1000"), None), ("2026-06-01", km("1000"), Some(word))]);
    assert_eq!(run(&with(Word::Stood(None))), Between { low: Decimal::ZERO, high: None });
    let guessed = Between { low: Decimal::from(500), high: Some(Decimal::from(900)) };
    assert_eq!(run(&with(Word::Stood(Some((km("500"), km("900")))))), guessed);
    assert!(matches!(with(Word::Stood(Some((km("900"), km("500"))))).aside()[0].why, Why::DoesNotFit(_)));
    assert!(matches!(Usage::of(&with(Word::Stood(None))), Usage::Unknown { .. }));
}

#[test]
fn digits_noted_in_the_wrong_unit_count_in_the_other() {
    let slip = history(&[("2026-01-01", mi("84012"), None), ("2026-02-01", km("84112"), Some(Word::OtherUnit))]);
    assert_eq!(run(&slip), Between::exactly(mi("100").kilometres()));
    assert_eq!(slip.last().unwrap().shown, mi("84112"));
}

#[test]
fn a_digit_too_many_is_named() {
    let slip = history(&[("2026-01-01", km("134820"), None), ("2026-02-01", km("1348900"), None)]);
    assert!(slip.aside()[0].why.to_string().contains("no car does"));
}

#[test]
fn no_reading_one_and_two_say_what_they_can_and_no_more() {
    let says = |history: &History| match Usage::of(history) {
        Usage::Unknown { says } => says,
        Usage::Known(known) => panic!("{known:?}"),
    };
    assert!(says(&History::default()).contains("never read"));
    assert!(says(&history(&[("2026-01-01", km("1"), None)])).contains("One reading"));
    assert!(says(&history(&[("2026-01-01", km("1"), None), ("2026-01-01", km("9"), None)])).contains("No two days"));
    let two = Usage::of(&history(&[("2026-01-01", km("100"), None), ("2026-01-11", km("200"), None)]));
    let known = two.known().unwrap();
    assert_eq!((known.per_day, known.error, known.range), (10.0, None, None));
}

#[test]
fn only_the_last_two_years_say_how_the_car_is_used_now() {
    let readings = [
        ("2019-01-01", km("10000"), None),
        ("2020-01-01", km("40000"), None),
        ("2026-01-01", km("41000"), None),
        ("2026-01-31", km("41300"), None),
    ];
    assert_eq!(Usage::of(&history(&readings)).known().unwrap().per_day, 10.0);
    // Two always stay, however old the first is.
    assert!(Usage::of(&history(&readings[1..3])).known().is_some());
}

fn every(text: &str) -> Interval {
    Interval::parse(text).unwrap()
}

fn asked(interval: &str, done: Option<&str>, history: &History, today: &str) -> Due {
    let done = done.map(|day| Done { day: date(day), reading: None });
    let usage = Usage::of(history);
    let (interval, today) = (every(interval), date(today));
    due(Matter { interval, done: done.as_ref(), history, usage: &usage, stands: false, today })
}

/// Ten kilometres a day, exactly.
fn even() -> History {
    history(&[
        ("2026-01-01", km("1000"), None),
        ("2026-03-02", km("1600"), None),
        ("2026-05-01", km("2200"), None),
        ("2026-06-30", km("2800"), None),
    ])
}

#[test]
fn by_distance_it_is_due_on_the_day_that_arithmetic_gives() {
    // Since 1 January 1800 km are run; 1200 left at 10 a day are 120 days after 30 June.
    let due = asked("3000 km, 24 months", Some("2026-01-01"), &even(), "2026-07-01");
    assert_eq!((due.cause, due.day, due.band), (Cause::Distance, Some(date("2026-10-28")), Band::InHand));
    assert!(
        due.says.contains("By distance: about 4 months at 304 km a month; 1\u{a0}200 km were left"),
        "{}",
        due.says
    );
}

#[test]
fn by_time_it_is_due_on_the_same_day_of_the_month() {
    let due = asked("20000 km, 12 months", Some("2026-01-31"), &even(), "2026-07-01");
    assert_eq!((due.cause, due.day), (Cause::Time, Some(date("2027-01-31"))));
    assert!(due.says.starts_with("By time first: 12 months after 31 Jan 2026."), "{}", due.says);
    let end = asked("1 month", Some("2026-01-31"), &even(), "2026-02-01");
    assert_eq!(end.day, Some(date("2026-02-28")));
}

#[test]
fn the_bands_change_on_the_days_that_are_stated() {
    for (today, band) in [
        ("2026-11-01", Band::InHand),
        ("2026-11-02", Band::Coming),
        ("2026-12-17", Band::Coming),
        ("2026-12-18", Band::Due),
        ("2027-01-01", Band::Due),
        ("2027-01-02", Band::Overdue),
    ] {
        assert_eq!(asked("12 months", Some("2026-01-01"), &History::default(), today).band, band, "{today}");
    }
    assert_eq!(asked("12 months", Some("2026-01-01"), &even(), "2027-02-15").over, "by 6 weeks");
}

#[test]
fn a_distance_that_is_run_is_overdue_by_that_much_whatever_the_day() {
    let due = asked("1000 km, 60 months", Some("2026-01-01"), &even(), "2026-07-01");
    assert_eq!((due.band, due.over.as_str(), due.day), (Band::Overdue, "by 800 km", Some(date("2026-05-01"))));
}

#[test]
fn nobody_knows_when_is_said_and_never_guessed() {
    let never = asked("10000 km, 12 months", None, &even(), "2026-07-01");
    assert_eq!((never.band, never.day), (Band::Nobody, None));
    let no_clock = asked("10000 km", Some("2026-01-01"), &History::default(), "2026-07-01");
    assert!(no_clock.band == Band::Nobody && no_clock.says.contains("never read"));
    let before = asked("10000 km", Some("2020-01-01"), &even(), "2026-07-01");
    assert!(before.band == Band::Nobody && before.says.contains("At least 1\u{a0}800 km"), "{}", before.says);
    let enough = asked("1500 km", Some("2020-01-01"), &even(), "2026-07-01");
    assert_eq!(enough.band, Band::Overdue);
}

#[test]
fn a_car_that_stands_waits_for_months_only() {
    let still = history(&[("2026-01-01", km("5"), None), ("2026-03-01", km("5"), None), ("2026-05-01", km("5"), None)]);
    let due = asked("1000 km, 12 months", Some("2026-01-01"), &still, "2026-06-01");
    assert_eq!((due.cause, due.day), (Cause::Time, Some(date("2027-01-01"))));
    assert!(due.says.contains("does not run"), "{}", due.says);
    let (history, done) = (even(), Done { day: date("2026-01-01"), reading: None });
    let usage = Usage::of(&history);
    let interval = every("3000 km");
    let today = date("2026-07-01");
    let laid_up =
        super::due(Matter { interval, done: Some(&done), history: &history, usage: &usage, stands: true, today });
    assert!(
        laid_up.day.is_none() && laid_up.band == Band::InHand && laid_up.says.contains("the distance waits"),
        "{}",
        laid_up.says
    );
}

#[test]
fn a_range_widens_with_a_scattered_rate_and_with_what_nobody_saw() {
    let scattered = history(&[
        ("2026-01-01", km("1000"), None),
        ("2026-02-01", km("1100"), None),
        ("2026-03-01", km("1700"), None),
        ("2026-06-01", km("2400"), None),
    ]);
    let due = asked("3000 km", Some("2026-01-01"), &scattered, "2026-06-02");
    let (earliest, latest) = due.range.unwrap();
    assert!(earliest < due.day.unwrap() && due.day.unwrap() < latest.unwrap());
    // Done between two readings: 600 km that may lie before or after.
    let unseen = asked("3000 km", Some("2026-02-01"), &even(), "2026-07-01");
    let (earliest, latest) = unseen.range.unwrap();
    assert_eq!(latest.unwrap().number() - earliest.number(), 60);
}

#[test]
fn two_readings_give_a_day_without_a_range_and_say_so() {
    let two = history(&[("2026-01-01", km("1000"), None), ("2026-01-31", km("1300"), None)]);
    let due = asked("1000 km", Some("2026-01-01"), &two, "2026-02-01");
    assert_eq!((due.day, due.range), (Some(date("2026-04-11")), None));
    assert!(due.says.contains("no range"));
}

#[test]
fn suggestions_are_read_and_what_is_wrong_is_told_by_line() {
    let read = read_suggestions(
        "# x\nitem: Oil\nevery: 10000 km, 12 months\npattern: engine-oil, x\nwhy: Dirt.\n\nitem: Wipers\nevery: 12 months\n",
    );
    let read = read.unwrap();
    assert_eq!((read.len(), read[0].patterns.len(), read[1].why.as_str()), (2, 2, ""));
    for (text, line, say) in [
        ("every: 1 month", 1, "comes first"),
        ("item: a", 1, "needs its ‘every:’"),
        ("item: a\nevery: 0 km", 2, "zero"),
        ("item: a\nevery: 1 month\nevery: 1 month", 3, "twice"),
        ("item: a\nevery: 1 month\nitem: a\nevery: 1 month", 3, "twice"),
        ("item: a\noften: yes", 2, "is none of"),
        ("item a", 1, "‘name: value’"),
        ("item:", 1, "characters"),
    ] {
        let troubles = read_suggestions(text).unwrap_err();
        assert!(troubles.iter().any(|one| one.line == line && one.say.contains(say)), "{text}: {troubles:?}");
    }
}

#[test]
fn a_stay_has_its_lists_by_its_length() {
    let since = date("2026-11-30");
    for (day, stay) in [
        ("2026-12-01", Stay::Weeks),
        ("2027-02-28", Stay::Weeks),
        ("2027-03-01", Stay::Season),
        ("2027-12-01", Stay::Years),
    ] {
        assert_eq!(Stay::between(since, date(day)), stay, "{day}");
    }
}

#[test]
fn times_are_told_in_the_largest_unit_that_says_something() {
    for (days, words) in [
        (1, "1 day"),
        (13, "13 days"),
        (14, "2 weeks"),
        (-59, "8 weeks"),
        (61, "2 months"),
        (365, "12 months"),
        (1100, "3 years"),
    ] {
        assert_eq!(time_span(days), words, "{days}");
    }
}

proptest! {
    /// Whatever is read in whatever order, nothing that counts runs backwards and every reading is either used or named.
    #[test]
    fn no_reading_is_lost_and_none_takes_distance_away(shown in prop::collection::vec((0i32..4000, 0u32..300_000), 0..20)) {
        let readings: Vec<Reading> = shown
            .iter()
            .map(|(day, number)| Reading {
                key: format!("{day} {number}"),
                day: Date::from_number(15_000 + day).unwrap(),
                shown: Distance::new(Decimal::from(*number), DistanceUnit::Kilometre).unwrap(),
                word: None,
            })
            .collect();
        let history = History::of(readings);
        prop_assert_eq!(history.used().len() + history.aside().len(), shown.len());
        prop_assert!(history.used().iter().all(|used| used.step.low >= Decimal::ZERO));
        for (day, _) in &shown {
            let since = history.since_day(Date::from_number(15_000 + day).unwrap());
            prop_assert!(since.high.is_none_or(|high| high >= since.low));
        }
    }
}
