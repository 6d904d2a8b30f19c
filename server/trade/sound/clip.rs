//! A recorded clip.

/// Fewer samples a second hold no whine.
const SLOWEST: u32 = 4_000;
const FASTEST: u32 = 192_000;
/// Seconds; below this a spectrum cannot tell neighbouring parts apart.
const SHORTEST: f64 = 1.0;
/// Seconds; no engine is held at one speed for longer.
const LONGEST: f64 = 60.0;
/// A channel of which no sample is louder than this part of full scale is silence or a covered microphone.
const SILENCE: f32 = 0.000_5;
/// At or above this a sample was cut off.
const FULL: f32 = 0.999;

/// One channel of samples, each from −1 to 1, from 1 s to 60 s of it, not silent.
#[derive(Debug, Clone, PartialEq)]
pub struct Clip {
    rate: u32,
    samples: Vec<f32>,
}

/// Why samples are no clip to listen to.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum ClipError {
    #[error("This clip has {0} samples a second; from 4000 to 192000 can be used. Record it as a usual WAV file.")]
    Rate(u32),
    #[error("This clip is {0:.1} s long. Hold the engine at one speed and record for at least a second, better ten.")]
    Short(f64),
    #[error("This clip is {0:.0} s long; up to 60 s can be used. Cut out ten seconds at one speed.")]
    Long(f64),
    #[error("This clip is silent. Was the microphone covered, or switched off for this page?")]
    Silent,
    #[error("This clip holds samples that are no numbers: the file is damaged.")]
    Damaged,
}

impl Clip {
    /// `rate` in samples a second.
    pub fn new(rate: u32, samples: Vec<f32>) -> Result<Clip, ClipError> {
        if !(SLOWEST..=FASTEST).contains(&rate) {
            return Err(ClipError::Rate(rate));
        }
        let seconds = samples.len() as f64 / f64::from(rate);
        if seconds < SHORTEST {
            return Err(ClipError::Short(seconds));
        }
        if seconds > LONGEST {
            return Err(ClipError::Long(seconds));
        }
        if samples.iter().any(|sample| !sample.is_finite()) {
            return Err(ClipError::Damaged);
        }
        if samples.iter().all(|sample| sample.abs() < SILENCE) {
            return Err(ClipError::Silent);
        }
        Ok(Clip { rate, samples })
    }

    /// Samples a second.
    pub fn rate(&self) -> u32 {
        self.rate
    }

    pub fn samples(&self) -> &[f32] {
        &self.samples
    }

    pub fn seconds(&self) -> f64 {
        self.samples.len() as f64 / f64::from(self.rate)
    }

    /// The part of all samples that was cut off at full scale, from 0 to 1. Cut-off peaks make tones that no part makes.
    pub fn cut_off(&self) -> f64 {
        let full = self.samples.iter().filter(|sample| sample.abs() >= FULL).count();
        full as f64 / self.samples.len() as f64
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_cannot_be_listened_to_is_refused_with_what_to_do() {
        let refused = |rate, samples| Clip::new(rate, samples).unwrap_err();
        assert_eq!(refused(2_000, vec![0.5; 8_000]), ClipError::Rate(2_000));
        assert!(matches!(refused(8_000, vec![0.5; 7_000]), ClipError::Short(_)));
        assert!(matches!(refused(8_000, vec![]), ClipError::Short(_)));
        assert!(matches!(refused(8_000, vec![0.5; 8_000 * 61]), ClipError::Long(_)));
        assert_eq!(refused(8_000, vec![0.0001; 16_000]), ClipError::Silent);
        assert_eq!(refused(8_000, vec![f32::NAN; 16_000]), ClipError::Damaged);
    }

    #[test]
    fn samples_at_full_scale_are_counted_as_cut_off() {
        let mut samples = vec![0.5; 8_000];
        samples[..800].fill(-1.0);
        assert_eq!(Clip::new(8_000, samples).unwrap().cut_off(), 0.1);
    }
}
