//! What was spent over time as a small drawing: a line that rises on the day something came, with the budget and what is
//! ordered beside it.

use super::sums::Spent;
use crate::logbook::evening::short_day;
use jiff::civil::Date;
use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

const LEFT: f64 = 110.0;
const RIGHT: f64 = 610.0;
const TOP: f64 = 30.0;
const BOTTOM: f64 = 190.0;

pub struct Chart {
    /// Of the line's corners.
    pub path: String,
    /// From the last corner to what it comes to with all that is ordered and planned; empty where that is nothing more.
    pub ahead: String,
    /// Where the budget lies, and the word beside it.
    pub budget: Option<(String, String)>,
    pub scale: Vec<(String, String)>,
    pub from: String,
    pub to: String,
    /// For those who do not see it.
    pub alt: String,
}

/// The ends of what is drawn.
struct Field {
    first: Date,
    days: f64,
    most: f64,
}

impl Field {
    fn x(&self, day: Date) -> f64 {
        let passed = self.first.until(day).map_or(0, |span| span.get_days());
        LEFT + f64::from(passed) / self.days * (RIGHT - LEFT)
    }

    fn y(&self, sum: Decimal) -> f64 {
        BOTTOM - number(sum) / self.most * (BOTTOM - TOP)
    }
}

fn number(sum: Decimal) -> f64 {
    sum.to_f64().unwrap_or_default()
}

impl Chart {
    /// Nothing where nothing was spent, or all of it today. `whole`: with what is ordered and planned.
    pub fn of(spent: &[Spent], today: Date, whole: Decimal, budget: Option<Decimal>, currency: &str) -> Option<Chart> {
        let (first, last) = (spent.first()?, spent.last()?);
        let days = first.day.until(today).ok()?.get_days();
        let most = [Some(last.sum), Some(whole), budget].into_iter().flatten().max()?;
        if days < 1 || most.is_zero() {
            return None;
        }
        let field = Field { first: first.day, days: f64::from(days), most: number(most) };
        let day = |day| short_day(day, today);
        let budget_words = budget.map(|budget| format!("; the budget is {budget:.2}")).unwrap_or_default();
        Some(Chart {
            path: path(spent, today, &field),
            ahead: if whole > last.sum {
                format!("M{RIGHT} {:.1} V{:.1}", field.y(last.sum), field.y(whole))
            } else {
                String::new()
            },
            budget: budget.map(|budget| (format!("{:.1}", field.y(budget)), format!("budget {budget:.2}"))),
            scale: vec![
                (format!("{:.1}", field.y(last.sum)), format!("{:.0} {currency}", last.sum)),
                (format!("{BOTTOM}"), "0".into()),
            ],
            from: day(first.day),
            to: "today".into(),
            alt: format!(
                "Spent from {} until today: {:.2} {currency}, {whole:.2} with what is ordered and planned{budget_words}.",
                day(first.day),
                last.sum
            ),
        })
    }
}

/// Level until the day on which something came, then up.
fn path(spent: &[Spent], today: Date, field: &Field) -> String {
    let mut path = format!("M{LEFT} {BOTTOM}");
    for one in spent {
        path.push_str(&format!(" H{:.1} V{:.1}", field.x(one.day), field.y(one.sum)));
    }
    path.push_str(&format!(" H{:.1}", field.x(today)));
    path
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn spent(day: i8, sum: i64) -> Spent {
        Spent { day: date(2026, 11, day), sum: Decimal::from(sum) }
    }

    #[test]
    fn the_line_rises_on_the_days_on_which_something_came() {
        let days = [spent(5, 40), spent(15, 80)];
        let today = date(2026, 11, 25);
        let chart = Chart::of(&days, today, Decimal::from(160), Some(Decimal::from(100)), "EUR").unwrap();
        assert_eq!(chart.path, "M110 190 H110.0 V150.0 H360.0 V110.0 H610.0");
        assert_eq!(chart.ahead, "M610 110.0 V30.0");
        assert_eq!(chart.budget.unwrap().0, "90.0");
        assert!(chart.alt.contains("80.00 EUR, 160.00 with"));
    }

    #[test]
    fn there_is_nothing_to_draw_of_one_day_or_of_no_money() {
        let today = date(2026, 11, 25);
        assert!(Chart::of(&[], today, Decimal::ONE, None, "EUR").is_none());
        assert!(Chart::of(&[spent(25, 4)], today, Decimal::from(4), None, "EUR").is_none());
        assert!(Chart::of(&[spent(5, 0)], today, Decimal::ZERO, None, "EUR").is_none());
    }
}
