//! A WAV file's bytes as a clip.

use crate::trade::sound::{Clip, ClipError};
use hound::{SampleFormat, WavReader, WavSpec};
use std::io::Cursor;

/// In bytes: a minute of one channel at 48 kHz and 16 bits.
pub const MOST_BYTES: usize = 6 * 1024 * 1024;

/// Why bytes are no clip.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum WavError {
    #[error("This is no WAV file. Save the recording as WAV (PCM), which keeps the sound as it was.")]
    NotWav,
    #[error("This WAV file ends too soon, or is damaged. Copy it again from where it was recorded.")]
    Damaged,
    #[error("This WAV file holds its sound in a packed form. Save it as PCM, 16 or 24 bits, or as 32-bit float.")]
    Packed,
    #[error("This WAV file has {0} channels. Save it with one or two.")]
    Channels(u16),
    #[error(transparent)]
    Clip(#[from] ClipError),
}

/// Reads RIFF WAV: PCM of 8 to 32 bits or 32-bit float, one channel, or two whose mean is taken.
pub fn read(bytes: &[u8]) -> Result<Clip, WavError> {
    if !bytes.starts_with(b"RIFF") || bytes.get(8..12) != Some(b"WAVE".as_slice()) {
        return Err(WavError::NotWav);
    }
    let reader = WavReader::new(Cursor::new(bytes)).map_err(|cause| match cause {
        hound::Error::Unsupported => WavError::Packed,
        _ => WavError::Damaged,
    })?;
    let spec = reader.spec();
    if !matches!(spec.channels, 1 | 2) {
        return Err(WavError::Channels(spec.channels));
    }
    let samples = samples(reader, spec)?;
    let mean = |frame: &[f32]| frame.iter().sum::<f32>() / frame.len() as f32;
    let mono = samples.chunks_exact(usize::from(spec.channels)).map(mean).collect();
    Ok(Clip::new(spec.sample_rate, mono)?)
}

/// Each from −1 to 1, the channels in turn.
fn samples(reader: WavReader<Cursor<&[u8]>>, spec: WavSpec) -> Result<Vec<f32>, WavError> {
    let read: Result<Vec<f32>, hound::Error> = match spec.sample_format {
        SampleFormat::Float if spec.bits_per_sample == 32 => reader.into_samples::<f32>().collect(),
        SampleFormat::Int if (8..=32).contains(&spec.bits_per_sample) => {
            let full = (1_u64 << (spec.bits_per_sample - 1)) as f32;
            reader.into_samples::<i32>().map(|sample| sample.map(|sample| sample as f32 / full)).collect()
        }
        SampleFormat::Float | SampleFormat::Int => return Err(WavError::Packed),
    };
    read.map_err(|_| WavError::Damaged)
}

#[cfg(test)]
mod tests {
    use super::*;
    use hound::WavWriter;
    use proptest::prelude::*;

    fn written(spec: WavSpec, write: impl Fn(&mut WavWriter<&mut Cursor<Vec<u8>>>, f64)) -> Vec<u8> {
        let mut bytes = Cursor::new(Vec::new());
        let mut writer = WavWriter::new(&mut bytes, spec).unwrap();
        for at in 0..8_000 {
            write(&mut writer, (f64::from(at) * 0.3).sin() * 0.5);
        }
        writer.finalize().unwrap();
        bytes.into_inner()
    }

    fn spec(channels: u16, bits_per_sample: u16, sample_format: SampleFormat) -> WavSpec {
        WavSpec { channels, sample_rate: 8_000, bits_per_sample, sample_format }
    }

    #[test]
    fn every_usual_kind_holds_the_same_sound() {
        let float = written(spec(1, 32, SampleFormat::Float), |out, wave| out.write_sample(wave as f32).unwrap());
        let known = read(&float).unwrap();
        for bits in [8_u16, 16, 24, 32] {
            let full = (1_u64 << (bits - 1)) as f64;
            let whole = written(spec(2, bits, SampleFormat::Int), |out, wave| {
                out.write_sample((wave * full) as i32).unwrap();
                out.write_sample((wave * full) as i32).unwrap();
            });
            let found = read(&whole).unwrap();
            assert_eq!(found.rate(), 8_000);
            let apart = known.samples().iter().zip(found.samples()).map(|(one, other)| (one - other).abs());
            assert!(apart.fold(0.0, f32::max) <= 1.0 / full as f32 + 1e-6, "{bits}");
        }
    }

    #[test]
    fn what_is_no_wav_file_says_what_to_do() {
        assert_eq!(read(b""), Err(WavError::NotWav));
        assert_eq!(read(b"ID3 something else entirely"), Err(WavError::NotWav));
        assert_eq!(read(b"RIFF\x04\0\0\0WAVE"), Err(WavError::Damaged));
        let three = written(spec(3, 16, SampleFormat::Int), |out, _| {
            for _ in 0..3 {
                out.write_sample(1_i16).unwrap();
            }
        });
        assert_eq!(read(&three), Err(WavError::Channels(3)));
        let whole =
            written(spec(1, 16, SampleFormat::Int), |out, wave| out.write_sample((wave * 30_000.0) as i16).unwrap());
        assert_eq!(read(&whole[..whole.len() / 2]), Err(WavError::Damaged));
        let mut packed = whole.clone();
        packed[20] = 0x11;
        assert_eq!(read(&packed), Err(WavError::Packed));
    }

    proptest! {
        #[test]
        fn no_bytes_bring_it_down(at in 0..200_usize, byte in any::<u8>(), cut in 0..16_100_usize) {
            let mut whole = written(spec(1, 16, SampleFormat::Int), |out, wave| out.write_sample((wave * 30_000.0) as i16).unwrap());
            whole[at] = byte;
            whole.truncate(cut);
            let _ = read(&whole);
        }
    }
}
