//! What is typed about evenings, and how it becomes facts. Pure: today and the zone are given in.

use crate::jobs::form::read_minutes;
use crate::plan::model::{Evening, EveningFacts};
use crate::web::form::{Differs, Slips, differing};
use jiff::civil::{Date, DateTime, Time, Weekday};
use jiff::tz::{AmbiguousOffset, TimeZone};
use serde::Deserialize;

const LONGEST_NOTE: usize = 120;
/// A day and a night.
const MOST_MINUTES: i64 = 24 * 60;
/// More than two years of two evenings a week.
pub const MOST_AT_ONCE: usize = 200;

/// One evening as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct EveningForm {
    #[serde(default)]
    pub rev: i64,
    pub day: String,
    pub starts: String,
    pub minutes: String,
    #[serde(default)]
    pub helper: String,
    #[serde(default)]
    pub note: String,
}

/// Many evenings as typed: the same time on some days of the week.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct ManyForm {
    /// Names such as `tuesday`.
    #[serde(default)]
    pub weekday: Vec<String>,
    #[serde(default)]
    pub from: String,
    pub until: String,
    pub starts: String,
    pub minutes: String,
    #[serde(default)]
    pub helper: String,
    #[serde(default)]
    pub note: String,
}

/// The days of the week with their names in the form and on the page.
pub const WEEKDAYS: [(Weekday, &str, &str); 7] = [
    (Weekday::Monday, "monday", "Monday"),
    (Weekday::Tuesday, "tuesday", "Tuesday"),
    (Weekday::Wednesday, "wednesday", "Wednesday"),
    (Weekday::Thursday, "thursday", "Thursday"),
    (Weekday::Friday, "friday", "Friday"),
    (Weekday::Saturday, "saturday", "Saturday"),
    (Weekday::Sunday, "sunday", "Sunday"),
];

/// What evenings are held against: the time now by the clock on the wall, its zone, and the evenings there are, each with the
/// name of its car.
pub struct Beside<'a> {
    pub now: DateTime,
    pub zone: &'a TimeZone,
    pub others: &'a [(Evening, String)],
}

impl From<&Evening> for EveningForm {
    fn from(evening: &Evening) -> EveningForm {
        let facts = &evening.facts;
        EveningForm {
            rev: evening.rev,
            day: facts.day.to_string(),
            starts: facts.starts.strftime("%H:%M").to_string(),
            minutes: facts.minutes.to_string(),
            helper: if facts.helper { "yes".into() } else { String::new() },
            note: facts.note.clone(),
        }
    }
}

impl EveningForm {
    /// The facts, unless something cannot be taken; the slips say what.
    pub fn read(&self, beside: &Beside<'_>, slips: &mut Slips) -> Option<EveningFacts> {
        let day = day(slips, "day", &self.day);
        let starts = starts(slips, "starts", &self.starts);
        let minutes = minutes(slips, "minutes", &self.minutes);
        let note = slips.line("note", &self.note, LONGEST_NOTE);
        let facts = EveningFacts { day: day?, starts: starts?, minutes: minutes?, helper: self.helper == "yes", note };
        if facts.day < beside.now.date() {
            slips.say("day", "That day is past. Choose today or a later one.");
        } else if let Some(say) = beside.against(&facts) {
            slips.say("starts", say);
        }
        slips.is_empty().then_some(facts)
    }

    pub fn differing(&self, now: &Evening) -> Vec<Differs> {
        differing(EveningForm::from(now).fields(), self.fields())
    }

    fn fields(&self) -> Vec<(&'static str, String)> {
        vec![
            ("Day", self.day.clone()),
            ("From", self.starts.clone()),
            ("Time there is", read_minutes(&self.minutes).map_or(self.minutes.clone(), |minutes| minutes.to_string())),
            ("A helper comes", if self.helper == "yes" { "yes" } else { "no" }.to_owned()),
            ("Note", self.note.clone()),
        ]
    }
}

impl ManyForm {
    /// The facts of every evening, unless something cannot be taken; the slips say what. Without a first day it is today.
    pub fn read(&self, beside: &Beside<'_>, slips: &mut Slips) -> Option<Vec<EveningFacts>> {
        let weekdays = self.weekdays(slips);
        let today = beside.now.date();
        let from = if self.from.trim().is_empty() { Some(today) } else { day(slips, "from", &self.from) };
        let until = day(slips, "until", &self.until);
        let starts = starts(slips, "many-starts", &self.starts);
        let minutes = minutes(slips, "many-minutes", &self.minutes);
        let note = slips.line("note", &self.note, LONGEST_NOTE);
        let (from, until, starts, minutes) = (from?, until?, starts?, minutes?);
        if from < today {
            slips.say("from", "That day is past. Choose today or a later one, or leave it empty.");
        }
        if until < from {
            slips.say("until", "The last day comes before the first. Choose a later one.");
        }
        if !slips.is_empty() {
            return None;
        }
        let days = from.series(jiff::Span::new().days(1)).take_while(|day| *day <= until);
        let days = days.filter(|day| weekdays.contains(&day.weekday())).take(MOST_AT_ONCE + 1);
        let helper = self.helper == "yes";
        let mut all: Vec<EveningFacts> =
            days.map(|day| EveningFacts { day, starts, minutes, helper, note: note.clone() }).collect();
        if all.len() > MOST_AT_ONCE {
            slips.say("until", format!("That is more than {MOST_AT_ONCE} evenings. Choose an earlier last day."));
            return None;
        }
        // An evening of today that is over already is not meant.
        all.retain(|evening| !evening.is_over(beside.now));
        self.look(&all, beside, slips);
        slips.is_empty().then_some(all)
    }

    fn weekdays(&self, slips: &mut Slips) -> Vec<Weekday> {
        let known = |name: &String| WEEKDAYS.iter().find(|(_, known, _)| known == name).map(|(weekday, ..)| *weekday);
        let read: Vec<Option<Weekday>> = self.weekday.iter().map(known).collect();
        if read.is_empty() || read.contains(&None) {
            slips.say("weekday", "Choose at least one day of the week.");
        }
        read.into_iter().flatten().collect()
    }

    fn look(&self, all: &[EveningFacts], beside: &Beside<'_>, slips: &mut Slips) {
        if all.is_empty() {
            slips.say("until", "None of the chosen days of the week comes before that day. Choose a later last day.");
        }
        if all.windows(2).any(|two| two[0].meets(&two[1])) {
            slips.say(
                "many-minutes",
                "So long an evening runs into the next one. Choose fewer days, or a shorter time.",
            );
        }
        if let Some(say) = all.iter().find_map(|evening| beside.against(evening)) {
            slips.say("many-starts", format!("{say} Nothing was put in."));
        }
    }
}

impl Beside<'_> {
    /// Why an evening cannot be put in beside the others.
    fn against(&self, facts: &EveningFacts) -> Option<String> {
        let on = facts.day.strftime("%a %-d %b %Y");
        if facts.is_over(self.now) {
            return Some("That is over already. Choose a later time.".to_owned());
        }
        let offset = self.zone.to_ambiguous_timestamp(facts.begins()).offset();
        if matches!(offset, AmbiguousOffset::Gap { .. }) {
            return Some(format!("The clocks go forward on {on}, and that time does not come: begin an hour later."));
        }
        let (other, car) = self.others.iter().find(|(other, _)| other.facts.meets(facts))?;
        let begins = other.facts.begins().strftime("%a %-d %b %Y, %H:%M");
        let minutes = crate::web::words::minutes(other.facts.minutes.into());
        Some(format!("On {on} you are at the {car} already: {begins}, {minutes}."))
    }
}

fn day(slips: &mut Slips, field: &'static str, typed: &str) -> Option<Date> {
    if typed.trim().is_empty() {
        slips.say(field, "Choose a day.");
    }
    slips.day(field, typed)?.parse().ok()
}

fn starts(slips: &mut Slips, field: &'static str, typed: &str) -> Option<Time> {
    let read = Time::strptime("%H:%M", typed.trim()).ok();
    if read.is_none() {
        slips.say(field, "Write when it begins, in hours and minutes: 19:00.");
    }
    read
}

fn minutes(slips: &mut Slips, field: &'static str, typed: &str) -> Option<u32> {
    let read = read_minutes(typed).filter(|minutes| *minutes <= MOST_MINUTES);
    if read.is_none() {
        let say = "Write how long it is, from 1 minute to 24 hours: 90, or hours and minutes such as 1:30.";
        slips.say(field, say);
    }
    read.and_then(|minutes| u32::try_from(minutes).ok())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ids::EveningId;

    fn beside<'a>(zone: &'a TimeZone, others: &'a [(Evening, String)]) -> Beside<'a> {
        Beside { now: "2027-03-01T20:00".parse().unwrap(), zone, others }
    }

    fn one(day: &str, starts: &str, minutes: &str) -> EveningForm {
        EveningForm { day: day.into(), starts: starts.into(), minutes: minutes.into(), ..EveningForm::default() }
    }

    fn other() -> (Evening, String) {
        let facts = EveningFacts {
            day: "2027-03-04".parse().unwrap(),
            starts: "19:00".parse().unwrap(),
            minutes: 120,
            helper: false,
            note: String::new(),
        };
        (Evening { id: EveningId::new(), facts, rev: 1 }, "Lark".to_owned())
    }

    #[test]
    fn an_evening_that_cannot_be_is_told_at_its_field() {
        let others = [other()];
        let zone = TimeZone::UTC;
        for (form, field) in [
            (one("2027-03-02", "19:00", "120"), ""),
            (one("2027-03-02", "19:00", "2:00"), ""),
            (one("2027-03-01", "19:30", "60"), ""),
            (one("", "19:00", "120"), "day"),
            (one("2027-02-28", "19:00", "120"), "day"),
            (one("2027-02-30", "19:00", "120"), "day"),
            (one("2027-03-01", "18:00", "60"), "starts"),
            (one("2027-03-02", "25:00", "120"), "starts"),
            (one("2027-03-02", "seven", "120"), "starts"),
            (one("2027-03-04", "20:30", "120"), "starts"),
            (one("2027-03-02", "19:00", "0"), "minutes"),
            (one("2027-03-02", "19:00", "25:00"), "minutes"),
            (one("2027-03-02", "19:00", "1441"), "minutes"),
            (one("2027-03-02", "19:00", "-5"), "minutes"),
        ] {
            let mut slips = Slips::default();
            let read = form.read(&beside(&zone, &others), &mut slips);
            assert_eq!(slips.all().first().map_or("", |slip| slip.field), field, "{form:?}");
            assert_eq!(read.is_some(), field.is_empty());
        }
    }

    #[test]
    fn a_time_that_the_clocks_skip_is_refused_and_a_night_of_the_change_is_as_long_as_it_says() {
        // Clocks in the European Union go forward at 01:00 UTC on the last Sunday of March (Directive 2000/84/EC): 2027-03-28.
        let zone = TimeZone::posix("CET-1CEST,M3.5.0,M10.5.0/3").unwrap();
        let mut slips = Slips::default();
        assert!(one("2027-03-28", "02:30", "60").read(&beside(&zone, &[]), &mut slips).is_none());
        assert!(slips.of("starts").contains("clocks go forward"));
        let mut slips = Slips::default();
        let night = one("2027-03-27", "23:00", "240").read(&beside(&zone, &[]), &mut slips);
        assert_eq!(night.map(|night| night.minutes), Some(240));
    }

    fn many(weekdays: &[&str], from: &str, until: &str, minutes: &str) -> ManyForm {
        ManyForm {
            weekday: weekdays.iter().map(|day| (*day).to_owned()).collect(),
            from: from.into(),
            until: until.into(),
            starts: "19:00".into(),
            minutes: minutes.into(),
            ..ManyForm::default()
        }
    }

    #[test]
    fn tuesdays_and_thursdays_until_a_day_are_each_of_them_once() {
        let zone = TimeZone::UTC;
        let mut slips = Slips::default();
        let form = many(&["tuesday", "thursday"], "", "2027-03-11", "120");
        let days: Vec<String> =
            form.read(&beside(&zone, &[]), &mut slips).unwrap().iter().map(|e| e.day.to_string()).collect();
        // 1 March 2027 is a Monday (any calendar).
        assert_eq!(days, ["2027-03-02", "2027-03-04", "2027-03-09", "2027-03-11"]);
    }

    #[test]
    fn many_that_cannot_be_are_told_at_their_field_and_none_is_put_in() {
        let others = [other()];
        let zone = TimeZone::UTC;
        for (form, field) in [
            (many(&[], "", "2027-05-30", "120"), "weekday"),
            (many(&["caturday"], "", "2027-05-30", "120"), "weekday"),
            (many(&["tuesday"], "2027-02-01", "2027-05-30", "120"), "from"),
            (many(&["tuesday"], "2027-04-01", "2027-03-30", "120"), "until"),
            (many(&["tuesday"], "2027-03-03", "2027-03-05", "120"), "until"),
            (many(&["tuesday"], "", "2032-03-05", "120"), "until"),
            (many(&["tuesday"], "", "", "120"), "until"),
            (many(&["tuesday"], "", "2027-05-30", "0"), "many-minutes"),
            (many(&["monday", "tuesday"], "2027-03-02", "2027-05-30", "1440"), ""),
            (many(&["thursday"], "", "2027-05-30", "120"), "many-starts"),
        ] {
            let mut slips = Slips::default();
            let read = form.read(&beside(&zone, &others), &mut slips);
            assert_eq!(slips.all().first().map_or("", |slip| slip.field), field, "{form:?}");
            assert_eq!(read.is_some(), field.is_empty());
        }
    }
}
