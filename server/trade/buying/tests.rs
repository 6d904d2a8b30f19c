//! Merging, stages, sums and rows. Names, numbers and prices are invented.

use super::*;
use proptest::prelude::*;
use rust_decimal::Decimal;

fn euro(text: &str) -> Money {
    Money::new(text.parse().unwrap(), Currency::parse("EUR").unwrap()).unwrap()
}

fn want(id: &str, name: &str, many: &str, supplier: &str) -> Want {
    Want {
        id: id.into(),
        sort: Sort::Part,
        name: name.into(),
        number: String::new(),
        supplier: supplier.into(),
        many: Many::parse(many),
        stage: Stage::Wanted,
        price: Some(euro("1.10")),
        job: format!("Job {id}"),
        area: Some(System::Driveline),
        order_by: None,
    }
}

fn on(want: Want, day: &str) -> Want {
    Want { order_by: Some(Date::parse(day).unwrap()), ..want }
}

#[test]
fn the_same_thing_for_two_jobs_is_one_line_with_the_earlier_day() {
    let wants = [
        on(want("a", "Copper washer 14 x 20", "1", "Tarnwick"), "2026-12-10"),
        on(want("b", "copper  washer 14 x 20", "2", "tarnwick "), "2026-12-03"),
    ];
    let [supplier] = to_buy(&wants, &[]).try_into().unwrap();
    let [line] = supplier.lines.as_slice() else { panic!("{supplier:?}") };
    assert_eq!(line.how_many(), "3 ×");
    assert_eq!(line.jobs, ["Job a", "Job b"]);
    assert_eq!(line.order_by.unwrap().to_string(), "2026-12-03");
    assert_eq!(line.price.to_string(), "2.20 EUR");
    assert_eq!(line.wants, ["a", "b"]);
}

#[test]
fn another_number_or_another_supplier_is_another_line() {
    let numbered = |id: &str, number: &str| Want { number: number.into(), ..want(id, "Seal", "1", "Tarnwick") };
    let wants =
        [numbered("a", "T-1"), numbered("b", "T-2"), numbered("c", "t-1"), want("d", "Seal", "1", "Ferrystone")];
    let suppliers = to_buy(&wants, &[]);
    assert_eq!(
        suppliers.iter().map(|one| (one.name.as_str(), one.lines.len())).collect::<Vec<_>>(),
        [("Ferrystone", 1), ("Tarnwick", 2)]
    );
    assert_eq!(suppliers[1].lines[0].how_many(), "2 ×");
}

#[test]
fn what_cannot_be_added_exactly_stands_side_by_side() {
    let wants = ["5 l", "1 US qt", "0,5 l", "a drop"].into_iter().enumerate();
    let wants: Vec<Want> = wants
        .map(|(at, many)| Want { sort: Sort::Fluid, ..want(&at.to_string(), "Axle oil", many, "Tarnwick") })
        .collect();
    assert_eq!(to_buy(&wants, &[])[0].lines[0].how_many(), "5.5 l and 1 US qt and a drop");
}

#[test]
fn one_tool_serves_two_jobs_and_an_owned_one_is_not_bought() {
    let tool = |id: &str, name: &str| Want { sort: Sort::Tool, ..want(id, name, "1", "Tarnwick") };
    let wants = [tool("a", "Belt pin"), tool("b", "belt pin"), tool("c", "Torque wrench")];
    let suppliers = to_buy(&wants, &["torque wrench".into()]);
    assert_eq!(suppliers[0].lines.len(), 1);
    assert_eq!(suppliers[0].lines[0].how_many(), "1 ×");
}

#[test]
fn only_what_is_wanted_is_to_be_bought() {
    for stage in Stage::ALL {
        let wants = [Want { stage: *stage, ..want("a", "Seal", "1", "Tarnwick") }];
        assert_eq!(to_buy(&wants, &[]).is_empty(), *stage != Stage::Wanted, "{stage}");
    }
}

#[test]
fn the_supplier_with_the_earliest_day_comes_first_and_no_supplier_last() {
    let wants = [
        want("a", "Seal", "1", ""),
        on(want("b", "Hose", "1", "Zeelock"), "2026-12-03"),
        on(want("c", "Pipe", "1", "Abbots"), "2026-12-10"),
        want("d", "Clip", "1", "Dunmoor"),
    ];
    let names: Vec<String> = to_buy(&wants, &[]).into_iter().map(|one| one.name).collect();
    assert_eq!(names, ["Zeelock", "Abbots", "Dunmoor", ""]);
}

#[test]
fn an_order_names_things_numbers_and_the_car_and_neither_prices_nor_jobs() {
    let wants = [
        Want { number: "T-1".into(), ..want("a", "Copper\nwasher", "2", "Tarnwick") },
        Want { sort: Sort::Fluid, ..want("b", "Axle oil", "2 l", "Tarnwick") },
    ];
    let text = order_text(&to_buy(&wants, &[])[0], "an invented car");
    let expected = "I would like to order:\n\n- 2 × Copper washer (number T-1)\n- 2 l Axle oil\n\nFor this car: an invented car\n\
                    Please tell me price, delivery time, and whether a number was replaced by another.\n";
    assert_eq!(text, expected);
}

#[test]
fn every_stage_goes_on_or_says_in_a_sentence_why_not() {
    let mut allowed = Vec::new();
    for from in Stage::ALL {
        for to in Stage::ALL {
            match from.to(*to) {
                Ok(says) => {
                    assert!(says.ends_with('.'));
                    allowed.push((from.name(), to.name()));
                }
                Err(error) => assert!(error.to_string().ends_with('.'), "{error}"),
            }
        }
    }
    let expected = [
        ("wanted", "ordered"),
        ("wanted", "here"),
        ("ordered", "wanted"),
        ("ordered", "here"),
        ("here", "fitted"),
        ("here", "sent-back"),
        ("fitted", "here"),
        ("sent-back", "wanted"),
        ("sent-back", "ordered"),
    ];
    assert_eq!(allowed, expected);
    assert_eq!(Stage::Ordered.next(), [Stage::Here, Stage::Wanted]);
    assert_eq!(
        Stage::Wanted.to(Stage::Fitted).unwrap_err().to_string(),
        "From ‘wanted’ it cannot become ‘fitted’: it has to arrive first: note that it is here."
    );
    assert_eq!(Stage::Here.to(Stage::Here).unwrap_err().to_string(), "It is here already.");
}

#[test]
fn from_every_stage_the_car_can_be_reached() {
    for start in Stage::ALL {
        let mut reached = vec![*start];
        for at in 0..Stage::ALL.len() {
            let Some(stage) = reached.get(at).copied() else { break };
            reached.extend(stage.next().iter().filter(|next| !reached.contains(next)).copied().collect::<Vec<_>>());
        }
        assert!(reached.contains(&Stage::Fitted), "{start}");
    }
}

fn all_stages() -> Vec<Want> {
    let prices = ["10.00", "20.50", "0.10", "0.20", "99.99"];
    let stages = Stage::ALL.iter().zip(prices).enumerate();
    stages
        .map(|(at, (stage, price))| Want {
            stage: *stage,
            price: Some(euro(price)),
            ..want(&at.to_string(), "Seal", "1", "Tarnwick")
        })
        .collect()
}

#[test]
fn money_is_planned_ordered_spent_or_coming_back() {
    let sums = Spending::of(&all_stages()).whole;
    assert_eq!(sums.planned.to_string(), "10.00 EUR");
    assert_eq!(sums.committed.to_string(), "20.50 EUR");
    // Exactly: as binary fractions these two do not make three tenths.
    assert_eq!(sums.spent.to_string(), "0.30 EUR");
    assert_eq!(sums.coming_back.to_string(), "99.99 EUR");
    assert_eq!(sums.whole().to_string(), "30.80 EUR");
}

#[test]
fn sums_stand_against_budget_and_worth_in_sentences() {
    let sums = Spending::of(&all_stages()).whole;
    assert_eq!(
        against_budget(&sums, euro("100")),
        "Of the budget of 100.00 EUR: spent 0.30, ordered 20.50, planned 10.00; 69.20 EUR are left."
    );
    assert!(against_budget(&sums, euro("30.79")).ends_with("; 0.01 EUR over it."));
    assert!(against_budget(&sums, euro("30.80")).ends_with("; 0.00 EUR are left."));
    assert_eq!(against_worth(&sums, euro("40")), "The work comes to 30.80 EUR, 77 % of the car’s worth of 40.00 EUR.");
    assert_eq!(against_worth(&sums, euro("0")), "The work comes to 30.80 EUR.");
}

#[test]
fn another_currency_and_a_missing_price_are_said_and_not_counted() {
    let pound = Money::new(Decimal::from(3), Currency::parse("gbp").unwrap()).unwrap();
    let wants = [
        want("a", "Seal", "1", ""),
        Want { price: Some(pound), ..want("b", "Hose", "1", "") },
        Want { price: None, ..want("c", "Pipe", "1", "") },
    ];
    let sums = Spending::of(&wants).whole;
    assert_eq!(
        against_worth(&sums, euro("11")),
        "The work comes to 1.10 EUR, 10 % of the car’s worth of 11.00 EUR. Not counted, in another currency: 3.00 GBP. \
         One thing has no price yet."
    );
    assert_eq!(sums.planned.to_string(), "1.10 EUR and 3.00 GBP");
}

#[test]
fn what_is_no_money_is_refused() {
    let new = |text: &str| Money::new(text.parse().unwrap(), Currency::parse("EUR").unwrap());
    for text in ["-0.01", "0.001", "1000000000.01", "79228162514264337593543950335"] {
        assert_eq!(new(text), Err(MoneyError::Amount), "{text}");
    }
    for text in ["0", "1.500", "1000000000"] {
        assert!(new(text).is_ok(), "{text}");
    }
    for text in ["", "EU", "EURO", "E1R", "€", "éur"] {
        assert_eq!(Currency::parse(text), Err(MoneyError::Currency(text.into())), "{text}");
    }
    assert_eq!(Money::from_hundredths(1250, Currency::parse("EUR").unwrap()).unwrap().to_string(), "12.50 EUR");
    assert!(Money::from_hundredths(-1, Currency::parse("EUR").unwrap()).is_err());
}

#[test]
fn how_many_is_read_as_people_write_it() {
    for (text, shown) in [
        ("", "1 ×"),
        ("4", "4 ×"),
        ("2 x", "2 ×"),
        ("2×", "2 ×"),
        ("0,5 l", "0.5 l"),
        ("5.0 l", "5 l"),
        ("1 pair", "1 pair"),
        ("0", "0"),
        ("-2", "-2"),
        ("1e9", "1e9"),
        ("5-6 l", "5-6 l"),
        ("  two   tins ", "two tins"),
    ] {
        assert_eq!(Many::parse(text).to_string(), shown, "{text}");
    }
}

/// Reads rows as RFC 4180, section 2, writes them.
fn read_csv(text: &str) -> Vec<Vec<String>> {
    let mut rows = vec![vec![String::new()]];
    let (mut quoted, mut letters) = (false, text.chars().peekable());
    while let Some(letter) = letters.next() {
        let row = rows.last_mut().unwrap();
        match letter {
            '"' if quoted && letters.peek() == Some(&'"') => row.last_mut().unwrap().push(letters.next().unwrap()),
            '"' => quoted = !quoted,
            ',' if !quoted => row.push(String::new()),
            '\r' if !quoted && letters.peek() == Some(&'\n') => {
                letters.next();
                rows.push(vec![String::new()]);
            }
            other => row.last_mut().unwrap().push(other),
        }
    }
    rows.pop();
    rows
}

#[test]
fn rows_hold_what_was_wanted() {
    let odd =
        Want { job: "He said \"now\"".into(), ..on(want("a", "Hose, 2 m\r\nlong", "2", "Tarnwick"), "2026-12-03") };
    let rows = read_csv(&csv(&[odd]));
    assert_eq!(rows[0], HEAD);
    let expected = [
        "He said \"now\"",
        "Driveline",
        "part",
        "Hose, 2 m\r\nlong",
        "",
        "Tarnwick",
        "2 ×",
        "wanted",
        "1.10",
        "EUR",
        "2026-12-03",
    ];
    assert_eq!(rows[1], expected);
}

#[test]
fn a_cell_that_a_spreadsheet_would_run_is_disarmed() {
    for name in ["=1+1", "+1", "-1", "@sum", "\tx"] {
        let text = csv(&[want("a", name, "1", "")]);
        assert_eq!(read_csv(&text)[1][3], format!("'{name}"));
    }
}

fn any_want() -> impl Strategy<Value = Want> {
    let picked = (0usize..4, 0usize..3, 0usize..5, 1u32..9, prop::option::of(0i64..100_000));
    (picked, prop::option::of(1u8..28)).prop_map(|((name, supplier, stage, many, price), day)| Want {
        stage: Stage::ALL[stage],
        price: price.map(|price| Money::from_hundredths(price, Currency::parse("EUR").unwrap()).unwrap()),
        order_by: day.map(|day| Date::new(2026, 12, day).unwrap()),
        ..want("", ["Seal", "Hose", "Pipe", "Clip"][name], &many.to_string(), ["", "Abbots", "Zeelock"][supplier])
    })
}

proptest! {
    #[test]
    fn nothing_is_lost_or_counted_twice_in_whatever_order(
        mut wants in prop::collection::vec(any_want(), 0..20), turn in 0usize..20,
    ) {
        wants.iter_mut().enumerate().for_each(|(at, want)| want.id = format!("{at:03}"));
        let list = to_buy(&wants, &[]);
        let mut ids: Vec<&str> =
            list.iter().flat_map(|one| &one.lines).flat_map(|line| &line.wants).map(String::as_str).collect();
        ids.sort_unstable();
        let wanted: Vec<&str> =
            wants.iter().filter(|want| want.stage == Stage::Wanted).map(|want| want.id.as_str()).collect();
        prop_assert_eq!(ids, wanted);
        let euros = Currency::parse("EUR").unwrap();
        let spending = Spending::of(&wants);
        let listed: Decimal = list.iter().map(|one| one.price.of(euros)).sum();
        prop_assert_eq!(listed, spending.whole.planned.of(euros));
        let by_job: Decimal = spending.by_job.values().map(|sums| sums.whole().of(euros)).sum();
        let by_area: Decimal = spending.by_area.values().map(|sums| sums.whole().of(euros)).sum();
        prop_assert_eq!(by_job, spending.whole.whole().of(euros));
        prop_assert_eq!(by_area, by_job);
        let by = if wants.is_empty() { 0 } else { turn % wants.len() };
        wants.rotate_left(by);
        prop_assert_eq!(list, to_buy(&wants, &[]));
    }

    #[test]
    fn any_text_stands_in_its_own_cell(name in "[a-z=,\"\r\n é]{0,30}") {
        let rows = read_csv(&csv(&[want("a", &name, "1", "")]));
        prop_assert_eq!(rows.len(), 2);
        prop_assert_eq!(rows[1].len(), HEAD.len());
        prop_assert_eq!(rows[1][3].trim_start_matches('\''), &name);
    }
}

#[test]
fn a_price_is_shared_out_to_the_hundredth_and_nothing_is_left() {
    let shares = |price: &str, asks: &[&str]| -> Vec<String> {
        let asks: Vec<Many> = asks.iter().map(|text| Many::parse(text)).collect();
        shared_out(euro(price), &asks).into_iter().map(|money| format!("{:.2}", money.amount())).collect()
    };
    assert_eq!(shares("10.00", &["1", "1", "1"]), ["3.34", "3.33", "3.33"]);
    assert_eq!(shares("10.00", &["2.3 l", "1.2 l"]), ["6.58", "3.42"]);
    assert_eq!(shares("0.01", &["1", "9"]), ["0.01", "0.00"]);
    assert_eq!(shares("9.00", &["2", "1 l"]), ["4.50", "4.50"], "what cannot be compared is shared in equal parts");
    assert_eq!(shares("9.00", &["1 pair", "1 pair"]), ["4.50", "4.50"]);
    assert_eq!(shares("9.00", &["3"]), ["9.00"]);
}

proptest! {
    #[test]
    fn shares_always_come_to_the_price(price in 0i64..10_000_000, asks in prop::collection::vec(1u32..500, 1..9)) {
        let price = Money::from_hundredths(price, Currency::parse("EUR").unwrap()).unwrap();
        let asks: Vec<Many> = asks.iter().map(|ask| Many::parse(&ask.to_string())).collect();
        let sum: Decimal = shared_out(price, &asks).into_iter().map(Money::amount).sum();
        prop_assert_eq!(sum, price.amount());
        prop_assert_eq!(Money::from_hundredths(price.hundredths(), price.currency()), Ok(price));
    }
}

#[test]
fn what_is_left_to_come_is_ordered_again_and_no_more() {
    let left = |wanted: &str, some: &str| rest(&Many::parse(wanted), Some(&Many::parse(some))).written();
    assert_eq!(left("4", "1"), "3");
    assert_eq!(left("0.5 l", "0.2 l"), "0.3 l");
    assert_eq!(left("4", "4"), "4");
    assert_eq!(left("1 pair", "1 pair"), "1 pair");
    assert_eq!(rest(&Many::parse("4"), None).written(), "4");
    assert_eq!(Many::parse("0.5 l").times(3).to_string(), "1.5 l");
}
