//! What operations come to, in the plainest way that could be right: the model against which storage and
//! scripts are held. Both run `tests/vectors/fold.json`.

use serde_json::Value;
use std::collections::BTreeMap;

/// subject → field → id of the operation that stands there
pub type Winners = BTreeMap<String, BTreeMap<String, String>>;

pub fn key(op: &Value) -> (String, String, String) {
    let text = |name: &str| op[name].as_str().unwrap().to_owned();
    (text("hlc"), text("device"), text("id"))
}

/// The kind of an operation and its body.
pub fn act(op: &Value) -> (&str, &Value) {
    let (kind, body) = op["do"].as_object().unwrap().iter().next().unwrap();
    (kind.as_str(), body)
}

pub fn subject(op: &Value) -> &str {
    op["on"].as_object().unwrap().values().next().unwrap().as_str().unwrap()
}

fn field(op: &Value) -> Option<String> {
    match act(op) {
        ("tick" | "odometer" | "recheck" | "settled", _) => Some(act(op).0.to_owned()),
        ("road", body) => Some(format!("road:{}", body["item"].as_str().unwrap())),
        ("survey", body) => Some(format!("survey:{}", body["question"].as_str().unwrap())),
        ("dealt", body) => Some(format!("dealt:{}", body["about"].as_str().unwrap())),
        ("bolt", body) => Some(format!("bolt:{}:{}", body["stage"], body["bolt"])),
        ("serviced", body) => {
            Some(format!("serviced:{}:{}", body["item"].as_str().unwrap(), body["day"].as_str().unwrap()))
        }
        ("reading", body) => Some(format!("reading:{}", body["what"].as_str().unwrap())),
        _ => None,
    }
}

/// Winners by subject and field; and of what is only added, the ids in the one order.
pub fn fold(ops: &[Value]) -> (Winners, BTreeMap<String, Vec<String>>) {
    let mut ordered: Vec<&Value> = ops.iter().collect();
    ordered.sort_by_key(|op| key(op));
    ordered.dedup_by_key(|op| key(op));
    let (mut winners, mut added) = (Winners::new(), BTreeMap::<String, Vec<String>>::new());
    for op in ordered {
        let id = key(op).2;
        match field(op) {
            Some(field) => drop(winners.entry(subject(op).to_owned()).or_default().insert(field, id)),
            None => added.entry(act(op).0.to_owned()).or_default().push(id),
        }
    }
    (winners, added)
}
