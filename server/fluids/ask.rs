//! The forms of a fluid's page: what is typed, and what is answered. They store nothing.

use crate::trade::citation::Citation;
use crate::trade::fluid::{
    Answer, Basis, Bleed, Blend, Changes, Exchange, Fluid, Frost, MIXED_VESSEL, Pipe, Renewal, Strength, Verdict,
    Warning, bleed, blend, exchange, frost, mixes, strength_for, suits,
};
use crate::trade::quantity::{Percent, PercentUnit, Shown, Temperature, TemperatureUnit, Volume, VolumeUnit};
use crate::web::form::Slips;
use rust_decimal::Decimal;
use serde::Deserialize;

const LONGEST: usize = 120;
/// A car has no more pipes than this.
const MOST_PIPES: usize = 12;
/// Fresh enough, where nothing else is wanted.
const WANTED: &str = "90 %";

/// What stands behind the address: which form was sent, and its fields as typed.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Asked {
    /// `pour`, `renew`, `bleed` or `mix`; empty: nothing was asked.
    #[serde(default)]
    pub ask: String,
    #[serde(default)]
    pub inside: String,
    #[serde(default)]
    pub bottle: String,
    #[serde(default)]
    pub whole: String,
    #[serde(default)]
    pub out: String,
    #[serde(default)]
    pub fresh: String,
    #[serde(default)]
    pub pipes: String,
    #[serde(default)]
    pub reservoir: String,
    #[serde(default)]
    pub system: String,
    #[serde(default)]
    pub present: String,
    #[serde(default)]
    pub strength: String,
    #[serde(default)]
    pub coldest: String,
}

/// What a form was answered.
pub enum Answered {
    Pour(Poured),
    Renew(Renewed),
    Bleed(Bled),
    Mix(Box<Mixed>),
}

/// The answer, where something was asked and nothing was wrong with it.
pub fn answer(asked: &Asked, wanted: &Result<Fluid, String>, slips: &mut Slips) -> Option<Answered> {
    match asked.ask.as_str() {
        "pour" => poured(asked, wanted, slips).map(Answered::Pour),
        "renew" => renewed(asked, slips).map(Answered::Renew),
        "bleed" => bled(asked, slips).map(Answered::Bleed),
        "mix" => mixed(asked, slips).map(|mixed| Answered::Mix(Box::new(mixed))),
        "" => None,
        _ => {
            slips.say("ask", "That is asked by no form of this page.");
            None
        }
    }
}

// ---------------------------------------------------------------- may this be poured in?

/// One thing to be judged of a bottle.
pub struct Reason {
    pub about: String,
    pub code: &'static str,
    pub word: &'static str,
    pub says: String,
    pub source: String,
}

pub struct Poured {
    pub code: &'static str,
    pub word: &'static str,
    pub bottle: String,
    pub reasons: Vec<Reason>,
    /// Nothing was said of what is inside.
    pub only_empty: bool,
}

fn verdict_code(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Yes => "fine",
        Verdict::No => "stop",
        Verdict::NotKnown => "unknown",
    }
}

fn reason(about: String, answer: Answer) -> (Verdict, Reason) {
    let Answer { verdict, says, source } = answer;
    let word = match verdict {
        Verdict::Yes => "Yes",
        Verdict::No => "No",
        Verdict::NotKnown => "Not known",
    };
    (verdict, Reason { about, code: verdict_code(verdict), word, says, source: source.to_string() })
}

fn poured(asked: &Asked, wanted: &Result<Fluid, String>, slips: &mut Slips) -> Option<Poured> {
    let bottle = slips.needed("bottle", &asked.bottle, LONGEST, "Write what the label says: DOT 4, SAE 20W-50, OAT.");
    let inside = slips.line("inside", &asked.inside, LONGEST);
    if !slips.is_empty() {
        return None;
    }
    let bottle = Fluid::parse(&bottle).map_err(|why| slips.say("bottle", why.to_string())).ok();
    let only_empty = inside.is_empty();
    let inside = (!only_empty).then(|| Fluid::parse(&inside).map_err(|why| slips.say("inside", why.to_string())).ok());
    let (bottle, inside) = (
        bottle?,
        match inside {
            Some(read) => Some(read?),
            None => None,
        },
    );
    let mut judged = vec![match wanted {
        Ok(wanted) => reason(format!("Where the car asks for {wanted}"), suits(wanted, &bottle)),
        Err(why) => not_known(why),
    }];
    judged.extend(inside.map(|inside| reason(format!("On top of {inside}"), mixes(&inside, &bottle))));
    let worst = [Verdict::No, Verdict::NotKnown].into_iter().find(|bad| judged.iter().any(|(is, _)| is == bad));
    let verdict = worst.unwrap_or(Verdict::Yes);
    let word = match verdict {
        Verdict::Yes => "Yes, it may go in",
        Verdict::No => "No: leave it out",
        Verdict::NotKnown => "Not known: do not pour it in yet",
    };
    let reasons = judged.into_iter().map(|(_, reason)| reason).collect();
    Some(Poured { code: verdict_code(verdict), word, bottle: bottle.to_string(), reasons, only_empty })
}

fn not_known(why: &str) -> (Verdict, Reason) {
    let answer = Answer { verdict: Verdict::NotKnown, says: why.to_owned(), source: Citation::PRACTICE };
    reason("What the car asks for".into(), answer)
}

// ---------------------------------------------------------------- repeated changes

pub struct Renewed {
    pub changes: Changes,
    /// After each change, in percent.
    pub after: Vec<String>,
    pub needs: String,
    /// `change` or `changes`
    pub word: &'static str,
    pub source: String,
}

fn renewed(asked: &Asked, slips: &mut Slips) -> Option<Renewed> {
    let whole = volume("whole", &asked.whole, slips);
    let out = volume("out", &asked.out, slips);
    let wanted = percent("fresh", if asked.fresh.trim().is_empty() { WANTED } else { &asked.fresh }, slips);
    let renewal = Renewal::new(out?, &whole?).map_err(|why| slips.say("out", why.to_string())).ok()?;
    let changes = renewal.until(&wanted?).map_err(|why| slips.say("fresh", why.to_string())).ok()?;
    let after = changes.fresh.iter().map(|share| share.in_unit(PercentUnit::Percent).to_string()).collect();
    let word = if changes.fresh.len() == 1 { "change" } else { "changes" };
    Some(Renewed { word, after, needs: shown(&changes.needs).to_string(), source: MIXED_VESSEL.to_string(), changes })
}

/// Reads `90 %` or plain `90`.
fn percent(field: &'static str, typed: &str, slips: &mut Slips) -> Option<Percent> {
    let typed = format!("{} %", typed.trim().trim_end_matches('%').trim_end());
    let read = Percent::parse(&typed).map_err(|why| slips.say(field, why.to_string())).ok()?;
    if read.number() > Decimal::ONE_HUNDRED {
        slips.say(field, "More than 100 % of it cannot be fresh: ask for 90 % or 95 %.");
        return None;
    }
    Some(read)
}

fn as_percent(strength: Strength, field: &'static str, slips: &mut Slips) -> Option<Percent> {
    Percent::computed(strength.percent(), PercentUnit::Percent).map_err(|why| slips.say(field, why.to_string())).ok()
}

fn strength(field: &'static str, typed: &str, slips: &mut Slips) -> Option<Strength> {
    Strength::parse(typed).map_err(|why| slips.say(field, why.to_string())).ok()
}

fn volume(field: &'static str, typed: &str, slips: &mut Slips) -> Option<Volume> {
    let typed = slips.needed(field, typed, LONGEST, "Write how much, with its unit: 4.5 l, 800 ml, 8 imp pt.");
    if typed.is_empty() {
        return None;
    }
    Volume::parse(&typed).map_err(|why| slips.say(field, why.to_string())).ok()
}

/// In the unit it was written in, or litres where it was worked out.
fn shown(volume: &Volume) -> Shown {
    volume.in_unit(volume.unit())
}

// ---------------------------------------------------------------- bleeding

pub struct Bled {
    pub bleed: Bleed,
    pub in_pipes: String,
    pub have_ready: Shown,
    pub source: String,
}

fn bled(asked: &Asked, slips: &mut Slips) -> Option<Bled> {
    let lines = slips.lines("pipes", &asked.pipes, MOST_PIPES, LONGEST);
    let reservoir = volume("reservoir", &asked.reservoir, slips);
    let mut pipes = Vec::new();
    for line in &lines {
        match pipe(line) {
            Ok(pipe) => pipes.push(pipe),
            Err(say) => slips.say("pipes", say),
        }
    }
    let reservoir = reservoir.filter(|_| slips.is_empty())?;
    let bleed = bleed(&pipes, &reservoir).map_err(|why| slips.say("pipes", why.to_string())).ok()?;
    Some(Bled {
        in_pipes: bleed.in_pipes.in_unit(VolumeUnit::Millilitre).to_string(),
        have_ready: bleed.have_ready.in_unit(VolumeUnit::Millilitre),
        source: bleed.source.to_string(),
        bleed,
    })
}

/// `3.2 mm x 4 m`: the bore, then the length.
fn pipe(line: &str) -> Result<Pipe, String> {
    let (bore, length) = line
        .split_once(['x', 'X', '×', '*'])
        .ok_or_else(|| format!("‘{line}’: write the bore, an x, and the length, such as 3.2 mm x 4 m."))?;
    Pipe::parse(bore.trim(), length.trim()).map_err(|why| why.to_string())
}

// ---------------------------------------------------------------- coolant

pub struct Mixed {
    pub strength: String,
    /// What to do with a full system.
    pub exchange: Option<Exchange>,
    /// What to pour into an empty one.
    pub blend: Option<(Blend, String, String)>,
    pub frost: Option<Frost>,
    /// Why no freezing point is given.
    pub no_frost: String,
    pub count_on: Option<Shown>,
    pub at_best: String,
    /// Against the frost that was asked for: the code of its mark, and the sentence.
    pub margin: Option<(&'static str, String)>,
    pub warns: Vec<Warning>,
}

fn mixed(asked: &Asked, slips: &mut Slips) -> Option<Mixed> {
    let system = volume("system", &asked.system, slips);
    let filled = |typed: &str| !typed.trim().is_empty();
    let coldest = if filled(&asked.coldest) { Some(temperature(&asked.coldest, slips)?) } else { None };
    let wanted = match (&coldest, filled(&asked.strength)) {
        (_, true) => strength("strength", &asked.strength, slips),
        (Some(coldest), false) => strength_for(coldest).map_err(|why| slips.say("coldest", why.to_string())).ok(),
        (None, false) => {
            slips.say(
                "strength",
                "Write the share of concentrate that is wanted, such as 50 %, or the frost it must bear.",
            );
            None
        }
    };
    let present = if filled(&asked.present) { Some(strength("present", &asked.present, slips)?) } else { None };
    let (system, wanted) = (system?, wanted?);
    let (exchange, blend) = match present {
        Some(present) => (Some(exchanged(&system, present, wanted, slips)?), None),
        None => (None, Some(blended(&system, wanted, slips)?)),
    };
    let share = as_percent(wanted, "strength", slips)?;
    let frost = frost(&share, Basis::Volume);
    let no_frost = frost.as_ref().err().map(ToString::to_string).unwrap_or_default();
    let frost = frost.ok();
    let in_celsius = |at: &Temperature| at.in_unit(TemperatureUnit::Celsius);
    Some(Mixed {
        strength: wanted.to_string(),
        exchange,
        blend,
        count_on: frost.as_ref().map(|frost| in_celsius(&frost.count_on)),
        at_best: frost.as_ref().map(|frost| in_celsius(&frost.at_best).to_string()).unwrap_or_default(),
        margin: coldest.as_ref().zip(frost.as_ref()).map(|(coldest, frost)| margin(coldest, frost)),
        frost,
        no_frost,
        warns: wanted.warns(),
    })
}

fn exchanged(system: &Volume, present: Strength, wanted: Strength, slips: &mut Slips) -> Option<Exchange> {
    let poured = if wanted > present { Strength::NEAT } else { Strength::WATER };
    exchange(system, present, wanted, poured).map_err(|why| slips.say("system", why.to_string())).ok()
}

fn blended(system: &Volume, wanted: Strength, slips: &mut Slips) -> Option<(Blend, String, String)> {
    let blend = blend(system, wanted).map_err(|why| slips.say("system", why.to_string())).ok()?;
    let (concentrate, water) = (shown(&blend.concentrate).to_string(), shown(&blend.water).to_string());
    Some((blend, concentrate, water))
}

fn temperature(typed: &str, slips: &mut Slips) -> Option<Temperature> {
    let typed = slips.line("coldest", typed, LONGEST);
    Temperature::parse(&typed).map_err(|why| slips.say("coldest", why.to_string())).ok()
}

/// How far the mix stays liquid below the frost that is expected.
fn margin(coldest: &Temperature, frost: &Frost) -> (&'static str, String) {
    let celsius = |at: &Temperature| at.to(TemperatureUnit::Celsius);
    let spare = (celsius(coldest) - celsius(&frost.count_on)).round_dp(1).normalize();
    let at = coldest.in_unit(TemperatureUnit::Celsius);
    if spare.is_sign_negative() && !spare.is_zero() {
        return ("act", format!("Not enough: by the warmest table ice begins {} K above {at}.", spare.abs()));
    }
    ("fine", format!("{spare} K to spare at {at}, by the warmest table."))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn asked(fields: &[(&str, &str)]) -> Asked {
        let map: serde_json::Map<String, serde_json::Value> =
            fields.iter().map(|(name, value)| ((*name).to_owned(), (*value).into())).collect();
        serde_json::from_value(map.into()).unwrap()
    }

    fn slip(fields: &[(&str, &str)]) -> String {
        let mut slips = Slips::default();
        let wanted = Ok(Fluid::parse("DOT 4").unwrap());
        assert!(answer(&asked(fields), &wanted, &mut slips).is_none(), "{fields:?}");
        slips.all().first().map(|slip| slip.say.clone()).unwrap_or_default()
    }

    #[test]
    fn nonsense_is_told_in_a_sentence_that_helps() {
        for (fields, say) in [
            (&[("ask", "pour"), ("bottle", "")][..], "Write what the label says"),
            (&[("ask", "pour"), ("bottle", "Best Blue")], "names no published class"),
            (&[("ask", "pour"), ("bottle", "DOT 4"), ("inside", "hydraulic")], "look for DOT or the word mineral"),
            (&[("ask", "renew"), ("whole", "0 l"), ("out", "1 l")], "zero litres"),
            (&[("ask", "renew"), ("whole", "4 l"), ("out", "7 l")], "cannot drain out of a system"),
            (&[("ask", "renew"), ("whole", "4 Nm"), ("out", "1 l")], "is a unit for a torque"),
            (&[("ask", "renew"), ("whole", "4 qt"), ("out", "1 l")], "US"),
            (&[("ask", "renew"), ("whole", "7 l"), ("out", "4 l"), ("fresh", "100")], "never reached"),
            (&[("ask", "renew"), ("whole", "7 l"), ("out", "4 l"), ("fresh", "130 %")], "cannot be fresh"),
            (&[("ask", "bleed"), ("pipes", "3 mm"), ("reservoir", "200 ml")], "write the bore, an x"),
            (&[("ask", "bleed"), ("pipes", "3 cm x 4 m"), ("reservoir", "200 ml")], "is no brake pipe"),
            (&[("ask", "bleed"), ("pipes", ""), ("reservoir", "200 ml")], "List at least one pipe"),
            (&[("ask", "mix"), ("system", "7 l"), ("strength", "130 %")], "neat concentrate is 100 %"),
            (&[("ask", "mix"), ("system", "0 l"), ("strength", "50 %")], "zero litres"),
            (&[("ask", "mix"), ("system", "7 l"), ("present", "5 l"), ("strength", "50")], "a percentage is wanted"),
            (&[("ask", "mix"), ("system", "7 l")], "share of concentrate"),
            (&[("ask", "mix"), ("system", "7 l"), ("coldest", "-70 °C")], "60 % is the end"),
            (&[("ask", "dance")], "no form of this page"),
        ] {
            let said = slip(fields);
            assert!(said.contains(say), "{fields:?}: {said}");
        }
    }

    #[test]
    fn the_worst_of_two_reasons_is_the_verdict() {
        let judge = |inside: &str, bottle: &str| {
            let wanted = Ok(Fluid::parse("DOT 4").unwrap());
            let asked = asked(&[("ask", "pour"), ("inside", inside), ("bottle", bottle)]);
            match answer(&asked, &wanted, &mut Slips::default()) {
                Some(Answered::Pour(poured)) => (poured.code, poured.reasons.len()),
                _ => ("", 0),
            }
        };
        assert_eq!(judge("DOT 4", "DOT 5.1"), ("fine", 2));
        assert_eq!(judge("DOT 5", "DOT 4"), ("stop", 2));
        assert_eq!(judge("", "DOT 5"), ("stop", 1));
    }

    /// Source of the figures: mass balance of a mixed vessel, 1 − (3/7)ⁿ: 57.1 %, 81.6 %, 92.1 %.
    #[test]
    fn three_changes_of_four_litres_freshen_seven() {
        let asked = asked(&[("ask", "renew"), ("whole", "7 l"), ("out", "4 l")]);
        let Some(Answered::Renew(renewed)) = answer(&asked, &Err(String::new()), &mut Slips::default()) else {
            panic!("not answered")
        };
        assert_eq!(renewed.after.len(), 3);
        assert_eq!(renewed.needs, "12 l");
    }

    /// Source: the balance of volumes, 8 l · (50 − 30)/(100 − 30) = 2.29 l.
    #[test]
    fn a_weak_coolant_is_strengthened_and_its_margin_told() {
        let asked =
            asked(&[("ask", "mix"), ("system", "8 l"), ("present", "30"), ("strength", "50"), ("coldest", "-20 °C")]);
        let Some(Answered::Mix(mixed)) = answer(&asked, &Err(String::new()), &mut Slips::default()) else {
            panic!("not answered")
        };
        assert!(mixed.exchange.unwrap().says.contains("neat concentrate"));
        assert_eq!(mixed.margin.unwrap().0, "fine");
    }
}
