//! One test a rule: broken, it fires at the step named; mended, it is silent. `fires` also sees that no other rule of
//! weight `stop` speaks up on the mended card, so that the mend is a mend.

use super::*;

/// `wrong` breaks `rule` at step `at` (from 0; `None`: the card as a whole); `right` is silent about it.
#[track_caller]
fn fires(rule: Rule, at: Option<usize>, wrong: Vec<StepOnPaper>, right: Vec<StepOnPaper>) {
    let found = check_fresh(wrong);
    let ours: Vec<&Finding> = found.iter().filter(|finding| finding.rule == rule).collect();
    assert!(!ours.is_empty(), "{rule:?} is silent; found {:?}", rules_of(&found));
    assert_eq!(ours[0].step, at, "{rule:?} fires at another step: {ours:?}");
    for finding in ours {
        assert!(finding.say.ends_with('.') && !finding.say.contains('{'), "{}", finding.say);
        assert!(!finding.mend.is_empty());
    }
    let mended = check_fresh(right);
    let still: Vec<&Finding> =
        mended.iter().filter(|finding| finding.rule == rule || finding.weight() == Weight::Stop).collect();
    assert!(still.is_empty(), "the mended card is not silent: {still:?}");
}

fn up_front() -> Vec<StepOnPaper> {
    vec![step("chock corner rear end"), step("raise corner front end"), step("support corner front end")]
}

fn down_front() -> StepOnPaper {
    step("lower corner front end")
}

fn with(mut first: Vec<StepOnPaper>, rest: impl IntoIterator<Item = StepOnPaper>) -> Vec<StepOnPaper> {
    first.extend(rest);
    first
}

#[test]
fn raised_with_the_other_end_not_chocked() {
    let lower = || step("lower corner rear end");
    fires(
        Rule::RaisedUnchocked,
        Some(0),
        vec![step("raise corner rear end"), lower()],
        vec![step("chock corner front wheels"), step("raise corner rear end"), lower()],
    );
    // Chocks at the same end hold nothing: those wheels leave the ground.
    let found = check_fresh(vec![step("chock corner rear end"), step("raise corner rear end"), lower()]);
    assert_eq!(rules_of(&found), [Rule::RaisedUnchocked]);
}

#[test]
fn the_second_end_may_go_up_once_the_first_is_on_stands() {
    let found = check_fresh(with(
        up_front(),
        [step("raise corner rear end"), step("support corner rear end"), step("lower corner rear end"), down_front()],
    ));
    assert_eq!(found, []);
}

#[test]
fn under_a_car_that_is_only_jacked() {
    let look = || step("inspect part front subframe").mark(Mark::UnderCar);
    fires(
        Rule::UnderOnJack,
        Some(2),
        vec![step("chock corner rear end"), step("raise corner front end"), look(), down_front()],
        with(up_front(), [look(), down_front()]),
    );
}

#[test]
fn lowered_with_a_prop_in_place() {
    let prop = || step("prop prop block under the gearbox");
    let free = || step("free prop block under the gearbox");
    fires(
        Rule::LoweredOnProp,
        Some(4),
        with(up_front(), [prop(), down_front(), free()]),
        with(up_front(), [prop(), free(), down_front()]),
    );
}

#[test]
fn lowered_with_a_load_bearing_fastener_off() {
    let bolts = |line: &str| step(line).mark(Mark::BearsLoad).torque();
    let off = || bolts("remove fastener front wishbone bolts");
    let nip = || bolts("fit fastener front wishbone bolts");
    let pull = || bolts("final-tighten fastener front wishbone bolts");
    fires(
        Rule::LoweredLoadOff,
        Some(4),
        with(up_front(), [off(), down_front(), nip(), pull()]),
        with(up_front(), [off(), nip(), down_front(), pull()]),
    );
}

#[test]
fn lowered_with_a_wheel_off() {
    let off = || step("remove part front wheels");
    let on = || step("fit part front wheels");
    fires(
        Rule::LoweredWheelOff,
        Some(4),
        with(up_front(), [off(), down_front(), on()]),
        with(up_front(), [off(), on(), down_front()]),
    );
}

#[test]
fn loosened_and_never_brought_to_its_torque() {
    let loosen = || step("loosen fastener track-rod lock nuts");
    let pull = || step("tighten fastener track-rod lock nuts").torque();
    fires(Rule::NeverTightened, Some(0), vec![loosen()], vec![loosen(), pull()]);
    let nipped = check_fresh(vec![loosen(), step("fit fastener track-rod lock nuts")]);
    assert_eq!((nipped[0].rule, nipped[0].step), (Rule::NeverTightened, Some(1)));
}

#[test]
fn tightened_with_no_spec_a_guess_or_an_open_disagreement() {
    let pull = || step("tighten fastener sump bolts");
    let trusted = |trust| vec![pull().spec(Kind::Torque, "10 Nm", trust)];
    let good = || trusted(Trust::Single(SourceKind::ReadOffTheCar));
    fires(Rule::NoFigure, Some(0), vec![pull()], good());
    fires(Rule::NoFigure, Some(0), vec![pull().spec(Kind::Text, "tight", Trust::Single(SourceKind::Guess))], good());
    fires(Rule::NoFigure, Some(0), trusted(Trust::Missing), good());
    fires(Rule::FigureGuessed, Some(0), trusted(Trust::Guessed), trusted(Trust::Agreeing(SourceKind::SecondHand, 2)));
    fires(Rule::FigureOpen, Some(0), trusted(Trust::Open), trusted(Trust::Settled(SourceKind::MakersManual)));
}

#[test]
fn a_figure_of_another_variant_beside_or_instead_of_the_car_s_own() {
    let pull = || step("tighten fastener sump bolts").torque();
    let mut wrong = pull();
    wrong.specs[0].not_ours = Some("This is for engine HS18; this car has HS16.".into());
    fires(Rule::FigureElse, Some(0), vec![wrong.clone()], vec![pull()]);
    wrong.specs.extend(pull().specs);
    fires(Rule::FigureElse, Some(0), vec![wrong], vec![pull()]);
}

#[test]
fn tightened_before_the_other_members_of_its_set_are_in() {
    let both = |line: &str| [step(&line.replace("SIDE", "left")), step(&line.replace("SIDE", "right"))];
    let [left_off, right_off] = both("remove fastener SIDE engine mount bolts").map(|one| one.set("engine mounts"));
    let [left_in, right_in] = both("fit fastener SIDE engine mount bolts").map(|one| one.set("engine mounts"));
    let [left, right] = both("tighten fastener SIDE engine mount bolts").map(|one| one.set("engine mounts").torque());
    fires(
        Rule::PartnerOut,
        Some(3),
        vec![left_off.clone(), right_off.clone(), left_in.clone(), left.clone(), right_in.clone(), right.clone()],
        vec![left_off, right_off, left_in, right_in, left, right],
    );
}

#[test]
fn a_rubber_bush_clamped_with_the_suspension_hanging() {
    let loosen = || step("loosen fastener front wishbone pivot bolts");
    let pull = || step("final-tighten fastener front wishbone pivot bolts").mark(Mark::RubberBush).torque();
    fires(
        Rule::BushHanging,
        Some(4),
        with(up_front(), [loosen(), pull(), down_front()]),
        with(up_front(), [loosen(), down_front(), pull()]),
    );
    let at_height = check_fresh(with(up_front(), [loosen(), step("measure none ride height"), pull(), down_front()]));
    assert_eq!(at_height, []);
}

#[test]
fn wheel_nuts_pulled_to_torque_in_the_air() {
    let loosen = || step("loosen fastener front wheel nuts");
    let pull = || step("tighten fastener front wheel nuts").torque();
    fires(
        Rule::WheelInTheAir,
        Some(4),
        with(vec![loosen()], with(up_front(), [pull(), down_front()])),
        with(vec![loosen()], with(up_front(), [down_front(), pull()])),
    );
}

#[test]
fn a_part_that_serves_once_is_used_again() {
    let off = || step("remove part track-rod split pins");
    let on = || step("fit part track-rod split pins").mark(Mark::UsedOnce);
    fires(Rule::UsedOnceAgain, Some(1), vec![off(), on()], vec![off(), on().part("split pin, four")]);
    // What was never undone is not put back: nothing to renew.
    assert_eq!(check_fresh(vec![on()]), []);
}

#[test]
fn an_angle_tightened_bolt_is_used_again() {
    let off = || step("remove fastener crankshaft pulley bolt");
    let on = || step("tighten fastener crankshaft pulley bolt").torque().mark(Mark::ByAngle);
    fires(Rule::AngleBoltAgain, Some(1), vec![off(), on()], vec![off(), on().part("crankshaft pulley bolt")]);
}

#[test]
fn drained_before_its_filler_is_proven_to_open() {
    let open = || step("open opening rear axle filler plug");
    let drain = || step("drain fluid rear axle oil").tool("drain pan, 4 l");
    let rest = || [step("fill fluid rear axle oil"), step("close opening rear axle filler plug")];
    fires(Rule::FillerUnproven, Some(0), with(vec![drain(), open()], rest()), with(vec![open(), drain()], rest()));
}

#[test]
fn a_filler_that_is_not_named_anywhere_is_asked_for() {
    let found = check_fresh(vec![step("drain fluid transfer oil").tool("pan"), step("fill fluid transfer oil")]);
    assert_eq!(rules_of(&found), [Rule::FillerUnproven]);
    assert!(found[0].mend.contains("name that filler"), "{}", found[0].mend);
}

#[test]
fn the_filler_said_on_the_step_counts_and_another_ones_does_not() {
    let drain = || step("drain fluid gearbox oil").tool("pan, 5 l").filler("Speedometer drive hole");
    let rest = || [step("fill fluid gearbox oil"), step("close opening speedometer drive hole")];
    let right = check_fresh(with(vec![step("open opening speedometer drive hole"), drain()], rest()));
    assert_eq!(right, []);
    let wrong = check_fresh(with(vec![step("open opening gearbox filler plug"), drain()], rest()));
    assert!(rules_of(&wrong).contains(&Rule::FillerUnproven));
}

#[test]
fn more_comes_out_than_the_pan_holds() {
    let cap = || step("open opening oil filler cap");
    let rest = || {
        let four = |step: StepOnPaper| step.spec(Kind::Volume, "4,2 l", Trust::Single(SourceKind::MakersManual));
        [four(step("fill fluid engine oil")), step("close opening oil filler cap")]
    };
    let drain = |tool: &str| step("drain fluid engine oil").tool(tool);
    fires(
        Rule::CatchTooSmall,
        Some(1),
        with(vec![cap(), drain("drain pan, 4 l")], rest()),
        with(vec![cap(), drain("drain pan (8 l)")], rest()),
    );
    // 5 US quarts are 4.73 litres (NIST SP 811: 1 US liquid quart = 0.946 352 9 l).
    assert_eq!(check_fresh(with(vec![cap(), drain("tray, 5 US qt")], rest())), []);
}

#[test]
fn nothing_to_catch_it_in() {
    let cap = || step("open opening oil filler cap");
    let rest = || [step("fill fluid engine oil"), step("close opening oil filler cap")];
    fires(
        Rule::NothingToCatch,
        Some(1),
        with(vec![cap(), step("drain fluid engine oil").tool("22 mm spanner")], rest()),
        with(vec![cap(), step("drain fluid engine oil").tool("old washing-up bowl")], rest()),
    );
}

#[test]
fn drained_and_never_filled() {
    let open = || step("open opening gearbox filler plug");
    let drain = || step("drain fluid gearbox oil").tool("pan, 5 l");
    let shut = || step("close opening gearbox filler plug");
    fires(
        Rule::LeftDry,
        Some(1),
        vec![open(), drain(), shut()],
        vec![open(), drain(), step("fill fluid gearbox oil"), shut()],
    );
}

#[test]
fn a_fluid_that_does_not_suit_the_system() {
    let fill = |bottle: &str| {
        let asked = "DOT 4";
        step("bleed fluid brake fluid").spec(Kind::Fluid, asked, Trust::Single(SourceKind::MakersManual)).part(bottle)
    };
    let rest = || step("inspect none brake pedal");
    // 49 CFR 571.116 (not read in the source): silicone base (DOT 5) and glycol base (DOT 3, 4, 5.1) are fluids apart.
    fires(
        Rule::FluidUnsuited,
        Some(0),
        vec![fill("Brake fluid DOT 5, 1 l"), rest()],
        vec![fill("Brake fluid DOT 4, 1 l"), rest()],
    );
    assert_eq!(check_fresh(vec![fill("A bottle of something"), rest()]), [], "what names no class is not judged");
}

#[test]
fn two_fluids_that_must_not_meet() {
    let fill = |other: &str| step("bleed fluid brake fluid").part("Brake fluid DOT 4, 1 l").part(other);
    let rest = || step("inspect none brake pedal");
    fires(
        Rule::FluidsMixed,
        Some(0),
        vec![fill("Silicone brake fluid DOT 5"), rest()],
        vec![fill("Brake fluid DOT 4, 0.5 l"), rest()],
    );
}

#[test]
fn a_level_read_on_a_slope() {
    let level = || step("measure fluid gearbox oil");
    fires(
        Rule::LevelTilted,
        Some(3),
        with(up_front(), [level(), down_front()]),
        with(up_front(), [down_front(), level()]),
    );
    let both_up = with(
        up_front(),
        [
            step("raise corner rear end"),
            step("support corner rear end"),
            level(),
            step("lower corner rear end"),
            down_front(),
        ],
    );
    assert_eq!(check_fresh(both_up), []);
}

#[test]
fn a_level_to_be_read_warm_read_cold() {
    let run = || step("run none engine").mark(Mark::GasLedOut);
    let level = || step("measure fluid automatic gearbox fluid").mark(Mark::WhenWarm);
    fires(Rule::LevelCold, Some(0), vec![level(), run()], vec![run(), level()]);
}

#[test]
fn a_level_to_be_read_cold_read_hot() {
    let run = || step("run none engine").mark(Mark::GasLedOut);
    let wait = || step("inspect none engine temperature").mark(Mark::WhenCold);
    let level = || step("measure fluid coolant");
    fires(Rule::LevelHot, Some(1), vec![run(), level()], vec![run(), wait(), level()]);
    assert_eq!(check_fresh(vec![run(), level().mark(Mark::WhenCold)]), []);
}

#[test]
fn a_level_read_with_the_engine_in_the_wrong_state() {
    let run = || step("run none engine").mark(Mark::GasLedOut);
    let automatic = || step("measure fluid automatic gearbox fluid").mark(Mark::EngineRunning);
    fires(Rule::LevelEngine, Some(0), vec![automatic(), run()], vec![run(), automatic()]);
    let oil = || step("measure fluid engine oil");
    fires(Rule::LevelEngine, Some(1), vec![run(), oil().mark(Mark::EngineRunning)], vec![run(), oil()]);
}

#[test]
fn run_without_its_fluid() {
    let run = || step("run none engine").mark(Mark::GasLedOut);
    let cap = || step("open opening oil filler cap");
    let drain = || step("drain fluid engine oil").tool("pan, 8 l");
    let fill = || step("fill fluid engine oil");
    let shut = || step("close opening oil filler cap");
    fires(
        Rule::RunDry,
        Some(2),
        vec![cap(), drain(), run(), fill(), shut()],
        vec![cap(), drain(), fill(), shut(), run()],
    );
    // Axle oil does not go round with the engine.
    let axle = check_fresh(vec![
        step("open opening rear axle filler plug"),
        step("drain fluid rear axle oil").tool("pan, 4 l"),
        run(),
        step("fill fluid rear axle oil"),
        step("close opening rear axle filler plug"),
    ]);
    assert_eq!(axle, []);
}

#[test]
fn driven_with_something_undone() {
    let part = || step("disconnect connection speedometer cable");
    let join = || step("connect connection speedometer cable");
    let drive = || step("drive none car");
    fires(Rule::DrivenApart, Some(1), vec![part(), drive(), join()], vec![part(), join(), drive()]);
}

#[test]
fn a_hydraulic_joint_opened_and_not_bled() {
    let open = || step("open fluid brake fluid");
    let bleed = || step("bleed fluid brake fluid");
    let pedal = || step("inspect none brake pedal");
    fires(Rule::NeverBled, Some(0), vec![open(), pedal()], vec![open(), bleed(), pedal()]);
}

#[test]
fn no_firm_pedal_proven_after_the_hydraulics_were_open() {
    let open = || step("open fluid brake fluid");
    let bleed = || step("bleed fluid brake fluid");
    let pedal = || step("inspect none brake pedal");
    fires(Rule::PedalUnproven, None, vec![open(), bleed()], vec![open(), bleed(), pedal()]);
    // Proven before it was opened again is not proven.
    let early = check_fresh(vec![pedal(), open(), bleed()]);
    assert_eq!(rules_of(&early), [Rule::PedalUnproven]);
    let clutch = check_fresh(vec![
        step("disconnect connection clutch hose"),
        step("connect connection clutch hose"),
        step("inspect none brake pedal"),
    ]);
    assert_eq!(rules_of(&clutch), [Rule::PedalUnproven], "the brake pedal says nothing about the clutch");
}

#[test]
fn moved_before_the_brakes_were_pumped_up() {
    let off = || step("remove part front brake pads");
    let on = || step("fit part front brake pads");
    let pump = || step("prepare none brake pedal");
    let drive = || step("drive none car");
    fires(Rule::PedalNotPumped, Some(2), vec![off(), on(), drive(), pump()], vec![off(), on(), pump(), drive()]);
    fires(Rule::PedalNotPumped, None, vec![off(), on()], vec![off(), on(), pump()]);
}

#[test]
fn cooling_system_opened_hot() {
    let open = || step("open opening radiator cap");
    let shut = || step("close opening radiator cap");
    let run = || step("run none engine").mark(Mark::GasLedOut);
    let wait = || step("inspect none engine temperature").mark(Mark::WhenCold);
    fires(Rule::OpenedHot, Some(0), vec![open(), shut()], vec![wait(), open(), shut()]);
    let warmed_again = check_fresh(vec![wait(), run(), open(), shut()]);
    assert_eq!(rules_of(&warmed_again), [Rule::OpenedHot]);
    assert_eq!(check_fresh(vec![open().mark(Mark::WhenCold), shut()]), []);
}

#[test]
fn fuel_opened_hot_or_with_the_battery_joined() {
    let run = || step("run none engine").mark(Mark::GasLedOut);
    let wait = || step("inspect none exhaust pipe").mark(Mark::WhenCold);
    let earth_off = || step("disconnect connection battery earth lead");
    let earth_on = || step("connect connection battery earth lead");
    let off = || step("disconnect connection fuel hoses");
    let on = || step("connect connection fuel hoses");
    fires(
        Rule::FuelOnHot,
        Some(2),
        vec![run(), earth_off(), off(), on(), earth_on()],
        vec![run(), wait(), earth_off(), off(), on(), earth_on()],
    );
    fires(Rule::FuelBySpark, Some(0), vec![off(), on()], vec![earth_off(), off(), on(), earth_on()]);
}

#[test]
fn the_battery_joined_while_starter_alternator_or_air_bag_are_worked_on() {
    let earth_off = || step("disconnect connection battery earth lead");
    let earth_on = || step("connect connection battery earth lead");
    for thing in ["starter leads", "alternator leads", "air bag plug"] {
        let off = || step(&format!("disconnect connection {thing}"));
        let on = || step(&format!("connect connection {thing}"));
        fires(Rule::BatteryLive, Some(0), vec![off(), on()], vec![earth_off(), off(), on(), earth_on()]);
        fires(
            Rule::BatteryLive,
            Some(3),
            vec![earth_off(), off(), earth_on(), on()],
            vec![earth_off(), off(), on(), earth_on()],
        );
    }
}

#[test]
fn engine_run_with_nowhere_for_the_gas_to_go() {
    let run = || step("run none engine");
    fires(Rule::GasIndoors, Some(0), vec![run()], vec![run().mark(Mark::GasLedOut)]);
    assert_eq!(check_fresh(vec![run().caution("running-indoors-carbon-monoxide")]), []);
}

#[test]
fn something_left_inside() {
    let rag_in = || step("fit left-inside rag in the inlet");
    let rag_out = || step("remove left-inside rag in the inlet");
    let run = || step("run none engine").mark(Mark::GasLedOut);
    fires(Rule::LeftInside, Some(0), vec![rag_in()], vec![rag_in(), rag_out()]);
    fires(Rule::LeftInside, Some(1), vec![rag_in(), run(), rag_out()], vec![rag_in(), rag_out(), run()]);
}

#[test]
fn timing_drive_opened_with_nothing_marked() {
    let mark = || step("prepare none timing marks");
    let off = || step("remove part timing belt");
    let on = || step("fit part timing belt");
    let look = || step("inspect none timing marks");
    fires(Rule::TimingUnmarked, Some(0), vec![off(), on(), look()], vec![mark(), off(), on(), look()]);
}

#[test]
fn timing_drive_fitted_and_its_marks_not_looked_at_again() {
    let mark = || step("prepare none timing marks");
    let off = || step("remove part timing belt");
    let on = || step("fit part timing belt");
    let look = || step("inspect none timing marks");
    let run = || step("run none engine").mark(Mark::GasLedOut);
    let wrong = vec![mark(), off(), on(), run(), look()];
    fires(Rule::TimingUnproven, Some(3), wrong, vec![mark(), off(), on(), look(), run()]);
    fires(Rule::TimingUnproven, None, vec![mark(), off(), on()], vec![mark(), off(), on(), look()]);
}

#[test]
fn a_block_behind_the_pedal_proves_nothing() {
    let open = || step("open fluid brake fluid");
    let bleed = || step("bleed fluid brake fluid");
    let found = check_fresh(vec![
        open(),
        bleed(),
        step("prop prop block behind the brake pedal"),
        step("free prop block behind the brake pedal"),
    ]);
    assert_eq!(rules_of(&found), [Rule::PedalUnproven]);
}

#[test]
fn a_ride_height_measured_before_the_car_was_raised_counts_for_nothing() {
    let pull = step("final-tighten fastener front wishbone pivot bolts").mark(Mark::RubberBush).torque();
    let found = check_fresh(with(vec![step("measure none ride height")], with(up_front(), [pull, down_front()])));
    assert_eq!(rules_of(&found), [Rule::BushHanging]);
}

#[test]
fn the_same_thing_named_side_first_is_the_same_thing() {
    let found = check_fresh(with(
        up_front(),
        [step("remove part left front wheel"), down_front(), step("fit part front left wheel")],
    ));
    assert_eq!(rules_of(&found), [Rule::LoweredWheelOff]);
}

#[test]
fn a_helper_needed_and_not_planned() {
    let bleed = || step("bleed fluid clutch fluid").mark(Mark::TwoPeople);
    let found = check_fresh(vec![bleed(), bleed()]);
    assert_eq!(rules_of(&found), [Rule::HelperUnplanned], "said once for the card");
    let asked = CardOnPaper { helper: true, ..card(vec![bleed()]) };
    assert_eq!(check(&asked, &State::default()), []);
    assert_eq!(
        rules_of(&check_fresh(vec![step("bleed fluid clutch fluid").tool("a helper")])),
        [Rule::HelperUnplanned]
    );
}

#[test]
fn wheel_fixings_not_tightened_again_after_the_drive() {
    let loosen = || step("loosen fastener rear wheel nuts");
    let pull = || step("tighten fastener rear wheel nuts").torque();
    let drive = || step("drive none car");
    fires(Rule::WheelsNotRepeated, Some(2), vec![loosen(), pull(), drive()], vec![loosen(), pull(), drive(), pull()]);
}

#[test]
fn the_same_access_opened_twice() {
    let off = || step("remove part undertray");
    let on = || step("fit part undertray");
    fires(Rule::OpenedTwice, Some(2), vec![off(), on(), off(), on()], vec![off(), on()]);
}

#[test]
fn what_is_left_up_off_open_parted_or_propped() {
    let cases = [
        (Rule::LeftOff, "remove part undertray", "fit part undertray"),
        (Rule::LeftOpen, "open opening bonnet", "close opening bonnet"),
        (Rule::LeftParted, "disconnect connection speedometer cable", "connect connection speedometer cable"),
        (Rule::LeftPropped, "prop prop exhaust strap", "free prop exhaust strap"),
    ];
    for (rule, opens, closes) in cases {
        fires(rule, Some(0), vec![step(opens)], vec![step(opens), step(closes)]);
    }
    fires(Rule::LeftUp, Some(2), up_front(), with(up_front(), [down_front()]));
}

#[test]
fn what_was_open_before_the_card_began_is_not_its_own() {
    let earlier: State = ["part:undertray", "corner:front end", "stands:front end"].into_iter().collect();
    assert_eq!(check(&card(vec![step("inspect part undertray")]), &earlier), []);
}

#[test]
fn every_rule_has_a_weight_and_the_weightiest_come_first() {
    let found = check_fresh(vec![
        step("remove part undertray"),
        step("fit part undertray"),
        step("remove part undertray"),
        step("loosen fastener sump bolts"),
    ]);
    let weights: Vec<Weight> = found.iter().map(Finding::weight).collect();
    assert_eq!(weights, [Weight::Stop, Weight::Warn, Weight::Note]);
    assert!(Rule::ALL.iter().all(|rule| !rule.label().is_empty()));
}
