//! Clips whose tones are known.

use super::Clip;
use std::f64::consts::TAU;

/// A fixed sequence of numbers from −1 to 1, the same everywhere.
pub struct Noise(u64);

impl Noise {
    pub fn new(seed: u64) -> Noise {
        Noise(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    pub fn next(&mut self) -> f64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as f64 / (1_u64 << 52) as f64 - 1.0
    }
}

/// `tones`: hertz and amplitude; `noise`: amplitude of white noise.
pub fn clip(rate: u32, seconds: f64, tones: &[(f64, f64)], noise: f64, seed: u64) -> Clip {
    let mut random = Noise::new(seed);
    let phases: Vec<f64> = tones.iter().map(|_| random.next()).collect();
    let length = (seconds * f64::from(rate)) as usize;
    let sample = |at: usize, random: &mut Noise| {
        let time = at as f64 / f64::from(rate);
        let wave = |((hertz, amplitude), phase): (&(f64, f64), &f64)| amplitude * (TAU * (hertz * time + phase)).sin();
        (tones.iter().zip(&phases).map(wave).sum::<f64>() + noise * random.next()) as f32
    };
    Clip::new(rate, (0..length).map(|at| sample(at, &mut random)).collect()).unwrap()
}

/// A tone and its first whole multiples, each half as strong as the one before.
pub fn multiples(hertz: f64, amplitude: f64, count: i32) -> Vec<(f64, f64)> {
    (1..=count).map(|times| (hertz * f64::from(times), amplitude / 2_f64.powi(times - 1))).collect()
}
