//! What becomes of an entry of the list when somebody deals with it, and when it comes back.
//!
//! An entry that was dealt with is out of the list until one of these comes true, whichever is first: somebody opens it again;
//! its question is answered *to be done* anew, after that; the day on which a watched thing is to be looked at has come; or the
//! card or the part that it became was taken out. It is our own rule, common practice, no source.

use crate::trade::calendar::Date;
use crate::trade::closed_set::closed_set;

use super::question::Answer;

closed_set! {
    /// How an entry of the list was dealt with.
    pub enum How {
        Card = "card", "made a job card";
        Part = "part", "put on the buy list";
        Watch = "watch", "watched";
        Nothing = "nothing", "nothing to do";
        Open = "open", "opened again";
    }
}

/// The last that was done about an entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dealt {
    pub how: How,
    /// When a watched thing is to be looked at again.
    pub until: Option<Date>,
    /// False where the card or the part was taken out since.
    pub became_stands: bool,
}

closed_set! {
    /// Why an entry stands in the list though it was dealt with before.
    pub enum Back {
        Opened = "opened", "It was opened again.";
        Answered = "answered", "It was answered ‘to be done’ after it was dealt with.";
        DayCame = "day-came", "It was watched, and the day to look again has come.";
        Gone = "gone", "The card or part that it became was taken out.";
    }
}

/// Whether the entry is back, and why; `None` while it is dealt with. `answered_after` is the answer that its question got later
/// than it was dealt with, where it got one.
pub fn back(dealt: Dealt, answered_after: Option<Answer>, today: Date) -> Option<Back> {
    if dealt.how == How::Open {
        return Some(Back::Opened);
    }
    if answered_after == Some(Answer::Act) {
        return Some(Back::Answered);
    }
    match dealt.how {
        How::Watch if dealt.until.is_none_or(|until| until <= today) => Some(Back::DayCame),
        How::Card | How::Part if !dealt.became_stands => Some(Back::Gone),
        How::Card | How::Part | How::Watch | How::Nothing | How::Open => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn day(text: &str) -> Date {
        Date::parse(text).unwrap()
    }

    fn is(how: How, until: Option<&str>, became_stands: bool, after: Option<Answer>) -> Option<Back> {
        back(Dealt { how, until: until.map(day), became_stands }, after, day("2026-11-25"))
    }

    #[test]
    fn it_is_out_of_the_list_until_it_is_opened_again_or_answered_to_be_done_anew() {
        for how in [How::Card, How::Part, How::Nothing] {
            assert_eq!(is(how, None, true, None), None);
            assert_eq!(is(how, None, true, Some(Answer::Watch)), None, "only ‘to be done’ brings it back");
            assert_eq!(is(how, None, true, Some(Answer::Unknown)), None);
            assert_eq!(is(how, None, true, Some(Answer::Act)), Some(Back::Answered));
        }
        assert_eq!(is(How::Open, None, true, None), Some(Back::Opened));
    }

    #[test]
    fn a_watched_thing_comes_back_on_its_day() {
        assert_eq!(is(How::Watch, Some("2026-11-26"), true, None), None);
        assert_eq!(is(How::Watch, Some("2026-11-25"), true, None), Some(Back::DayCame));
        assert_eq!(is(How::Watch, Some("2026-11-26"), true, Some(Answer::Act)), Some(Back::Answered));
        assert_eq!(is(How::Watch, None, true, None), Some(Back::DayCame), "without a day it is never lost");
    }

    #[test]
    fn what_became_a_card_that_was_taken_out_is_not_lost() {
        assert_eq!(is(How::Card, None, false, None), Some(Back::Gone));
        assert_eq!(is(How::Part, None, false, None), Some(Back::Gone));
        assert_eq!(is(How::Nothing, None, false, None), None, "nothing became of it, so nothing is missing");
    }
}
