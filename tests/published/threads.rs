//! Stress areas of threads.
//!
//! * Metric coarse: EN ISO 898-1 (2009/2013), tables 4 to 7, read in two suppliers' pages that agree, not in the
//!   standard.
//! * Metric fine: ISO 898-1's own formula; agrees with its nominal values from memory, not read in the source.
//! * Unified: a supplier's sheet in a public works file, cross-checked with ASME B1.1's formula; the rows that the
//!   sheet does not show legibly were computed only.

use underlamp::trade::thread::Thread;

const METRIC: &[(&str, f64)] = &[
    ("M5x0.8", 14.2),
    ("M6x1", 20.1),
    ("M8x1.25", 36.6),
    ("M10x1.5", 58.0),
    ("M12x1.75", 84.3),
    ("M14x2", 115.0),
    ("M16x2", 157.0),
    ("M20x2.5", 245.0),
    ("M8x1", 39.2),
    ("M10x1.25", 61.2),
    ("M10x1", 64.5),
    ("M12x1.25", 92.1),
    ("M12x1.5", 88.1),
    ("M14x1.5", 125.0),
    ("M16x1.5", 167.0),
];

const UNIFIED: &[(&str, f64)] = &[
    ("1/4-20", 0.0318),
    ("1/4-28", 0.0364),
    ("5/16-18", 0.0524),
    ("5/16-24", 0.0580),
    ("3/8-16", 0.0775),
    ("3/8-24", 0.0878),
    ("7/16-14", 0.1063),
    ("7/16-20", 0.1187),
    ("1/2-13", 0.1419),
    ("1/2-20", 0.1599),
    ("9/16-12", 0.182),
    ("9/16-18", 0.203),
    ("5/8-11", 0.226),
    ("5/8-18", 0.256),
];

/// To three figures, as the standard prints it.
#[test]
fn stress_areas_of_metric_threads_are_those_of_the_table() {
    for (name, expected) in METRIC {
        let area = Thread::parse(name).unwrap().stress_area().square_millimetres();
        assert!((area / expected - 1.0).abs() < 0.005, "{name}: {area}");
    }
}

#[test]
fn stress_areas_of_unified_threads_are_those_of_the_table() {
    for (name, expected) in UNIFIED {
        let area = Thread::parse(name).unwrap().stress_area().square_inches();
        assert!((area / expected - 1.0).abs() < 0.005, "{name}: {area}");
    }
}

/// Coarse is what a metric size alone means. Source: ISO 261, common practice in writing it; the pitches are those of
/// the table.
#[test]
fn a_metric_size_alone_is_the_coarse_thread_of_the_table() {
    for (name, _) in METRIC.iter().take(8) {
        let size = name.split('x').next().unwrap();
        assert_eq!(Thread::parse(size), Thread::parse(name), "{name}");
    }
}
