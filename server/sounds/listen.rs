//! A clip heard: its tones, the speeds they are divided by, and the shortlist.

use super::model::{CarTurns, ClipSpeeds, KeptPart};
use crate::trade::sound::{
    Clip, Firing, Frequency, Part, Peak, Rate, Shortlist, Spectrum, Speeds, peaks, read_firing, shortlist, wander,
};

/// A clip's sound, put beside what is known of the car.
#[derive(Debug, Clone)]
pub struct Listened {
    pub spectrum: Spectrum,
    pub tones: Vec<Peak>,
    pub speeds: Speeds,
    pub firing: Option<Rate>,
    /// How the speeds came about and what to mind; sentences.
    pub says: Vec<String>,
}

/// Beyond this part of itself a speed was not held.
const HELD: f64 = 0.01;
/// Beyond this part of all samples cut-off peaks make tones of their own.
const CUT_OFF: f64 = 0.001;

/// Hears a clip. What was typed and cannot be read counts as not said: the form told it when it was typed.
pub fn listen(clip: &Clip, car: &CarTurns, said: &ClipSpeeds) -> Listened {
    let spectrum = Spectrum::of(clip);
    let tones = peaks(&spectrum);
    let mut says = Vec::new();
    if clip.cut_off() > CUT_OFF {
        says.push(
            "The recording was too loud and is cut off: some tones may be made by that. Record from further away."
                .into(),
        );
    }
    let (crank, firing) = crank(clip, &tones, car, said, &mut says);
    let wheel = wheel(car, said);
    let propshaft = wheel.and_then(|wheel| Rate::propshaft(wheel, car.axle().ok().flatten()?).ok());
    Listened { spectrum, tones, speeds: Speeds { crank, propshaft, wheel }, firing, says }
}

/// The crankshaft's speed, closer by the firing where the engine is known, and how often the engine fires.
fn crank(
    clip: &Clip,
    tones: &[Peak],
    car: &CarTurns,
    said: &ClipSpeeds,
    says: &mut Vec<String>,
) -> (Option<Rate>, Option<Rate>) {
    let entered = said.crank().ok().flatten();
    let Some(engine) = car.engine().ok().flatten() else { return (entered, None) };
    match (read_firing(tones, engine, entered), entered) {
        (Ok(Firing { rate, frequency, others, says: how, .. }), _) => {
            says.push(how);
            let wandered = held(clip, frequency, says);
            let doubt = if others.is_empty() { 0.0 } else { entered.map_or(0.0, Rate::relative) };
            let crank = rate.widened(wandered + doubt);
            (Some(crank), Rate::new(frequency, crank.relative()).ok())
        }
        (Err(_), Some(entered)) => {
            says.push("The firing was not heard near the speed that was entered, so that is taken as it is.".into());
            let fires = Frequency::from_hertz(entered.frequency().hertz() * engine.firings());
            (Some(entered), fires.ok().and_then(|fires| Rate::new(fires, entered.relative()).ok()))
        }
        (Err(error), None) => {
            says.push(error.to_string());
            (None, None)
        }
    }
}

/// The part of itself by which the firing wandered.
fn held(clip: &Clip, firing: Frequency, says: &mut Vec<String>) -> f64 {
    let wandered = wander(clip, firing).unwrap_or_default();
    if wandered > HELD {
        says.push(format!(
            "The speed was not held: it wandered by {:.0} % to each side, and parts are told apart less well.",
            wandered * 100.0
        ));
    }
    wandered
}

fn wheel(car: &CarTurns, said: &ClipSpeeds) -> Option<Rate> {
    let (road, give) = said.road().ok().flatten()?;
    let round = car.round().ok().flatten()?;
    Rate::wheel(road, give, round).ok()
}

impl Listened {
    /// The car's parts against the tones. A part that can no longer be read is left out.
    pub fn shortlist(&self, kept: &[KeptPart]) -> Shortlist {
        let parts: Vec<Part> = kept.iter().filter_map(|part| part.written.read().ok()).collect();
        shortlist(&self.spectrum, &self.tones, &parts, &self.speeds, self.firing)
    }

    /// The speed that orders are counted in: the crankshaft's, else the wheels'.
    pub fn counted_in(&self) -> Option<(Rate, &'static str)> {
        let crank = self.speeds.crank.map(|rate| (rate, "crankshaft"));
        crank.or_else(|| self.speeds.wheel.map(|rate| (rate, "road wheel")))
    }

    /// Hertz up to which the picture goes: round, over the highest tone, within what the clip holds.
    pub fn top(&self, clip_rate: u32) -> f64 {
        let highest = self.tones.last().map_or(0.0, |peak| peak.frequency.hertz()) * 1.1;
        let most = f64::from(clip_rate) / 2.0;
        [1_000.0, 2_000.0, 4_000.0, 8_000.0].into_iter().find(|top| *top >= highest).unwrap_or(most).min(most)
    }
}
