//! A limit as it is kept, and made ready to judge.

use crate::ids::SpecId;
use crate::specs::model::Spec;
use crate::trade::limits::{Entry, Inputs, Outcome, Plan, Rule, RuleError, own};
use crate::trade::quantity::Quantity;
use crate::trade::spec::Value;
use crate::trade::trust::Trust;
use crate::web::words::capital;

/// A limit as it was typed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LimitFacts {
    /// What is measured, as readings name it.
    pub what: String,
    pub rule: Rule,
    pub least: Option<SpecId>,
    pub most: Option<SpecId>,
    pub margin: String,
    pub inputs: Inputs,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Kept {
    pub facts: LimitFacts,
    pub rev: i64,
}

/// The same name is the same thing, case and blanks apart.
pub fn key_of(what: &str) -> String {
    what.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

/// A limit with the figures that the spec book has for it now.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Limit {
    pub what: String,
    pub key: String,
    pub rule: Rule,
    /// Errors, as a sentence: why nothing can be judged by it at present.
    pub plan: Result<Plan, String>,
    /// Where the limit stands written.
    pub source: String,
}

impl Limit {
    pub fn of(facts: &LimitFacts, specs: &[Spec]) -> Limit {
        let made = match facts.rule {
            Rule::Own => own_figure(facts, specs),
            published => published
                .plan(&facts.inputs)
                .map(|(plan, source)| (plan, source.to_string()))
                .map_err(|why| why.to_string()),
        };
        let (plan, source) = match made {
            Ok((plan, source)) => (Ok(plan), source),
            Err(why) => (Err(why), String::new()),
        };
        Limit { what: facts.what.clone(), key: key_of(&facts.what), rule: facts.rule, plan, source }
    }

    /// The names of its readings in the order of the plan's parts; its own name where nothing can be judged.
    pub fn names(&self) -> Vec<String> {
        let parts = self.plan.as_ref().map_or_else(|_| vec![String::new()], Plan::parts);
        parts.iter().map(|part| format!("{}{part}", self.what)).collect()
    }

    /// Which of its parts a reading of this name is: `Some(None)` for one that belongs to it without being judged.
    pub fn part(&self, key: &str) -> Option<Option<usize>> {
        let end = key.strip_prefix(self.key.as_str())?;
        let Ok(plan) = &self.plan else { return end.is_empty().then_some(Some(0)) };
        if let Some(at) = plan.parts().iter().position(|part| part == end) {
            return Some(Some(at));
        }
        plan.extra_parts().iter().any(|part| part == end).then_some(None)
    }

    /// In words: `at least 10.5 mm`, or the rule where it is no such number.
    pub fn words(&self) -> String {
        match &self.plan {
            Ok(Plan::Sides(sides)) => sides.words(),
            Ok(Plan::Spread(..) | Plan::Cells(_)) => self.rule.label().to_owned(),
            Err(why) => why.clone(),
        }
    }

    /// Whose it is: the car's own, or the published rule by its name.
    pub fn whose(&self) -> &'static str {
        self.rule.label()
    }

    pub fn judge(&self, readings: &[Option<Entry<'_>>]) -> Result<(Outcome, String), String> {
        let plan = self.plan.as_ref().map_err(Clone::clone)?;
        plan.judge(&capital(&self.what), readings).map_err(|why| why.to_string())
    }
}

/// The limit of this name.
pub fn limit_of<'a>(limits: &'a [Limit], key: &str) -> Option<&'a Limit> {
    limits.iter().find(|limit| limit.part(key).is_some())
}

fn own_figure(facts: &LimitFacts, specs: &[Spec]) -> Result<(Plan, String), String> {
    let least = facts.least.map(|id| figure(id, specs)).transpose()?;
    let most = facts.most.map(|id| figure(id, specs)).transpose()?;
    let quantity = |found: &Option<(Quantity, String)>| found.as_ref().map(|(quantity, _)| quantity.clone());
    let sides = own(quantity(&least).as_ref(), quantity(&most).as_ref(), &facts.margin)
        .map_err(|why: RuleError| why.to_string())?;
    let mut sources: Vec<String> = least.into_iter().chain(most).map(|(_, source)| source).collect();
    sources.dedup();
    Ok((Plan::Sides(sides), sources.join("; ")))
}

/// The figure that stands in the spec book, and where it came from.
fn figure(id: SpecId, specs: &[Spec]) -> Result<(Quantity, String), String> {
    let spec =
        specs.iter().find(|spec| spec.id == id).ok_or("The spec of this limit was taken out of the spec book.")?;
    let item = &spec.facts.item;
    let (trust, says) = spec.trust();
    if trust == Trust::Open {
        return Err(format!("The sources of ‘{item}’ disagree: settle on one in the spec book first."));
    }
    let says = says.ok_or_else(|| format!("‘{item}’ has no value in the spec book yet."))?;
    let Value::Measured(quantity) = spec.read(says) else {
        return Err(format!("‘{item}’ is no number that could be a limit."));
    };
    let place = [item.as_str(), trust.words().as_str(), says.facts.citation.as_str(), says.facts.page.as_str()]
        .into_iter()
        .filter(|part| !part.is_empty())
        .map(str::to_owned)
        .collect::<Vec<_>>();
    Ok((quantity, format!("spec book: {}", place.join(", "))))
}
