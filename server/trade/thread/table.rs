//! Every thread this program knows.
//!
//! Source: ISO 261 (metric diameters with their coarse and fine pitches, here up to M52) and ASME B1.1 (Unified
//! series), both from memory and not read in the standards; the sizes that `tests/published/threads.rs` names were met
//! in published tables.

use super::{Series, Thread};

/// Diameter, coarse pitch, fine pitches; all in micrometres.
type MetricRow = (u32, Option<u32>, &'static [u32]);

const METRIC: &[MetricRow] = &[
    (1_600, Some(350), &[200]),
    (2_000, Some(400), &[250]),
    (2_500, Some(450), &[350]),
    (3_000, Some(500), &[350]),
    (3_500, Some(600), &[350]),
    (4_000, Some(700), &[500]),
    (4_500, Some(750), &[500]),
    (5_000, Some(800), &[500]),
    (5_500, None, &[500]),
    (6_000, Some(1_000), &[750]),
    (7_000, Some(1_000), &[750]),
    (8_000, Some(1_250), &[1_000, 750]),
    (9_000, Some(1_250), &[1_000, 750]),
    (10_000, Some(1_500), &[1_250, 1_000, 750]),
    (11_000, Some(1_500), &[1_000, 750]),
    (12_000, Some(1_750), &[1_500, 1_250, 1_000]),
    // The pitch of 1.25 is a spark plug's.
    (14_000, Some(2_000), &[1_500, 1_250, 1_000]),
    (15_000, None, &[1_500, 1_000]),
    (16_000, Some(2_000), &[1_500, 1_000]),
    (17_000, None, &[1_500, 1_000]),
    (18_000, Some(2_500), &[2_000, 1_500, 1_000]),
    (20_000, Some(2_500), &[2_000, 1_500, 1_000]),
    (22_000, Some(2_500), &[2_000, 1_500, 1_000]),
    (24_000, Some(3_000), &[2_000, 1_500, 1_000]),
    (25_000, None, &[2_000, 1_500, 1_000]),
    (26_000, None, &[1_500]),
    (27_000, Some(3_000), &[2_000, 1_500, 1_000]),
    (28_000, None, &[2_000, 1_500, 1_000]),
    (30_000, Some(3_500), &[3_000, 2_000, 1_500, 1_000]),
    (32_000, None, &[2_000, 1_500]),
    (33_000, Some(3_500), &[3_000, 2_000, 1_500]),
    (35_000, None, &[1_500]),
    (36_000, Some(4_000), &[3_000, 2_000, 1_500]),
    (38_000, None, &[1_500]),
    (39_000, Some(4_000), &[3_000, 2_000, 1_500]),
    (40_000, None, &[3_000, 2_000, 1_500]),
    (42_000, Some(4_500), &[4_000, 3_000, 2_000, 1_500]),
    (45_000, Some(4_500), &[4_000, 3_000, 2_000, 1_500]),
    (48_000, Some(5_000), &[4_000, 3_000, 2_000, 1_500]),
    (50_000, None, &[3_000, 2_000, 1_500]),
    (52_000, Some(5_000), &[4_000, 3_000, 2_000, 1_500]),
];

/// Diameter in ten-thousandths of an inch, its name, and threads to the inch in the coarse, fine and extra-fine series.
type UnifiedRow = (u32, &'static str, Option<u32>, Option<u32>, Option<u32>);

const UNIFIED: &[UnifiedRow] = &[
    (600, "#0", None, Some(80), None),
    (730, "#1", Some(64), Some(72), None),
    (860, "#2", Some(56), Some(64), None),
    (990, "#3", Some(48), Some(56), None),
    (1_120, "#4", Some(40), Some(48), None),
    (1_250, "#5", Some(40), Some(44), None),
    (1_380, "#6", Some(32), Some(40), None),
    (1_640, "#8", Some(32), Some(36), None),
    (1_900, "#10", Some(24), Some(32), None),
    (2_160, "#12", Some(24), Some(28), Some(32)),
    (2_500, "1/4", Some(20), Some(28), Some(32)),
    (3_125, "5/16", Some(18), Some(24), Some(32)),
    (3_750, "3/8", Some(16), Some(24), Some(32)),
    (4_375, "7/16", Some(14), Some(20), Some(28)),
    (5_000, "1/2", Some(13), Some(20), Some(28)),
    (5_625, "9/16", Some(12), Some(18), Some(24)),
    (6_250, "5/8", Some(11), Some(18), Some(24)),
    (6_875, "11/16", None, None, Some(24)),
    (7_500, "3/4", Some(10), Some(16), Some(20)),
    (8_125, "13/16", None, None, Some(20)),
    (8_750, "7/8", Some(9), Some(14), Some(20)),
    (9_375, "15/16", None, None, Some(20)),
    (10_000, "1", Some(8), Some(12), Some(20)),
    (11_250, "1 1/8", Some(7), Some(12), Some(18)),
    (12_500, "1 1/4", Some(7), Some(12), Some(18)),
    (13_750, "1 3/8", Some(6), Some(12), Some(18)),
    (15_000, "1 1/2", Some(6), Some(12), Some(18)),
];

/// Outside the standard series, yet met on cars: the 1-14 of hub nuts.
const SPECIAL: &[(u32, u32)] = &[(10_000, 14)];

/// Every known thread, metric first, by diameter and then from coarse to fine.
pub(super) fn all() -> impl Iterator<Item = Thread> {
    metric().chain(unified())
}

pub(super) fn metric() -> impl Iterator<Item = Thread> {
    METRIC.iter().flat_map(|(diameter, coarse, fine)| {
        let thread = move |series, pitch| Thread { series, diameter: *diameter, pitch };
        let coarse = coarse.iter().map(move |pitch| thread(Series::MetricCoarse, *pitch));
        coarse.chain(fine.iter().map(move |pitch| thread(Series::MetricFine, *pitch)))
    })
}

pub(super) fn unified() -> impl Iterator<Item = Thread> {
    UNIFIED.iter().flat_map(|(diameter, _, coarse, fine, extra_fine)| {
        let thread = move |series, per_inch| Thread { series, diameter: *diameter, pitch: per_inch };
        let special = SPECIAL.iter().filter(move |(size, _)| size == diameter);
        coarse
            .iter()
            .map(move |pitch| thread(Series::Unc, *pitch))
            .chain(fine.iter().map(move |pitch| thread(Series::Unf, *pitch)))
            .chain(special.map(move |(_, pitch)| thread(Series::Uns, *pitch)))
            .chain(extra_fine.iter().map(move |pitch| thread(Series::Unef, *pitch)))
    })
}

/// `3/8`, `#10`; empty for a diameter that is not in the table, which no [`Thread`] has.
pub(super) fn inch_name(diameter: u32) -> &'static str {
    UNIFIED.iter().find(|row| row.0 == diameter).map_or("", |row| row.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_thread_stands_in_the_table_twice() {
        let mut seen = std::collections::HashSet::new();
        assert!(all().all(|thread| seen.insert((thread.is_metric(), thread.diameter, thread.pitch))));
    }

    #[test]
    fn the_diameters_climb_and_fine_is_finer_than_coarse() {
        assert!(METRIC.is_sorted_by_key(|row| row.0) && UNIFIED.is_sorted_by_key(|row| row.0));
        for (diameter, coarse, fine) in METRIC {
            assert!(coarse.iter().all(|coarse| fine.iter().all(|fine| fine < coarse)), "{diameter}");
        }
        for (_, name, coarse, fine, extra_fine) in UNIFIED {
            let climbing: Vec<_> = [coarse, fine, extra_fine].into_iter().flatten().collect();
            assert!(climbing.is_sorted() && !climbing.is_empty(), "{name}");
        }
    }
}
