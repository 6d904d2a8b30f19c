//! The judgement of a torque against the weakest and the strongest bolt it may be meant for.

use super::Asked;
use super::slip::{self, Slip};
use crate::trade::closed_set::closed_set;
use crate::trade::fastener_strength::{Bolt, Class, ClassError, PropertyClass, SaeGrade};
use crate::trade::preload::{Friction, PreloadRange, preload_at, share_of_yield};
use crate::trade::quantity::{Span, TorqueUnit};
use crate::trade::thread::Thread;

/// Past this share of yield, at the usual friction, a torque is too high; tables of VDI 2230 stop at 0.90.
const TOO_HIGH: f64 = 0.95;
/// Below this share of proof load, at the usual friction, a torque is too low.
const TOO_LOW: f64 = 0.30;
/// The share of proof load that most makers aim at, by which likely slips are ranked.
const USUAL: f64 = 0.70;

closed_set! {
    /// Whether a torque can belong to its bolt.
    pub enum Verdict {
        Fits = "fits", "fits the bolt";
        High = "high", "too high for the bolt";
        Low = "low", "low for the bolt";
        CannotJudge = "cannot-judge", "cannot be judged";
    }
}

/// A verdict and what stands behind it, ready to be shown.
#[derive(Clone, Debug, PartialEq)]
pub struct Assessment {
    pub verdict: Verdict,
    /// Why, in a sentence or two.
    pub sentence: String,
    /// What may have gone wrong, the likeliest first; only where something did.
    pub slips: Vec<Slip>,
    /// What was taken for granted, each a sentence.
    pub notes: Vec<String>,
    /// Only where the class is known.
    pub preload: Option<PreloadRange>,
}

/// Judges a torque. Never fails: what cannot be judged is said to be so.
pub fn judge(asked: &Asked) -> Assessment {
    if asked.turned_further {
        return cannot(
            "This torque is only the start: the angle after it does the tightening, on purpose near or past yield, so \
             only the maker's stages count.",
        );
    }
    if let Some(reason) = asked.joint.refusal() {
        return cannot(reason);
    }
    let thread = match &asked.thread {
        Ok(thread) => *thread,
        Err(error) => return cannot(&format!("Without a thread a torque cannot be judged. {error}")),
    };
    let bounds = match Bounds::about(thread, asked) {
        Ok(bounds) => bounds,
        Err(reason) => return cannot(&reason),
    };
    weighed(asked, &bounds)
}

fn cannot(reason: &str) -> Assessment {
    Assessment {
        verdict: Verdict::CannotJudge,
        sentence: reason.to_owned(),
        slips: Vec::new(),
        notes: Vec::new(),
        preload: None,
    }
}

/// The weakest and the strongest bolt that is meant; the same one when the class is known.
#[derive(Clone, Copy, Debug)]
pub(super) struct Bounds {
    weakest: Bolt,
    strongest: Bolt,
}

impl Bounds {
    pub(super) const fn of(bolt: Bolt) -> Self {
        Self { weakest: bolt, strongest: bolt }
    }

    fn about(thread: Thread, asked: &Asked) -> Result<Self, String> {
        if let Ok(read) = &asked.class {
            return Bolt::new(thread, read.class).map(Self::of).map_err(|error| error.to_string());
        }
        let covered = || Class::all_for(thread).into_iter().filter_map(|class| Bolt::new(thread, class).ok());
        let strength = |bolt: &Bolt| bolt.figures().yielding.megapascals();
        let weakest = covered().min_by(|a, b| strength(a).total_cmp(&strength(b)));
        let strongest = covered().max_by(|a, b| strength(a).total_cmp(&strength(b)));
        weakest
            .zip(strongest)
            .map(|(weakest, strongest)| Self { weakest, strongest })
            .ok_or_else(|| format!("No standard known here gives the strength of a bolt of {thread}."))
    }

    pub(super) const fn thread(&self) -> Thread {
        self.weakest.thread()
    }

    /// The class, when it is known.
    pub(super) fn known_class(&self) -> Option<Class> {
        (self.weakest == self.strongest).then_some(self.weakest.class())
    }

    fn verdict(&self, torque: &Span<TorqueUnit>, friction: Friction) -> Verdict {
        let usual = friction.usual();
        if share_of_yield(self.strongest, torque.high(), usual) > TOO_HIGH {
            return Verdict::High;
        }
        let pulled = preload_at(self.weakest, torque.low(), usual).share_of(self.weakest.proof_load());
        if pulled < TOO_LOW { Verdict::Low } else { Verdict::Fits }
    }

    /// How far from a usual torque; 0 is right on it, and `None` is one that does not fit.
    pub(super) fn oddness(&self, torque: &Span<TorqueUnit>, friction: Friction) -> Option<f64> {
        if self.verdict(torque, friction) != Verdict::Fits {
            return None;
        }
        let bolt = self.typical();
        let share = |torque| preload_at(bolt, torque, friction.usual()).share_of(bolt.proof_load());
        let middle = f64::midpoint(share(torque.low()), share(torque.high()));
        Some((middle / USUAL).ln().abs())
    }

    /// The known bolt, or the commonest on a car: class 8.8, grade 5.
    fn typical(&self) -> Bolt {
        let common =
            if self.thread().is_metric() { Class::Metric(PropertyClass::C8_8) } else { Class::Inch(SaeGrade::Five) };
        let known = self.known_class().unwrap_or(common);
        Bolt::new(self.thread(), known).unwrap_or(self.strongest)
    }
}

fn weighed(asked: &Asked, bounds: &Bounds) -> Assessment {
    let friction = asked.friction();
    let verdict = bounds.verdict(&asked.torque, friction);
    let known = bounds.known_class().is_some();
    let preload = known.then(|| PreloadRange::of(bounds.strongest, &asked.torque, friction));
    let slips = match verdict {
        Verdict::Fits | Verdict::CannotJudge => Vec::new(),
        Verdict::High | Verdict::Low => slip::likely(&asked.torque, bounds, friction),
    };
    let mut sentence = sentence(verdict, bounds, asked);
    if let Some(slip) = slips.first() {
        sentence.push(' ');
        sentence.push_str(&slip.to_string());
    }
    Assessment { verdict, sentence, slips, notes: notes(asked, bounds, verdict), preload }
}

fn sentence(verdict: Verdict, bounds: &Bounds, asked: &Asked) -> String {
    let friction = asked.friction();
    let torque = &asked.torque;
    let thread = bounds.thread();
    let known = bounds.known_class();
    let share = |bolt: Bolt, torque| preload_at(bolt, torque, friction.usual()).share_of(bolt.proof_load()) * 100.0;
    match (verdict, known) {
        (Verdict::High, _) => {
            let even = share_of_yield(bounds.strongest, torque.high(), friction.high()) > TOO_HIGH;
            let how = if even {
                "even with the greatest friction to be expected"
            } else {
                "with the friction to be expected"
            };
            let bolt = known.map_or_else(
                || format!("even the strongest bolt of {thread}"),
                |class| format!("a bolt of {thread}, {class},"),
            );
            format!("{torque} would stretch {bolt} to yield or past it, {how}.")
        }
        (Verdict::Low, _) => {
            let bolt = known.map_or_else(
                || format!("even the weakest bolt of {thread}"),
                |class| format!("a bolt of {thread}, {class},"),
            );
            format!(
                "{torque} would pull {bolt} to about {:.0} % of its proof load only. That is right for a few joints, \
                 such as covers on a soft gasket, and otherwise a slip.",
                share(bounds.weakest, torque.low())
            )
        }
        (Verdict::Fits, Some(class)) => {
            let middle = f64::midpoint(share(bounds.strongest, torque.low()), share(bounds.strongest, torque.high()));
            format!(
                "{torque} fits a bolt of {thread}, {class}: with the usual friction it pulls it to about {middle:.0} % \
                 of its proof load."
            )
        }
        (Verdict::Fits, None) => format!(
            "{torque} is possible for a bolt of {thread}, but its class is not known, so only a gross slip would have \
             shown."
        ),
        (Verdict::CannotJudge, _) => String::new(),
    }
}

fn notes(asked: &Asked, bounds: &Bounds, verdict: Verdict) -> Vec<String> {
    let mut notes = Vec::new();
    match &asked.class {
        Ok(read) => notes.extend(read.note.clone()),
        Err(error) => {
            if *error != ClassError::Empty {
                notes.push(error.to_string());
            }
            notes.push(format!(
                "The class is not known: judged against everything from {} to {}.",
                bounds.weakest.class(),
                bounds.strongest.class()
            ));
        }
    }
    let friction = asked.friction();
    if asked.lubrication.is_empty() {
        let why = match asked.lubrication_written.as_str() {
            "" => "Nothing is said of lubrication".to_owned(),
            words => format!("The lubrication ‘{words}’ is not known here"),
        };
        notes.push(format!("{why}: friction taken as anywhere from {:.2} to {:.2}.", friction.low(), friction.high()));
    }
    if verdict == Verdict::Fits && share_of_yield(bounds.strongest, asked.torque.high(), friction.low()) > TOO_HIGH {
        notes.push(
            "With the least friction that is possible it would reach yield: keep to the lubrication that the source \
             names."
                .to_owned(),
        );
    }
    if asked.joint == super::Joint::LockingNut {
        notes.push(
            "Part of the torque only turns a self-locking nut on its thread, so the pull is less than reckoned."
                .to_owned(),
        );
    }
    notes.push("Reckoned for a solid steel bolt with a flat hexagon head in iron or steel.".to_owned());
    notes
}
