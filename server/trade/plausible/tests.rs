//! Verdicts on figures of a published table, whole and with each slip put in.

use super::*;
use crate::trade::quantity::UnitSet;
use crate::trade::spec::Fastener;

fn fastener(thread: &str, class: &str, lubrication: &str) -> Fastener {
    Fastener {
        thread: thread.into(),
        class: class.into(),
        head: String::new(),
        count: 1,
        lubrication: lubrication.into(),
        single_use: false,
    }
}

fn assessed(torque: &str, thread: &str, class: &str, lubrication: &str) -> Assessment {
    let torque = Span::parse(torque).unwrap();
    judge(&Asked::read(torque, &fastener(thread, class, lubrication), "", false))
}

fn first_slip(torque: &str, thread: &str, class: &str) -> Option<Slip> {
    assessed(torque, thread, class, "").slips.first().copied()
}

/// Source: a farm-machine manual's table for class 8.8, friction 0.12, read second-hand.
#[test]
fn the_figures_of_a_published_table_fit() {
    for (thread, torque) in
        [("M6", "9.9 Nm"), ("M8", "24 Nm"), ("M10", "48 Nm"), ("M12", "85 Nm"), ("M14", "135 Nm"), ("M16", "210 Nm")]
    {
        for lubrication in ["", "dry", "oiled", "zinc plated", "thread-locking liquid"] {
            let found = assessed(torque, thread, "8.8", lubrication);
            assert_eq!(found.verdict, Verdict::Fits, "{thread} {torque} {lubrication}: {}", found.sentence);
        }
    }
}

/// Source: as above; each figure written with the slip that is to be found.
#[test]
fn each_slip_makes_a_torque_of_the_table_stand_out_and_is_named() {
    let unit = |written, meant| Some(Slip::Unit { written, meant });
    for (torque, thread, class, slip) in [
        // 48 N·m of M10, and its neighbours
        ("48 lbf ft", "M10", "8.8", unit(TorqueUnit::PoundForceFoot, TorqueUnit::NewtonMetre)),
        ("85 lbf ft", "M12", "8.8", unit(TorqueUnit::PoundForceFoot, TorqueUnit::NewtonMetre)),
        ("85 lbf ft", "M6", "8.8", unit(TorqueUnit::PoundForceFoot, TorqueUnit::PoundForceInch)),
        ("4.9 Nm", "M10", "8.8", unit(TorqueUnit::NewtonMetre, TorqueUnit::KilogramForceMetre)),
        ("35 lbf in", "M10", "8.8", unit(TorqueUnit::PoundForceInch, TorqueUnit::PoundForceFoot)),
    ] {
        assert_eq!(first_slip(torque, thread, class), slip, "{torque} {thread}");
    }
    let tenfold = assessed("240 Nm", "M8", "8.8", "").slips;
    assert!(tenfold.contains(&Slip::TenTimesTooMuch), "{tenfold:?}");
    let tenth = assessed("8.5 Nm", "M12", "8.8", "").slips;
    assert!(tenth.contains(&Slip::TenTimesTooLittle), "{tenth:?}");
}

#[test]
fn a_torque_of_a_stronger_bolt_points_to_its_class() {
    let found = assessed("44 Nm", "M8x1", "8.8", "oiled");
    assert_eq!(found.verdict, Verdict::High);
    assert!(found.slips.iter().any(|slip| matches!(slip, Slip::Class { .. })), "{:?}", found.slips);
}

/// Source: a maker's worked table for SAE J429 grade 2, dry, 75 % of proof, read second-hand.
#[test]
fn the_figures_of_a_published_inch_table_fit() {
    for (thread, torque) in [
        ("1/4-20 UNC", "5.4 lbf ft"),
        ("5/16-24 UNF", "12.5 lbf ft"),
        ("3/8-16 UNC", "20 lbf ft"),
        ("1/2-13 UNC", "48.8 lbf ft"),
        ("5/8-18 UNF", "110 lbf ft"),
    ] {
        assert_eq!(assessed(torque, thread, "grade 2", "dry").verdict, Verdict::Fits, "{thread}");
        assert_eq!(assessed(torque, thread, "2", "").verdict, Verdict::Fits, "{thread}");
    }
}

#[test]
fn what_the_relation_does_not_hold_for_is_refused_with_the_reason() {
    for (thread, about, turned_further, part) in [
        ("M10x1 hollow", "Brake hose", false, "hollow"),
        ("M12x1.5", "Banjo bolt", false, "hollow"),
        ("R 1/4 taper", "Block drain", false, "taper plug"),
        ("M18x1.5 in alloy", "Gearbox", false, "strips"),
        ("M14x1.5", "Sump plug", false, "sealing washer"),
        ("M14x1.25", "Spark plugs", false, "spark plug"),
        ("M12x1.5", "Wheel nuts", false, "cone or ball seat"),
        ("M14x1.5", "Track-rod lock nuts", false, "lock nut"),
        ("M12x1.75", "Cylinder head bolts", true, "angle"),
        ("worm drive band", "Hose clip", false, "Without a thread"),
        ("", "Something", false, "Without a thread"),
    ] {
        let torque = Span::parse("40 Nm").unwrap();
        let found = judge(&Asked::read(torque, &fastener(thread, "8.8", ""), about, turned_further));
        assert_eq!(found.verdict, Verdict::CannotJudge, "{thread} {about}");
        assert!(found.sentence.contains(part), "{}", found.sentence);
        assert!(found.slips.is_empty() && found.preload.is_none());
    }
}

#[test]
fn an_unknown_class_is_judged_against_the_widest_range_and_says_so() {
    let found = assessed("50 Nm", "M10", "", "");
    assert_eq!(found.verdict, Verdict::Fits);
    assert!(found.notes.iter().any(|note| note.contains("class 4.6 to class 12.9")), "{:?}", found.notes);
    assert_eq!(found.preload, None);
    assert_eq!(assessed("300 Nm", "M10", "", "").verdict, Verdict::High);
    assert_eq!(assessed("2 Nm", "M10", "", "").verdict, Verdict::Low);
}

#[test]
fn a_class_of_the_other_family_or_beyond_the_standard_cannot_be_judged() {
    assert_eq!(assessed("50 Nm", "3/8-16 UNC", "8.8", "").verdict, Verdict::CannotJudge);
    assert_eq!(assessed("50 Nm", "M45", "8.8", "").verdict, Verdict::CannotJudge);
    assert_eq!(assessed("2 Nm", "#10-32", "", "").verdict, Verdict::CannotJudge);
}

#[test]
fn a_dry_torque_on_an_anti_seized_bolt_stands_out() {
    assert_eq!(assessed("85 Nm", "M12", "8.8", "dry").verdict, Verdict::Fits);
    assert_eq!(assessed("85 Nm", "M12", "8.8", "anti-seize").verdict, Verdict::High);
}

#[test]
fn a_lubrication_that_is_not_known_is_named_and_taken_widely() {
    let says = |lubrication, part: &str| {
        let notes = assessed("48 Nm", "M10", "8.8", lubrication).notes;
        notes.iter().any(|note| note.starts_with(part))
    };
    assert!(says("", "Nothing is said of lubrication: friction taken as anywhere from 0.07 to 0.24"));
    assert!(says("goose fat", "The lubrication ‘goose fat’ is not known here"));
    assert!(!says("dry", "Nothing is said") && !says("dry", "The lubrication"));
}

#[test]
fn a_range_is_judged_by_the_end_that_is_worse() {
    assert_eq!(assessed("40-48 Nm", "M10", "8.8", "").verdict, Verdict::Fits);
    assert_eq!(assessed("35 lbf ft", "M8x1", "10.9", "").verdict, Verdict::High);
    assert_eq!(assessed("40-90 Nm", "M10", "8.8", "").verdict, Verdict::High);
    assert_eq!(assessed("4-48 Nm", "M10", "8.8", "").verdict, Verdict::Low);
}

/// It only ever flags: no number with a unit of torque other than the one written may appear in what it says.
#[test]
fn nothing_it_says_holds_another_torque_than_the_one_written() {
    for torque in ["5 Nm", "48 Nm", "48 lbf ft", "500 Nm", "35 lbf in", "48 kgf m"] {
        for class in ["", "8.8", "10.9", "8"] {
            let found = assessed(torque, "M10", class, "oiled");
            let mut said = vec![found.sentence.clone()];
            said.extend(found.slips.iter().map(ToString::to_string));
            said.extend(found.notes.clone());
            for text in said {
                let rest = text.replacen(torque, "", 1);
                for unit in TorqueUnit::ALL {
                    let before = rest.split(unit.name()).next().filter(|_| rest.contains(unit.name()));
                    let number = before.is_some_and(|before| before.trim_end().ends_with(|c: char| c.is_ascii_digit()));
                    assert!(!number, "{text}");
                }
            }
        }
    }
}

#[test]
fn every_known_thread_and_class_gets_an_answer_with_words() {
    for thread in crate::trade::thread::Thread::all() {
        for class in ["", "4.6", "8.8", "12.9", "grade 2", "grade 8", "10"] {
            for torque in ["0.01 Nm", "20 Nm", "9999 Nm", "1-7000 lbf ft"] {
                let found = assessed(torque, &thread.to_string(), class, "");
                assert!(found.sentence.ends_with(['.', '?']), "{thread} {class} {torque}: {}", found.sentence);
                assert!(found.slips.len() <= 3);
            }
        }
    }
}
