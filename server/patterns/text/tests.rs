//! Each kind of trouble in a pattern's text is told with its line.

use super::read;

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
