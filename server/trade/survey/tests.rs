//! The order of the list, and what is wrong in a text. The seeded survey itself is read in `tests/published/survey.rs`.

use super::*;
use crate::trade::calendar::Date;
use proptest::prelude::*;

/// Six questions, of every stake.
const TEXT: &str = "\
area: round
title: Once round
intro: Level ground.

question: hoses
ask: Are the brake hoses whole?
look: Bend each,
  and look at both ends.
fine: Whole.
watch: Dull.
act: A crack.
stake: safety
unknown: due
system: brakes
caution: brake-pipe-pressure
mend: brake-hoses, brake-look
part: Brake hoses, in pairs
again: 1000 km, 3 months
item: quoted; 49 CFR 570.5(b),(c)
hears: brake hose, hose cracked

question: pipes
ask: Are the brake pipes sound?
look: Wipe them.
fine: Smooth.
watch: Rust.
act: Pitted.
stake: safety
unknown: look
system: brakes
mend: brake-pipe
again: 3 months
hears: brake pipe

question: belt
ask: When was the timing belt renewed?
look: Paper.
fine: On paper.
watch: Nearly due.
act: Past it.
stake: ruins-dearer
unknown: due
system: engine
mend: timing-belt
again: 1 month
hears: timing belt, belt

question: battery
ask: Which voltage?
look: At rest.
fine: 12.5 V
watch: 12.3 V
act: 12.0 V
stake: reliability
unknown: look
system: electrics
reading: voltage; battery at rest
limit: battery-rest
part: Battery
again: 1 month
helper: yes

question: paint
ask: Does the paint shine?
look: By day.
fine: It does.
watch: Dull.
act: It peels.
stake: comfort
unknown: look
system: body
workshop: A painter.
again: 12 months
hears: paint
";

fn survey() -> Survey {
    Survey::new(vec![read_area(TEXT).unwrap()]).unwrap()
}

fn given(question: &str, answer: Answer) -> Given {
    Given { question: question.into(), answer, note: String::new() }
}

fn found(id: &str, text: &str, weight: Answer) -> Found {
    Found { id: id.into(), text: text.into(), place: String::new(), weight, stake: None, when: 0 }
}

fn order(ranking: &Ranking) -> Vec<&str> {
    let name = |place| match place {
        &Placed { origin: Origin::Question(ref key), .. } => key.as_str(),
        Placed { origin: Origin::Finding { id, .. }, .. } => id.as_str(),
    };
    ranking.places.iter().map(name).collect()
}

#[test]
fn a_question_is_read_with_all_that_hangs_on_it() {
    let survey = survey();
    let (at, hoses) = survey.question("hoses").unwrap();
    assert_eq!(at, 0);
    assert_eq!(hoses.look, "Bend each, and look at both ends.");
    assert_eq!(hoses.mends, ["brake-hoses", "brake-look"]);
    assert_eq!(hoses.items[0].item, "49 CFR 570.5(b),(c)");
    assert_eq!(hoses.again, Interval { kilometres: Some(1000), months: Some(3) });
    let (_, battery) = survey.question("battery").unwrap();
    assert!(battery.helper);
    assert_eq!(battery.reading.as_ref().unwrap().limit, Some(Limit::BatteryRest));
}

#[test]
fn safety_comes_before_what_ruins_something_dearer_before_reliability_before_comfort() {
    let answers = ["paint", "battery", "belt", "hoses"].map(|key| given(key, Answer::Act));
    assert_eq!(order(&rank(&survey(), &answers, &[])), ["hoses", "belt", "battery", "paint"]);
}

#[test]
fn what_can_hurt_somebody_and_is_only_watched_still_comes_before_what_costs_money() {
    let answers = [given("belt", Answer::Act), given("pipes", Answer::Watch)];
    assert_eq!(order(&rank(&survey(), &answers, &[])), ["pipes", "belt"]);
}

#[test]
fn within_one_stake_what_is_to_be_done_comes_before_the_unknown_before_what_is_watched() {
    for (hoses, pipes, expected) in [
        (Answer::Watch, Answer::Unknown, ["pipes", "hoses"]),
        (Answer::Unknown, Answer::Act, ["pipes", "hoses"]),
        (Answer::Act, Answer::Act, ["hoses", "pipes"]),
    ] {
        let ranking = rank(&survey(), &[given("hoses", hoses), given("pipes", pipes)], &[]);
        assert_eq!(order(&ranking), expected);
    }
}

#[test]
fn an_unknown_service_is_done_and_an_unknown_thing_is_looked_at() {
    let ranking = rank(&survey(), &[given("belt", Answer::Unknown), given("pipes", Answer::Unknown)], &[]);
    assert_eq!(ranking.places[0].suggestions, [Suggestion::Look { say: "Wipe them.".into() }]);
    assert_eq!(ranking.places[1].suggestions, [Suggestion::Job { pattern: "timing-belt".into() }]);
    assert!(ranking.places[1].reason.contains("counts as due"), "{}", ranking.places[1].reason);
}

#[test]
fn what_is_fine_is_not_in_the_list_and_what_was_not_answered_is_said() {
    let ranking = rank(&survey(), &[given("hoses", Answer::Fine)], &[]);
    assert!(ranking.places.is_empty());
    assert_eq!(ranking.open, ["pipes", "belt", "battery", "paint"]);
}

#[test]
fn the_last_of_several_answers_counts() {
    let ranking = rank(&survey(), &[given("hoses", Answer::Act), given("hoses", Answer::Fine)], &[]);
    assert!(ranking.places.is_empty());
}

#[test]
fn an_answer_to_a_question_that_is_gone_stays_in_sight() {
    assert_eq!(rank(&survey(), &[given("wings", Answer::Act)], &[]).strangers, ["wings"]);
}

#[test]
fn a_finding_joins_where_the_question_it_is_about_stands() {
    let answers = [given("hoses", Answer::Act), given("pipes", Answer::Act)];
    let ranking = rank(&survey(), &answers, &[found("f", "Left rear brake hose cracked", Answer::Act)]);
    assert_eq!(order(&ranking), ["hoses", "f", "pipes"]);
    assert_eq!(ranking.places[1].suggestions[0], Suggestion::Job { pattern: "brake-hoses".into() });
    assert!(ranking.places[1].reason.contains("where the walk would have met it"), "{}", ranking.places[1].reason);
}

#[test]
fn a_finding_that_nothing_is_about_counts_as_grave_until_somebody_weighs_it() {
    let mut odd = found("odd", "something purple hums", Answer::Act);
    let answers = [given("belt", Answer::Act)];
    let ranking = rank(&survey(), &answers, std::slice::from_ref(&odd));
    assert_eq!(order(&ranking), ["odd", "belt"]);
    assert!(ranking.places[0].reason.starts_with("Nobody said what it can do"), "{}", ranking.places[0].reason);
    assert_eq!(ranking.places[0].suggestions, [Suggestion::OwnCard]);
    odd.stake = Some(Stake::Comfort);
    let ranking = rank(&survey(), &answers, &[odd]);
    assert_eq!(order(&ranking), ["belt", "odd"]);
    assert!(ranking.places[1].reason.starts_with("It is about comfort"));
}

#[test]
fn what_can_hurt_somebody_and_is_to_be_done_keeps_the_car_off_the_road() {
    let answers = [given("hoses", Answer::Act), given("pipes", Answer::Watch), given("belt", Answer::Act)];
    let ranking = rank(&survey(), &answers, &[]);
    let off: Vec<bool> = ranking.places.iter().map(|place| place.reason.contains("stays off the road")).collect();
    assert_eq!(off, [true, false, false]);
}

#[test]
fn a_thing_to_watch_says_when_to_look_again_and_what_would_make_it_due() {
    let ranking = rank(&survey(), &[given("hoses", Answer::Watch)], &[]);
    let [watch] = ranking.places[0].suggestions.as_slice() else { panic!("{ranking:?}") };
    assert_eq!(
        watch.to_string(),
        "Look again after 1000 km or 3 months, whichever is first. To be done once: A crack."
    );
}

#[test]
fn the_longest_phrase_takes_a_finding() {
    let survey = survey();
    for (text, key) in [
        ("timing belt frayed", "belt"),
        ("Hose, cracked, at the left", "hoses"),
        ("BRAKE PIPES rusty", "pipes"),
        ("painted over", "paint"),
    ] {
        assert_eq!(heard(&survey, text).unwrap().1.key, key, "{text}");
    }
    assert!(heard(&survey, "").is_none());
    assert!(heard(&survey, "a repainter").is_none());
}

#[test]
fn a_text_that_is_wrong_is_told_by_line() {
    let cases = [
        ("stake: safety", "stake: danger", "line 12: ‘danger’ is no stake. Known: safety, ruins-dearer"),
        ("unknown: due", "unknown: maybe", "line 13: ‘maybe’ is no unknown. Known: due, look."),
        ("caution: brake-pipe-pressure", "caution: beware", "line 15: ‘beware’ is not the name of a known caution."),
        ("again: 1000 km, 3 months", "again: soon", "line 18: ‘soon’ is no interval"),
        ("again: 1000 km, 3 months", "again: 0 km", "line 18: ‘0 km’ is out of range"),
        ("again: 1000 km, 3 months", "again: 9 km, 8 km", "line 18: ‘9 km, 8 km’ says the same thing twice."),
        ("fine: Whole.", "fine:", "line 9: ‘fine:’ has nothing behind it"),
        ("fine: Whole.", "good: Whole.", "line 5: ‘fine:’ is missing."),
        ("fine: Whole.", "fine: Whole.\nfine: Sound.", "line 10: ‘fine:’ is there twice."),
        ("fine: Whole.", "Whole.", "line 9: A line is ‘name: value’"),
        ("question: hoses", "question: Brake Hoses", "line 5: ‘Brake Hoses’ is no name"),
        ("title: Once round", "ask: Once round", "line 2: ‘ask:’ belongs to a question"),
        ("mend: brake-pipe\n", "", "line 22: Nothing follows from this question"),
        ("item: quoted;", "item: heard;", "line 19: An item is how it was read and where"),
        ("limit: battery-rest", "limit: tread", "The limit ‘tread’ is held against a length, not a voltage."),
        ("reading: voltage; battery at rest\n", "", "A limit needs a reading"),
        ("helper: yes", "helper: two", "‘helper:’ is yes or no."),
        ("hears: brake hose,", "hears: brake hose,,", "There is nothing between two commas."),
    ];
    for (right, wrong, expected) in cases {
        assert!(TEXT.contains(right), "{right}");
        let troubles = read_area(&TEXT.replacen(right, wrong, 1)).unwrap_err();
        let all: Vec<String> = troubles.iter().map(ToString::to_string).collect();
        assert!(all.iter().any(|say| say.contains(expected)), "{wrong}: {all:?}");
    }
}

#[test]
fn a_text_that_is_none_is_refused_whole() {
    assert!(read_area("").unwrap_err().iter().any(|trouble| trouble.say.contains("asks nothing")));
    assert!(read_area(" begins with a blank").unwrap_err().iter().any(|trouble| trouble.say.contains("there is none")));
    assert!(read_area(&"x".repeat(200_001)).unwrap_err()[0].say.contains("larger than"));
    assert!(read_area(&TEXT.replace("Once round", &"x".repeat(401))).unwrap_err()[0].say.contains("longer than"));
}

#[test]
fn a_question_that_is_there_twice_is_told() {
    let area = read_area(TEXT).unwrap();
    let troubles = Survey::new(vec![area.clone(), area]).unwrap_err();
    assert_eq!(troubles.len(), 6, "{troubles:?}");
}

#[test]
fn a_pattern_that_the_library_lacks_is_told() {
    let lost: Vec<String> =
        survey().lost_patterns(|name| name != "brake-look").map(|trouble| trouble.to_string()).collect();
    assert_eq!(lost, ["line 5: ‘hoses’ names the pattern ‘brake-look’, and there is none."]);
}

#[test]
fn a_reading_past_its_limit_answers_the_question() {
    use crate::trade::limits::Outcome;
    assert_eq!(Answer::from(Outcome::Fail), Answer::Act);
    assert_eq!(Answer::from(Outcome::Watch), Answer::Watch);
    assert_eq!(Answer::from(Outcome::Pass), Answer::Fine);
}

#[test]
fn a_watched_thing_is_due_again_by_distance_or_by_time_whichever_is_first() {
    let looked = |day: &str, kilometres| Looked { on: Date::parse(day).unwrap(), kilometres };
    let then = looked("2026-11-30", Some(1000));
    let both = Interval::parse("500 km, 3 months").unwrap();
    for (day, kilometres, due) in [
        ("2026-12-01", Some(1499), false),
        ("2026-12-01", Some(1500), true),
        ("2027-02-27", Some(1000), false),
        ("2027-02-28", Some(1000), true),
        ("2027-02-28", None, true),
        ("2026-12-01", None, false),
        ("2026-12-01", Some(999), true),
    ] {
        assert_eq!(both.is_due(then, looked(day, kilometres)), due, "{day} {kilometres:?}");
    }
    let distance = Interval::parse("50 km").unwrap();
    assert!(!distance.is_due(looked("2026-11-30", None), looked("2027-11-30", Some(9000))));
}

fn any_answer() -> impl Strategy<Value = Answer> {
    prop::sample::select(Answer::ALL)
}

proptest! {
    #[test]
    fn the_order_hangs_on_nothing_but_what_is_given(
        answers in prop::collection::vec(any_answer(), 5),
        weights in prop::collection::vec(any_answer(), 0..6),
        turn in 0usize..5,
    ) {
        let survey = survey();
        let keys = survey.questions().map(|question| question.key.clone()).collect::<Vec<_>>();
        let mut given: Vec<Given> = keys.iter().zip(&answers).map(|(key, answer)| super::tests::given(key, *answer)).collect();
        let texts = ["brake hose", "brake pipe", "purple", "belt", "paint", "odd"];
        let mut found: Vec<Found> =
            weights.iter().enumerate().map(|(at, weight)| super::tests::found(&at.to_string(), texts[at], *weight)).collect();
        let one = rank(&survey, &given, &found);
        given.rotate_left(turn);
        found.reverse();
        prop_assert_eq!(&one, &rank(&survey, &given, &found));
        let graves: Vec<_> = one.places.iter().map(|place| (place.stake, place.standing)).collect();
        prop_assert!(graves.is_sorted());
        let wanted = answers.iter().chain(&weights).filter(|answer| **answer != Answer::Fine).count();
        prop_assert_eq!(one.places.len(), wanted);
        prop_assert!(one.places.iter().all(|place| place.reason.ends_with('.') && !place.suggestions.is_empty()));
    }

    #[test]
    fn no_text_makes_the_reader_fall_over(text in "(area|question|ask|again|item|reading| |:|;|,|\n|é|[a-z0-9]){0,60}") {
        let _ = read_area(&text);
    }
}
