//! Which of the car's rotating parts fit the tones of a clip, which do not, how sure and why.

use super::part::{Line, Part};
use super::peaks::{Peak, highest, lowest};
use super::series::{Heard, Series, series};
use super::speed::{Rate, Speeds};
use super::{Frequency, Spectrum};
use crate::trade::closed_set::closed_set;

closed_set! {
    /// How well a part fits, the best first.
    pub enum Sure {
        Well = "well", "fits well";
        Fits = "fits", "fits";
        May = "may", "may fit";
        Not = "not", "does not fit";
        CannotTell = "cannot-tell", "cannot be told from this clip";
    }
}

/// Chance up to this, with at least two multiples heard, is a good fit.
const WELL: f64 = 0.02;
/// Chance up to this is a fit.
const FITS: f64 = 0.1;
/// The engine itself sounds at its firing and so many multiples of it.
const OWN_MULTIPLES: f64 = 12.0;
/// Where the place of a multiple is known no better than this part of the distance to the next, any tone would lie on one.
const OWN_WINDOW: f64 = 0.2;

/// A line of a part against the tones.
#[derive(Debug, Clone, PartialEq)]
pub struct LineFit {
    pub line: Line,
    pub expected: Frequency,
    /// Hertz to each side of `expected` within which a tone is taken for it.
    pub give: f64,
    /// Which multiple of the line each tone is; empty where none fits.
    pub heard: Vec<(u8, Peak)>,
    /// How many multiples this clip could have shown.
    pub shown: usize,
    /// How likely a line at a place drawn by lot fits as well, from 0 to 1.
    pub chance: f64,
}

/// A part against the tones.
#[derive(Debug, Clone, PartialEq)]
pub struct PartFit {
    /// Its place in the list that was asked about.
    pub at: usize,
    pub part: String,
    pub sure: Sure,
    /// What it rests on; sentences.
    pub why: String,
    /// Lines with a tone first, those that chance explains least before.
    pub lines: Vec<LineFit>,
    /// Other parts whose line lies on the same tones.
    pub shares: Vec<String>,
    /// The tones of its likeliest line are all whole multiples of the firing too.
    pub own: bool,
}

/// What fits and what does not.
#[derive(Debug, Clone, PartialEq)]
pub struct Shortlist {
    /// All parts, the surest first.
    pub parts: Vec<PartFit>,
    /// Tones that no part fits, and that are no multiples of the firing either.
    pub unclaimed: Vec<Peak>,
    /// Tones that are whole multiples of the firing.
    pub own: Vec<Peak>,
}

/// Holds the tones `peaks` of `spectrum` against `parts`. `firing`: how often the engine fired, and how well that is known.
pub fn shortlist(
    spectrum: &Spectrum,
    peaks: &[Peak],
    parts: &[Part],
    speeds: &Speeds,
    firing: Option<Rate>,
) -> Shortlist {
    let own: Vec<Peak> =
        peaks.iter().filter(|peak| firing.is_some_and(|firing| is_own(peak, firing))).copied().collect();
    let heard = Heard { peaks, own: &own, low: lowest(), high: highest(spectrum) };
    let mut fits: Vec<PartFit> = parts.iter().enumerate().map(|(at, part)| fit(heard, at, part, speeds)).collect();
    share(&mut fits);
    for fit in &mut fits {
        fit.sure = sure(fit);
        fit.why = super::why::why(fit, heard.low, heard.high, speeds.of(parts[fit.at].shaft()).is_some());
    }
    fits.sort_by(|one, other| {
        one.sure.cmp(&other.sure).then(loudest(other).total_cmp(&loudest(one))).then(one.at.cmp(&other.at))
    });
    let claimed = |peak: &&Peak| fits.iter().flat_map(tones).any(|known| known.bin == peak.bin);
    let unclaimed = peaks.iter().filter(|peak| !claimed(peak) && !heard.is_own(peak)).copied().collect();
    Shortlist { parts: fits, unclaimed, own }
}

/// The tones of all lines that fit.
fn tones(fit: &PartFit) -> impl Iterator<Item = &Peak> {
    fit.lines.iter().flat_map(|line| line.heard.iter().map(|(_, peak)| peak))
}

fn loudest(fit: &PartFit) -> f64 {
    tones(fit).map(|peak| peak.level).fold(f64::NEG_INFINITY, f64::max)
}

fn is_own(peak: &Peak, firing: Rate) -> bool {
    let spacing = firing.frequency().hertz();
    let multiple = (peak.frequency.hertz() / spacing).round();
    let window = multiple * spacing * firing.relative() + peak.give;
    (1.0..=OWN_MULTIPLES).contains(&multiple)
        && window < OWN_WINDOW * spacing
        && (peak.frequency.hertz() - multiple * spacing).abs() <= window
}

fn fit(heard: Heard<'_>, at: usize, part: &Part, speeds: &Speeds) -> PartFit {
    let rate = speeds.of(part.shaft());
    let mut lines: Vec<LineFit> = rate
        .map_or_else(Vec::new, |rate| part.lines().iter().filter_map(|line| line_fit(heard, *line, rate)).collect());
    let own = |line: &LineFit| line.heard.iter().all(|(_, peak)| heard.is_own(peak));
    lines.sort_by(|one, other| own(one).cmp(&own(other)).then(one.chance.total_cmp(&other.chance)));
    let own = lines.first().is_some_and(|line| !line.heard.is_empty() && own(line));
    let part = part.name().to_owned();
    PartFit { at, part, sure: Sure::Not, why: String::new(), lines, shares: vec![], own }
}

/// `None` for a line that this clip cannot show.
fn line_fit(heard: Heard<'_>, line: Line, rate: Rate) -> Option<LineFit> {
    let hertz = rate.frequency().hertz() * line.order.times();
    let expected = Frequency::from_hertz(hertz).ok()?;
    if !(heard.low..=heard.high).contains(&hertz) {
        return None;
    }
    let relative = rate.relative() + line.slack;
    let give = hertz * relative + heard.peaks.first().map_or(0.0, |peak| peak.give);
    let found = series(heard, hertz, relative);
    let Series { heard, shown, chance } = found.unwrap_or(Series { heard: vec![], shown: 0, chance: 1.0 });
    Some(LineFit { line, expected, give, heard, shown, chance })
}

/// Names the other parts whose best line rests on the same tones.
fn share(fits: &mut [PartFit]) {
    let bins = |fit: &PartFit| -> Vec<usize> {
        fit.lines.first().map_or_else(Vec::new, |line| line.heard.iter().map(|(_, peak)| peak.bin).collect())
    };
    let all: Vec<(Vec<usize>, String)> = fits.iter().map(|fit| (bins(fit), fit.part.clone())).collect();
    for (at, fit) in fits.iter_mut().enumerate() {
        let mine = &all[at].0;
        let meets = |(other, (bins, _)): &(usize, &(Vec<usize>, String))| {
            *other != at && bins.iter().any(|bin| mine.contains(bin))
        };
        fit.shares = all.iter().enumerate().filter(meets).map(|(_, (_, name))| name.clone()).collect();
    }
}

/// A part with many lines is tested as often, and chance with it.
pub(super) fn chance_of(fit: &PartFit) -> f64 {
    let best = fit.lines.first().map_or(1.0, |line| line.chance);
    1.0 - (1.0 - best).powf(fit.lines.len() as f64)
}

fn sure(fit: &PartFit) -> Sure {
    let Some(best) = fit.lines.first() else { return Sure::CannotTell };
    if best.heard.is_empty() {
        return Sure::Not;
    }
    let chance = chance_of(fit);
    if fit.own || chance > FITS {
        Sure::May
    } else if chance > WELL || best.heard.len() < 2 || !fit.shares.is_empty() {
        Sure::Fits
    } else {
        Sure::Well
    }
}
