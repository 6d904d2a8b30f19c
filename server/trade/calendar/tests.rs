//! What is refused, what is escaped and folded. Reading back by another library: `tests/published/calendar.rs`.

use super::*;
use proptest::prelude::*;

fn at(date: &str, hour: u8, minute: u8) -> LocalTime {
    LocalTime::new(Date::parse(date).unwrap(), hour, minute).unwrap()
}

fn stamp() -> Stamp {
    Stamp::utc(at("2026-11-25", 16, 5), 3)
}

fn evening(uid: &str, starts: LocalTime) -> Evening {
    Evening {
        uid: uid.into(),
        starts,
        minutes: 150,
        summary: "Rear brakes".into(),
        description: String::new(),
        sequence: 0,
    }
}

/// Summer time of the European Union, from memory: last Sundays of March and October, 01:00 UTC.
fn berlin() -> Zone {
    let change = |date, hour, from, to, summer| Change { at: at(date, hour, 0), from, to, summer };
    Zone::named(
        "Europe/Berlin",
        vec![
            change("2025-10-26", 3, 120, 60, false),
            change("2026-03-29", 2, 60, 120, true),
            change("2026-10-25", 3, 120, 60, false),
        ],
    )
    .unwrap()
}

fn written(evenings: &[Evening]) -> String {
    write("Evenings", &Zone::Floating, stamp(), evenings).unwrap()
}

/// What a reader makes of the folded lines (RFC 5545, 3.1).
fn unfolded(calendar: &str) -> String {
    calendar.replace("\r\n ", "")
}

#[test]
fn an_evening_is_an_event_with_its_start_its_length_and_its_name() {
    let calendar = written(&[evening("e1", at("2026-11-25", 19, 0))]);
    let wanted = "BEGIN:VEVENT\r\nUID:e1\r\nDTSTAMP:20261125T160503Z\r\nDTSTART:20261125T190000\r\nDURATION:PT2H30M\r\n\
                  SEQUENCE:0\r\nSUMMARY:Rear brakes\r\nEND:VEVENT\r\nEND:VCALENDAR\r\n";
    assert!(calendar.ends_with(wanted), "{calendar}");
}

#[test]
fn lengths_are_written_as_hours_and_minutes() {
    for (minutes, expected) in [(1, "PT1M"), (60, "PT1H"), (90, "PT1H30M"), (1440, "PT24H")] {
        assert_eq!(duration(minutes), expected);
    }
}

#[test]
fn text_cannot_break_out_of_its_line() {
    let mut odd = evening("e1", at("2026-11-25", 19, 0));
    odd.summary = "a;b,c\\d".into();
    odd.description = "one\r\nEND:VEVENT\rtwo\u{0}\u{7}\u{85}three".into();
    let calendar = unfolded(&written(&[odd]));
    assert!(calendar.contains("SUMMARY:a\\;b\\,c\\\\d\r\n"), "{calendar}");
    assert!(calendar.contains("DESCRIPTION:one\\nEND:VEVENT\\ntwothree\r\n"), "{calendar}");
    assert_eq!(calendar.matches("\r\nEND:VEVENT").count(), 1);
}

#[test]
fn a_start_that_the_clocks_skip_in_spring_is_refused_and_the_minute_after_is_not() {
    let zone = berlin();
    let one = |hour, minute| write("E", &zone, stamp(), &[evening("e", at("2026-03-29", hour, minute))]);
    for (hour, minute) in [(2, 0), (2, 30), (2, 59)] {
        let error = one(hour, minute).unwrap_err();
        assert_eq!(error, CalendarError::Zone(ZoneError::Skipped(at("2026-03-29", hour, minute))));
    }
    assert!(one(1, 59).is_ok());
    assert!(one(3, 0).is_ok());
    assert!(write("E", &Zone::Floating, stamp(), &[evening("e", at("2026-03-29", 2, 30))]).is_ok());
}

#[test]
fn a_time_that_the_clocks_show_twice_in_autumn_is_taken() {
    assert!(write("E", &berlin(), stamp(), &[evening("e", at("2026-10-25", 2, 30))]).is_ok());
}

#[test]
fn a_zone_that_is_named_is_described() {
    let calendar = write("E", &berlin(), stamp(), &[evening("e", at("2026-11-25", 19, 0))]).unwrap();
    assert!(calendar.contains("DTSTART;TZID=Europe/Berlin:20261125T190000\r\n"), "{calendar}");
    let summer = "BEGIN:DAYLIGHT\r\nDTSTART:20260329T020000\r\nTZOFFSETFROM:+0100\r\nTZOFFSETTO:+0200\r\nEND:DAYLIGHT";
    assert!(calendar.contains(summer), "{calendar}");
}

#[test]
fn a_calendar_without_evenings_still_holds_something() {
    assert!(written(&[]).contains("BEGIN:VTIMEZONE"));
    assert!(!written(&[evening("e", at("2026-11-25", 19, 0))]).contains("VTIMEZONE"));
}

#[test]
fn what_a_calendar_cannot_hold_is_refused_with_a_sentence() {
    let fine = evening("e", at("2026-11-25", 19, 0));
    let refused = |evenings: &[Evening]| write("E", &Zone::Floating, stamp(), evenings).unwrap_err();
    for uid in ["", "a b", "a\nb", "ü", &"x".repeat(201)] {
        let evening = Evening { uid: uid.to_owned(), ..fine.clone() };
        assert_eq!(refused(&[evening]), CalendarError::Uid(uid.to_owned()));
    }
    for minutes in [0, 1441, u32::MAX] {
        assert_eq!(refused(&[Evening { minutes, ..fine.clone() }]), CalendarError::Length(minutes));
    }
    assert_eq!(refused(&[Evening { summary: " ".into(), ..fine.clone() }]), CalendarError::NoTitle);
    assert_eq!(refused(&[fine.clone(), fine]), CalendarError::UidTwice("e".into()));
}

#[test]
fn changes_that_contradict_each_other_are_no_zone() {
    let change = |date, from, to| Change { at: at(date, 3, 0), from, to, summer: false };
    for changes in [
        vec![],
        vec![change("2026-10-25", 120, 60), change("2026-03-29", 60, 120)],
        vec![change("2026-03-29", 60, 120), change("2026-10-25", 60, 0)],
        vec![change("2026-03-29", 60, 901)],
    ] {
        assert_eq!(Zone::named("Europe/Berlin", changes.clone()), Err(ZoneError::Changes("Europe/Berlin".into())));
    }
    for name in ["", "Europe Berlin", "a:b", "a;b"] {
        assert_eq!(Zone::named(name, vec![change("2026-03-29", 60, 120)]), Err(ZoneError::Name(name.into())));
    }
    let early = evening("e", at("2025-01-01", 19, 0));
    let error = write("E", &berlin(), stamp(), &[early]).unwrap_err().to_string();
    assert!(error.contains("begin after 2025-01-01 at 19:00"), "{error}");
}

/// Source: the Gregorian rule; 2000 was a leap year and 2100 will be none.
#[test]
fn days_that_no_calendar_has_are_refused() {
    for text in ["2026-02-29", "2100-02-29", "2026-04-31", "2026-13-01", "2026-00-10", "2026-01-00", "1899-12-31"] {
        assert!(matches!(Date::parse(text), Err(TimeError::Day(..))), "{text}");
    }
    for text in ["", "2026", "26-11-25", "2026-11-25T19:00", "2026/11/25", "+026-11-25", "2026-1１-25"] {
        assert!(matches!(Date::parse(text), Err(TimeError::Unreadable(_))), "{text}");
    }
    for text in ["2000-02-29", "2024-02-29", "2026-12-31"] {
        assert_eq!(Date::parse(text).unwrap().to_string(), text);
    }
    assert_eq!(LocalTime::new(Date::parse("2026-11-25").unwrap(), 24, 0), Err(TimeError::Time(24, 0)));
}

#[test]
fn months_are_counted_to_the_same_day_or_to_the_last_of_a_shorter_month() {
    for (from, months, to) in [
        ("2026-11-25", 1, "2026-12-25"),
        ("2026-11-30", 3, "2027-02-28"),
        ("2027-11-30", 3, "2028-02-29"),
        ("2026-01-31", 0, "2026-01-31"),
        ("2026-12-31", 12, "2027-12-31"),
    ] {
        assert_eq!(Date::parse(from).unwrap().plus_months(months).unwrap().to_string(), to, "{from}");
    }
    assert!(Date::parse("2199-12-01").unwrap().plus_months(1).is_err());
    assert!(Date::parse("2026-12-01").unwrap().plus_months(u32::MAX).is_err());
}

proptest! {
    #[test]
    fn no_line_is_wider_than_75_octets_and_no_letter_is_cut(text in "\\PC{0,300}", more in "(a|é|€|🔧|,){0,120}") {
        let mut one = evening("e", at("2026-11-25", 19, 0));
        one.summary = format!("x{text}");
        one.description = more;
        let calendar = written(&[one]);
        for line in calendar.split("\r\n") {
            prop_assert!(line.len() <= 75, "{} octets: {}", line.len(), line);
        }
        prop_assert!(calendar.ends_with("\r\n"));
        prop_assert!(!calendar.replace("\r\n", "").contains(['\r', '\n']));
    }
}
