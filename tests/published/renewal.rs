//! Partial changes of a fluid. No standard was found that works one through; the figures are those of a question about a
//! gearbox on a mathematics site (read in a copy of it), worked again from the mass balance of a mixed vessel.

use rust_decimal::Decimal;
use underlamp::trade::fluid::{Renewal, fresh_after_flow};
use underlamp::trade::quantity::{Percent, Volume};

fn volume(text: &str) -> Volume {
    Volume::parse(text).unwrap()
}

/// Share in ten-thousandths.
fn rounded(share: &Percent) -> Decimal {
    share.number().round_dp(2)
}

/// Source: 7 l of which 4 l drain each time leave 3/7, then 9/49 of the old.
#[test]
fn four_of_seven_litres_changed_again_and_again_reach_the_published_shares() {
    let renewal = Renewal::new(volume("4 l"), &volume("7 l")).unwrap();
    for (changes, expected) in [(0, "0"), (1, "57.14"), (2, "81.63"), (3, "92.13"), (4, "96.63"), (5, "98.55")] {
        assert_eq!(rounded(&renewal.fresh_after(changes)), expected.parse().unwrap(), "{changes}");
    }
}

/// Source: the same question: less than 5 % old takes about 3.5, so four changes; 90 % fresh takes three.
#[test]
fn four_changes_leave_less_than_five_percent_and_three_make_nine_tenths_fresh() {
    let renewal = Renewal::new(volume("4 l"), &volume("7 l")).unwrap();
    let until = |text: &str| renewal.until(&Percent::parse(text).unwrap()).unwrap();
    let four = until("95 %");
    assert_eq!(four.fresh.len(), 4);
    assert_eq!(four.needs.number(), Decimal::from(16));
    let three = until("90 %");
    assert_eq!(three.fresh.len(), 3);
    assert_eq!(rounded(three.fresh.last().unwrap()), "92.13".parse().unwrap());
}

/// Source: 1 − e^−q for a flow through of 1, 2 and 3 volumes.
#[test]
fn pumping_one_two_and_three_volumes_through_reaches_the_computed_shares() {
    for (pumped, expected) in [("0 l", "0"), ("7 l", "63.2"), ("14 l", "86.5"), ("21 l", "95.0")] {
        let share = fresh_after_flow(&volume(pumped), &volume("7 l")).unwrap();
        assert_eq!(share.number().round_dp(1), expected.parse().unwrap(), "{pumped}");
    }
}
