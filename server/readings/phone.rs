//! Limits as data for the phone, which judges a reading the moment it is typed: `static/js/work/limit.js`.

use super::model::Limit;
use super::views::word_of;
use crate::trade::limits::{Outcome, Plan};
use crate::trade::quantity::{Dimension, Unit};
use serde_json::{Map, Value, json};
use std::collections::BTreeSet;

/// `data-json="limits"`: the limits, and how units of their kinds come to base units.
pub fn limits_json<'a>(limits: impl IntoIterator<Item = &'a Limit>) -> Value {
    let limits: Vec<&Limit> = limits.into_iter().collect();
    let dimensions: BTreeSet<Dimension> =
        limits.iter().filter_map(|limit| limit.plan.as_ref().ok()?.dimension()).collect();
    let scales: Map<String, Value> = dimensions
        .into_iter()
        .map(|dimension| {
            let units = Unit::all(dimension).into_iter();
            let units: Map<String, Value> =
                units.map(|unit| (unit.code().to_owned(), json!(unit.scale().map(|one| one.to_string())))).collect();
            (dimension.code().to_owned(), Value::Object(units))
        })
        .collect();
    let words: Map<String, Value> =
        Outcome::ALL.iter().map(|one| (one.name().to_owned(), json!(word_of(*one)))).collect();
    json!({ "limits": limits.into_iter().map(limit_json).collect::<Vec<_>>(), "scales": scales, "words": words })
}

fn limit_json(limit: &Limit) -> Value {
    let mut told = json!({ "what": limit.what, "says": limit.words(), "source": limit.source });
    match &limit.plan {
        Ok(Plan::Sides(sides)) => {
            told["kind"] = json!(sides.dimension.code());
            let side = |least: bool| {
                let found = sides.sides.iter().find(|side| side.is_least == least)?;
                Some([found.limit.normalize().to_string(), found.margin.normalize().to_string()])
            };
            if let Some(least) = side(true) {
                told["least"] = json!(least);
            }
            if let Some(most) = side(false) {
                told["most"] = json!(most);
            }
            if let Some((low, high)) = sides.possible {
                told["possible"] = json!([low.normalize().to_string(), high.normalize().to_string()]);
            }
        }
        Ok(Plan::Spread(rule, cylinders)) => {
            let (from, allowed) = rule.allows();
            told["kind"] = json!(Dimension::Pressure.code());
            told["cylinders"] = json!(cylinders);
            told["spread"] = json!([from.name(), allowed.normalize().to_string()]);
        }
        // Judged at the garage: it takes several readings of two kinds.
        Ok(Plan::Cells(cells)) => told["cells"] = json!(cells),
        Err(_) => {}
    }
    told
}
