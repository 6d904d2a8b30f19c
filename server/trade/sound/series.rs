//! A tone and its whole multiples at the place where a part would sound, and how often chance does as well.

use super::peaks::Peak;

/// So many multiples are looked for.
const MULTIPLES: u8 = 6;
/// The tone itself may be missing from a small microphone; then its double may stand for it.
const AS_MULTIPLE: u8 = 2;

/// Tones that lie where a line and its multiples are expected.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Series {
    /// Which multiple each tone is, the lowest first.
    pub(super) heard: Vec<(u8, Peak)>,
    /// How many multiples this clip could have shown.
    pub(super) shown: usize,
    /// How likely a line at a place drawn by lot would find as many; from 0 to 1.
    pub(super) chance: f64,
}

/// What tones there are, which of them the engine makes itself, and between which frequencies one could be.
#[derive(Debug, Clone, Copy)]
pub(super) struct Heard<'a> {
    pub(super) peaks: &'a [Peak],
    pub(super) own: &'a [Peak],
    /// Hertz.
    pub(super) low: f64,
    pub(super) high: f64,
}

/// The series that chance explains least, for a line expected at `hertz` ± `relative` of it; `None` where no tone is there. It
/// begins with a tone that the engine does not make itself, if any is there: the engine's own point at nothing else.
pub(super) fn series(heard: Heard<'_>, hertz: f64, relative: f64) -> Option<Series> {
    let likeliest = |own: bool| {
        let begun = move |peak: &&Peak| heard.is_own(peak) == own;
        let tries = (1..=AS_MULTIPLE).flat_map(|times| heard.peaks.iter().filter(begun).map(move |peak| (times, peak)));
        let found = tries.filter_map(|(times, peak)| tried(heard, hertz, relative, times, peak));
        found.min_by(|one, other| one.chance.total_cmp(&other.chance))
    };
    likeliest(false).or_else(|| likeliest(true))
}

/// `peak` taken as the `times`-th multiple of the line. How far the line may be off is one and the same for all its multiples,
/// so the others are looked for at multiples of this tone, as closely as the spectrum allows.
fn tried(heard: Heard<'_>, hertz: f64, relative: f64, times: u8, peak: &Peak) -> Option<Series> {
    let as_many = f64::from(times);
    let window = hertz * as_many * relative + peak.give;
    if (peak.frequency.hertz() - hertz * as_many).abs() > window {
        return None;
    }
    let first = peak.frequency.hertz() / as_many;
    let (mut found, mut by_chance) = (vec![(times, *peak)], Vec::new());
    for multiple in (1..=MULTIPLES).filter(|multiple| *multiple != times) {
        let many = f64::from(multiple);
        let place = first * many;
        if !(heard.low..=heard.high).contains(&place) {
            continue;
        }
        let window = peak.give * (1.0 + many / as_many);
        by_chance.push(heard.by_chance(place, window));
        let near = |known: &&Peak| (known.frequency.hertz() - place).abs() <= window;
        found.extend(
            heard
                .peaks
                .iter()
                .filter(near)
                .max_by(|one, other| one.rise.total_cmp(&other.rise))
                .map(|known| (multiple, *known)),
        );
    }
    if times > 1 && found.len() < 2 {
        return None;
    }
    found.sort_by_key(|(multiple, _)| *multiple);
    let shown = by_chance.len() + 1;
    let first_by_chance = heard.by_chance(hertz * as_many, window) * as_many;
    let chance = (first_by_chance * at_least(&by_chance, found.len() - 1)).min(1.0);
    Some(Series { heard: found, shown, chance })
}

impl Heard<'_> {
    pub(super) fn is_own(self, peak: &Peak) -> bool {
        self.own.iter().any(|own| own.bin == peak.bin)
    }

    /// How likely some tone lies within `window` hertz of a place drawn by lot in the octave around `hertz`: tones there taken
    /// as strewn evenly, and one at least.
    fn by_chance(self, hertz: f64, window: f64) -> f64 {
        let half_octave = std::f64::consts::SQRT_2;
        let (low, high) = ((hertz / half_octave).max(self.low), (hertz * half_octave).min(self.high));
        let around = self.peaks.iter().filter(|peak| (low..=high).contains(&peak.frequency.hertz())).count().max(1);
        let density = around as f64 / (high - low).max(2.0 * window);
        1.0 - (-2.0 * window * density).exp()
    }
}

/// How likely at least `wanted` of independent events come true.
fn at_least(chances: &[f64], wanted: usize) -> f64 {
    // counts[n]: how likely exactly n of those so far came true.
    let mut counts = vec![1.0];
    for chance in chances {
        let mut next = vec![0.0; counts.len() + 1];
        for (many, likely) in counts.iter().enumerate() {
            next[many] += likely * (1.0 - chance);
            next[many + 1] += likely * chance;
        }
        counts = next;
    }
    counts.iter().skip(wanted).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Source: arithmetic: two coins: at least one head three times in four, two heads once in four.
    #[test]
    fn coins_fall_as_they_do() {
        assert_eq!(at_least(&[], 0), 1.0);
        assert_eq!(at_least(&[0.5, 0.5], 1), 0.75);
        assert_eq!(at_least(&[0.5, 0.5], 2), 0.25);
        assert_eq!(at_least(&[0.5], 2), 0.0);
    }
}
