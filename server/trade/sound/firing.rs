//! The engine's speed, read off the sound of its firing.
//!
//! A four-stroke fires each cylinder once in two turns, a two-stroke once in each. Taken for granted: all cylinders fire, evenly
//! spaced. An engine with a dead cylinder, or with pairs that fire close together, also sounds at a half or a quarter of that,
//! and the reading is then off by that factor: so other readings that the tones allow are given too.

use super::peaks::Peak;
use super::speed::{ENGINE, Rate};
use super::{Frequency, SpeedError};
use crate::trade::closed_set::closed_set;

closed_set! {
    /// How many strokes make a working cycle.
    pub enum Cycle {
        Four = "four", "four-stroke";
        Two = "two", "two-stroke";
    }
}

const CYLINDERS: std::ops::RangeInclusive<u8> = 1..=16;
/// So many multiples of the firing are looked for.
const MULTIPLES: u8 = 8;
/// A tone counts as up to this multiple when a reading is tried.
const AS_MULTIPLE: u8 = 3;
/// Decibels: a tone that stands out more counts no more, or one loud whine would outvote a row of firings.
const LOUDEST_VOTE: f64 = 30.0;
/// Decibels taken off for each multiple that is missing.
const MISSING: f64 = 10.0;
/// Another reading is named when its votes come to this part of the best one's.
const RIVAL: f64 = 0.7;
/// Readings closer than this part of themselves are one.
const SAME: f64 = 0.03;

/// An engine, as far as its firing sounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Engine {
    cycle: Cycle,
    cylinders: u8,
}

/// Why that is no engine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("An engine with {0} cylinders cannot be read: from 1 to 16.")]
pub struct EngineError(pub u8);

impl Engine {
    pub fn new(cycle: Cycle, cylinders: u8) -> Result<Engine, EngineError> {
        if CYLINDERS.contains(&cylinders) { Ok(Engine { cycle, cylinders }) } else { Err(EngineError(cylinders)) }
    }

    /// Firings in a turn of the crankshaft.
    pub fn firings(self) -> f64 {
        let cylinders = f64::from(self.cylinders);
        match self.cycle {
            Cycle::Four => cylinders / 2.0,
            Cycle::Two => cylinders,
        }
    }
}

/// `4 cylinders, four-stroke`
impl std::fmt::Display for Engine {
    fn fmt(&self, out: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let cylinders = if self.cylinders == 1 { "cylinder" } else { "cylinders" };
        write!(out, "{} {cylinders}, {}", self.cylinders, self.cycle)
    }
}

/// A speed read off the firing.
#[derive(Debug, Clone, PartialEq)]
pub struct Firing {
    /// Of the crankshaft.
    pub rate: Rate,
    /// Of the firing.
    pub frequency: Frequency,
    /// Multiples of the firing that were heard, the lowest first.
    pub heard: Vec<u8>,
    /// Other speeds of the crankshaft that the tones allow nearly as well.
    pub others: Vec<Rate>,
    /// What was taken for granted, and how sure it is.
    pub says: String,
}

/// Why no speed was read.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum FiringError {
    #[error(
        "No row of evenly spaced tones is heard that could be the firing. Record nearer to the exhaust, or enter the speed."
    )]
    None,
    #[error(transparent)]
    Speed(#[from] SpeedError),
}

struct Reading {
    firing: f64,
    /// Hertz to each side.
    give: f64,
    heard: Vec<u8>,
    votes: f64,
}

/// Reads the speed of the crankshaft off the tones of a clip; `near`: what the person took it to be, where they did.
pub fn read_firing(peaks: &[Peak], engine: Engine, near: Option<Rate>) -> Result<Firing, FiringError> {
    let turns = near.map_or((*ENGINE.start(), *ENGINE.end()), |near| {
        let (middle, give) = (near.frequency().per_minute(), near.frequency().per_minute() * near.relative());
        (middle - give, middle + give)
    });
    let [low, high] = [turns.0, turns.1].map(|turns| turns / 60.0 * engine.firings());
    let tries = peaks.iter().flat_map(|peak| (1..=AS_MULTIPLE).map(move |times| (peak, times)));
    let within = |(peak, times): &(&Peak, u8)| (low..=high).contains(&(peak.frequency.hertz() / f64::from(*times)));
    let mut readings: Vec<Reading> =
        tries.filter(within).filter_map(|(peak, times)| try_as(peaks, peak, times)).collect();
    readings.sort_by(|one, other| other.votes.total_cmp(&one.votes));
    let Some(best) = readings.first() else { return Err(FiringError::None) };
    let rate = crank(best, engine)?;
    let mut others: Vec<Rate> = Vec::new();
    for reading in readings.iter().filter(|reading| reading.votes >= RIVAL * best.votes) {
        let other = crank(reading, engine)?;
        if std::iter::once(&rate).chain(&others).all(|known| !is_same(*known, other)) {
            others.push(other);
        }
    }
    let frequency = Frequency::from_hertz(best.firing).map_err(|_| FiringError::None)?;
    let says = says(engine, best, &others);
    Ok(Firing { rate, frequency, heard: best.heard.clone(), others, says })
}

fn is_same(one: Rate, other: Rate) -> bool {
    (one.frequency().hertz() / other.frequency().hertz() - 1.0).abs() < SAME
}

fn crank(reading: &Reading, engine: Engine) -> Result<Rate, SpeedError> {
    let turns = reading.firing / engine.firings();
    let frequency = Frequency::from_hertz(turns).map_err(|_| SpeedError::Engine(turns * 60.0))?;
    Rate::new(frequency, reading.give / reading.firing)
}

/// The tones taken as multiples of `peak` ÷ `times`; `None` where fewer than two are there.
fn try_as(peaks: &[Peak], peak: &Peak, times: u8) -> Option<Reading> {
    let first = peak.frequency.hertz() / f64::from(times);
    let (mut heard, mut votes, mut top, mut bottom) = (Vec::new(), 0.0, 0.0, 0.0);
    for multiple in 1..=MULTIPLES {
        let (many, each) = (f64::from(multiple), f64::from(multiple) / f64::from(times));
        let near = |known: &&Peak| (known.frequency.hertz() - first * many).abs() <= known.give + peak.give * each;
        match peaks.iter().filter(near).max_by(|one, other| one.rise.total_cmp(&other.rise)) {
            Some(known) => {
                heard.push(multiple);
                votes += known.rise.min(LOUDEST_VOTE);
                // The frequency that suits all multiples best: least squares.
                top += many * known.frequency.hertz();
                bottom += many * many;
            }
            None => votes -= MISSING,
        }
    }
    let highest = f64::from(*heard.last()?);
    let fits = heard.len() >= 2 && votes > 0.0;
    fits.then_some(Reading { firing: top / bottom, give: peak.give / highest, heard, votes })
}

fn says(engine: Engine, best: &Reading, others: &[Rate]) -> String {
    let multiples = best.heard.iter().map(u8::to_string).collect::<Vec<_>>().join(", ");
    let sure = if others.is_empty() {
        "No other speed suits the tones nearly as well".to_owned()
    } else {
        let named = others.iter().map(|other| format!("{:.0}", other.frequency().per_minute())).collect::<Vec<_>>();
        format!("Not sure: {} turns a minute would suit the tones nearly as well", named.join(", "))
    };
    format!(
        "Read off the firing: {:.1} Hz, heard at its multiples {multiples}. Taken for granted: {engine}, every cylinder fires, \
         evenly spaced, so {} times a turn. {sure}. Compare it with the gauge.",
        best.firing,
        engine.firings()
    )
}
