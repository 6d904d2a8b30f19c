//! The vectors that the phone's scripts run too: one rule, two languages.

use super::fold::{act, fold, key, subject};
use serde_json::{Value, json};
use std::collections::HashMap;
use underlamp::clock::Moment;
use underlamp::readings::model::{Limit, key_of};
use underlamp::readings::phone::limits_json;
use underlamp::survey::list::Tally;
use underlamp::sync::hlc::Hlc;
use underlamp::trade::bolt_order::{At, Counted};
use underlamp::trade::buying::{Many, Move, Stage, standing};
use underlamp::trade::checker::{StepProgram, broken};
use underlamp::trade::condition::{Facts, condition};
use underlamp::trade::ledger::{Event, Ledger};
use underlamp::trade::limits::{Entry, Inputs, Plan, Rule, RuleError, own};
use underlamp::trade::place::zone_of_hand;
use underlamp::trade::quantity::{Dimension, Quantity};
use underlamp::trade::road::due;
use underlamp::trade::survey::Answer;

fn vectors(name: &str) -> Value {
    let path = format!("{}/tests/vectors/{name}.json", env!("CARGO_MANIFEST_DIR"));
    serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap()
}

fn cases(vectors: &Value) -> &Vec<Value> {
    let cases = vectors["cases"].as_array().unwrap();
    assert!(!cases.is_empty());
    cases
}

#[test]
fn operations_come_to_the_same_on_both_sides() {
    for case in cases(&vectors("fold")) {
        let (winners, added) = fold(case["given"]["ops"].as_array().unwrap());
        assert_eq!(json!({ "winners": winners, "added": added }), case["expect"], "{}", case["name"]);
    }
}

#[test]
fn the_survey_is_counted_the_same_on_both_sides() {
    for case in cases(&vectors("survey")) {
        let ops = case["given"]["ops"].as_array().unwrap();
        let (winners, _) = fold(ops);
        let standing = |question: &str| {
            let id = winners.values().find_map(|fields| fields.get(&format!("survey:{question}")))?;
            let op = ops.iter().find(|op| op["id"] == id.as_str()).unwrap();
            Answer::from_name(op["do"]["survey"]["answer"].as_str().unwrap())
        };
        let questions = case["given"]["questions"].as_array().unwrap();
        let found = Tally::count(questions.iter().map(|question| standing(question.as_str().unwrap())));
        let Tally { asked, answered, act, watch, unknown } = found;
        let found = json!({ "asked": asked, "answered": answered, "act": act, "watch": watch, "unknown": unknown });
        assert_eq!(found, case["expect"], "{}", case["name"]);
    }
}

#[test]
fn bolts_are_counted_the_same_on_both_sides() {
    let number = |value: &Value| usize::try_from(value.as_u64().unwrap()).unwrap();
    let at = |at: At| json!({ "joint": at.joint, "stage": at.stage, "turn": at.turn, "bolt": at.bolt });
    for case in cases(&vectors("bolts")) {
        let given = &case["given"];
        let order = given["order"].as_array().unwrap().iter().map(number).collect();
        let counted = Counted { order, stages: number(&given["stages"]), joints: number(&given["joints"]) };
        let mut last: HashMap<(usize, usize), bool> = HashMap::new();
        for press in given["presses"].as_array().unwrap() {
            last.insert((number(&press[0]), number(&press[1])), press[2] == "done");
        }
        let count = counted.count(|stage, bolt| last.get(&(stage, bolt)).copied().unwrap_or(false));
        let found = json!({
            "next": count.next.map(at), "back": count.back.map(at),
            "tight": count.tight, "all": count.all, "by_stage": count.by_stage,
        });
        assert_eq!(found, case["expect"], "{}", case["name"]);
    }
}

#[test]
fn where_a_part_is_follows_the_same_on_both_sides() {
    for case in cases(&vectors("arrivals")) {
        let given = &case["given"];
        let text = |value: &Value| value.as_str().unwrap().to_owned();
        let (wanted, after) = (Many::parse(given["wanted"].as_str().unwrap()), given["after"].as_i64().unwrap());
        assert_eq!(wanted.number().is_none(), given["words"] == json!(true), "{}", case["name"]);
        let moves = given["moves"].as_array().unwrap().iter();
        // What waits on a phone comes to the server after all that it has.
        let counted: Vec<(Move, String)> = moves
            .filter(|one| one[0].as_i64().is_none_or(|seq| seq > after))
            .map(|one| (if one[1] == "arrival" { Move::Arrived } else { Move::Used }, text(&one[2])))
            .collect();
        let listed: Vec<(Move, &str)> = counted.iter().map(|(kind, text)| (*kind, text.as_str())).collect();
        let found = standing(Stage::from_name(given["said"].as_str().unwrap()).unwrap(), &wanted, &listed);
        let some = |many: Option<Many>| many.map(|many| many.written());
        let found =
            json!({ "stage": found.stage, "here": some(found.partly_here), "fitted": some(found.partly_fitted) });
        assert_eq!(found, case["expect"], "{}", case["name"]);
    }
}

#[test]
fn clocks_tick_the_same_on_both_sides() {
    for case in cases(&vectors("hlc")) {
        let (given, expect) = (&case["given"], &case["expect"]);
        let reading = |value: &Value| value.as_str().map_or(Hlc::ZERO, |text| text.parse().unwrap());
        let found = match given["do"].as_str().unwrap() {
            "tick" => json!(reading(&given["last"]).next(Moment(given["now"].as_f64().unwrap() as i64)).to_string()),
            "receive" => {
                let last = reading(&given["last"]);
                let seen = given["seen"].as_str().unwrap().parse();
                json!(seen.map_or(last, |seen| last.having_seen(seen)).to_string())
            }
            "order" => {
                let mut texts: Vec<String> = serde_json::from_value(given["clocks"].clone()).unwrap();
                texts.sort_by_key(|text| text.parse::<Hlc>().unwrap());
                json!(texts)
            }
            other => panic!("unknown case ‘{other}’"),
        };
        assert_eq!(&found, expect, "{}", case["name"]);
    }
}

#[test]
fn a_cards_condition_is_the_same_on_both_sides() {
    for case in cases(&vectors("condition")) {
        let given = &case["given"];
        let count = |name: &str| usize::try_from(given[name].as_u64().unwrap()).unwrap();
        let facts = Facts {
            steps: count("steps"),
            settled_steps: count("settled_steps"),
            specs: count("specs"),
            missing_specs: count("missing_specs"),
            missing_parts: count("missing_parts"),
            missing_tools: count("missing_tools"),
            loose_ends: count("loose_ends"),
            rechecked: given["rechecked"].as_bool().unwrap(),
        };
        assert_eq!(case["expect"], condition(facts).name(), "{}", case["name"]);
    }
}

#[test]
fn the_ledger_is_the_same_on_both_sides() {
    let vectors = vectors("ledger");
    let effects: HashMap<String, StepProgram> = vectors["effects"]["steps"]
        .as_object()
        .unwrap()
        .iter()
        .map(|(step, effect)| {
            let compiled = json!({ "opens": effect["opens"], "closes": effect["closes"] });
            (step.clone(), serde_json::from_value(compiled).unwrap())
        })
        .collect();
    for case in cases(&vectors) {
        let ops = case["given"]["ops"].as_array().unwrap();
        let found: Vec<Value> = Ledger::of(&events(ops, &effects))
            .ends
            .into_iter()
            .map(|end| json!({ "key": end.key, "words": end.words, "step": end.step, "since": end.since }))
            .collect();
        assert_eq!(json!(found), case["expect"], "{}", case["name"]);
    }
}

#[test]
fn what_is_true_and_which_guards_that_breaks_is_the_same_on_both_sides() {
    let vectors = vectors("guards");
    let effects: HashMap<String, StepProgram> = vectors["effects"]["steps"]
        .as_object()
        .unwrap()
        .iter()
        .map(|(step, effect)| (step.clone(), serde_json::from_value(effect.clone()).unwrap()))
        .collect();
    for case in cases(&vectors) {
        let given = &case["given"];
        let now = Ledger::of(&events(given["ops"].as_array().unwrap(), &effects)).state;
        let program = &effects[given["step"].as_str().unwrap()];
        let broken: Vec<Value> = broken(program, 0, &now)
            .map(|found| json!({ "rule": found.rule, "say": found.say, "mend": found.mend }))
            .collect();
        let facts: Vec<&str> = now.facts().collect();
        assert_eq!(json!({ "facts": facts, "broken": broken }), case["expect"], "{}", case["name"]);
    }
}

#[test]
fn the_same_items_of_the_road_check_are_due_on_both_sides() {
    let vectors = vectors("road");
    let items = vectors["road"]["items"].as_array().unwrap();
    for case in cases(&vectors) {
        let ops = case["given"]["ops"].as_array().unwrap();
        let winners = fold(ops).0;
        let mut asked = Vec::new();
        let mut holds = HashMap::new();
        for op in ops {
            let ((kind, body), order) = (act(op), key(op));
            let field =
                if kind == "road" { format!("road:{}", body["item"].as_str().unwrap()) } else { kind.to_owned() };
            if winners[subject(op)][&field] != order.2 {
                continue;
            }
            let places = &vectors["road"]["steps"][subject(op)];
            match kind {
                "tick" if body["state"] == "done" => {
                    let keys = places.as_array().into_iter().flatten();
                    asked.extend(keys.map(|at| (order.clone(), &items[at.as_u64().unwrap() as usize]["key"])));
                }
                "road" if body["seen"] == "holds" => drop(holds.insert(body["item"].as_str().unwrap(), order)),
                _ => {}
            }
        }
        let asked = asked.iter().map(|(order, key)| (order, key.as_str().unwrap()));
        assert_eq!(json!(due(asked, |key| holds.get(key))), case["expect"], "{}", case["name"]);
    }
}

#[test]
fn what_was_noted_by_hand_is_at_the_same_place_on_both_sides() {
    for case in cases(&vectors("place")) {
        let text = |name: &str| case["given"][name].as_str().unwrap();
        assert_eq!(case["expect"], zone_of_hand(text("words"), text("where")).name(), "{}", case["name"]);
    }
}

/// The events of the ledger, from operations in any order.
fn events<'a>(ops: &'a [Value], effects: &'a HashMap<String, StepProgram>) -> Vec<Event<'a>> {
    let winners = fold(ops).0;
    let mut ordered: Vec<&Value> = ops.iter().collect();
    ordered.sort_by_key(|op| key(op));
    ordered
        .into_iter()
        .filter_map(|op| {
            let ((_, _, id), (kind, body)) = (key(op), act(op));
            let at = op["hlc"].as_str().unwrap();
            match kind {
                "tick" => {
                    let step = subject(op);
                    let wins = winners[step]["tick"] == id && body["state"] == "done";
                    let program = effects.get(step).filter(|_| wins)?;
                    Some(Event::Done { step, at, program })
                }
                "undid" => {
                    let text = |name: &str| body[name].as_str().unwrap();
                    Some(Event::Undid { key: format!("hand:{id}"), words: text("what"), place: text("where"), at })
                }
                "closed" => Some(Event::Closed { key: body["key"].as_str().unwrap() }),
                _ => None,
            }
        })
        .collect()
}

/// A limit as the vectors describe it.
fn limit(rule: &Value) -> Limit {
    let text = |name: &str| rule[name].as_str().unwrap_or_default().to_owned();
    let what = text("what");
    let (rule, plan, source) = match Rule::from_name(&text("rule")) {
        Some(known) => {
            let inputs = Inputs { cylinders: text("count"), cells: text("count"), ..Inputs::default() };
            let (plan, source) = known.plan(&inputs).unwrap();
            (known, plan, source.to_string())
        }
        None => {
            let dimension = Dimension::from_code(&text("dimension")).unwrap();
            let side = |name: &str| rule[name].as_str().map(|text| Quantity::parse(dimension, text).unwrap());
            let sides = own(side("least").as_ref(), side("most").as_ref(), &text("margin")).unwrap();
            (Rule::Own, Plan::Sides(sides), "invented".to_owned())
        }
    };
    Limit { key: key_of(&what), what, rule, plan: Ok(plan), source }
}

/// How the last of the readings stands, as the phone says it.
fn stands(limits: &[Limit], readings: &[Value]) -> Value {
    let text = |one: &Value, name: &str| one[name].as_str().unwrap().to_owned();
    let last = readings.last().unwrap();
    let of = |one: &Value| limits.iter().find_map(|limit| Some((limit, limit.part(&key_of(&text(one, "what")))?)));
    let Some((limit, part)) = of(last) else { return Value::Null };
    let plan = limit.plan.as_ref().unwrap();
    if part.is_none() || matches!(plan, Plan::Cells(_)) {
        return json!({ "outcome": "later" });
    }
    let now = last["when"].as_i64().unwrap();
    let parts: Vec<Option<(String, String)>> = (0..plan.parts().len())
        .map(|part| {
            let near = |one: &&Value| {
                now - one["when"].as_i64().unwrap() < underlamp::readings::series::TOGETHER_MS
                    && of(one).is_some_and(|(own, at)| own.key == limit.key && at == Some(part))
            };
            readings.iter().rev().find(near).map(|one| (text(one, "number"), text(one, "unit")))
        })
        .collect();
    let entries: Vec<Option<Entry<'_>>> =
        parts.iter().map(|one| one.as_ref().map(|(number, unit)| Entry { number, unit })).collect();
    match plan.judge(&limit.what, &entries) {
        Ok((outcome, _)) => json!({ "outcome": outcome.name() }),
        Err(RuleError::Missing(_)) => {
            let missing: Vec<_> =
                (1..).zip(&entries).filter(|(_, one)| one.is_none()).map(|(n, _)| n).collect::<Vec<i32>>();
            json!({ "outcome": "missing", "missing": missing })
        }
        Err(_) => json!({ "outcome": "refused" }),
    }
}

#[test]
fn a_reading_stands_the_same_on_both_sides() {
    let file = vectors("limits");
    let limits: Vec<Limit> = file["rules"].as_array().unwrap().iter().map(limit).collect();
    assert_eq!(limits_json(&limits), file["limits"], "what the phone is given: {}", limits_json(&limits));
    for case in cases(&file) {
        let found = stands(&limits, case["given"]["readings"].as_array().unwrap());
        let expected = case["expect"]["outcome"].as_str();
        // What the phone cannot read, and what is no such reading, the server refuses in a sentence.
        if found["outcome"] == "refused" {
            assert!(matches!(expected, Some("later" | "unreadable")), "{}", case["name"]);
        } else {
            assert_eq!(found, case["expect"], "{}", case["name"]);
        }
    }
}
