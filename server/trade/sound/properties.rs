//! Clips made with a known part are given back that part.

use super::synthetic::{clip, multiples};
use super::*;
use crate::trade::quantity::{Angle, Length};
use proptest::prelude::*;
use rust_decimal::Decimal;

const RATE: u32 = 8_000;
const SECONDS: f64 = 4.0;

fn part(name: &str, times: f64, counts: &[(CountKind, u16)], bearing: Option<Bearing>) -> Part {
    let drive = Drive::Times(Decimal::try_from(times).unwrap().round_dp(6));
    let counts = counts.iter().map(|(kind, number)| Count { kind: *kind, number: *number }).collect();
    Part::new(name, Shaft::Crank, drive, counts, bearing).unwrap()
}

fn ball_bearing() -> Bearing {
    let length = |text| Length::parse(text).unwrap();
    Bearing::new(9, length("7.94 mm"), length("38.5 mm"), Angle::parse("0°").unwrap(), Ring::Inner).unwrap()
}

/// Five parts whose tones are far apart at any speed.
fn parts() -> Vec<Part> {
    vec![
        part("alternator", 2.37, &[(CountKind::Poles, 12)], None),
        part("fan", 1.13, &[(CountKind::Blades, 7)], None),
        part("water pump", 1.31, &[(CountKind::Vanes, 5)], None),
        part("idler", 2.03, &[], Some(ball_bearing())),
        part("timing chain", 1.0, &[(CountKind::Teeth, 19)], None),
    ]
}

fn firing_tones(crank: f64) -> Vec<(f64, f64)> {
    multiples(crank * 2.0, 0.2, 6)
}

fn listed(clip: &Clip, turns: f64, give: f64) -> Shortlist {
    let spectrum = Spectrum::of(clip);
    let tones = peaks(&spectrum);
    let crank = Rate::engine(turns, give).unwrap();
    let firing = Rate::new(Frequency::from_hertz(crank.frequency().hertz() * 2.0).unwrap(), crank.relative()).unwrap();
    let speeds = Speeds { crank: Some(crank), ..Speeds::default() };
    shortlist(&spectrum, &tones, &parts(), &speeds, Some(firing))
}

/// Which part, and its loudest line's order.
fn culprits() -> Vec<(usize, f64)> {
    vec![
        (0, 2.37 * 12.0),
        (1, 1.13 * 7.0),
        (2, 1.31 * 5.0),
        (3, 2.03 * ball_bearing().times(BearingLine::OuterRing)),
        (4, 19.0),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(24))]

    /// The speed is read off the gauge up to 1 % wrong, and told so.
    #[test]
    fn the_part_that_whines_fits_and_stands_before_those_that_do_not(
        turns in 700.0..2400.0_f64,
        which in 0..5_usize,
        wrong in -0.01..0.01_f64,
        seed in any::<u64>(),
    ) {
        let crank = turns / 60.0;
        let (at, order) = culprits()[which];
        let mut tones = firing_tones(crank);
        tones.extend(multiples(crank * order, 0.1, 3));
        let read = turns * (1.0 + wrong);
        let list = listed(&clip(RATE, SECONDS, &tones, 0.01, seed), read, read * 0.0102);
        let found = list.parts.iter().find(|fit| fit.at == at).unwrap();
        prop_assert!(!matches!(found.sure, Sure::Not | Sure::CannotTell), "{found:?}");
        if !found.own && found.shares.is_empty() {
            prop_assert!(matches!(found.sure, Sure::Well | Sure::Fits), "{found:?}");
            prop_assert_eq!(list.parts[0].at, at, "{:?}", list.parts);
        }
    }

    /// A part is struck off only where its place is silent.
    #[test]
    fn no_part_fits_where_no_tone_is(turns in 700.0..2400.0_f64, seed in any::<u64>()) {
        let list = listed(&clip(RATE, SECONDS, &[(turns / 60.0 * 41.3, 0.2)], 0.01, seed), turns, turns * 0.005);
        for fit in &list.parts {
            prop_assert!(matches!(fit.sure, Sure::Not | Sure::CannotTell), "{fit:?}");
        }
        prop_assert_eq!(list.unclaimed.len(), 1);
    }

    /// The true speed is the reading, or among those that are named beside it.
    #[test]
    fn the_speed_is_read_off_the_firing(
        turns in 600.0..3000.0_f64,
        cylinders in prop::sample::select(vec![3_u8, 4, 5, 6, 8]),
        two_stroke in any::<bool>(),
        seed in any::<u64>(),
    ) {
        let engine = Engine::new(if two_stroke { Cycle::Two } else { Cycle::Four }, cylinders).unwrap();
        let firing = turns / 60.0 * engine.firings();
        let heard = clip(RATE, SECONDS, &multiples(firing, 0.3, 5), 0.003, seed);
        let read = read_firing(&peaks(&Spectrum::of(&heard)), engine, None).unwrap();
        let near = |rate: &Rate| (rate.frequency().per_minute() / turns - 1.0).abs() <= rate.relative();
        prop_assert!(near(&read.rate) || read.others.iter().any(near), "{read:?}");
    }

    /// Told nearly, it is read exactly.
    #[test]
    fn a_speed_that_is_roughly_known_is_read_closely(turns in 600.0..3000.0_f64, wrong in -0.15..0.15_f64, seed in any::<u64>()) {
        let engine = Engine::new(Cycle::Four, 4).unwrap();
        let heard = clip(RATE, SECONDS, &multiples(turns / 30.0, 0.3, 5), 0.003, seed);
        let roughly = Rate::engine(turns * (1.0 + wrong), turns * (1.0 + wrong) * 0.2).unwrap();
        let read = read_firing(&peaks(&Spectrum::of(&heard)), engine, Some(roughly)).unwrap();
        prop_assert!((read.rate.frequency().per_minute() / turns - 1.0).abs() <= read.rate.relative(), "{read:?}");
    }

    /// Whatever the samples are, a sentence or a list comes out.
    #[test]
    fn any_samples_are_read_or_refused(samples in prop::collection::vec(-1.0_f32..1.0, 4_000..9_000), turns in 300.0..9000.0_f64) {
        if let Ok(clip) = Clip::new(4_000, samples) {
            let list = listed(&clip, turns, turns * 0.02);
            prop_assert_eq!(list.parts.len(), 5);
            prop_assert!(list.parts.iter().all(|fit| !fit.why.is_empty()));
        }
    }
}

/// Two parts that turn alike cannot be told apart, and both say so.
#[test]
fn parts_that_sound_alike_are_told_as_such() {
    let twins =
        [part("left idler", 2.03, &[], Some(ball_bearing())), part("right idler", 2.03, &[], Some(ball_bearing()))];
    let outer = 2.03 * ball_bearing().times(BearingLine::OuterRing) * 15.0;
    let clip = clip(RATE, SECONDS, &multiples(outer, 0.1, 4), 0.01, 5);
    let spectrum = Spectrum::of(&clip);
    let speeds = Speeds { crank: Rate::engine(900.0, 5.0).ok(), ..Speeds::default() };
    let list = shortlist(&spectrum, &peaks(&spectrum), &twins, &speeds, None);
    for (fit, other) in list.parts.iter().zip(["right idler", "left idler"]) {
        assert_eq!((fit.sure, fit.shares.as_slice()), (Sure::Fits, [other.to_owned()].as_slice()));
        assert!(fit.why.contains(&format!("The same tone fits {other} too")), "{}", fit.why);
    }
}

/// A part whose tones are all multiples of the firing is never more than a may-be.
#[test]
fn a_tone_that_the_engine_makes_itself_points_at_no_part() {
    let pump = [part("oil pump", 0.5, &[(CountKind::Vanes, 8)], None)];
    let crank = 15.0;
    let clip = clip(RATE, SECONDS, &firing_tones(crank), 0.01, 5);
    let spectrum = Spectrum::of(&clip);
    let crank = Rate::engine(900.0, 5.0).unwrap();
    let firing = Rate::new(Frequency::from_hertz(30.0).unwrap(), crank.relative()).unwrap();
    let speeds = Speeds { crank: Some(crank), ..Speeds::default() };
    let list = shortlist(&spectrum, &peaks(&spectrum), &pump, &speeds, Some(firing));
    assert_eq!((list.parts[0].sure, list.parts[0].own), (Sure::May, true));
    assert!(list.parts[0].why.contains("the engine itself makes them too"), "{}", list.parts[0].why);
    assert_eq!(list.unclaimed, []);
}

#[test]
fn without_the_speed_of_its_shaft_nothing_is_said_of_a_part() {
    let hub = Part::new("wheel bearing", Shaft::Wheel, Drive::Direct, vec![], Some(ball_bearing())).unwrap();
    let spectrum = Spectrum::of(&clip(RATE, SECONDS, &[(120.0, 0.2)], 0.01, 5));
    let list = shortlist(&spectrum, &peaks(&spectrum), &[hub], &Speeds::default(), None);
    assert_eq!(list.parts[0].sure, Sure::CannotTell);
    assert!(list.parts[0].why.contains("enter it"));
}
