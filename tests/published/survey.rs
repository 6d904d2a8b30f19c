//! The seeded survey against the items of two published inspections: `data/inspection_items.csv`, whose sources are the UK's
//! inspection manual for cars (Open Government Licence) and 49 CFR part 570, subpart A. Which pattern step looks at each item is
//! checked in `inspection.rs`; here, that a question of the survey asks for it, and says how it was read.

use std::path::{Path, PathBuf};
use underlamp::trade::cautions::Caution;
use underlamp::trade::citation::Standing;
use underlamp::trade::limits::{
    LiningRule, Nominal, TreadRule, judge_disc, judge_lining, judge_rest_voltage, judge_toe, judge_tread,
};
use underlamp::trade::quantity::{Length, Voltage};
use underlamp::trade::survey::{
    Answer, Given, Limit, Origin, Question, Stake, Survey, Unknown, heard, rank, read_area,
};

fn here(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

fn survey() -> Survey {
    let mut files: Vec<PathBuf> = std::fs::read_dir(here("seed/survey"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .filter(|path| path.extension().is_some_and(|ending| ending == "txt"))
        .collect();
    files.sort();
    let area = |path: &PathBuf| {
        let text = std::fs::read_to_string(path).unwrap();
        read_area(&text).unwrap_or_else(|troubles| panic!("{}: {troubles:#?}", path.display()))
    };
    Survey::new(files.iter().map(area).collect()).unwrap_or_else(|troubles| panic!("{troubles:#?}"))
}

/// Document, item and how it was read, of those that a pattern looks at.
fn items() -> Vec<(String, String, String)> {
    let text = std::fs::read_to_string(here("tests/published/data/inspection_items.csv")).unwrap();
    let mut items = Vec::new();
    for line in text.lines().skip(1) {
        let mut cells = vec![String::new()];
        let mut quoted = false;
        for letter in line.chars() {
            match letter {
                '"' => quoted = !quoted,
                ',' if !quoted => cells.push(String::new()),
                other => cells.last_mut().unwrap().push(other),
            }
        }
        let [document, item, _, how, pattern, _] = cells.try_into().unwrap_or_else(|_| panic!("six columns: {line}"));
        if !pattern.is_empty() {
            let document = if document.starts_with("49") { "49 CFR".to_owned() } else { document };
            items.push((document, item, how));
        }
    }
    items.dedup();
    items
}

/// `570.7(b) linkage play` is the clause 570.7(b); the manual's sections without a number of their own keep their words.
fn clause(item: &str) -> &str {
    item.split(' ').next().unwrap()
}

#[test]
fn every_published_item_that_a_pattern_looks_at_is_asked_for_and_says_how_it_was_read() {
    let survey = survey();
    for (document, item, how) in items() {
        let wanted = format!("{document} {}", clause(&item));
        let cited: Vec<_> = survey
            .questions()
            .flat_map(|question| &question.items)
            .filter(|cited| cited.item == wanted || cited.item.starts_with(&format!("{wanted} ")))
            .collect();
        assert!(!cited.is_empty(), "no question cites {wanted}");
        let expected = match how.as_str() {
            "" | "read" => Standing::Read,
            "quoted by another page" => Standing::Quoted,
            "from memory" => Standing::Memory,
            other => panic!("{other}"),
        };
        assert!(cited.iter().any(|cited| cited.standing == expected), "{wanted} was {how}: {cited:?}");
    }
}

#[test]
fn no_question_cites_an_item_that_the_table_does_not_have() {
    let text = std::fs::read_to_string(here("tests/published/data/inspection_items.csv")).unwrap();
    for question in survey().questions() {
        for cited in &question.items {
            let clause = cited.item.trim_start_matches("49 CFR ").trim_start_matches("UK inspection manual ");
            assert!(text.contains(clause), "{}: {clause}", question.key);
        }
    }
}

#[test]
fn every_pattern_that_a_question_names_is_seeded() {
    let survey = survey();
    let lost: Vec<_> = survey.lost_patterns(|name| here(&format!("seed/patterns/{name}.toml")).exists()).collect();
    assert!(lost.is_empty(), "{lost:#?}");
}

#[test]
fn every_seeded_pattern_follows_from_some_question() {
    let survey = survey();
    for entry in std::fs::read_dir(here("seed/patterns")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_stem().unwrap().to_str().unwrap().to_owned();
        let named = survey.questions().any(|question| question.mends.contains(&name));
        // Putting a car away and fetching it out are begun from its upkeep: no fault asks for them.
        let of_upkeep = name.starts_with("lay-up-") || name.starts_with("return-");
        assert!(named || of_upkeep || name == "README", "no question leads to {name}");
    }
}

#[test]
fn the_walk_goes_once_round_the_car_and_never_claims_that_it_is_safe() {
    let survey = survey();
    let areas: Vec<&str> = survey.areas().iter().map(|area| area.key.as_str()).collect();
    let expected = [
        "papers",
        "outside",
        "tyres",
        "lights",
        "bonnet-cold",
        "fluids",
        "belts",
        "battery",
        "brakes",
        "steering",
        "suspension",
        "under-front",
        "under-middle",
        "under-rear",
        "fuel",
        "exhaust",
        "body",
        "inside",
        "running",
        "roll",
    ];
    assert_eq!(areas, expected);
    assert!(survey.questions().count() >= 90);
    for question in survey.questions() {
        let all = [&question.ask, &question.look, &question.fine, &question.watch, &question.act];
        for text in all {
            let words = text.to_lowercase();
            assert!(!words.contains("is safe") && !words.contains("roadworthy"), "{}: {text}", question.key);
        }
        assert!(question.ask.ends_with('?'), "{}: {}", question.key, question.ask);
        let texts = [&question.look, &question.fine, &question.watch, &question.act];
        assert!(texts.iter().all(|text| text.ends_with(['.', '?'])), "{}", question.key);
    }
}

/// Common practice, no source: who knows nothing of a car renews these before its first long drive.
#[test]
fn services_of_unknown_age_count_as_due() {
    let survey = survey();
    let wanted = [
        "timing-belt",
        "brake-fluid-age",
        "coolant-age",
        "engine-oil-age",
        "tyre-age",
        "brake-hoses",
        "fuel-hoses",
        "gearbox-oil-age",
        "axle-oil-age",
        "auxiliary-belt",
        "fuel-filter",
        "air-filter",
    ];
    for key in wanted {
        assert_eq!(survey.question(key).unwrap().1.unknown, Unknown::Due, "{key}");
    }
}

#[test]
fn of_a_car_that_nobody_knows_the_brakes_come_before_the_belts_and_the_spare_wheel_last() {
    let survey = survey();
    let given: Vec<Given> = survey.questions().map(unknown).collect();
    let ranking = rank(&survey, &given, &[]);
    assert_eq!(ranking.places.len(), survey.questions().count());
    let place =
        |key: &str| ranking.places.iter().position(|place| place.origin == Origin::Question(key.into())).unwrap();
    assert!(place("brake-hoses") < place("timing-belt"));
    assert!(place("tyre-age") < place("timing-belt"));
    assert!(place("timing-belt") < place("starting"));
    assert_eq!(ranking.places.last().unwrap().stake, Stake::Comfort);
}

fn unknown(question: &Question) -> Given {
    Given { question: question.key.clone(), answer: Answer::Unknown, note: String::new() }
}

#[test]
fn findings_in_the_words_of_a_garage_reach_the_pattern_that_mends_them() {
    let survey = survey();
    let cases = [
        ("rear brake hose cracked, left", "brake-hoses"),
        ("brake pipe above the tank rusty", "brake-pipe"),
        ("boot of the driveshaft split", "driveshaft-boot"),
        ("exhaust hanger broken", "exhaust-mountings"),
        ("water pump weeps", "water-pump"),
        ("fan belt frayed", "auxiliary-belt"),
        ("timing belt oily", "timing-belt"),
        ("track rod end has play", "track-rod-end"),
        ("lower ball joint boot torn", "ball-joint"),
        ("smell of petrol at the tank", "fuel-hoses"),
        ("seat belt frayed", "seat-belts"),
        ("oil leak at rocker cover", "valve-clearance"),
        ("damper leaks, rear right", "damper"),
        ("sill soft near the rear wheel", "rust-survey"),
        ("battery clamp loose", "battery-and-earths"),
        ("handbrake cable frayed", "handbrake"),
        ("propshaft joint clonks", "propshaft-joints"),
        ("steering pump whines", "steering-pump"),
    ];
    let astray = cases.iter().filter_map(|(finding, pattern)| {
        let heard = heard(&survey, finding).map(|(_, question)| question);
        let first = heard.and_then(|question| question.mends.first());
        (first.map(String::as_str) != Some(*pattern)).then(|| (finding, heard.map(|question| &question.key)))
    });
    assert_eq!(astray.collect::<Vec<_>>(), []);
}

/// The words of a question and the verdict on its reading come from the same figures; sources stand in `trade/limits`.
#[test]
fn a_figure_in_words_agrees_with_the_verdict_on_a_reading_of_it() {
    let survey = survey();
    let length = |text: &str| Length::parse(text).unwrap();
    let tread = |text: &str| judge_tread(TreadRule::Uk, &[length(text)]).unwrap().outcome;
    let lining = |text: &str| judge_lining(LiningRule::Uk, &length(text)).outcome;
    let disc = |text: &str| judge_disc(&[length(text)], &length("10 mm")).unwrap().outcome;
    let toe = |text: &str| judge_toe(&length(text), &length("2 mm")).unwrap().outcome;
    let battery = |text: &str| judge_rest_voltage(&Voltage::parse(text).unwrap(), Nominal::Twelve).unwrap().outcome;
    let cases = [
        ("tread", Answer::Fine, "3 mm and more", tread("3 mm")),
        ("tread", Answer::Watch, "Between 3 mm and the limit", tread("2.9 mm")),
        ("tread", Answer::Act, "below the limit", tread("1.5 mm")),
        ("brake-linings", Answer::Fine, "3 mm and more", lining("3 mm")),
        ("brake-linings", Answer::Watch, "Near the limit", lining("2 mm")),
        ("brake-discs", Answer::Watch, "Within half a millimetre", disc("10.4 mm")),
        ("brake-discs", Answer::Act, "Past the figure", disc("9.9 mm")),
        ("toe", Answer::Act, "Past one and a half times", toe("3.1 mm")),
        ("battery-rest", Answer::Fine, "12.5 V or more", battery("12.5 V")),
        ("battery-rest", Answer::Watch, "Around 12.3 V", battery("12.3 V")),
        ("battery-rest", Answer::Act, "Under 12.2 V", battery("12.19 V")),
    ];
    for (key, answer, words, outcome) in cases {
        let (_, question) = survey.question(key).unwrap();
        let said = match answer {
            Answer::Fine => &question.fine,
            Answer::Watch => &question.watch,
            Answer::Act => &question.act,
            Answer::Unknown => unreachable!("no figure is unknown"),
        };
        assert!(said.contains(words), "{key}: ‘{words}’ is not in ‘{said}’");
        assert_eq!(Answer::from(outcome), answer, "{key}: {words}");
    }
}

#[test]
fn every_limit_is_asked_for_by_one_question() {
    let survey = survey();
    let asked: Vec<Limit> = survey.questions().filter_map(|question| question.reading.as_ref()?.limit).collect();
    for limit in Limit::ALL {
        assert_eq!(asked.iter().filter(|known| *known == limit).count(), 1, "{limit}");
    }
}

/// Source: HSE, Motor vehicle repair, working under vehicles; the others as in `trade/cautions`.
#[test]
fn where_one_lies_under_the_car_or_near_fuel_or_a_running_engine_the_usual_cautions_are_said() {
    use Caution::{
        CarOnJackAlone, FirstDrive, FuelVapour, HotExhaust, MovingFanBelt, RunningIndoorsCarbonMonoxide,
        StandsOnHardFloor,
    };
    let wanted: [(&str, &[Caution]); 6] = [
        ("under-front", &[CarOnJackAlone, StandsOnHardFloor]),
        ("under-middle", &[CarOnJackAlone, StandsOnHardFloor]),
        ("under-rear", &[CarOnJackAlone, StandsOnHardFloor]),
        ("fuel", &[FuelVapour]),
        ("running", &[MovingFanBelt, RunningIndoorsCarbonMonoxide]),
        ("roll", &[FirstDrive, HotExhaust]),
    ];
    let survey = survey();
    for (area, cautions) in wanted {
        let area = survey.areas().iter().find(|known| known.key == area).unwrap();
        for question in &area.questions {
            assert!(question.cautions.iter().any(|known| cautions.contains(known)), "{}", question.key);
        }
    }
}

/// Source: HSE, Motor vehicle repair, working under vehicles.
#[test]
fn who_lies_under_the_car_is_told_of_jack_and_stands_at_every_question() {
    let survey = survey();
    let under = survey.areas().iter().filter(|area| area.key.starts_with("under-"));
    for question in under.flat_map(|area| &area.questions) {
        for caution in [Caution::CarOnJackAlone, Caution::StandsOnHardFloor] {
            assert!(question.cautions.contains(&caution), "{}: {caution}", question.key);
        }
    }
}

/// Common practice, no source: a lifting point is proved before a jack goes under it, and nothing starts before fuel, throttle,
/// belts and brakes were looked at.
#[test]
fn the_walk_proves_first_what_later_questions_lean_on() {
    let survey = survey();
    let at = |key: &str| survey.question(key).unwrap().0;
    let lifted = |question: &Question| question.cautions.contains(&Caution::CarOnJackAlone);
    assert_eq!(survey.questions().find(|question| lifted(question)).unwrap().key, "jacking-points");
    for before in ["throttle", "timing-belt", "brake-leaks", "handbrake", "fuel-hoses", "fuel-pipes", "tank"] {
        for run in ["starting", "oil-pressure", "fuel-running", "brake-servo"] {
            assert!(at(before) < at(run), "{before} comes after {run}");
        }
    }
    assert!(at("oil-pressure") < at("noises") && at("temperature") < at("compression"));
}
