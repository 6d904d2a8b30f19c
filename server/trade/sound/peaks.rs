//! The tones that stand out of a spectrum.

use super::{Frequency, Spectrum};

/// Hertz; below it a phone's microphone hears little, and wind and handling much.
const LOWEST: f64 = 20.0;
/// Of the sample rate; above it the recorder's filter bends what is heard.
const HIGHEST: f64 = 0.45;
/// Decibels between a tone and the deeper of the valleys at its sides; the shallower counts.
const PROMINENT: f64 = 6.0;
/// Hertz to each side over which the floor under a tone is taken.
const FLOOR: f64 = 60.0;
/// The strongest so many are kept.
const MOST: usize = 40;

/// A tone: where it is, how well that is known, and how far it stands out.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// Between the values of the spectrum.
    pub frequency: Frequency,
    /// Hertz to each side within which its true frequency is taken to lie: half the distance of two values of the spectrum.
    pub give: f64,
    /// Decibels against a sine at full scale.
    pub level: f64,
    /// Decibels over the middle level around it.
    pub rise: f64,
    /// Decibels over the higher of the two valleys that part it from a higher peak.
    pub prominence: f64,
    /// Its place among the spectrum's values.
    pub bin: usize,
}

/// The tones of a spectrum, the lowest first; at most 40, those that stand out most. How far one must stand out follows from
/// how many stretches were averaged: a single one of noise is full of peaks.
pub fn peaks(spectrum: &Spectrum) -> Vec<Peak> {
    let levels = spectrum.levels();
    let needed = 5.0 + 14.0 / (spectrum.stretches() as f64).sqrt();
    let (low, high) = (LOWEST, highest(spectrum));
    let mut found: Vec<Peak> = Vec::new();
    for bin in summits(&levels) {
        let middle = bin as f64 * spectrum.spacing();
        if middle < low || middle > high {
            continue;
        }
        let prominence = prominence(&levels, bin);
        if prominence < PROMINENT {
            continue;
        }
        let rise = levels[bin] - floor(&levels, bin, spectrum.spacing());
        if rise < needed {
            continue;
        }
        if let Ok(frequency) = Frequency::from_hertz((bin as f64 + between(&levels, bin)) * spectrum.spacing()) {
            found.push(Peak { frequency, give: spectrum.spacing() / 2.0, level: levels[bin], rise, prominence, bin });
        }
    }
    found.sort_by(|one, other| other.rise.total_cmp(&one.rise));
    found.truncate(MOST);
    found.sort_by_key(|peak| peak.bin);
    found
}

/// Hertz below which tones are looked for.
pub(super) fn lowest() -> f64 {
    LOWEST
}

/// Hertz up to which tones are looked for.
pub(super) fn highest(spectrum: &Spectrum) -> f64 {
    let half = (spectrum.powers().len() - 1) as f64 * spectrum.spacing();
    half * 2.0 * HIGHEST
}

/// Values higher than both neighbours; the middle of a level top. The two ends are none.
fn summits(levels: &[f64]) -> Vec<usize> {
    let mut found = Vec::new();
    let mut at = 1;
    while at + 1 < levels.len() {
        let mut end = at;
        while end + 1 < levels.len() && levels[end + 1] == levels[at] {
            end += 1;
        }
        if levels[at - 1] < levels[at] && end + 1 < levels.len() && levels[end + 1] < levels[at] {
            found.push((at + end) / 2);
        }
        at = end + 1;
    }
    found
}

/// Over the higher of the two valleys reached before a higher value or an end.
fn prominence(levels: &[f64], summit: usize) -> f64 {
    let top = levels[summit];
    let valley = |side: &mut dyn Iterator<Item = &f64>| {
        side.take_while(|level| **level <= top).fold(top, |low, level| low.min(*level))
    };
    let left = valley(&mut levels[..summit].iter().rev());
    let right = valley(&mut levels[summit + 1..].iter());
    top - left.max(right)
}

/// The middle level around a value.
fn floor(levels: &[f64], at: usize, spacing: f64) -> f64 {
    let reach = ((FLOOR / spacing).ceil() as usize).max(8);
    let mut around = levels[at.saturating_sub(reach)..(at + reach + 1).min(levels.len())].to_vec();
    around.sort_by(f64::total_cmp);
    around[around.len() / 2]
}

/// Where the top of a parabola through three levels lies, in bins from the middle one: −½ to ½. `summits` gives no ends.
fn between(levels: &[f64], at: usize) -> f64 {
    let [left, top, right] = [levels[at - 1], levels[at], levels[at + 1]];
    let bend = left - 2.0 * top + right;
    if bend < 0.0 { (0.5 * (left - right) / bend).clamp(-0.5, 0.5) } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::sound::synthetic;

    /// A Hann-windowed sine is nearly a parabola on a logarithmic scale: within a twentieth of a bin.
    #[test]
    fn a_tone_between_two_values_is_found_between_them() {
        for hertz in [100.0, 100.3, 440.7, 1999.5] {
            let clip = synthetic::clip(8_000, 4.0, &[(hertz, 0.2)], 0.001, 7);
            let spectrum = Spectrum::of(&clip);
            let found = peaks(&spectrum);
            assert_eq!(found.len(), 1, "{hertz}: {found:?}");
            assert!((found[0].frequency.hertz() - hertz).abs() < spectrum.spacing() / 20.0, "{hertz}: {found:?}");
            assert!((found[0].level - 20.0 * 0.2_f64.log10()).abs() < 1.6, "{hertz}: {found:?}");
        }
    }

    #[test]
    fn noise_alone_has_no_tones() {
        for seed in 0..40 {
            for seconds in [1.5, 4.0, 12.0] {
                let clip = synthetic::clip(8_000, seconds, &[], 0.1, seed);
                assert_eq!(peaks(&Spectrum::of(&clip)), [], "seed {seed}, {seconds} s");
            }
        }
    }

    #[test]
    fn a_level_top_is_one_summit_and_an_end_is_none() {
        assert_eq!(summits(&[3.0, 1.0, 2.0, 2.0, 2.0, 1.0, 5.0]), [3]);
        assert_eq!(summits(&[]), [] as [usize; 0]);
        assert_eq!(summits(&[1.0, 1.0]), [] as [usize; 0]);
    }
}
