use super::*;
use crate::ids::{DeviceId, OpId, StepId};
use crate::sync::wire::{
    ClosedBody, CorrectionBody, FindingBody, OdometerBody, PhotoBody, QuantityBody, TextBody, TickBody, TimeBody,
    UndidBody,
};

fn op(at: i64, act: Act) -> Done {
    Done {
        seq: at,
        op_id: OpId::new(),
        hlc: Hlc::ZERO.next(Moment(at)).to_string(),
        device: DeviceId::new(),
        device_name: Some("phone".into()),
        card: None,
        subject_kind: "step".into(),
        subject_id: "s1".into(),
        applied: true,
        act,
    }
}

fn tick(at: i64, state: Tick) -> Done {
    op(at, Act::Tick(TickBody { state }))
}

fn reading(at: i64, number: &str) -> Done {
    let body = ReadingBody { what: "drained oil".into(), number: number.into(), unit: "l".into(), note: None };
    op(at, Act::Reading(body))
}

fn things(gone: bool) -> Things {
    let step = Thing { name: "Let the oil out".into(), gone, card: Some(CardId::new()) };
    Things::from([("s1".to_owned(), step)])
}

fn entries(ops: &[Done], things: &Things) -> Vec<Entry> {
    let pictures = HashSet::from(["ab".to_owned()]);
    let context = Context::new(ops, things, &pictures);
    ops.iter().map(|op| entry(op, &context)).collect()
}

#[test]
fn every_kind_of_operation_has_its_words() {
    let text = |text: &str| TextBody { text: text.into() };
    let quantity = || QuantityBody { quantity: "2 l".into() };
    let undid = op(1, Act::Undid(UndidBody { what: "Shield is off".into(), place: "rear".into() }));
    let key = format!("hand:{}", undid.op_id);
    let cases = [
        (tick(1, Tick::Done), "Let the oil out | done"),
        (tick(1, Tick::Skipped), "Let the oil out | skipped"),
        (tick(1, Tick::Open), "Let the oil out | correction: not done after all"),
        (reading(1, "1,1"), "drained oil: 1.1 l | read off | at “Let the oil out”"),
        (op(1, Act::Note(text("smells of petrol"))), "smells of petrol | note | on “Let the oil out”"),
        (
            op(1, Act::Finding(FindingBody { text: "Damp".into(), place: "rear right".into(), weight: Weight::Act })),
            "Damp | found | rear right | at “Let the oil out”",
        ),
        (op(1, Act::PartUsed(quantity())), "Used: Let the oil out, 2 l"),
        (op(1, Act::Arrival(quantity())), "Arrived: Let the oil out, 2 l"),
        (op(1, Act::Odometer(OdometerBody { number: "134820".into(), unit: "km".into() })), "Odometer: 134820 km"),
        (op(1, Act::Time(TimeBody { minutes: 85 })), "Worked 1 h 25 min"),
        (undid, "Shield is off | loose end, noted by hand | rear"),
        (op(1, Act::Closed(ClosedBody { key: "fluid:axle oil".into() })), "Closed by hand: axle oil"),
        (op(1, Act::Recheck(text("dry"))), "dry | looked at again"),
    ];
    for (op, words) in cases {
        let entry = entries(&[op], &things(false)).remove(0);
        let said = [vec![entry.what], entry.more].concat().join(" | ");
        assert_eq!(said, words);
    }
    let undid = op(1, Act::Undid(UndidBody { what: "Shield is off".into(), place: String::new() }));
    let closed = op(2, Act::Closed(ClosedBody { key: format!("hand:{}", undid.op_id) }));
    assert_ne!(key, format!("hand:{}", undid.op_id));
    assert_eq!(entries(&[undid, closed], &things(false))[1].what, "Closed by hand: Shield is off");
}

#[test]
fn a_correction_points_at_its_entry_and_both_are_shown() {
    let wrong = op(1, Act::Note(TextBody { text: "The left boot is split".into() }));
    let of = wrong.op_id;
    let correct = |at, of, text: &str| op(at, Act::Correction(CorrectionBody { of, text: text.into() }));
    let said = entries(
        &[wrong, correct(2, of, "The right one"), correct(3, of, "Both"), correct(4, OpId::new(), "?")],
        &things(false),
    );
    assert_eq!(said[0].what, "The left boot is split");
    assert_eq!(said[0].since.as_deref(), Some("corrected later: “The right one”; corrected later: “Both”"));
    assert_eq!(said[1].what, "The right one");
    assert!(said[1].more[0].starts_with("correction of “The left boot is split” of "), "{:?}", said[1].more);
    assert_eq!(said[3].more[0], "correction of an entry that is not here");
}

#[test]
fn two_corrections_of_each_other_come_to_an_end() {
    let (mut one, mut other) = (op(1, Act::Time(TimeBody { minutes: 1 })), op(2, Act::Time(TimeBody { minutes: 1 })));
    one.act = Act::Correction(CorrectionBody { of: other.op_id, text: "one".into() });
    other.act = Act::Correction(CorrectionBody { of: one.op_id, text: "other".into() });
    let said = entries(&[one, other], &things(false));
    assert!(said[0].more[0].contains("“other”") && said[1].more[0].contains("“one”"));
}

#[test]
fn a_tick_tells_what_it_reached_and_a_part_what_it_cost() {
    let ops = [tick(1, Tick::Done), op(2, Act::PartUsed(QuantityBody { quantity: "1".into() })), tick(3, Tick::Open)];
    let (things, pictures) = (things(false), HashSet::new());
    let reached = HashMap::from([(ops[0].op_id, "to 40 N·m (maker's manual)".to_owned())]);
    let prices = HashMap::from([("s1".to_owned(), "12.50 EUR".to_owned())]);
    let context = Context::new(&ops, &things, &pictures).with(&reached, &prices);
    let more: Vec<String> = ops.iter().map(|op| entry(op, &context).more.join(" | ")).collect();
    assert_eq!(more, ["done | to 40 N·m (maker's manual)", "12.50 EUR", "correction: not done after all"]);
}

#[test]
fn an_unticked_step_shows_both_the_tick_and_its_correction() {
    let said = entries(&[tick(1, Tick::Done), tick(2, Tick::Open)], &things(false));
    assert_eq!(said[0].since.as_deref(), Some("taken back later"));
    assert_eq!(said[1].since, None);
    let again = entries(&[tick(1, Tick::Done), tick(2, Tick::Open), tick(3, Tick::Done)], &things(false));
    assert_eq!(
        again.iter().map(|entry| entry.since.as_deref()).collect::<Vec<_>>(),
        [None, Some("corrected later"), None]
    );
}

#[test]
fn a_reading_that_was_taken_again_stays_and_says_so() {
    let said = entries(&[reading(1, "1,1"), reading(2, "1,4")], &things(false));
    assert_eq!(said[0].since.as_deref(), Some("read again later"));
    assert_eq!(said[1].since, None);
}

#[test]
fn what_was_kept_for_something_deleted_says_what_it_was() {
    let kept = Done { applied: false, ..tick(1, Tick::Done) };
    let said = entries(&[kept], &things(true)).remove(0);
    assert_eq!(said.what, "Let the oil out");
    assert!(said.since.unwrap().contains("this step was deleted before it arrived"));
    let since = entries(&[tick(1, Tick::Done)], &things(true)).remove(0).since;
    assert_eq!(since.as_deref(), Some("this step was deleted since"));
}

#[test]
fn a_kept_operation_corrects_nothing() {
    let kept = Done { applied: false, ..tick(2, Tick::Open) };
    assert_eq!(entries(&[tick(1, Tick::Done), kept], &things(false))[0].since, None);
}

#[test]
fn a_picture_knows_whether_its_bytes_are_here() {
    let photo = |sha: &str, caption: &str| {
        op(
            1,
            Act::Photo(PhotoBody {
                sha256: sha.into(),
                bytes: 1,
                mime: "image/jpeg".into(),
                caption: caption.into(),
                question: None,
            }),
        )
    };
    let said = entries(&[photo("ab", "Plug"), photo("cd", " ")], &things(false));
    let pictures: Vec<_> = said.into_iter().filter_map(|entry| entry.picture).collect();
    assert_eq!((pictures[0].here, pictures[1].here), (true, false));
    assert_eq!((pictures[0].alt.as_str(), pictures[1].alt.as_str()), ("Plug", "Picture without words"));
}

#[test]
fn an_operation_belongs_to_the_card_of_its_step() {
    let things = things(false);
    let (stepped, card) = (tick(1, Tick::Done), things["s1"].card);
    assert_eq!(card_of(&stepped, &things), card);
    let named = Done { card: Some(CardId::new()), ..stepped.clone() };
    assert_eq!(card_of(&named, &things), named.card);
    let unknown = Done { subject_id: StepId::new().to_string(), ..stepped };
    assert_eq!(card_of(&unknown, &things), None);
}

#[test]
fn a_quantity_that_ends_the_name_is_not_said_twice() {
    for (name, quantity, said) in [
        ("Gear oil 80W-90 GL-4, 2 l", "2 l", "Gear oil 80W-90 GL-4, 2 l"),
        ("Gear oil 80W-90 GL-4, 2 l", "1 l", "Gear oil 80W-90 GL-4, 2 l, 1 l"),
        ("Gear oil", "2 l", "Gear oil, 2 l"),
        ("Oil 2 l", "2 l", "Oil 2 l, 2 l"),
    ] {
        assert_eq!(with_quantity(name, quantity), said);
    }
}
