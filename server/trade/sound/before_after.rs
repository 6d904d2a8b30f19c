//! The same clip before and after a repair: which tones are gone, which are left, which are new.

use super::peaks::Peak;
use super::speed::Rate;
use crate::trade::closed_set::closed_set;

closed_set! {
    /// What became of a tone.
    pub enum Fate {
        Gone = "gone", "gone";
        Weaker = "weaker", "weaker";
        Same = "same", "still there";
        Stronger = "stronger", "stronger";
        New = "new", "new";
    }
}

/// Decibels over the floor: less of a change is within what the hand that holds the phone does.
const CHANGE: f64 = 6.0;
/// Tones closer than this part of themselves are one where no speed is known.
const UNKNOWN: f64 = 0.03;

/// A clip's tones, and the speed that they follow, where it is known.
#[derive(Debug, Clone, Copy)]
pub struct Heard<'a> {
    pub peaks: &'a [Peak],
    pub rate: Option<Rate>,
}

/// A tone of one or both clips.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    pub fate: Fate,
    pub before: Option<Peak>,
    pub after: Option<Peak>,
}

/// Tone by tone, the loudest before first, then the new ones. With both speeds known tones are matched by how often they come
/// in a turn, so that the clips need not be taken at one speed; else by frequency.
pub fn changes(before: Heard<'_>, after: Heard<'_>) -> Vec<Change> {
    let (ratio, relative) = match (before.rate, after.rate) {
        (Some(one), Some(other)) => {
            (other.frequency().hertz() / one.frequency().hertz(), one.relative() + other.relative())
        }
        (None, _) | (_, None) => (1.0, UNKNOWN),
    };
    let mut left: Vec<Peak> = after.peaks.to_vec();
    let mut earlier: Vec<Peak> = before.peaks.to_vec();
    earlier.sort_by(|one, other| other.level.total_cmp(&one.level));
    let mut changes: Vec<Change> = Vec::new();
    for peak in earlier {
        let place = peak.frequency.hertz() * ratio;
        let away = |known: &Peak| (known.frequency.hertz() - place).abs();
        let near = |known: &Peak| away(known) <= place * relative + known.give + peak.give * ratio;
        let found = (0..left.len())
            .filter(|at| near(&left[*at]))
            .min_by(|one, other| away(&left[*one]).total_cmp(&away(&left[*other])));
        let after = found.map(|at| left.swap_remove(at));
        changes.push(Change { fate: fate(peak, after), before: Some(peak), after });
    }
    left.sort_by(|one, other| other.level.total_cmp(&one.level));
    changes.extend(left.into_iter().map(|peak| Change { fate: Fate::New, before: None, after: Some(peak) }));
    changes
}

fn fate(before: Peak, after: Option<Peak>) -> Fate {
    match after.map(|after| after.rise - before.rise) {
        None => Fate::Gone,
        Some(change) if change <= -CHANGE => Fate::Weaker,
        Some(change) if change >= CHANGE => Fate::Stronger,
        Some(_) => Fate::Same,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::sound::{Clip, Spectrum, peaks, synthetic};

    fn tones(clip: &Clip) -> Vec<Peak> {
        peaks(&Spectrum::of(clip))
    }

    /// The engine turns a tenth faster after the repair: its own tone moves with it, the whine is gone, another is new.
    #[test]
    fn tones_are_matched_by_order_where_both_speeds_are_known() {
        let before = tones(&synthetic::clip(8_000, 4.0, &[(200.0, 0.2), (730.0, 0.1)], 0.01, 1));
        let after = tones(&synthetic::clip(8_000, 4.0, &[(220.0, 0.2), (1500.0, 0.02)], 0.01, 2));
        let rate = |turns| Rate::engine(turns, 5.0).ok();
        let changes =
            changes(Heard { peaks: &before, rate: rate(1000.0) }, Heard { peaks: &after, rate: rate(1100.0) });
        assert_eq!(changes.iter().map(|change| change.fate).collect::<Vec<_>>(), [Fate::Same, Fate::Gone, Fate::New]);
    }

    #[test]
    fn a_tone_that_stands_out_less_is_weaker() {
        let before = tones(&synthetic::clip(8_000, 4.0, &[(730.0, 0.2)], 0.01, 1));
        let after = tones(&synthetic::clip(8_000, 4.0, &[(735.0, 0.02)], 0.01, 2));
        let changes = changes(Heard { peaks: &before, rate: None }, Heard { peaks: &after, rate: None });
        assert_eq!(changes.iter().map(|change| change.fate).collect::<Vec<_>>(), [Fate::Weaker]);
    }
}
