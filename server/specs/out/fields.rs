//! What goes out of the spec book, in one place: a new field is one line here, in the table and in the JSON alike.

use crate::specs::model::{Says, SpecFacts};
use crate::trade::spec::Fastener;
use serde_json::{Value, json};

/// One field: its name in the JSON, and what it holds. Its column in the table is the name after that of its group.
pub struct Field<T> {
    pub name: &'static str,
    pub value: fn(&T) -> Value,
}

/// Of the spec itself.
pub const SPEC: &[Field<SpecFacts>] = &[
    Field { name: "system", value: |facts| json!(facts.system.name()) },
    Field { name: "item", value: |facts| json!(facts.item) },
    Field { name: "place", value: |facts| json!(facts.place) },
    Field { name: "kind", value: |facts| json!(facts.kind.name()) },
    Field { name: "stages", value: |facts| json!(facts.stages) },
    Field { name: "bolts", value: |facts| json!(facts.bolts) },
    Field { name: "variant", value: |facts| json!(facts.variant) },
    Field { name: "note", value: |facts| json!(facts.note) },
];

/// Of its fastener, where it has one.
pub const FASTENER: &[Field<Fastener>] = &[
    Field { name: "thread", value: |fastener| json!(fastener.thread) },
    Field { name: "class", value: |fastener| json!(fastener.class) },
    Field { name: "head", value: |fastener| json!(fastener.head) },
    Field { name: "count", value: |fastener| json!(fastener.count) },
    Field { name: "lubrication", value: |fastener| json!(fastener.lubrication) },
    Field { name: "single_use", value: |fastener| json!(fastener.single_use) },
];

/// Of each of its sources.
pub const SOURCE: &[Field<Says>] = &[
    Field { name: "written", value: |says| json!(says.facts.written) },
    Field { name: "kind", value: |says| json!(says.facts.source.name()) },
    Field { name: "citation", value: |says| json!(says.facts.citation) },
    Field { name: "page", value: |says| json!(says.facts.page) },
    Field { name: "note", value: |says| json!(says.facts.note) },
    Field { name: "settled", value: |says| json!(says.settled) },
];
