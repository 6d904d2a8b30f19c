//! A job card's condition: derived from its steps, parts, ticks and loose ends, never stored.

use super::closed_set::closed_set;

closed_set! {
    /// Where a card stands, from an idea to a proven repair.
    pub enum Condition {
        Sketched = "sketched", "sketched";
        Short = "short", "short";
        Ready = "ready", "ready";
        Apart = "apart", "apart";
        ClosedUp = "closed-up", "closed up";
        Proven = "proven", "proven";
    }
}

/// What is known of a card when its condition is asked for.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Facts {
    pub steps: usize,
    /// Steps whose latest tick is done or skipped.
    pub settled_steps: usize,
    /// Specs attached to its steps; one that is attached to two steps counts twice.
    pub specs: usize,
    /// Steps that tighten without a torque, or that have a spec without a value.
    pub missing_specs: usize,
    /// Steps that need a part which is neither here nor fitted.
    pub missing_parts: usize,
    /// Steps that ask for a socket or key which the chest does not hold, or only one that will not do. None while nothing
    /// was ever written into the chest.
    pub missing_tools: usize,
    /// Loose ends that its steps have left. What a step left that was taken off it is the car's.
    pub loose_ends: usize,
    /// Somebody looked at it again after the last of its ticks.
    pub rechecked: bool,
}

/// The condition of a card. What is open on the car outranks everything else that could be said of it.
pub fn condition(facts: Facts) -> Condition {
    if facts.loose_ends > 0 {
        return Condition::Apart;
    }
    if facts.steps == 0 || facts.specs == 0 && facts.settled_steps == 0 {
        return Condition::Sketched;
    }
    let all_settled = facts.settled_steps == facts.steps;
    if all_settled && facts.rechecked {
        return Condition::Proven;
    }
    if all_settled {
        return Condition::ClosedUp;
    }
    if facts.missing_parts > 0 || facts.missing_specs > 0 || facts.missing_tools > 0 {
        return Condition::Short;
    }
    Condition::Ready
}

#[cfg(test)]
mod tests {
    use super::*;

    const READY: Facts = Facts {
        steps: 3,
        settled_steps: 0,
        specs: 2,
        missing_specs: 0,
        missing_parts: 0,
        missing_tools: 0,
        loose_ends: 0,
        rechecked: false,
    };

    #[test]
    fn each_condition_is_reached_in_turn() {
        let cases = [
            (Facts { steps: 0, ..READY }, Condition::Sketched),
            (Facts { specs: 0, ..READY }, Condition::Sketched),
            (Facts { missing_parts: 1, ..READY }, Condition::Short),
            (Facts { missing_specs: 1, ..READY }, Condition::Short),
            (Facts { missing_tools: 1, ..READY }, Condition::Short),
            (READY, Condition::Ready),
            (Facts { settled_steps: 1, loose_ends: 1, ..READY }, Condition::Apart),
            (Facts { settled_steps: 3, ..READY }, Condition::ClosedUp),
            (Facts { settled_steps: 3, rechecked: true, ..READY }, Condition::Proven),
        ];
        for (facts, expected) in cases {
            assert_eq!(condition(facts), expected, "{facts:?}");
        }
    }

    #[test]
    fn a_loose_end_outranks_a_recheck() {
        let facts = Facts { settled_steps: 3, rechecked: true, loose_ends: 1, ..READY };
        assert_eq!(condition(facts), Condition::Apart);
    }
}
