//! Whether the speed was held while the clip was taken.

use super::{Clip, Frequency, Spectrum};

/// The clip is looked at in so many pieces.
const PIECES: usize = 4;
/// The tone is followed within this part of itself.
const REACH: f64 = 0.08;

/// The part of itself by which a tone wandered to each side during the clip; `None` for a clip too short to say.
pub fn wander(clip: &Clip, tone: Frequency) -> Option<f64> {
    let piece = clip.samples().len() / PIECES;
    let follow = |samples: &[f32]| {
        let spectrum = Spectrum::of(&Clip::new(clip.rate(), samples.to_vec()).ok()?);
        loudest(&spectrum, tone.hertz())
    };
    let places: Option<Vec<f64>> = clip.samples().chunks_exact(piece.max(1)).take(PIECES).map(follow).collect();
    let places = places?;
    let low = places.iter().copied().fold(f64::INFINITY, f64::min);
    let high = places.iter().copied().fold(0.0, f64::max);
    Some((high - low) / 2.0 / tone.hertz())
}

/// Hertz of the loudest value near a tone.
fn loudest(spectrum: &Spectrum, tone: f64) -> Option<f64> {
    let spacing = spectrum.spacing();
    let [low, high] = [1.0 - REACH, 1.0 + REACH].map(|part| (tone * part / spacing).round() as usize);
    let near = spectrum.powers().iter().enumerate().take(high + 1).skip(low);
    near.max_by(|one, other| one.1.total_cmp(other.1)).map(|(bin, _)| bin as f64 * spacing)
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::TAU;

    fn gliding(from: f64, to: f64) -> Clip {
        let sample = |at: usize| {
            let time = at as f64 / 8_000.0;
            ((from * time + (to - from) * time * time / 16.0) * TAU).sin() as f32 * 0.3
        };
        Clip::new(8_000, (0..64_000).map(sample).collect()).unwrap()
    }

    /// Source: arithmetic: a tone that glides from 400 to 420 Hz in 8 s lies at 402.5 in the first quarter and 417.5 in the last.
    #[test]
    fn a_tone_that_glides_is_told_from_one_that_is_held() {
        let tone = Frequency::from_hertz(410.0).unwrap();
        let glides = wander(&gliding(400.0, 420.0), tone).unwrap();
        assert!((0.012..0.025).contains(&glides), "{glides}");
        assert!(wander(&gliding(410.0, 410.0), tone).unwrap() < 0.002);
    }
}
