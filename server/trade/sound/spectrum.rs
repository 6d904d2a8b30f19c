//! The averaged spectrum of a clip.

use super::Clip;
use super::transform::Transform;

/// Stretches that overlap by half are averaged; with fewer, noise looks like tones.
const FEWEST: usize = 3;
/// Samples.
const SHORTEST_STRETCH: usize = 256;

/// Power over frequency, averaged over stretches of the clip that overlap by half (Welch's method, Hann window).
/// Source: IEEE Transactions on Audio and Electroacoustics AU-15 (1967), 70–73, from memory.
#[derive(Debug, Clone, PartialEq)]
pub struct Spectrum {
    spacing: f64,
    powers: Vec<f64>,
    stretches: usize,
}

impl Spectrum {
    /// By stretches of about a second, so that tones a hertz or two apart are told apart; shorter ones for a short clip.
    pub fn of(clip: &Clip) -> Spectrum {
        let mut length = (clip.rate() as usize).next_power_of_two();
        while length > SHORTEST_STRETCH && clip.samples().len() < length / 2 * (FEWEST + 1) {
            length /= 2;
        }
        Spectrum::by(clip, length)
    }

    /// By stretches of `length` samples; made even, and no longer than the clip.
    pub fn by(clip: &Clip, length: usize) -> Spectrum {
        let samples = clip.samples();
        let length = length.clamp(2, samples.len()) / 2 * 2;
        let mut transform = Transform::new(length);
        let mut powers = vec![0.0; length / 2 + 1];
        let starts = (0..samples.len() - length + 1).step_by(length / 2);
        let stretches = starts.len();
        for start in starts {
            for (sum, power) in powers.iter_mut().zip(transform.powers(&samples[start..start + length])) {
                *sum += power / stretches as f64;
            }
        }
        Spectrum { spacing: f64::from(clip.rate()) / length as f64, powers, stretches }
    }

    /// Hertz from one value to the next; the first is at 0 Hz.
    pub fn spacing(&self) -> f64 {
        self.spacing
    }

    /// A sine at full scale has the power 0.5 at its frequency.
    pub fn powers(&self) -> &[f64] {
        &self.powers
    }

    /// How many stretches were averaged.
    pub fn stretches(&self) -> usize {
        self.stretches
    }

    /// Decibels under a sine at full scale.
    pub fn levels(&self) -> Vec<f64> {
        // The smallest power keeps digital silence finite.
        self.powers.iter().map(|power| 10.0 * (2.0 * power).max(1e-20).log10()).collect()
    }
}
