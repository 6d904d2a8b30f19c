//! When a part is there, as the planner asks for it.

use super::store::PartFacts;
use crate::trade::buying::Stage;
use crate::trade::plan::{Arrival, Spread};
use jiff::civil::Date;

/// When the part is there, counted from `today`.
///
/// On the shelf when it is here or fitted. Ordered: in the days from today to the first and to the latest day expected, the
/// likely one between them. Where all of these have passed nobody knows when it comes: the supplier's days of delivery are
/// counted anew, and without them it is unknown. Still to be ordered, or sent back: the days of delivery, else unknown.
pub fn arrival(facts: &PartFacts, today: Date) -> Arrival {
    match facts.state {
        Stage::Here | Stage::Fitted => Arrival::OnTheShelf,
        Stage::Ordered => expected(facts, today).or(facts.delivery).map_or(Arrival::Unknown, Arrival::Ordered),
        Stage::Wanted | Stage::SentBack => facts.delivery.map_or(Arrival::Unknown, Arrival::ToOrder),
    }
}

/// In how many days it comes; `None` where that is not known, or has passed.
fn expected(facts: &PartFacts, today: Date) -> Option<Spread> {
    let days = |text: &Option<String>| -> Option<i32> {
        let day: Date = text.as_deref()?.parse().ok()?;
        today.until(day).ok().map(|span| span.get_days())
    };
    let (first, latest) = (days(&facts.expected_on), days(&facts.expected_latest));
    let high = u32::try_from(latest.or(first)?).ok()?;
    let low = first.map_or(0, |days| u32::try_from(days).unwrap_or_default());
    Spread::new(low, low.midpoint(high), high).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    const TODAY: Date = date(2026, 11, 25);

    fn found(state: Stage, days: [&str; 2], delivery: Option<[u32; 3]>) -> Arrival {
        let day = |text: &str| (!text.is_empty()).then(|| text.to_owned());
        let facts = PartFacts {
            state,
            expected_on: day(days[0]),
            expected_latest: day(days[1]),
            delivery: delivery.map(|[low, likely, high]| Spread::new(low, likely, high).unwrap()),
            ..PartFacts::wanted("Seal")
        };
        arrival(&facts, TODAY)
    }

    fn spread(low: u32, likely: u32, high: u32) -> Spread {
        Spread::new(low, likely, high).unwrap()
    }

    #[test]
    fn what_is_here_or_on_the_car_is_on_the_shelf() {
        for state in [Stage::Here, Stage::Fitted] {
            assert_eq!(found(state, ["2027-01-01", ""], Some([1, 2, 3])), Arrival::OnTheShelf);
        }
    }

    #[test]
    fn what_is_ordered_comes_between_its_days() {
        let ordered = |days, delivery| found(Stage::Ordered, days, delivery);
        assert_eq!(ordered(["2026-11-27", "2026-12-01"], None), Arrival::Ordered(spread(2, 4, 6)));
        assert_eq!(ordered(["2026-11-27", ""], None), Arrival::Ordered(spread(2, 2, 2)));
        assert_eq!(ordered(["", "2026-12-01"], None), Arrival::Ordered(spread(0, 3, 6)));
        assert_eq!(ordered(["2026-11-25", ""], None), Arrival::Ordered(spread(0, 0, 0)));
        // Over new year, and a month is no number of days.
        assert_eq!(ordered(["2027-01-04", ""], None), Arrival::Ordered(spread(40, 40, 40)));
    }

    #[test]
    fn what_is_late_is_not_counted_on() {
        let ordered = |days, delivery| found(Stage::Ordered, days, delivery);
        assert_eq!(ordered(["2026-11-20", "2026-11-28"], None), Arrival::Ordered(spread(0, 1, 3)));
        assert_eq!(ordered(["2026-11-20", "2026-11-24"], None), Arrival::Unknown);
        assert_eq!(ordered(["2026-11-20", ""], Some([3, 5, 9])), Arrival::Ordered(spread(3, 5, 9)));
        assert_eq!(ordered(["", ""], None), Arrival::Unknown);
    }

    #[test]
    fn what_is_to_be_ordered_takes_its_days_of_delivery() {
        for state in [Stage::Wanted, Stage::SentBack] {
            assert_eq!(found(state, ["2026-11-27", ""], Some([3, 5, 9])), Arrival::ToOrder(spread(3, 5, 9)));
            assert_eq!(found(state, ["2026-11-27", ""], None), Arrival::Unknown);
        }
    }
}
