//! Strength markings of bolt heads. Property classes: ISO 898-1, the meaning of the two numbers from memory. Grades: SAE J429
//! as a supplier sums it up; that grade 5 shows three lines and grade 8 six is from memory.

use underlamp::trade::marking::{BoltClass, LineGrade, Subject, read};

/// Source: ISO 898-1: first number times 100 is the strength in N/mm², second number the tenths at which it yields.
#[test]
fn the_two_numbers_of_a_class_give_its_strength_and_its_yield() {
    for class in BoltClass::ALL {
        let (first, second) = class.label().split_once('.').unwrap();
        let strength = first.parse::<u32>().unwrap() * 100;
        assert_eq!(class.tensile(), strength, "{class}");
        assert_eq!(class.yields_at(), strength * second.parse::<u32>().unwrap() / 10, "{class}");
    }
}

/// Source: proof loads of ISO 898-1 for M10 (58.0 mm²), as bolt suppliers print them: proof lies below yield.
#[test]
fn published_proof_loads_lie_below_the_yield_of_their_class() {
    for (class, proof) in [(BoltClass::C8_8, 33_700), (BoltClass::C10_9, 48_100), (BoltClass::C12_9, 56_300)] {
        let stress = f64::from(proof) / 58.0;
        let share = stress / f64::from(class.yields_at());
        assert!((0.88..0.95).contains(&share), "{class}: {share:.3}");
    }
}

/// Source: SAE J429: proof and tensile strength in ksi.
#[test]
fn lines_on_the_head_give_the_grade_and_its_strengths() {
    for (lines, grade, strengths) in
        [(0, LineGrade::Grade2, (55, 74)), (3, LineGrade::Grade5, (85, 120)), (6, LineGrade::Grade8, (120, 150))]
    {
        assert_eq!(LineGrade::of_lines(lines), Some(grade));
        assert_eq!(grade.strengths(), strengths);
    }
    assert!(read("3 lines")[0].means.contains("grade 5"));
    assert!(read("six radial lines")[0].means.contains("grade 8"));
    assert_eq!(read("4 lines")[0].subject, Subject::NotKnown);
}

#[test]
fn a_class_gives_no_torque() {
    assert!(read("10.9")[0].notes.iter().any(|note| note.contains("no torque")));
}
