//! What a variant says of a car is our own grammar, so that nothing outside tells right from wrong; the codes are invented.

use super::*;
use Verdict::{CannotTell, Holds, HoldsNot};
use proptest::prelude::*;

const CODES: &str = "chassis number: 104700\nengine code: HS16 (read off the block)\ngearbox code: G5\n\
    axle ratio: 4.10\nair conditioning: none\nsteering: left\nsunroof: yes\nbody number: SKV-83-004177\nbuilt: 1981-05\n\
    pump number: P 20144";

fn car() -> TheCar {
    TheCar::of(CODES, Some(1983))
}

#[track_caller]
fn says(variant: &str, verdict: Verdict) -> String {
    let holding = judge(variant, &car()).unwrap();
    assert_eq!(holding.verdict, verdict, "‘{variant}’: {}", holding.say);
    assert!(holding.say.ends_with('.'), "{}", holding.say);
    holding.say
}

#[test]
fn what_is_for_every_variant_needs_no_word() {
    assert_eq!(judge("  ", &car()), None);
}

#[test]
fn a_code_is_held_against_the_car_s_own() {
    says("engine HS16", Holds);
    says("Engine code hs-16", Holds);
    says("only for engine HS16", Holds);
    assert_eq!(says("engine HS18", HoldsNot), "This is for engine HS18; this car has HS16.");
    assert_eq!(says("not engine HS16", HoldsNot), "This is not for engine HS16; this car has HS16.");
    says("not engine HS18", Holds);
    says("axle ratio 4.10", Holds);
    says("axle ratio 3.90", HoldsNot);
    says("steering left", Holds);
    // Words that differ may mean the same, codes may not.
    says("steering l.h.", CannotTell);
}

#[test]
fn a_list_needs_one_of_its_members_and_its_or() {
    says("engine HS18 or HS16", Holds);
    says("engine HS14, HS16 or HS18", Holds);
    says("engine HS14, HS18, or HS20", HoldsNot);
    says("engine HS14, HS16", CannotTell);
    says("engine HS14, HS16, gearbox G5", CannotTell);
    says("not engine HS14, HS16 or HS18", HoldsNot);
    says("engine HS18 or gearbox G5", Holds);
}

#[test]
fn every_clause_must_hold() {
    says("engine HS16, gearbox G5", Holds);
    says("engine HS16 and gearbox G4", HoldsNot);
    says("gearbox G5, from chassis 104500", Holds);
    says("gearbox G5; from chassis 104800", HoldsNot);
    says("engine HS16, with a washer face", CannotTell);
    // What was not read may turn round what was: ‘engine HS18, or any other’.
    says("engine HS18, early head", CannotTell);
}

#[test]
fn both_ends_of_a_range_belong_to_it_but_for_before_and_after() {
    for holds in [
        "from chassis 104700",
        "chassis from 104700",
        "up to chassis number 104700",
        "chassis 104500 to 104700",
        "from chassis 104500 to 104900",
        "chassis 104500 onwards",
        "before chassis 104701",
        "after chassis 104699",
        "from pump 20000",
    ] {
        says(holds, Holds);
    }
    for not in ["before chassis 104700", "after chassis 104700", "up to chassis 104699", "chassis 1 to 104699"] {
        says(not, HoldsNot);
    }
    assert_eq!(says("from chassis 104800", HoldsNot), "This is for cars from chassis 104800; this car has 104700.");
    says("not from chassis 104800", Holds);
}

#[test]
fn a_range_that_is_nonsense_or_counts_in_another_row_is_left_open() {
    for unclear in [
        "chassis 104900 to 104500",
        "from chassis",
        "from to 104500",
        "from chassis 1 from 2",
        "chassis 1 2 to 3",
        "from chassis 99999999999999999999999999",
        "from body 4000",
        "from body ABC-83-004000",
        "from chassis 104500 lorries",
    ] {
        says(unclear, CannotTell);
    }
    says("from body SKV-83-004000", Holds);
    says("up to body SKV-83-004000", HoldsNot);
}

#[test]
fn months_are_held_against_when_the_car_was_built() {
    for (variant, verdict) in [
        ("up to 1981-06", Holds),
        ("up to 1981-05", Holds),
        ("before 1981-05", HoldsNot),
        ("from 1981-06", HoldsNot),
        ("from 1979 to 1981", Holds),
        ("built from 1982", HoldsNot),
        ("up to 1981-13", CannotTell),
        ("up to 1600", CannotTell),
        ("1981", CannotTell),
        ("from 1979 to HS16", CannotTell),
    ] {
        says(variant, verdict);
    }
}

#[test]
fn a_year_alone_decides_only_what_a_year_can() {
    let car = TheCar::of("", Some(1981));
    let verdict = |variant| judge(variant, &car).unwrap().verdict;
    assert_eq!(verdict("up to 1981-06"), CannotTell);
    assert_eq!(verdict("up to 1981"), Holds);
    assert_eq!(verdict("from 1982-01"), HoldsNot);
    assert_eq!(judge("up to 1981", &TheCar::default()).unwrap().verdict, CannotTell);
    let unreadable = TheCar::of("built: spring", Some(1981));
    assert_eq!(judge("up to 1981", &unreadable).unwrap().verdict, CannotTell);
}

#[test]
fn what_the_car_has_or_has_not() {
    says("not with air conditioning", Holds);
    says("without air conditioning", Holds);
    assert_eq!(says("with air conditioning", HoldsNot), "This is for cars with air conditioning; this car has none.");
    says("with sunroof", Holds);
    says("except sunroof", HoldsNot);
    says("with tow bar", CannotTell);
    says("engine", CannotTell);
}

#[test]
fn a_code_that_the_car_lacks_is_asked_for_by_name() {
    assert!(says("transfer case T2", CannotTell).contains("Nothing is written of this car’s transfer case"));
}

#[test]
fn families_of_codes_and_codes_of_another_make_are_left_open() {
    // A size is no code, and HS may stand for all that begin so.
    for unclear in ["engine 1.8", "engine HS", "engine HS1", "engine 16V"] {
        says(unclear, CannotTell);
    }
    let two = TheCar::of("engine code: HS16\nengine type: HS18", None);
    assert_eq!(judge("engine HS16", &two).unwrap().verdict, CannotTell);
    let number = TheCar::of("engine code: HS16\nengine number: 554433", None);
    assert_eq!(judge("engine HS18", &number).unwrap().verdict, HoldsNot);
    assert_eq!(judge("from engine 550000", &number).unwrap().verdict, Holds);
}

#[test]
fn an_empty_code_says_nothing() {
    let car = TheCar::of("engine code:\nno colon here\n: 61\ngearbox code: (not read yet)", None);
    for variant in ["engine HS16", "gearbox G5", "from engine 5"] {
        assert_eq!(judge(variant, &car).unwrap().verdict, CannotTell, "{variant}");
    }
}

/// Words of which none is a name, a code or a word of the grammar.
fn unknown_words() -> impl Strategy<Value = String> {
    let word =
        prop::sample::select(vec!["early", "wide", "blue", "export", "turbo-charged", "late", "?", "cooler", "’"]);
    prop::collection::vec(word, 1..5).prop_map(|words| words.join(" "))
}

proptest! {
    #[test]
    fn what_is_not_read_never_holds(words in unknown_words()) {
        prop_assert_eq!(judge(&words, &car()).unwrap().verdict, CannotTell);
    }

    #[test]
    fn something_not_read_beside_what_is_never_holds(words in unknown_words(), link in "( |, | and | or |; )", first: bool) {
        let known = "engine HS16";
        let variant = if first { format!("{words}{link}{known}") } else { format!("{known}{link}{words}") };
        prop_assert_ne!(judge(&variant, &car()).unwrap().verdict, Holds, "{}", variant);
    }

    #[test]
    fn no_text_at_all_holds_for_a_car_of_which_nothing_is_known(text in ".{1,60}") {
        let verdict = judge(&text, &TheCar::default()).map(|holding| holding.verdict);
        prop_assert!(!matches!(verdict, Some(Holds | HoldsNot)), "{}", text);
    }

    #[test]
    fn nothing_holds_both_for_a_car_and_not_for_it(words in "(engine|gearbox|from chassis|up to) (HS16|HS18|G5|104700|1981-05)") {
        let verdict = |variant: &str| judge(variant, &car()).unwrap().verdict;
        let both = (verdict(&words), verdict(&format!("not {words}")));
        prop_assert!(matches!(both, (Holds, HoldsNot) | (HoldsNot, Holds) | (CannotTell, CannotTell)), "{:?}", both);
    }
}
