//! Bolts that were counted tight, in the logbook: one line for a step and stage of an evening, not one for each bolt.

use super::evening::evening_of;
use super::words::moment;
use crate::ids::OpId;
use crate::sync::wire::{Act, Tight};
use crate::work::store::Done;
use std::collections::{HashMap, HashSet};

/// The presses of an evening that a later one of the same step and stage tells of too.
pub fn told_later(ops: &[Done]) -> HashSet<OpId> {
    let mut last: HashMap<_, OpId> = HashMap::new();
    let mut found = HashSet::new();
    for op in ops {
        let Act::Bolt(body) = &op.act else { continue };
        let line = (evening_of(moment(op)), op.subject_id.as_str(), body.stage, op.applied);
        found.extend(last.insert(line, op.op_id));
    }
    found
}

/// How many bolts of its stage were tight after each press. `ops` is all that was done, in order.
pub fn tight_after(ops: &[Done]) -> HashMap<OpId, usize> {
    let mut tight: HashMap<(&str, usize), HashSet<usize>> = HashMap::new();
    let mut found = HashMap::new();
    for op in ops {
        let Act::Bolt(body) = &op.act else { continue };
        let stage = tight.entry((op.subject_id.as_str(), body.stage)).or_default();
        match body.state {
            Tight::Done => stage.insert(body.bolt),
            Tight::Open => stage.remove(&body.bolt),
        };
        found.insert(op.op_id, stage.len());
    }
    found
}

#[cfg(test)]
mod tests {
    use super::super::book::{Asked, lately, open};
    use super::super::store::Things;
    use super::*;
    use crate::clock::Moment;
    use crate::ids::DeviceId;
    use crate::logbook::words::Context;
    use crate::sync::hlc::Hlc;
    use crate::sync::wire::BoltBody;

    /// 2026-11-17 12:00 UTC: far from any evening's end in every time zone but the outermost.
    const NOON: i64 = 1_794_916_800_000;

    fn press(second: i64, stage: usize, bolt: usize, state: Tight) -> Done {
        let say = format!("Head bolts, stage {stage} of 2");
        Done {
            seq: second,
            op_id: OpId::new(),
            hlc: Hlc::ZERO.next(Moment(NOON + second * 1000)).to_string(),
            device: DeviceId(uuid::Uuid::nil()),
            device_name: Some("phone".into()),
            card: None,
            subject_kind: "step".into(),
            subject_id: "s1".into(),
            applied: true,
            act: Act::Bolt(BoltBody { stage, bolt, state, of: 3, say }),
        }
    }

    fn lines(ops: &[Done]) -> Vec<String> {
        let asked = Asked::default();
        let (things, pictures) = (Things::new(), HashSet::new());
        let book = open(&Context::new(ops, &things, &pictures), ops, &asked);
        let groups = book.evenings.into_iter().flat_map(|evening| evening.groups);
        groups.flat_map(|group| group.entries).map(|entry| entry.what).collect()
    }

    #[test]
    fn a_stage_is_one_line_however_many_bolts_and_counts_what_was_taken_back() {
        let mut ops: Vec<Done> =
            (1..=3).map(|bolt| press(i64::try_from(bolt).unwrap(), 1, bolt, Tight::Done)).collect();
        ops.extend([press(4, 2, 1, Tight::Done), press(5, 2, 2, Tight::Done), press(6, 2, 2, Tight::Open)]);
        let expected = ["Head bolts, stage 1 of 2: 3 of 3 tight", "Head bolts, stage 2 of 2: 1 of 3 tight"];
        assert_eq!(lines(&ops), expected);
        assert_eq!(lately(&ops, 1)[0].line, "2 entries");
    }

    #[test]
    fn a_stage_that_takes_two_evenings_has_a_line_in_each() {
        let day = 24 * 60 * 60;
        let ops = [press(1, 1, 1, Tight::Done), press(day, 1, 2, Tight::Done), press(day + 1, 1, 3, Tight::Done)];
        assert_eq!(lines(&ops), ["Head bolts, stage 1 of 2: 3 of 3 tight", "Head bolts, stage 1 of 2: 1 of 3 tight"]);
    }
}
