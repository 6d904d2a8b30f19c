//! Level over time and frequency.

use super::Clip;
use super::transform::Transform;

/// Decibels from the brightest value to what counts as dark.
const SPAN: f64 = 70.0;
/// Seconds of one stretch: the tones of a firing and the beat of a knock are both still seen.
const STRETCH: f64 = 0.1;

/// Levels from 0 (dark) to 255 (the loudest), in columns over time, each from 0 Hz upwards.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spectrogram {
    columns: Vec<Vec<u8>>,
    rows: usize,
}

impl Spectrogram {
    /// `columns` over the whole clip and `rows` from 0 Hz to `top` hertz, at least one each; `top` at most half the sample rate.
    pub fn of(clip: &Clip, top: f64, columns: usize, rows: usize) -> Spectrogram {
        let (columns, rows) = (columns.max(1), rows.max(1));
        let samples = clip.samples();
        let wanted = (f64::from(clip.rate()) * STRETCH) as usize;
        let length = wanted.next_power_of_two().min(samples.len() / 2 * 2);
        let mut transform = Transform::new(length);
        let bins = length / 2;
        let top_bin = (top.min(f64::from(clip.rate()) / 2.0) / f64::from(clip.rate()) * length as f64).max(1.0);
        let last_start = samples.len() - length;
        let levels: Vec<Vec<f64>> = (0..columns)
            .map(|column| {
                let start = last_start * column / columns.saturating_sub(1).max(1);
                let powers: Vec<f64> = transform.powers(&samples[start..start + length]).collect();
                (0..rows).map(|row| decibels(strongest(&powers, row, rows, top_bin, bins))).collect()
            })
            .collect();
        let brightest = levels.iter().flatten().copied().fold(f64::NEG_INFINITY, f64::max);
        let shade = |level: &f64| ((level - brightest) / SPAN + 1.0).clamp(0.0, 1.0) * 255.0;
        let columns =
            levels.iter().map(|column| column.iter().map(|level| shade(level).round() as u8).collect()).collect();
        Spectrogram { columns, rows }
    }

    /// From the beginning of the clip to its end; each from 0 Hz upwards.
    pub fn columns(&self) -> &[Vec<u8>] {
        &self.columns
    }

    pub fn rows(&self) -> usize {
        self.rows
    }
}

/// The strongest power among the bins of a row.
fn strongest(powers: &[f64], row: usize, rows: usize, top_bin: f64, bins: usize) -> f64 {
    let [low, high] = [row, row + 1].map(|row| (row as f64 / rows as f64 * top_bin).round() as usize);
    let low = low.min(bins);
    powers[low..=high.max(low + 1).min(bins + 1) - 1].iter().copied().fold(0.0, f64::max)
}

fn decibels(power: f64) -> f64 {
    10.0 * power.max(1e-12).log10()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::trade::sound::synthetic;

    #[test]
    fn a_tone_is_a_bright_row_at_its_frequency_all_the_way() {
        let clip = synthetic::clip(8_000, 3.0, &[(1_000.0, 0.5)], 0.001, 3);
        let picture = Spectrogram::of(&clip, 4_000.0, 50, 200);
        assert_eq!((picture.columns().len(), picture.rows()), (50, 200));
        for column in picture.columns() {
            let brightest = (0..200).max_by_key(|row| column[*row]).unwrap();
            // A row is 20 Hz high, a bin 7.8 Hz.
            assert!((49..=50).contains(&brightest), "{brightest}");
            assert!(column[brightest] > 250 && column[120] < 60, "{column:?}");
        }
    }

    #[test]
    fn more_rows_than_bins_and_a_top_out_of_reach_are_drawn_all_the_same() {
        let clip = synthetic::clip(4_000, 1.0, &[(500.0, 0.5)], 0.01, 3);
        for (top, columns, rows) in [(1e9, 3, 5_000), (0.0, 1, 1), (2_000.0, 0, 0)] {
            let picture = Spectrogram::of(&clip, top, columns, rows);
            assert!(picture.columns().iter().all(|column| column.len() == picture.rows()));
        }
    }
}
