//! The windowed transform of a stretch of samples.

use realfft::num_complex::Complex;
use realfft::{RealFftPlanner, RealToComplex};
use std::f64::consts::TAU;
use std::sync::Arc;

/// Power in each bin of stretches of one length, by a periodic Hann window after their mean is taken out. A sine of amplitude
/// 1 in the middle of a bin has the power 0.5 there.
pub(super) struct Transform {
    window: Vec<f64>,
    scale: f64,
    plan: Arc<dyn RealToComplex<f64>>,
    input: Vec<f64>,
    output: Vec<Complex<f64>>,
}

impl Transform {
    /// `length` in samples, even.
    pub(super) fn new(length: usize) -> Transform {
        let window: Vec<f64> = (0..length).map(|at| 0.5 - 0.5 * (TAU * at as f64 / length as f64).cos()).collect();
        let sum: f64 = window.iter().sum();
        let plan = RealFftPlanner::<f64>::new().plan_fft_forward(length);
        let (input, output) = (plan.make_input_vec(), plan.make_output_vec());
        Transform { window, scale: 1.0 / (sum * sum), plan, input, output }
    }

    /// Powers from 0 Hz to half the sample rate: half the length and one of them. `stretch` has the length asked for.
    pub(super) fn powers(&mut self, stretch: &[f32]) -> impl Iterator<Item = f64> + '_ {
        let mean = stretch.iter().copied().map(f64::from).sum::<f64>() / stretch.len() as f64;
        for ((into, sample), window) in self.input.iter_mut().zip(stretch).zip(&self.window) {
            *into = (f64::from(*sample) - mean) * window;
        }
        // It fails only for buffers of another length, and the plan made these.
        self.plan.process(&mut self.input, &mut self.output).expect("the plan's own buffers fit");
        let (last, scale) = (self.output.len() - 1, self.scale);
        let both_sides = move |at: usize| if at == 0 || at == last { 1.0 } else { 2.0 };
        self.output.iter().enumerate().map(move |(at, value)| value.norm_sqr() * scale * both_sides(at))
    }
}
