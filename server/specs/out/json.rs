//! The spec book as JSON.

use super::fields::{FASTENER, Field, SOURCE, SPEC};
use crate::specs::model::Spec;
use serde_json::{Map, Value, json};

/// What tells this file from any other.
pub const FORMAT: &str = "underlamp-spec-book";
/// Where the garage shows the schema.
pub const SCHEMA: &str = "/schemas/spec-book-1.json";
/// Goes up when a field changes its meaning.
pub const VERSION: u32 = 1;

/// The whole book. `fastener` is null where a spec has none; sources stand in the order in which they were entered.
pub fn book(specs: &[Spec]) -> Value {
    json!({ "$schema": SCHEMA, "format": FORMAT, "version": VERSION, "specs": specs.iter().map(spec).collect::<Vec<Value>>() })
}

fn spec(spec: &Spec) -> Value {
    let mut out = object(SPEC, &spec.facts);
    let fastener = spec.facts.fastener.as_ref().map(|fastener| Value::Object(object(FASTENER, fastener)));
    let sources = spec.says.iter().map(|says| Value::Object(object(SOURCE, says)));
    out.insert("fastener".into(), fastener.unwrap_or(Value::Null));
    out.insert("sources".into(), sources.collect());
    Value::Object(out)
}

fn object<T>(fields: &[Field<T>], of: &T) -> Map<String, Value> {
    fields.iter().map(|field| (field.name.to_owned(), (field.value)(of))).collect()
}
