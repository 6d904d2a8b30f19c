//! The steps of a job card: a verb and the thing on the car that it is done to.
//!
//! The words of the verbs and objects are `design.md`'s; what each does to the car's state is `effect`.

use super::closed_set::closed_set;
use super::grammar::said_of;
use super::spec::Kind;
use serde::{Deserialize, Serialize};

closed_set! {
    /// What a step does.
    pub enum Verb {
        Chock = "chock", "Chock";
        Raise = "raise", "Raise";
        Support = "support", "Support";
        Lower = "lower", "Lower";
        Open = "open", "Open";
        Close = "close", "Close";
        Loosen = "loosen", "Loosen";
        Remove = "remove", "Remove";
        Disconnect = "disconnect", "Disconnect";
        Drain = "drain", "Drain";
        Prop = "prop", "Prop";
        Inspect = "inspect", "Inspect";
        Measure = "measure", "Measure";
        Clean = "clean", "Clean";
        Prepare = "prepare", "Prepare";
        Fit = "fit", "Fit";
        Connect = "connect", "Connect";
        Fill = "fill", "Fill";
        Bleed = "bleed", "Bleed";
        Tighten = "tighten", "Tighten";
        FinalTighten = "final-tighten", "Final-tighten";
        /// Take a prop away.
        Free = "free", "Free";
        Run = "run", "Run";
        Drive = "drive", "Drive";
        Note = "note", "Note";
    }
}

impl Verb {
    /// True for the verbs that bring a fastener to its torque.
    pub fn tightens(self) -> bool {
        matches!(self, Verb::Tighten | Verb::FinalTighten)
    }
}

/// Whether a step tightens something and none of the specs attached to it, of these kinds, is a torque.
pub fn lacks_torque(verb: Verb, attached: impl IntoIterator<Item = Kind>) -> bool {
    verb.tightens() && !attached.into_iter().any(|kind| kind == Kind::Torque)
}

closed_set! {
    /// What kind of thing it is done to.
    pub enum ObjectKind {
        Corner = "corner", "corner or end of the car";
        Fastener = "fastener", "fastener or group of fasteners";
        Part = "part", "part";
        Fluid = "fluid", "fluid system";
        Opening = "opening", "filler, bleed screw or cap";
        Connection = "connection", "connection";
        Prop = "prop", "prop, strap or block";
        LeftInside = "left-inside", "thing left inside";
        Nothing = "none", "nothing on the car";
    }
}

/// What a ticked step changes: the thing it leaves away from rest, or the thing it brings back to rest.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Effect {
    /// Leaves a loose end of this family, with these words after the name of one such object.
    Opens(&'static str, &'static str),
    /// Closes the loose end of this family.
    Closes(&'static str),
    /// Changes nothing that could be left undone.
    None,
}

/// The effect of `verb` on an object of `kind` on the car's state.
pub fn effect(verb: Verb, kind: ObjectKind) -> Effect {
    match kind {
        ObjectKind::Corner => on_corner(verb),
        ObjectKind::Fastener => on_fastener(verb),
        ObjectKind::Part => on_part(verb),
        ObjectKind::Fluid => on_fluid(verb),
        ObjectKind::Opening => pair(verb, (Verb::Open, "opening", "is open"), &[Verb::Close, Verb::Tighten, Verb::Fit]),
        ObjectKind::Connection => pair(verb, (Verb::Disconnect, "connection", "is parted"), &[Verb::Connect]),
        ObjectKind::Prop => pair(verb, (Verb::Prop, "prop", "is holding something up"), &[Verb::Free]),
        ObjectKind::LeftInside => pair(verb, (Verb::Fit, "inside", "is still inside"), &[Verb::Remove]),
        ObjectKind::Nothing => Effect::None,
    }
}

fn pair(verb: Verb, opens: (Verb, &'static str, &'static str), closes: &[Verb]) -> Effect {
    let (opener, family, words) = opens;
    if verb == opener {
        return Effect::Opens(family, words);
    }
    if closes.contains(&verb) { Effect::Closes(family) } else { Effect::None }
}

fn on_corner(verb: Verb) -> Effect {
    match verb {
        Verb::Raise => Effect::Opens("corner", "is up on the jack"),
        Verb::Support => Effect::Opens("corner", "is on stands"),
        Verb::Lower => Effect::Closes("corner"),
        _ => Effect::None,
    }
}

fn on_fastener(verb: Verb) -> Effect {
    match verb {
        Verb::Loosen => Effect::Opens("fastener", "is loose"),
        Verb::Remove => Effect::Opens("fastener", "is off"),
        Verb::Fit => Effect::Opens("fastener", "is only nipped up"),
        Verb::Tighten | Verb::FinalTighten => Effect::Closes("fastener"),
        _ => Effect::None,
    }
}

fn on_part(verb: Verb) -> Effect {
    match verb {
        Verb::Remove => Effect::Opens("part", "is off"),
        Verb::Loosen => Effect::Opens("part", "is hanging"),
        Verb::Fit => Effect::Closes("part"),
        _ => Effect::None,
    }
}

/// Air in a system is its own loose end: filling it does not let the air out.
fn on_fluid(verb: Verb) -> Effect {
    match verb {
        Verb::Drain => Effect::Opens("fluid", "is drained"),
        Verb::Fill => Effect::Closes("fluid"),
        Verb::Open => Effect::Opens("air", "has been opened: air in it"),
        Verb::Bleed => Effect::Closes("air"),
        _ => Effect::None,
    }
}

/// A loose end that a step makes.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Opened {
    pub key: String,
    pub words: String,
}

/// A step's effect as sets that the phone can evaluate without knowing any rule.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Compiled {
    pub opens: Vec<Opened>,
    pub closes: Vec<String>,
}

/// The name by which the car's state knows a thing: case and outer blanks apart, and the end before the side, so that a left
/// front wheel is the front left wheel.
pub fn thing_name(object: &str) -> String {
    let name = object.trim().to_lowercase();
    let mut words: Vec<&str> = name.split_whitespace().collect();
    if let [side @ ("left" | "right"), end @ ("front" | "rear"), ..] = words.as_slice() {
        let (side, end) = (*side, *end);
        words[0] = end;
        words[1] = side;
        return words.join(" ");
    }
    name
}

/// Compiles one step. The same thing has the same name: see [`thing_name`].
pub fn compile(verb: Verb, kind: ObjectKind, object: &str) -> Compiled {
    let (object, name) = (object.trim(), thing_name(object));
    let key = |family: &str| format!("{family}:{name}");
    match effect(verb, kind) {
        Effect::Opens(family, words) => {
            Compiled { opens: vec![Opened { key: key(family), words: said_of(object, words) }], closes: Vec::new() }
        }
        Effect::Closes(family) => Compiled { opens: Vec::new(), closes: vec![key(family)] },
        Effect::None => Compiled::default(),
    }
}

closed_set! {
    /// What a step may ask to be read off.
    pub enum AskKind {
        Torque = "torque", "Torque";
        Volume = "volume", "Quantity of fluid";
        Pressure = "pressure", "Pressure";
        Length = "length", "Length or gap";
        Temperature = "temperature", "Temperature";
        Angle = "angle", "Angle";
        Voltage = "voltage", "Voltage";
        Count = "count", "Count";
    }
}

impl AskKind {
    /// The dimension the answer is parsed in; `None` for a bare count.
    pub fn dimension(self) -> Option<super::quantity::Dimension> {
        use super::quantity::Dimension;
        match self {
            AskKind::Torque => Some(Dimension::Torque),
            AskKind::Volume => Some(Dimension::Volume),
            AskKind::Pressure => Some(Dimension::Pressure),
            AskKind::Length => Some(Dimension::Length),
            AskKind::Temperature => Some(Dimension::Temperature),
            AskKind::Angle => Some(Dimension::Angle),
            AskKind::Voltage => Some(Dimension::Voltage),
            AskKind::Count => None,
        }
    }
}

/// What is to be read off at a step: `drained axle oil`, `front left disc thickness`.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
pub struct Ask {
    pub what: String,
    pub kind: AskKind,
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn draining_leaves_a_loose_end_that_filling_closes() {
        let drain = compile(Verb::Drain, ObjectKind::Fluid, "Rear axle oil");
        let fill = compile(Verb::Fill, ObjectKind::Fluid, "rear axle oil ");
        assert_eq!(drain.opens[0].key, "fluid:rear axle oil");
        assert_eq!(drain.opens[0].words, "Rear axle oil is drained");
        assert_eq!(fill.closes, ["fluid:rear axle oil"]);
    }

    #[test]
    fn filling_does_not_let_the_air_out() {
        let open = compile(Verb::Open, ObjectKind::Fluid, "brake fluid");
        let fill = compile(Verb::Fill, ObjectKind::Fluid, "brake fluid");
        let bleed = compile(Verb::Bleed, ObjectKind::Fluid, "brake fluid");
        assert!(!fill.closes.contains(&open.opens[0].key));
        assert!(bleed.closes.contains(&open.opens[0].key));
    }

    #[test]
    fn a_fitted_fastener_is_still_a_loose_end_until_it_is_tight() {
        let fit = compile(Verb::Fit, ObjectKind::Fastener, "sump plug");
        assert_eq!(fit.opens[0].words, "sump plug is only nipped up");
        assert_eq!(compile(Verb::Tighten, ObjectKind::Fastener, "sump plug").closes, [fit.opens[0].key.clone()]);
    }

    #[test]
    fn several_things_are_spoken_of_as_several() {
        let off = compile(Verb::Remove, ObjectKind::Part, "front wheels");
        assert_eq!(off.opens[0].words, "front wheels are off");
    }

    #[test]
    fn only_a_torque_says_how_far_to_tighten() {
        for verb in [Verb::Tighten, Verb::FinalTighten] {
            assert!(lacks_torque(verb, []));
            assert!(lacks_torque(verb, [Kind::Text, Kind::Angle, Kind::Length]));
            assert!(!lacks_torque(verb, [Kind::Text, Kind::Torque]));
        }
        assert!(!lacks_torque(Verb::Loosen, []));
    }

    #[test]
    fn looking_changes_nothing() {
        for kind in ObjectKind::ALL {
            assert_eq!(effect(Verb::Inspect, *kind), Effect::None);
            assert_eq!(effect(Verb::Measure, *kind), Effect::None);
        }
    }
}
