//! What is typed about a job card, and how it becomes facts. Pure; its place in the plan: `in_plan`.

use super::in_plan::InPlan;
use super::model::{Card, CardFacts, Minutes};
use crate::trade::spec::System;
use crate::web::form::{Differs, Slips, differing};
use serde::Deserialize;

const LONGEST_TITLE: usize = 120;
const LONGEST_WHY: usize = 2000;
/// A hundred hours.
const MOST_MINUTES: i64 = 6000;

/// A card as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct CardForm {
    pub rev: i64,
    pub title: String,
    pub system: String,
    pub why: String,
    pub low: String,
    pub likely: String,
    pub high: String,
    /// `yes` where somebody is asked to help.
    #[serde(default)]
    pub helper: String,
    /// `yes` where the plan leaves it out for now.
    #[serde(default)]
    pub put_off: String,
    /// Ids of the cards that it comes after.
    #[serde(default)]
    pub after: Vec<String>,
}

impl From<&Card> for CardForm {
    fn from(card: &Card) -> CardForm {
        let minutes = |of: fn(Minutes) -> i64| card.facts.minutes.map(|m| of(m).to_string()).unwrap_or_default();
        CardForm {
            rev: card.rev,
            title: card.facts.title.clone(),
            system: card.facts.system.name().to_owned(),
            why: card.facts.why.clone(),
            low: minutes(|m| m.low),
            likely: minutes(|m| m.likely),
            high: minutes(|m| m.high),
            helper: if card.facts.helper { "yes".into() } else { String::new() },
            ..CardForm::default()
        }
    }
}

impl CardForm {
    /// The facts, unless something cannot be taken; the slips say what.
    pub fn read(&self, slips: &mut Slips) -> Option<CardFacts> {
        let title = slips.needed("title", &self.title, LONGEST_TITLE, "Say what the job is, in a few words.");
        let system = System::from_name(&self.system);
        if system.is_none() {
            slips.say("system", "Choose the part of the car it belongs to.");
        }
        let why = slips.text("why", &self.why, LONGEST_WHY);
        let minutes = self.minutes(slips);
        if !slips.is_empty() {
            return None;
        }
        Some(CardFacts { title, system: system?, why, minutes, helper: self.helper == "yes" })
    }

    /// All three or none, the least first.
    fn minutes(&self, slips: &mut Slips) -> Option<Minutes> {
        let fields = [("low", &self.low), ("likely", &self.likely), ("high", &self.high)];
        if fields.iter().all(|(_, typed)| typed.trim().is_empty()) {
            return None;
        }
        let mut read = [0; 3];
        for (minutes, (field, typed)) in read.iter_mut().zip(fields) {
            match read_minutes(typed) {
                Some(known) => *minutes = known,
                None if typed.trim().is_empty() => slips.say(field, "Give all three times, or none."),
                None => slips.say(field, "Write whole minutes such as 90, or hours and minutes such as 1:30."),
            }
        }
        let [low, likely, high] = read;
        if slips.of("low").is_empty() && slips.of("likely").is_empty() && slips.of("high").is_empty() {
            if low > likely {
                slips.say("likely", "The likely time cannot be shorter than the least.");
            }
            if likely > high {
                slips.say("high", "The longest time cannot be shorter than the likely one.");
            }
        }
        Some(Minutes { low, likely, high })
    }

    /// What is there now where it differs from what was typed.
    pub fn differing(&self, now: &Card, plan: &InPlan) -> Vec<Differs> {
        differing(plan.form(now).fields(plan), self.fields(plan))
    }

    fn fields(&self, plan: &InPlan) -> Vec<(&'static str, String)> {
        let yes = |typed: &str| if typed == "yes" { "yes" } else { "no" }.to_owned();
        vec![
            ("Job", self.title.clone()),
            ("System", System::from_name(&self.system).map(System::label).unwrap_or_default().to_owned()),
            ("Why", self.why.replace("\r\n", "\n")),
            ("Least time", self.low.clone()),
            ("Likely time", self.likely.clone()),
            ("Longest time", self.high.clone()),
            ("A helper is asked", yes(&self.helper)),
            ("Put off", yes(&self.put_off)),
            ("Comes after", plan.words(self)),
        ]
    }
}

/// `90` or `1:30`, from one minute to a hundred hours.
pub(crate) fn read_minutes(typed: &str) -> Option<i64> {
    let digits = |text: &str| text.chars().all(|letter| letter.is_ascii_digit()).then(|| text.parse::<i64>().ok())?;
    let minutes = match typed.trim().split_once(':') {
        None => digits(typed.trim())?,
        Some((hours, minutes)) if minutes.len() == 2 => {
            let minutes = digits(minutes).filter(|minutes| *minutes < 60)?;
            digits(hours)?.checked_mul(60)?.checked_add(minutes)?
        }
        Some(_) => return None,
    };
    (1..=MOST_MINUTES).contains(&minutes).then_some(minutes)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn form(low: &str, likely: &str, high: &str) -> CardForm {
        CardForm {
            title: "Rear axle oil, change".into(),
            system: "driveline".into(),
            low: low.into(),
            likely: likely.into(),
            high: high.into(),
            ..CardForm::default()
        }
    }

    fn slips_of(form: &CardForm) -> Vec<&'static str> {
        let mut slips = Slips::default();
        assert_eq!(form.read(&mut slips).is_none(), !slips.is_empty());
        slips.all().iter().map(|slip| slip.field).collect()
    }

    #[test]
    fn times_are_all_there_or_none_and_in_order() {
        let cases: [(&str, &str, &str, &[&str]); 7] = [
            ("", "", "", &[]),
            ("35", "50", "1:30", &[]),
            ("50", "50", "50", &[]),
            ("35", "", "90", &["likely"]),
            ("60", "50", "40", &["likely", "high"]),
            ("half", "0", "6001", &["low", "likely", "high"]),
            ("1:5", "1:75", "-5", &["low", "likely", "high"]),
        ];
        for (low, likely, high, expected) in cases {
            assert_eq!(slips_of(&form(low, likely, high)), expected, "{low} {likely} {high}");
        }
    }

    #[test]
    fn hours_and_minutes_are_read() {
        assert_eq!(read_minutes(" 1:30 "), Some(90));
        assert_eq!(read_minutes("99999999999999999999"), None);
    }

    #[test]
    fn a_card_needs_a_title_and_a_system() {
        let empty = CardForm { title: "  ".into(), system: "kitchen".into(), ..form("", "", "") };
        assert_eq!(slips_of(&empty), ["title", "system"]);
        assert_eq!(slips_of(&CardForm { title: "x".repeat(121), ..form("", "", "") }), ["title"]);
    }
}
