//! Why a part fits or does not, in sentences.

use super::shortlist::{LineFit, PartFit, chance_of};

/// Sentences; `low` and `high` in hertz: what the clip can show.
pub(super) fn why(fit: &PartFit, low: f64, high: f64, speed_known: bool) -> String {
    if !speed_known {
        return "The speed of its shaft is not known for this clip: enter it.".to_owned();
    }
    let Some(best) = fit.lines.first() else {
        return format!("All it could sound at lies outside what this clip can show: {low:.0} Hz to {high:.0} Hz.");
    };
    if best.heard.is_empty() {
        return format!("No tone at {}.", places(fit));
    }
    let mut says = vec![heard(best)];
    if fit.own {
        says.push("The same tones are whole multiples of the firing: the engine itself makes them too.".to_owned());
    } else {
        says.push(odds(chance_of(fit)));
    }
    if !fit.shares.is_empty() {
        says.push(format!(
            "The same tone fits {} too. A clip at another speed tells them apart only if one hangs on another shaft or slips; \
             a better known speed, if their places differ.",
            fit.shares.join(", ")
        ));
    }
    says.join(" ")
}

fn places(fit: &PartFit) -> String {
    let place = |line: &LineFit| format!("{} ({}, ± {:.0} Hz)", line.expected, line.line.kind, line.give.ceil());
    let mut by_height: Vec<&LineFit> = fit.lines.iter().collect();
    by_height.sort_by(|one, other| one.expected.hertz().total_cmp(&other.expected.hertz()));
    by_height.into_iter().map(place).collect::<Vec<_>>().join(", ")
}

/// `Its poles are expected at 1224 Hz ± 31 Hz; heard at 1219 Hz, and at 2 of the 4 multiples above it that the clip can show.`
fn heard(line: &LineFit) -> String {
    let expected = format!("{}: expected at {}, ± {:.0} Hz", line.line.kind, line.expected, line.give.ceil());
    let tones: Vec<String> = line
        .heard
        .iter()
        .map(|(multiple, peak)| match multiple {
            1 => peak.frequency.to_string(),
            times => format!("{} ({times} times)", peak.frequency),
        })
        .collect();
    let mut letters = expected.chars();
    let first = letters.next().map(|letter| letter.to_uppercase().to_string()).unwrap_or_default();
    format!(
        "{first}{}; heard at {}, {} of {} multiples that this clip can show.",
        letters.as_str(),
        tones.join(", "),
        line.heard.len(),
        line.shown
    )
}

/// How often a place drawn by lot does as well.
fn odds(chance: f64) -> String {
    let once_in = (1.0 / chance.max(1e-3)).round();
    if once_in >= 1_000.0 {
        "By chance a part would fit as well less than once in 1000.".to_owned()
    } else if once_in >= 2.0 {
        format!("By chance a part would fit as well about once in {once_in:.0}.")
    } else {
        "By chance most parts would fit as well: this says little.".to_owned()
    }
}
