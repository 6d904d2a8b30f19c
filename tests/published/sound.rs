//! What is it that whines: spectra, tones, and the frequencies of what turns, against a library, formulas and worked examples.
//!
//! * `data/whine_scipy.csv`: SciPy 1.17.1 on `data/whine_before.wav` and `whine_after.wav`, by `sound_scipy.py`, which makes the
//!   clips from a seed and checks all three files with `--check`.
//! * Bearing tables: the Bearing Data Center of Case Western Reserve University, measures and multiples of running speed of its
//!   drive-end and fan-end bearings; from memory, the multiples met again in two public programs.
//! * Bearing examples: two open calculators' printed examples (1800 turns a minute, 8 of 10 on 50; 1500, 9 of 7.94 on 38.5).
//! * Blades, teeth: two engineering explainers' worked examples. Firing: a car maker's service sheet on classes of noise, and
//!   engineering lecture notes. All read in copies.

use std::path::{Path, PathBuf};
use underlamp::trade::quantity::{Angle, Length};
use underlamp::trade::sound::{
    Bearing, BearingLine, Clip, Count, CountKind, Cycle, Drive, Engine, Fate, Frequency, Heard, LineKind, Part, Rate,
    Ring, Shaft, Spectrum, Speeds, Sure, changes, peaks, read_firing, shortlist, wander,
};

fn data(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/published/data").join(name)
}

/// The clips have the plain head of 44 bytes that the script's library writes; reading WAV files is tried elsewhere.
fn clip(name: &str) -> Clip {
    let bytes = std::fs::read(data(&format!("{name}.wav"))).unwrap();
    let samples = bytes[44..].as_chunks::<2>().0.iter().map(|two| f32::from(i16::from_le_bytes(*two)) / 32_768.0);
    Clip::new(8_000, samples.collect()).unwrap()
}

struct Row {
    bin: usize,
    value: f64,
}

fn rows(clip: &str, what: &str) -> Vec<Row> {
    let table = std::fs::read_to_string(data("whine_scipy.csv")).unwrap();
    let cells = table.lines().filter(|line| !line.starts_with('#')).map(|line| line.split(',').collect::<Vec<_>>());
    let wanted = cells.filter(|cells| cells[0] == clip && cells[1] == what);
    wanted.map(|cells| Row { bin: cells[2].parse().unwrap(), value: cells[3].parse().unwrap() }).collect()
}

const CLIPS: [&str; 2] = ["whine_before", "whine_after"];

/// Source: scipy.signal.welch. Both work in double precision: nine digits.
#[test]
fn the_averaged_spectrum_is_that_of_the_reference_library() {
    for name in CLIPS {
        let spectrum = Spectrum::by(&clip(name), 4_096);
        let rows = rows(name, "power");
        assert!(rows.len() > 200);
        for row in rows {
            let found = spectrum.powers()[row.bin];
            assert!((found - row.value).abs() <= 1e-9 * row.value + 1e-18, "{name} {}: {found} {}", row.bin, row.value);
        }
    }
}

/// Source: scipy.signal.find_peaks: ours are among its peaks, with its prominences; those left out do not rise over the floor,
/// so they are the less prominent ones.
#[test]
fn tones_are_peaks_of_the_reference_library_with_its_prominences() {
    for name in CLIPS {
        let theirs = rows(name, "peak");
        let ours = peaks(&Spectrum::by(&clip(name), 4_096));
        assert!(ours.len() >= 6, "{name}: {}", ours.len());
        for peak in &ours {
            let same = theirs.iter().find(|row| row.bin == peak.bin).unwrap_or_else(|| panic!("{name}: {peak:?}"));
            assert!((same.value - peak.prominence).abs() < 1e-6, "{name}: {peak:?} {}", same.value);
        }
        let left_out = theirs.iter().filter(|row| ours.iter().all(|peak| peak.bin != row.bin));
        assert!(left_out.into_iter().all(|row| row.value < 20.0), "{name}");
    }
}

/// Source: how `sound_scipy.py` makes the clips: six multiples of the firing, three of a whine at 28.44 orders of 14.5 Hz.
#[test]
fn every_tone_that_was_put_in_is_found_within_half_a_step_and_no_other() {
    let tones = |crank: f64, whine: &[f64]| {
        let mut all: Vec<f64> = (1..=6).map(|times| 2.0 * f64::from(times) * crank).collect();
        all.extend(whine.iter().map(|times| times * 28.44 * crank));
        all.sort_by(f64::total_cmp);
        all
    };
    for (name, expected) in [("whine_before", tones(14.5, &[1.0, 2.0, 3.0])), ("whine_after", tones(18.8333, &[]))] {
        let found = peaks(&Spectrum::of(&clip(name)));
        assert_eq!(found.len(), expected.len(), "{name}: {found:?}");
        for (peak, hertz) in found.iter().zip(expected) {
            assert!((peak.frequency.hertz() - hertz).abs() <= peak.give, "{name}: {hertz} {peak:?}");
        }
    }
}

/// Source: the same: from the clip alone to the speed, the part and what the repair changed.
#[test]
fn the_clip_gives_its_speed_its_part_and_what_the_repair_took_away() {
    let four = Engine::new(Cycle::Four, 4).unwrap();
    let length = |text| Length::parse(text).unwrap();
    let part = |name, driver, driven, kind, number| {
        let drive = Drive::Belt { driver: length(driver), driven: length(driven) };
        Part::new(name, Shaft::Crank, drive, vec![Count { kind, number }], None).unwrap()
    };
    // 147 on 62 mm is 2.371: 28.45 orders of 12 poles.
    let parts = [
        part("alternator", "147 mm", "62 mm", CountKind::Poles, 12),
        part("water pump", "147 mm", "112 mm", CountKind::Vanes, 6),
        part("fan", "147 mm", "130 mm", CountKind::Blades, 7),
    ];
    let [before, after] = CLIPS.map(clip);
    let spectra = [&before, &after].map(Spectrum::of);
    let [earlier, later] = [&spectra[0], &spectra[1]].map(peaks);
    let [first, second] = [&earlier, &later].map(|tones| read_firing(tones, four, None).unwrap());
    for (firing, turns) in [(&first, 870.0), (&second, 1130.0)] {
        assert!((firing.rate.frequency().per_minute() - turns).abs() < 2.0, "{firing:?}");
        assert!(firing.others.is_empty(), "{firing:?}");
    }
    let speeds = Speeds { crank: Some(first.rate), ..Speeds::default() };
    let firing = Rate::new(first.frequency, first.rate.relative()).unwrap();
    let list = shortlist(&spectra[0], &earlier, &parts, &speeds, Some(firing));
    let said: Vec<(&str, Sure)> = list.parts.iter().map(|fit| (fit.part.as_str(), fit.sure)).collect();
    assert_eq!(said[0].0, "alternator", "{said:?}");
    assert!(matches!(said[0].1, Sure::Well | Sure::Fits), "{said:?}");
    assert_eq!(list.own.len(), 6);
    assert!(list.unclaimed.is_empty());
    let changes =
        changes(Heard { peaks: &earlier, rate: Some(first.rate) }, Heard { peaks: &later, rate: Some(second.rate) });
    let gone: Vec<f64> = changes
        .iter()
        .filter(|change| change.fate == Fate::Gone)
        .filter_map(|change| change.before.map(|peak| (peak.frequency.hertz() / 14.5 / 28.44).round()))
        .collect();
    assert_eq!(gone, [1.0, 2.0, 3.0]);
    assert!(changes.iter().all(|change| change.fate != Fate::New), "{changes:?}");
    assert_eq!(changes.iter().filter(|change| change.fate == Fate::Same).count(), 6, "{changes:?}");
    // Its quarters are too short to say whether the speed was held.
    assert_eq!(wander(&before, first.frequency), None);
}

fn bearing(elements: u16, element: &str, pitch: &str) -> Bearing {
    let length = |text| Length::parse(text).unwrap();
    Bearing::new(elements, length(element), length(pitch), Angle::parse("0°").unwrap(), Ring::Inner).unwrap()
}

/// Multiples of running speed: inner ring, outer ring, cage, rolling element (twice its spin). Source: the Bearing Data Center.
#[test]
fn bearings_of_the_data_center_have_its_multiples() {
    for (elements, element, pitch, published) in [
        (9, "0.3126 in", "1.537 in", [5.4152, 3.5848, 0.39828, 4.7135]),
        (8, "0.2656 in", "1.122 in", [4.9469, 3.0530, 0.3817, 3.9874]),
    ] {
        let bearing = bearing(elements, element, pitch);
        let found = [
            bearing.times(BearingLine::InnerRing),
            bearing.times(BearingLine::OuterRing),
            bearing.times(BearingLine::Cage),
            2.0 * bearing.times(BearingLine::Element),
        ];
        for (found, published) in found.into_iter().zip(published) {
            assert!((found - published).abs() < 4e-4, "{found} {published}");
        }
    }
}

/// Hertz: cage, outer ring, inner ring, spin. Source: the two calculators' examples; the second reckons on with a share rounded to
/// four digits, and is a hundredth off its own figures.
#[test]
fn bearing_examples_come_out_as_printed() {
    for (turns, elements, element, pitch, printed) in [
        (1800.0, 8, "10 mm", "50 mm", [12.0, 96.0, 144.0, 72.0]),
        (1500.0, 9, "7.94 mm", "38.5 mm", [9.92, 89.31, 135.69, f64::NAN]),
    ] {
        let bearing = bearing(elements, element, pitch);
        let shaft = Frequency::from_per_minute(turns).unwrap().hertz();
        let lines = [BearingLine::Cage, BearingLine::OuterRing, BearingLine::InnerRing, BearingLine::Element];
        for (line, printed) in lines.into_iter().zip(printed).filter(|(_, printed)| printed.is_finite()) {
            let found = bearing.times(line) * shaft;
            assert!((found - printed).abs() < 0.016, "{line}: {found} {printed}");
        }
    }
}

/// Source: 5 blades at 1200 turns a minute pass 100 times a second; 24 teeth at 1500, 600 times.
#[test]
fn blades_and_teeth_pass_as_often_as_in_the_worked_examples() {
    for (kind, line, number, turns, hertz) in [
        (CountKind::Blades, LineKind::Blades, 5, 1200.0, 100.0),
        (CountKind::Teeth, LineKind::Teeth, 24, 1500.0, 600.0),
    ] {
        let part = Part::new("part", Shaft::Crank, Drive::Direct, vec![Count { kind, number }], None).unwrap();
        let found = part.lines().into_iter().find(|known| known.kind == line).unwrap().order.times();
        assert!((found * turns / 60.0 - hertz).abs() < 1e-9);
    }
}

/// Source: the service sheet: eight cylinders, four-stroke, 1200 turns a minute: 80 Hz. The lecture notes: four cylinders at 1000:
/// 33.33 Hz. A two-stroke fires in every turn: definition.
#[test]
fn engines_fire_as_often_as_in_the_worked_examples() {
    for (cycle, cylinders, turns, hertz) in
        [(Cycle::Four, 8, 1200.0, 80.0), (Cycle::Four, 4, 1000.0, 33.33), (Cycle::Two, 2, 900.0, 30.0)]
    {
        let found = Engine::new(cycle, cylinders).unwrap().firings() * turns / 60.0;
        assert!((found - hertz).abs() < 0.005, "{cylinders}: {found}");
    }
    assert!(Engine::new(Cycle::Four, 0).is_err() && Engine::new(Cycle::Four, 17).is_err());
}
