//! What is typed of a budget and of a car's worth.

use super::store::Limits;
use crate::shelf::price;
use crate::web::form::Slips;
use serde::Deserialize;

#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct LimitsForm {
    pub budget: String,
    pub worth: String,
    pub currency: String,
    /// What they were when the form was opened.
    #[serde(default)]
    pub seen: String,
}

impl LimitsForm {
    /// `used`: the currency where none was chosen yet.
    pub fn of(limits: &Limits, used: &str) -> LimitsForm {
        let typed = |kept: &Option<(i64, String)>| kept.as_ref().map(|(minor, _)| price::typed(*minor));
        let currency = limits.budget.as_ref().or(limits.worth.as_ref()).map_or(used, |(_, currency)| currency);
        LimitsForm {
            budget: typed(&limits.budget).unwrap_or_default(),
            worth: typed(&limits.worth).unwrap_or_default(),
            currency: currency.to_owned(),
            seen: seen(limits),
        }
    }

    pub fn read(&self, slips: &mut Slips) -> Option<Limits> {
        let currency = self.currency.trim().to_uppercase();
        let mut amount = |field: &'static str, typed: &str| {
            let minor = (!typed.trim().is_empty()).then(|| price::parse(typed))?;
            minor.map_err(|why| slips.say(field, why.to_string())).ok().map(|minor| (minor, currency.clone()))
        };
        let (budget, worth) = (amount("budget", &self.budget), amount("worth", &self.worth));
        let is_code = currency.len() == 3 && currency.bytes().all(|byte| byte.is_ascii_uppercase());
        let is_needed = !self.budget.trim().is_empty() || !self.worth.trim().is_empty() || !currency.is_empty();
        if is_needed && !is_code {
            slips.say("currency", "Three letters, for instance EUR, GBP or USD.");
        }
        slips.is_empty().then_some(Limits { budget, worth })
    }
}

/// Stands for what was kept, so that a form can tell whether it changed meanwhile.
pub fn seen(limits: &Limits) -> String {
    let part = |kept: &Option<(i64, String)>| {
        kept.as_ref().map(|(minor, currency)| format!("{minor}{currency}")).unwrap_or_default()
    };
    format!("{}-{}", part(&limits.budget), part(&limits.worth))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn form(budget: &str, worth: &str, currency: &str) -> LimitsForm {
        let [budget, worth, currency] = [budget, worth, currency].map(str::to_owned);
        LimitsForm { budget, worth, currency, seen: String::new() }
    }

    #[test]
    fn both_may_stay_empty_and_are_read_back_as_they_were_typed() {
        assert_eq!(form("", "", "EUR").read(&mut Slips::default()), Some(Limits::default()));
        let kept = form("1500", "4800,50", "eur").read(&mut Slips::default()).unwrap();
        assert_eq!(kept.worth, Some((480_050, "EUR".into())));
        assert_eq!(LimitsForm::of(&kept, "GBP").read(&mut Slips::default()), Some(kept));
    }

    #[test]
    fn what_is_no_money_is_told_at_its_field() {
        for (typed, field) in [
            (form("-1", "", "EUR"), "budget"),
            (form("1.234,50", "", "EUR"), "budget"),
            (form("", "much", "EUR"), "worth"),
            (form("1", "", ""), "currency"),
            (form("", "", "euro"), "currency"),
        ] {
            let mut slips = Slips::default();
            assert_eq!(typed.read(&mut slips), None);
            assert_ne!(slips.of(field), "", "{typed:?}");
        }
    }
}
