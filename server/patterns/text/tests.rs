//! Each kind of trouble in a pattern's text is told with its line.

use super::read;
use crate::trade::effort::{Access, Minutes, effort};

/// Fifteen lines; each test spoils one of them.
const WELL: &str = r#"title = "Change the oil of the {end} axle"
system = "driveline"
about = "When it is old."
minutes = [40, 60, 100]
[[choice]]
name = "end"
options = ["rear", "front"]
[[spec]]
key = "plug"
item = "Drain plug"
kind = "torque"
find = ["{end}", "drain"]
[[part]]
key = "washer"
name = "Washer"
[[step]]
do = "tighten fastener {end} drain plug"
words = "Tighten the drain plug."
specs = ["plug"]
parts = ["washer"]
tools = ["torque wrench"]
cautions = ["hot-oil", "Mind the edge."]
marks = ["under-car"]
is = "gear-oil"
filler = "{end} filler plug"
set = "plugs"
ask = { what = "drain plug", kind = "torque" }
"#;

/// What is told where `from` stands as `to`: lines and sentences.
fn told(from: &str, to: &str) -> Vec<(usize, String)> {
    assert!(WELL.contains(from), "{from}");
    let troubles = read("x", &WELL.replace(from, to)).expect_err(to);
    troubles.into_iter().map(|trouble| (trouble.line, trouble.say)).collect()
}

fn says(told: &[(usize, String)], line: usize, say: &str) -> bool {
    told.iter().any(|(at, said)| *at == line && said.contains(say))
}

#[test]
fn a_text_without_fault_is_read_and_knows_its_lines() {
    let pattern = read("axle", WELL).unwrap();
    assert_eq!((pattern.key.as_str(), pattern.steps(), pattern.line_of(0), pattern.ways().len()), ("axle", 1, 17, 2));
    let rear = pattern.fill(&pattern.ways()[1]);
    assert_eq!(rear.title, "Change the oil of the front axle");
    assert_eq!(rear.steps[0].marks.filler, "front filler plug");
}

#[test]
fn each_kind_of_trouble_is_told_with_its_line() {
    let cases = [
        ("system = \"driveline\"", "system = \"kitchen\"", 2, "is no system"),
        ("minutes = [40, 60, 100]", "minutes = [60, 40, 100]", 4, "least, likely, longest"),
        ("minutes = [40, 60, 100]", "minutes = [0, 40, 100]", 4, "least, likely, longest"),
        ("title = \"Change the oil of the {end} axle\"", "title = \" \"", 1, "text on one line"),
        ("about = \"When it is old.\"", "about = \"{colour}\"", 3, "No [[choice]] is named ‘colour’"),
        ("about = \"When it is old.\"", "about = \"{end\"", 3, "opened and not closed"),
        ("name = \"end\"", "name = \"{end}\"", 6, "without braces"),
        ("options = [\"rear\", \"front\"]", "options = [\"rear\"]", 7, "at least two options"),
        ("kind = \"torque\"\nfind", "kind = \"weight\"\nfind", 11, "is no kind of spec"),
        ("find = [\"{end}\", \"drain\"]", "find = []", 12, "at least one word"),
        ("do = \"tighten", "do = \"fasten", 17, "is no verb"),
        ("do = \"tighten fastener", "do = \"tighten screw", 17, "is no kind of thing"),
        ("fastener {end} drain plug\"", "fastener\"", 17, "needs three things"),
        ("words = \"Tighten the drain plug.\"", "words = \"\"", 18, "text on one line"),
        ("specs = [\"plug\"]", "specs = [\"plough\"]", 19, "No [[spec]] has the key ‘plough’"),
        ("parts = [\"washer\"]", "parts = [\"nut\"]", 20, "No [[part]] has the key ‘nut’"),
        ("\"hot-oil\"", "\"hot-soup\"", 22, "neither the name of a known caution"),
        ("marks = [\"under-car\"]", "marks = [\"on-car\"]", 23, "is no mark"),
        ("is = \"gear-oil\"", "is = \"soup\"", 24, "is no nature"),
        ("kind = \"torque\" }", "kind = \"weight\" }", 27, "is no kind of reading"),
    ];
    for (from, to, line, say) in cases {
        let told = told(from, to);
        assert!(says(&told, line, say), "{to}: {told:?}");
    }
}

#[test]
fn all_that_is_wrong_is_told_at_once_in_the_order_of_lines() {
    let text =
        WELL.replace("driveline", "kitchen").replace("under-car", "on-car").replace("[\"plug\"]", "[\"plough\"]");
    let lines: Vec<usize> = read("x", &text).unwrap_err().iter().map(|trouble| trouble.line).collect();
    assert_eq!(lines, [2, 19, 23]);
}

#[test]
fn what_is_no_toml_or_has_a_field_that_is_not_known_is_told_with_its_line() {
    assert_eq!(told("minutes = [40, 60, 100]", "minutes = 40, 60").iter().map(|(line, _)| *line).next(), Some(4));
    let unknown = told("tools = [\"torque wrench\"]", "tool = [\"torque wrench\"]");
    assert!(says(&unknown, 21, "tool"), "{unknown:?}");
    let missing = told("system = \"driveline\"\n", "");
    assert!(missing[0].1.contains("system"), "{missing:?}");
}

#[test]
fn a_key_twice_and_a_pattern_without_steps_are_told() {
    let twice = "[[part]]\nkey = \"washer\"\nname = \"Other\"\n[[step]]";
    let troubles = told("[[step]]", twice);
    assert!(says(&troubles, 17, "there twice"), "{troubles:?}");
    let empty = "title = \"x\"\nsystem = \"engine\"\nabout = \"y\"\nminutes = [1, 2, 3]\n";
    assert!(read("x", empty).unwrap_err()[0].say.contains("no [[step]]"));
}

#[test]
fn text_that_is_too_long_is_told() {
    let troubles = told("words = \"Tighten the drain plug.\"", &format!("words = \"{}.\"", "x".repeat(300)));
    assert_eq!(troubles, [(18, "This is longer than 300 characters.".to_owned())]);
}

/// Every seeded pattern in every way it can be made.
fn seeded() -> Vec<(String, super::Filled)> {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("seed/patterns");
    let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.retain(|path| path.extension().is_some_and(|ending| ending == "toml"));
    files.sort();
    let ways = |path: &std::path::PathBuf| {
        let text = std::fs::read_to_string(path).unwrap();
        let pattern = read("seeded", &text).unwrap();
        let name = path.file_stem().unwrap().to_string_lossy().into_owned();
        pattern.ways().iter().map(|way| (name.clone(), pattern.fill(way))).collect::<Vec<_>>()
    };
    files.iter().flat_map(ways).collect()
}

#[test]
fn every_seeded_pattern_has_minutes_that_share_out_and_opens_nothing_that_it_does_not_close() {
    let all = seeded();
    assert!(all.len() > 49, "{}", all.len());
    for (name, filled) in all {
        let whole = Minutes::new(filled.minutes).unwrap();
        let effort = effort(&filled.on_paper(), whole);
        assert_eq!(effort.steps.iter().copied().sum::<Minutes>(), whole, "{name}");
        let spent: Minutes = effort.access.iter().map(Access::saves).sum();
        assert_eq!(spent + effort.work, whole, "{name}: a step was counted twice or not at all");
        for access in &effort.access {
            assert!(!access.closed_by.is_empty(), "{name} leaves {}", access.key);
            assert!(access.opened_by.first() < access.closed_by.first(), "{name} closes {} first", access.key);
            assert!(access.closes.likely() > 0, "{name}: closing {} takes no time", access.key);
        }
    }
}

/// What a mechanic would say is in the way. Common practice, no source.
#[test]
fn what_stands_in_the_way_of_common_work_is_derived() {
    let cases: [(&str, &[&str]); 4] = [
        ("axle-oil", &["fluid:"]),
        ("brake-hoses", &["corner:front end", "part:front wheels"]),
        ("water-pump", &["connection:battery earth lead", "fluid:coolant", "part:alternator belt"]),
        ("timing-belt", &["connection:battery earth lead", "part:timing belt covers", "part:crankshaft pulley"]),
    ];
    let all = seeded();
    for (name, wanted) in cases {
        let (_, filled) = all.iter().find(|(known, _)| known == name).unwrap();
        let effort = effort(&filled.on_paper(), Minutes::new(filled.minutes).unwrap());
        for key in wanted {
            let keys: Vec<_> = effort.access.iter().map(|access| &access.key).collect();
            assert!(keys.iter().any(|known| known.starts_with(key)), "{name}: {key} is not in {keys:?}");
        }
    }
}
