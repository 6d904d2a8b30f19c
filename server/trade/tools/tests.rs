//! Sources: sizes across flats of heads from ISO 4014, ISO 4017, DIN 931 and DIN 933 as in `trade::head_size`; squares by
//! ISO 1174-1, from memory; numbers of six-lobe drives by ISO 10664, from memory; the inch is 25.4 mm exactly, so that
//! 3/4 in is 19.05 mm and 1/2 in is 12.7 mm. What serves as what is common practice, no source.

use super::*;
use rust_decimal::Decimal;

fn size(text: &str) -> Size {
    Size::parse(text).unwrap_or_else(|why| panic!("{text}: {why}"))
}

fn chest(lines: &[&str]) -> Vec<Tool> {
    lines.iter().flat_map(|line| whole_set(line).unwrap_or_else(|why| panic!("{line}: {why}"))).collect()
}

fn says(line: &str, lines: &[&str]) -> String {
    match read(line) {
        None => "something else".into(),
        Some(Err(why)) => format!("not read: {why}"),
        Some(Ok(wanted)) => find(&wanted, &chest(lines)).sentence(),
    }
}

#[test]
fn a_size_is_read_as_it_stands_on_the_tool() {
    for (text, shown) in [
        ("19", "19 mm"),
        ("19 mm", "19 mm"),
        ("19mm", "19 mm"),
        ("5,5 mm", "5.5 mm"),
        ("3/4\"", "3/4 in"),
        ("3/4 in", "3/4 in"),
        ("6/8 inch", "3/4 in"),
        ("3/4", "3/4 in"),
        ("1 1/8 in", "1 1/8 in"),
        ("1 in", "1 in"),
        ("T40", "T40"),
        ("t 40", "T40"),
        ("E10", "E10"),
    ] {
        assert_eq!(size(text).to_string(), shown, "{text}");
    }
    assert_eq!(size("3/4 in").across_flats(), Some(Decimal::new(1905, 2)));
    assert_eq!(size("1/2 in").across_flats(), Some(Decimal::new(127, 1)));
}

#[test]
fn what_is_no_size_gets_a_sentence() {
    for (text, says) in [
        ("", "No size is written"),
        ("big", "is no size that is read here"),
        ("M12", "names a thread"),
        ("0", "No hand tool is"),
        ("400 mm", "No hand tool is"),
        ("19.5.5", "is no size that is read here"),
        ("3/7 in", "is no inch size"),
        ("9/8 in", "is no inch size"),
        ("0/8 in", "No hand tool is"),
        ("T41", "is no number of a six-lobe drive"),
        ("E9", "is no number of a six-lobe drive"),
        ("ten", "is no size that is read here"),
        ("-19 mm", "is no size that is read here"),
        ("99999999999999999999999999999999 mm", "is no size that is read here"),
    ] {
        let said = Size::parse(text).unwrap_err().to_string();
        assert!(said.contains(says), "{text}: {said}");
    }
}

#[test]
fn every_head_of_the_published_tables_has_a_usual_tool() {
    for flats in [7, 8, 10, 13, 16, 17, 18, 19, 21, 22, 24, 27, 30, 32, 34, 36] {
        assert!(size(&format!("{flats} mm")).is_usual(), "{flats}");
    }
    assert!(!size("19.5 mm").is_usual() && !size("33 mm").is_usual() && !size("7/64 in").is_usual());
}

#[test]
fn a_square_has_an_inch_name_and_a_metric_one() {
    for (word, drive) in [
        ("1/4", Drive::Quarter),
        ("6.3", Drive::Quarter),
        ("10", Drive::ThreeEighths),
        ("12,5", Drive::Half),
        ("3/4\"", Drive::ThreeQuarters),
    ] {
        assert_eq!(Drive::read(word), Some(drive), "{word}");
    }
    assert_eq!(Drive::read("5/16"), None);
}

#[test]
fn a_whole_set_is_added_by_one_line() {
    let names = |line: &str| whole_set(line).unwrap().iter().map(Tool::name).collect::<Vec<_>>();
    let set = whole_set("10 to 19 mm, 1/2 drive, long").unwrap();
    assert_eq!(set.len(), 10);
    assert!(set.iter().all(|tool| tool.kind == ToolKind::LongSocket && tool.drive == Some(Drive::Half)));
    assert_eq!(names("10-13 mm ring keys without 12"), ["10 mm ring key", "11 mm ring key", "13 mm ring key"]);
    assert_eq!(names("10, 11 17 mm flare-nut keys").len(), 3);
    assert_eq!(names("3/8 to 1/2 in sockets"), ["3/8 in socket", "7/16 in socket", "1/2 in socket"]);
    assert_eq!(names("T20 to T30 bits")[0], "T20 hex-lobe key or bit");
    assert_eq!(names("T20 to T30 bits").len(), 4);
    assert_eq!(names("4 to 6 mm hex keys").len(), 4);
    assert_eq!(names("10 to 13 mm spanners")[0], "10 mm key, one end open and one a ring");
    assert_eq!(names("extension 125 mm, 1/2 drive"), ["extension, 125 mm"]);
    assert_eq!(names("drive adapter 1/2 to 3/8"), ["drive adapter, 1/2 to 3/8 in"]);
    let one = &whole_set("19 mm socket, 1/2 drive, 38 mm long, outside 26 mm").unwrap()[0];
    assert_eq!(
        (one.reach.as_ref().unwrap().to_string(), one.outer.as_ref().unwrap().to_string()),
        ("38 mm".into(), "26 mm".into())
    );
}

#[test]
fn a_set_that_cannot_be_read_whole_adds_nothing_and_says_why() {
    for (line, says) in [
        ("", "No kind of tool is named"),
        ("10 to 19 mm", "No kind of tool is named"),
        ("sockets, 1/2 drive", "No size is written"),
        ("19 to 10 mm sockets", "do not go together"),
        ("10 mm to 3/4 in sockets", "do not go together"),
        ("10 to 19 to 24 mm sockets", "do not go together"),
        ("10 to 19 mm shiny sockets", "‘shiny’ means nothing here"),
        ("10 mm sockets and ring keys", "‘and, or’"),
        ("T20 ring key", "has six lobes"),
        ("drive adapter 1/2", "write both"),
        ("drive adapter 1/2 to 1/2", "write both"),
        ("19 mm socket, 5000 mm long", "No tool of the chest is"),
        ("19 mm socket, outside 12 mm", "not larger than the size"),
        ("T9999 bit", "no number of a six-lobe drive"),
        ("1/16 to 4 in sockets", "tools at once"),
    ] {
        let said = whole_set(line).expect_err(line).to_string();
        assert!(said.contains(says), "{line}: {said}");
    }
}

#[test]
fn a_tool_that_is_typed_field_by_field_is_refused_with_a_sentence() {
    let typed = |kind, size, drive, reach, outer| {
        Tool::read(kind, Typed { size, drive, reach, outer, onto: "" }).map_err(|why| why.to_string())
    };
    assert!(typed(ToolKind::Socket, "19", "1/2", "38", "26 mm").is_ok());
    for (kind, size, drive, reach, outer, says) in [
        (ToolKind::Socket, "", "", "", "", "No size is written"),
        (ToolKind::Socket, "19", "5/8", "", "", "no driving square"),
        (ToolKind::Socket, "19", "", "long", "", "Length:"),
        (ToolKind::Socket, "19", "", "0 mm", "", "No tool of the chest"),
        (ToolKind::Socket, "19", "", "", "wide", "Outside diameter:"),
        (ToolKind::LobeBit, "8 mm", "", "", "", "no number of a six-lobe drive"),
        (ToolKind::HexKey, "T40", "", "", "", "has six lobes"),
        (ToolKind::Extension, "19", "", "", "", "no size of its own"),
        (ToolKind::DriveAdapter, "", "1/2", "", "", "write both"),
    ] {
        let said = typed(kind, size, drive, reach, outer).unwrap_err();
        assert!(said.contains(says), "{said}");
    }
}

#[test]
fn a_step_is_told_whether_the_chest_has_what_it_asks_for() {
    let own = [
        "10, 13, 17 mm sockets, 1/2 drive, 38 mm long",
        "24 mm socket, 1/2 drive, long, 78 mm long",
        "14 mm socket, 3/8 drive, 70 mm long",
        "10 mm spanner",
        "11 mm flare-nut key",
        "10 mm square key",
        "3/4 in socket",
    ];
    for (line, expected) in [
        ("13 mm socket", "in the chest"),
        ("13 mm socket, short", "in the chest"),
        ("24 mm socket", "in the chest"),
        ("long 24 mm socket", "in the chest"),
        ("24 mm long socket", "in the chest"),
        ("24 mm socket, deep, at least 75 mm", "in the chest"),
        ("24 mm socket, deep, at least 80 mm", "only a short one (78 mm), it does not reach"),
        ("24 mm socket, short", "only a long one (78 mm), it will not go in there"),
        ("14 mm socket, short, no longer than 40 mm", "only a long one (70 mm), it will not go in there"),
        ("long 13 mm socket", "only a short one (38 mm), it does not reach"),
        ("13 mm socket, 1/2 drive", "in the chest"),
        ("14 mm socket, 1/2 drive", "only with the 3/8 in square, and no drive adapter for it"),
        ("10 mm spanner", "in the chest"),
        ("10 mm ring spanner", "in the chest"),
        ("11 mm open ring spanner", "in the chest"),
        ("11 mm ring spanner", "not in the chest"),
        ("10 mm square key", "in the chest"),
        ("3/4\" socket, no longer than 40 mm", "in the chest, but its length is not written: measure it first"),
        ("22 mm crowfoot", "not in the chest"),
        ("rags", "something else"),
        ("torque wrench 20–110 N·m", "something else"),
        ("torque wrench with flare-nut end", "something else"),
        ("drain pan, 10 l", "something else"),
    ] {
        assert_eq!(says(line, &own), expected, "{line}");
    }
    assert!(
        says("14 mm socket, 1/2 drive", &[&own[..], &["drive adapter 1/2 to 3/8"]].concat())
            .contains("by the drive adapter")
    );
}

/// 3/4 in is 19.05 mm, 1/2 in 12.7 mm: near enough to go on, too far to hold.
#[test]
fn a_near_size_is_missing_and_its_harm_is_said() {
    let near = says("19 mm socket", &["3/4 in socket"]);
    assert_eq!(
        near,
        "not in the chest. 3/4 in goes onto 19 mm with 0.05 mm of play: it turns an easy nut and rounds a tight one."
    );
    assert!(says("1/2 in socket", &["13 mm socket"]).contains("13 mm goes onto 1/2 in with 0.3 mm of play"));
    assert!(says("3/4 in socket", &["19 mm socket"]).contains("0.05 mm too narrow"));
    assert_eq!(says("17 mm socket", &["19 mm socket"]), "not in the chest");
    let pairs = near_pairs(&chest(&["13 to 19 mm sockets", "1/2, 3/4 in sockets"]));
    let shown: Vec<String> = pairs.iter().map(|near| format!("{} on {}", near.tool, near.head)).collect();
    assert_eq!(shown, ["13 mm on 1/2 in", "3/4 in on 19 mm"]);
}

#[test]
fn a_line_that_is_not_read_is_never_taken_for_a_tool() {
    for (line, says_why) in [
        ("socket", "No size is written"),
        ("socket set", "No size is written"),
        ("two sockets", "No size is written"),
        ("wheel brace or socket", "More than one tool"),
        ("17 and 19 mm sockets", "More than one tool"),
        ("17, 19 mm sockets", "Several sizes"),
        ("19 mm thin-walled socket", "‘thin-walled’"),
        ("19 mm socket, short, long", "short and long at once"),
        ("19 mm socket, no longer than that", "not read"),
        ("19 mm socket, at least 20 mm, at most 10 mm", "a least and a greatest"),
        ("M12 socket", "not read"),
    ] {
        let said = says(line, &["19 mm socket"]);
        assert!(said.starts_with("not read") && said.contains(says_why), "{line}: {said}");
    }
}

proptest::proptest! {
    #[test]
    fn whatever_is_typed_is_read_or_refused_with_a_sentence(
        text in "\\PC{0,40}",
        shaped in "(([0-9]{1,3}|1/2|T40|to|mm|in|drive|long|short|at least|without|socket|square key|,|\"|-|and) ?){0,9}",
    ) {
        for text in [text, shaped] {
            if let Err(why) = whole_set(&text) {
                proptest::prop_assert!(!why.to_string().is_empty());
            }
            if let Some(Ok(wanted)) = read(&text) {
                find(&wanted, &[]);
            }
        }
    }
}
