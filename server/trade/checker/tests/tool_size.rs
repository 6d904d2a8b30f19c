//! The size of a tool beside the head of its bolt. That 3/4 in is 19.05 mm is exact (the inch is 25.4 mm).

use super::*;

fn bolt(head: &str, tools: &[&str]) -> Vec<Finding> {
    let mut pull = step("tighten fastener bearing cap bolts").torque();
    head.clone_into(&mut pull.specs[0].head);
    pull.tools.extend(tools.iter().map(|tool| (*tool).to_owned()));
    let mut found = check_fresh(vec![step("loosen fastener bearing cap bolts"), pull]);
    found.retain(|finding| finding.rule == Rule::ToolOffSize);
    found
}

#[test]
fn a_socket_of_another_size_than_the_head_is_noted() {
    let found = bolt("19 mm hex", &["17 mm socket", "torque wrench 20–110 N·m"]);
    assert_eq!(found.len(), 1);
    assert_eq!(found[0].say, "17 mm asked for, and the bolt’s head is 19 mm.");
    assert_eq!((found[0].weight(), found[0].step), (Weight::Note, Some(1)));
}

#[test]
fn a_near_inch_size_is_another_size() {
    assert_eq!(bolt("19 mm hex", &["3/4 in socket"]).len(), 1);
    assert_eq!(bolt("3/4 in hex", &["19 mm ring spanner"]).len(), 1);
}

#[test]
fn a_tool_that_fits_is_no_finding_nor_is_what_is_not_known() {
    for (head, tools) in [
        ("19 mm hex", &["19 mm socket"][..]),
        ("19 mm hex", &["17 mm spanner", "19 mm socket, short"]),
        ("19 mm hex", &["socket", "breaker bar"]),
        ("19 mm hex", &[]),
        ("19 mm hex", &["10 mm square key"]),
        ("", &["17 mm socket"]),
        ("10 mm square socket", &["17 mm socket"]),
        ("19 mm hex", &["17 mm or 19 mm socket"]),
    ] {
        assert!(bolt(head, tools).is_empty(), "{head} {tools:?}");
    }
}
