//! Proof and ultimate loads of bolts.
//!
//! * Metric coarse: EN ISO 898-1 (2009/2013), tables 4 to 7, read in suppliers' pages that agree, not in the standard.
//!   Its stress values are from memory and reproduce the table within its own rounding, 0.6 %.
//! * Metric fine: computed from nominal area and proof stress, not read in a table.
//! * SAE J429: proof and tensile stresses from a summary of the standard; loads from a supplier's sheet in a public
//!   works file (marked `read`), the others computed.

use underlamp::trade::fastener_strength::{Bolt, Class};
use underlamp::trade::thread::Thread;

fn bolt(thread: &str, class: &str) -> Bolt {
    let thread = Thread::parse(thread).unwrap();
    Bolt::new(thread, Class::read(class, Some(thread)).unwrap().class).unwrap()
}

fn assert_near(found: f64, expected: f64, share: f64, what: &str) {
    assert!((found / expected - 1.0).abs() <= share, "{what}: {found} instead of {expected}");
}

/// Thread, proof loads in newtons for 8.8, 10.9 and 12.9, and ultimate loads for the same.
const COARSE: &[(&str, [f64; 3], [f64; 3])] = &[
    ("M5x0.8", [8_230.0, 11_800.0, 13_800.0], [11_350.0, 14_800.0, 17_300.0]),
    ("M6x1", [11_600.0, 16_700.0, 19_500.0], [16_100.0, 20_900.0, 24_500.0]),
    ("M8x1.25", [21_200.0, 30_400.0, 35_500.0], [29_200.0, 38_100.0, 44_600.0]),
    ("M10x1.5", [33_700.0, 48_100.0, 56_300.0], [46_400.0, 60_300.0, 70_800.0]),
    ("M12x1.75", [48_900.0, 70_000.0, 81_800.0], [67_400.0, 87_700.0, 103_000.0]),
    ("M14x2", [66_700.0, 95_500.0, 112_000.0], [92_000.0, 120_000.0, 140_000.0]),
    ("M16x2", [91_000.0, 130_000.0, 152_000.0], [125_000.0, 163_000.0, 192_000.0]),
    ("M20x2.5", [147_000.0, 203_000.0, 238_000.0], [203_000.0, 255_000.0, 299_000.0]),
];

const FINE: &[(&str, [f64; 3])] = &[
    ("M8x1", [22_700.0, 32_500.0, 38_000.0]),
    ("M10x1.25", [35_500.0, 50_800.0, 59_400.0]),
    ("M10x1", [37_400.0, 53_500.0, 62_600.0]),
    ("M12x1.25", [53_400.0, 76_400.0, 89_300.0]),
    ("M12x1.5", [51_100.0, 73_100.0, 85_500.0]),
    ("M14x1.5", [72_500.0, 104_000.0, 121_000.0]),
    ("M16x1.5", [96_900.0, 139_000.0, 162_000.0]),
];

const CLASSES: [&str; 3] = ["8.8", "10.9", "12.9"];

#[test]
fn proof_and_ultimate_loads_of_coarse_metric_bolts_are_those_of_the_table() {
    for (thread, proof, ultimate) in COARSE {
        for (class, (proof, ultimate)) in CLASSES.iter().zip(proof.iter().zip(ultimate)) {
            let bolt = bolt(thread, class);
            assert_near(bolt.proof_load().newtons(), *proof, 0.006, &format!("{bolt} proof"));
            assert_near(bolt.ultimate_load().newtons(), *ultimate, 0.006, &format!("{bolt} ultimate"));
        }
    }
}

#[test]
fn proof_loads_of_fine_metric_bolts_are_those_computed_from_the_standards_values() {
    for (thread, proof) in FINE {
        for (class, proof) in CLASSES.iter().zip(proof) {
            let bolt = bolt(thread, class);
            assert_near(bolt.proof_load().newtons(), *proof, 0.006, &bolt.to_string());
        }
    }
}

/// Thread and proof loads in pounds-force for grades 2, 5 and 8; read or computed as the file's head says.
const SAE: &[(&str, [f64; 3])] = &[
    ("1/4-20", [1_750.0, 2_700.0, 3_800.0]),     // read
    ("1/4-28", [2_000.0, 3_100.0, 4_350.0]),     // read
    ("5/16-18", [2_900.0, 4_450.0, 6_300.0]),    // read
    ("5/16-24", [3_200.0, 4_950.0, 6_950.0]),    // computed
    ("3/8-16", [4_250.0, 6_600.0, 9_300.0]),     // read
    ("3/8-24", [4_800.0, 7_450.0, 10_500.0]),    // read
    ("7/16-14", [5_850.0, 9_050.0, 12_800.0]),   // read
    ("7/16-20", [6_550.0, 10_100.0, 14_200.0]),  // computed
    ("1/2-13", [7_800.0, 12_050.0, 17_050.0]),   // computed
    ("1/2-20", [8_800.0, 13_600.0, 19_200.0]),   // computed
    ("9/16-12", [10_000.0, 15_500.0, 21_800.0]), // read
    ("9/16-18", [11_200.0, 17_250.0, 24_400.0]), // computed
    ("5/8-11", [12_400.0, 19_200.0, 27_100.0]),  // read
    ("5/8-18", [14_100.0, 21_800.0, 30_700.0]),  // computed
];

/// The sheet rounds to 50 lbf, up to 1.4 % of its smallest loads.
#[test]
fn proof_loads_of_inch_bolts_are_those_of_the_table() {
    for (thread, loads) in SAE {
        for (grade, load) in ["grade 2", "grade 5", "grade 8"].iter().zip(loads) {
            let bolt = bolt(thread, grade);
            assert_near(bolt.proof_load().pounds_force(), *load, 0.014, &bolt.to_string());
        }
    }
}

/// Source: a summary of SAE J429: tensile 74, 120 and 150 ksi in these sizes (another page prints 72 for grade 2).
#[test]
fn tensile_stresses_of_inch_grades_are_those_of_the_summary() {
    for (grade, ksi) in [("grade 2", 74.0), ("grade 5", 120.0), ("grade 8", 150.0)] {
        assert_near(bolt("3/8-16", grade).figures().tensile.megapascals(), ksi * 6.894_757, 1e-6, grade);
    }
}
