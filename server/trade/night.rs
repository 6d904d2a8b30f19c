//! In what state a car is left for the night: sentences over what is true of it, and the cautions that go with them.
//!
//! Each line is said while all of `when` and none of `unless` holds, as the guards of the card checker are: so the phone says
//! the same offline by the same sets (`broken` of `static/js/work/state.js`) and knows no rule. Common practice, no source,
//! where a line names none.

use super::checker::State;
use serde::Serialize;

/// Something to say of a car in a certain state. `{what}` stands for the things that make it so.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Line {
    pub say: &'static str,
    /// How to avoid the harm; empty where `say` is no caution.
    pub mend: &'static str,
    pub when: &'static [&'static str],
    pub unless: &'static [&'static str],
}

const fn line(say: &'static str, when: &'static [&'static str], unless: &'static [&'static str]) -> Line {
    Line { say, mend: "", when, unless }
}

const fn caution(say: &'static str, mend: &'static str, when: &'static [&'static str]) -> Line {
    Line { say, mend, when, unless: &[] }
}

/// How the car stands, and what is open on it, in the order in which it is read.
pub const STATE: &[Line] = &[
    line("It stands on its wheels.", &[], &["jacked:*", "stands:*", "wheel-off:*", "corner:*"]),
    line("Only a jack holds: {what}.", &["jacked:*"], &[]),
    line("On stands: {what}.", &["stands:*"], &[]),
    line("Wheels held by chocks: {what}.", &["chocked:*"], &[]),
    line("Drained: {what}.", &["fluid:*"], &[]),
    line("Air is in: {what}.", &["air:*"], &[]),
    line("Open: {what}.", &["opening:*"], &[]),
    line("Parted: {what}.", &["connection:*"], &[]),
    line("Loose, not at torque: {what}.", &["fastener:*"], &[]),
    line("Off the car: {what}.", &["part:*"], &[]),
    line("Held by a prop: {what}.", &["prop:*"], &[]),
    line("Left inside: {what}.", &["inside:*"], &[]),
    line("Noted by hand: {what}.", &["hand:*"], &[]),
    line("The pedal has not been proven firm: {what}.", &["pedal-unproven:*"], &[]),
    line("The brakes have not been pumped up.", &["pads-back"], &[]),
    line("The battery is disconnected: {what}.", &["battery-parted:*"], &[]),
    line("As far as was ticked, the battery is connected.", &[], &["battery-parted:*"]),
];

/// What can hurt somebody meanwhile.
pub const CAUTIONS: &[Line] = &[
    caution(
        "Only a jack holds the car, and a jack sinks or tips.",
        "Put it on stands under the maker’s support points, or let it down, before you leave it.",
        &["jacked:*"],
    ),
    caution(
        "A car on stands can be pushed off them.",
        "Chock the wheels that are on the ground, keep children, animals and visitors out, and look at each stand once more.",
        &["stands:*"],
    ),
    caution(
        "Whoever moves or starts the car does not know what is undone.",
        "Take the keys out and hang a note on the steering wheel that says so.",
        &[],
    ),
    caution(
        "Fluid in an open pan poisons children and animals, and fuel in it burns.",
        "Take it away in a closed container that is marked.",
        &["fluid:*"],
    ),
    Line {
        unless: &["battery-parted:*"],
        ..caution(
            "With the battery connected, a bare lead or a start by mistake does harm while something is parted.",
            "Disconnect it, its earth lead first, as the maker’s manual says.",
            &["connection:*"],
        )
    },
    caution("The brakes may not hold.", "Chock the wheels, and let nobody sit in and roll it.", &["pedal-unproven:*"]),
];

/// The photos worth taking, so that the next evening begins where this one ended.
pub const PHOTOS: &[Line] = &[
    line("What holds it: {what}, at the stands", &["stands:*"], &[]),
    line("What holds it: {what}, at the jack", &["jacked:*"], &["stands:*"]),
    line("How it stands, with its chocks", &[], &["jacked:*", "stands:*"]),
    line("The open work, as it is left", &[], &[]),
];

impl Line {
    /// What it says in this state, where it has something to say.
    pub fn said(&self, state: &State) -> Option<String> {
        let all = self.when.iter().all(|fact| state.holds(fact));
        if !all || self.unless.iter().any(|fact| state.holds(fact)) {
            return None;
        }
        let mut things: Vec<&str> = Vec::new();
        for name in self.when.iter().flat_map(|fact| state.things(fact)) {
            if !things.contains(&name) {
                things.push(name);
            }
        }
        Some(self.say.replace("{what}", &things.join(", ")))
    }
}

/// All that these lines have to say.
pub fn said(lines: &[Line], state: &State) -> Vec<String> {
    lines.iter().filter_map(|line| line.said(state)).collect()
}

/// The car in sentences.
pub fn sentences(state: &State) -> String {
    said(STATE, state).join(" ")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_car_with_nothing_undone_stands_on_its_wheels() {
        assert_eq!(
            sentences(&State::default()),
            "It stands on its wheels. As far as was ticked, the battery is connected."
        );
        assert_eq!(said(CAUTIONS, &State::default()).len(), 1);
    }

    #[test]
    fn what_is_undone_is_named_once_and_by_its_own_name() {
        let state: State = [
            "stands:front end",
            "corner:front end",
            "fluid:coolant",
            "part:radiator",
            "battery-parted:battery earth lead",
        ]
        .into_iter()
        .collect();
        assert_eq!(
            sentences(&state),
            "On stands: front end. Drained: coolant. Off the car: radiator. The battery is disconnected: battery earth lead."
        );
        assert_eq!(said(PHOTOS, &state), ["What holds it: front end, at the stands", "The open work, as it is left"]);
    }

    #[test]
    fn a_car_on_a_jack_alone_is_cautioned_first() {
        let state: State = ["jacked:rear end", "corner:rear end"].into_iter().collect();
        assert!(said(CAUTIONS, &state)[0].starts_with("Only a jack holds"));
    }
}
